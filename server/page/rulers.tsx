import type { CardUnit } from '../../src/settings/card.js';
import { ticks, toPx, type Viewport, type ViewSize } from './viewport.js';

/** Room in CSS px for the upper ruler; beside the labels of the left one, and for each of their digits. By eye. */
const [TOP_PX, LABEL_PX, DIGIT_PX] = [20, 13, 6.5];

/** Rulers along the card's top and left edges, in the unit that the card was given in. */
export function Rulers(props: {
  sheet: { widthMm: number; heightMm: number };
  viewport: Viewport;
  size: ViewSize;
  unit: CardUnit;
}) {
  const { sheet, viewport, size, unit } = props;
  const origin = toPx(viewport, size, { x: 0, y: 0 });
  const across = ticks(sheet.widthMm, viewport.pxPerMm, unit);
  const down = ticks(sheet.heightMm, viewport.pxPerMm, unit);
  const top = Math.max(origin.y - 6, TOP_PX);
  const longest = Math.max(...down.map(({ label = '' }) => label.length));
  const left = Math.max(origin.x - 6, LABEL_PX + longest * DIGIT_PX);
  // Where the sheet runs on below them they keep a ground of their own.
  return (
    <svg class="rulers" width={size.width} height={size.height} aria-hidden="true">
      <rect width={size.width} height={top + 1} />
      {across.map(({ at, label }) => {
        const x = origin.x + at * viewport.pxPerMm;
        return (
          <g key={at}>
            <line x1={x} x2={x} y1={top} y2={top - (label === undefined ? 4 : 8)} />
            {label !== undefined && (
              <text x={x} y={top - 10} text-anchor="middle">
                {label}
              </text>
            )}
          </g>
        );
      })}
      <rect width={left + 1} height={size.height} />
      {down.map(({ at, label }) => {
        const y = origin.y + at * viewport.pxPerMm;
        if (y < top) return null;
        return (
          <g key={at}>
            <line y1={y} y2={y} x1={left} x2={left - (label === undefined ? 4 : 8)} />
            {label !== undefined && (
              <text x={left - 11} y={y + 3.5} text-anchor="end">
                {label}
              </text>
            )}
          </g>
        );
      })}
      <text class="unit" x={Math.max(left - 11, 8)} y={top - 10} text-anchor="end">
        {unit}
      </text>
    </svg>
  );
}
