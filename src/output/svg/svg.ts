import type { Sheet } from '../../settings/card.js';
import type { Shape } from '../../geometry/shape.js';
import { shapePath } from './path-data.js';
import { roundMm } from '../pen.js';

/**
 * The drawing for a cutting machine or a drawing program, in mm: `#openings` is what is cut, `#sheet` the
 * sheet's edge, and nothing else is in it.
 *
 * @param openings what is cut after bridges are taken off, in mm; none is allowed
 */
export function stencilSvg(openings: readonly Shape[], sheet: Sheet): string {
  const width = roundMm(sheet.widthMm);
  const height = roundMm(sheet.heightMm);
  return `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}">
<rect id="sheet" x="0" y="0" width="${width}" height="${height}" fill="none" stroke="#9aa0a6" stroke-width="0.1"/>
<path id="openings" fill="#1d1d1f" fill-rule="evenodd" d="${shapePath(openings)}"/>
</svg>
`;
}
