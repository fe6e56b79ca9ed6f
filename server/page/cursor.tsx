import type { ViewPoint } from './viewport.js';
import type { PageState } from './page-model.js';

/**
 * For one press of an arrow key: about as fine as a hand cuts (common practice, no source); with Shift ten times as
 * far, to cross a card.
 */
const STEP_MM = 0.5;
const LARGE_STEP_MM = 5;

const ARROWS: Readonly<Record<string, ViewPoint | undefined>> = {
  ArrowLeft: { x: -1, y: 0 },
  ArrowRight: { x: 1, y: 0 },
  ArrowUp: { x: 0, y: -1 },
  ArrowDown: { x: 0, y: 1 },
};

/** Where an arrow key points, by one; undefined for any other key. */
export function arrowOf({ key }: KeyboardEvent): ViewPoint | undefined {
  return ARROWS[key];
}

/** How far an arrow key goes, in mm; with Shift, farther. */
export function arrowMm(event: KeyboardEvent): ViewPoint | undefined {
  const arrow = arrowOf(event);
  const step = event.shiftKey ? LARGE_STEP_MM : STEP_MM;
  return arrow && { x: arrow.x * step, y: arrow.y * step };
}

/** Where a pointer begins: in the middle of the sheet. */
export function sheetCentre({ sketch }: PageState): ViewPoint {
  return { x: (sketch?.sheet.widthMm ?? 0) / 2, y: (sketch?.sheet.heightMm ?? 0) / 2 };
}

/** A pointer that the arrow keys move. */
export function Cursor({ at, px }: { at: ViewPoint; px: number }) {
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
