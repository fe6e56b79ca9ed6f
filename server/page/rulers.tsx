import { ticks, toPx, type Viewport, type ViewSize } from './viewport.js';

/** Rulers along the card's top and left edges, in the unit that the card was given in. */
export function Rulers(props: {
  sheet: { widthMm: number; heightMm: number };
  viewport: Viewport;
  size: ViewSize;
  unit: 'in' | 'mm' | 'cm';
}) {
  const { sheet, viewport, size, unit } = props;
  const origin = toPx(viewport, size, { x: 0, y: 0 });
  const top = Math.max(origin.y - 6, 20);
  const left = Math.max(origin.x - 6, 26);
  return (
    <svg class="rulers" width={size.width} height={size.height} aria-hidden="true">
      {ticks(sheet.widthMm, viewport.pxPerMm, unit).map(({ at, label }) => {
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
      {ticks(sheet.heightMm, viewport.pxPerMm, unit).map(({ at, label }) => {
        const y = origin.y + at * viewport.pxPerMm;
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
