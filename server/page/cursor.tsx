import type { Spot } from './lens.js';

const STEP_MM = 0.5;
const LARGE_STEP_MM = 5;

/** How far an arrow key goes, in mm; with Shift, farther. */
export function arrowMm({ key, shiftKey }: KeyboardEvent): Spot | undefined {
  const step = shiftKey ? LARGE_STEP_MM : STEP_MM;
  switch (key) {
    case 'ArrowLeft':
      return { x: -step, y: 0 };
    case 'ArrowRight':
      return { x: step, y: 0 };
    case 'ArrowUp':
      return { x: 0, y: -step };
    case 'ArrowDown':
      return { x: 0, y: step };
    default:
      return undefined;
  }
}

/** A pointer that the arrow keys move. */
export function Cursor({ at, px }: { at: Spot; px: number }) {
  const r = 8 * px;
  return (
    <g class="cursor" stroke-width={2 * px}>
      <circle cx={at.x} cy={at.y} r={r} />
      <path
        d={`M${at.x - 2 * r} ${at.y}h${r}M${at.x + r} ${at.y}h${r}M${at.x} ${at.y - 2 * r}v${r}M${at.x} ${at.y + r}v${r}`}
      />
    </g>
  );
}
