import type { Sheet } from '../../settings/card.js';
import type { GlueStroke } from '../../stages/strokes/strokes.js';
import { roundMm } from '../pen.js';

/**
 * The lines to draw with glue, in their order, in mm: a path each inside `#strokes`, from its start to its end, in the
 * middle of the line and as wide as it; `#sheet` is the sheet's edge. As the picture is, never mirrored.
 *
 * @param beadWidth mm
 */
export function strokesSvg(
  strokes: readonly GlueStroke[],
  beadWidth: number,
  sheet: Sheet,
): string {
  const width = roundMm(sheet.widthMm);
  const height = roundMm(sheet.heightMm);
  const paths = strokes.map(
    (stroke) => `<path id="stroke-${stroke.number}" d="${strokePath(stroke)}"/>`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}">
<rect id="sheet" x="0" y="0" width="${width}" height="${height}" fill="none" stroke="#9aa0a6" stroke-width="0.1"/>
<g id="strokes" fill="none" stroke="#1d1d1f" stroke-width="${roundMm(beadWidth)}" stroke-linecap="round" stroke-linejoin="round">
${paths.join('\n')}
</g>
</svg>
`;
}

/** A stroke's path data, in the words of SVG 2, section 9.3; a dot is a line of hardly any length. */
export function strokePath({ curves, kind }: GlueStroke): string {
  return curves
    .map((curve, k) => {
      const [x0, y0, x1, y1, x2, y2, x3, y3] = Array.from(curve, roundMm);
      const start = k === 0 ? `M${x0} ${y0}` : '';
      if (kind === 'dot' && x0 === x3 && y0 === y3) return `${start}h0.01`;
      return `${start}C${x1} ${y1} ${x2} ${y2} ${x3} ${y3}`;
    })
    .join('');
}
