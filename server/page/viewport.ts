import { MM_PER, type CardUnit } from '../../src/settings/card.js';

/** Where on the sheet the large view looks: its middle in mm, and how large a millimetre is in CSS px. */
export interface Viewport {
  readonly x: number;
  readonly y: number;
  readonly pxPerMm: number;
}

export interface ViewSize {
  readonly width: number;
  readonly height: number;
}

export interface ViewPoint {
  readonly x: number;
  readonly y: number;
}

/** How far two points lie from each other, in their unit. */
export const pointDistance = (a: ViewPoint, b: ViewPoint): number =>
  Math.hypot(a.x - b.x, a.y - b.y);

/** CSS px a mm: from the largest card (1 m) 200 px wide, to a bridge some hundreds wide. */
const LEAST = 0.2;
const MOST = 200;
/** Larger by this much for a press of + or a click on it: two presses make about twice as large. */
export const ZOOM_STEP = 1.4;
/** Room left round the whole sheet, for the rulers on two sides and air on the others, in px. */
const ROOM = 44;

/** Shows the whole sheet. */
export function whole(sheet: { widthMm: number; heightMm: number }, view: ViewSize): Viewport {
  const across = Math.max(view.width - 2 * ROOM, 40) / sheet.widthMm;
  const down = Math.max(view.height - 2 * ROOM, 40) / sheet.heightMm;
  return { x: sheet.widthMm / 2, y: sheet.heightMm / 2, pxPerMm: Math.min(across, down) };
}

/** The view's corner and size in mm: left, top, width, height. */
export function box(
  { x, y, pxPerMm }: Viewport,
  view: ViewSize,
): readonly [number, number, number, number] {
  const width = view.width / pxPerMm;
  const height = view.height / pxPerMm;
  return [x - width / 2, y - height / 2, width, height];
}

/** The place on the sheet under a point of the view. */
function toMm(viewport: Viewport, view: ViewSize, px: ViewPoint): ViewPoint {
  return {
    x: viewport.x + (px.x - view.width / 2) / viewport.pxPerMm,
    y: viewport.y + (px.y - view.height / 2) / viewport.pxPerMm,
  };
}

/** The point of the view over a place on the sheet. */
export function toPx(viewport: Viewport, view: ViewSize, mm: ViewPoint): ViewPoint {
  return {
    x: (mm.x - viewport.x) * viewport.pxPerMm + view.width / 2,
    y: (mm.y - viewport.y) * viewport.pxPerMm + view.height / 2,
  };
}

/** Moves the sheet by px of the view. */
export function pan(viewport: Viewport, dx: number, dy: number): Viewport {
  return {
    ...viewport,
    x: viewport.x - dx / viewport.pxPerMm,
    y: viewport.y - dy / viewport.pxPerMm,
  };
}

/** Makes everything larger by a factor; what is under `at` stays there. */
export function zoom(viewport: Viewport, view: ViewSize, factor: number, at: ViewPoint): Viewport {
  const pxPerMm = Math.min(Math.max(viewport.pxPerMm * factor, LEAST), MOST);
  const fixed = toMm(viewport, view, at);
  return {
    x: fixed.x - (at.x - view.width / 2) / pxPerMm,
    y: fixed.y - (at.y - view.height / 2) / pxPerMm,
    pxPerMm,
  };
}

export interface Tick {
  /** mm on the sheet. */
  readonly at: number;
  readonly label: string | undefined;
}

/**
 * Steps between labels in the unit, and into how many parts each is cut: as rulers are commonly divided; common
 * practice, no source.
 */
const STEPS = {
  in: [
    [0.125, 2],
    [0.25, 2],
    [0.5, 4],
    [1, 4],
    [2, 4],
    [4, 4],
    [12, 12],
  ],
  cm: [
    [0.1, 1],
    [0.5, 5],
    [1, 10],
    [5, 5],
    [10, 10],
    [50, 5],
  ],
  mm: [
    [1, 2],
    [2, 2],
    [5, 5],
    [10, 10],
    [50, 5],
    [100, 10],
    [500, 5],
  ],
} as const;
/** CSS px between labels at the least: a label of four digits and as much air. */
const PX_BETWEEN_LABELS = 42;

/** The ruler's ticks along a sheet's side. */
export function ticks(lengthMm: number, pxPerMm: number, unit: CardUnit): readonly Tick[] {
  const mm = MM_PER[unit];
  const steps = STEPS[unit];
  const [every, parts] =
    steps.find(([size]) => size * mm * pxPerMm >= PX_BETWEEN_LABELS) ?? steps[steps.length - 1];
  const count = Math.floor((lengthMm / mm / every) * parts + 1e-6);
  return Array.from({ length: count + 1 }, (_, i) => ({
    at: (i * every * mm) / parts,
    label: i % parts === 0 ? String(Number(((i / parts) * every).toFixed(3))) : undefined,
  }));
}
