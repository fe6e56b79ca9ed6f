import { STROKE_WIDTH, type Mark, type Spot } from '../../settings/marks.js';
import { onShown } from '../../raster/placement.js';
import { fillPolygon } from '../../raster/fill-polygon.js';
import type { Box } from '../../raster/raster.js';
import { BACKGROUND, SUBJECT, UNKNOWN, type Known } from './graph-cut.js';

/** A grid over the part of a picture that is shown; `shows` in shares of the whole picture. */
export interface SubjectGrid {
  readonly width: number;
  readonly height: number;
  readonly shows: Box;
  /** The whole picture's height over its width. */
  readonly slope: number;
}

/** What marks say of each cell of a grid. Of two strokes over one another the later one holds. */
export function seedsOf(marks: readonly Mark[], ground: SubjectGrid): Known {
  const { width, height } = ground;
  const data = new Uint8Array(width * height);
  const rounds = marks.filter((mark) => mark.do === 'box' || mark.do === 'lasso');
  if (rounds.length > 0) {
    data.fill(BACKGROUND);
    for (const round of rounds) {
      fillPolygon(data, width, onShown(loopOf(round), ground.shows, ground), UNKNOWN);
    }
  }
  for (const mark of marks) {
    if (mark.do === 'box' || mark.do === 'lasso') continue;
    const value = mark.do === 'this' ? SUBJECT : BACKGROUND;
    drawStroke(data, ground, mark.along, mark.width ?? STROKE_WIDTH, value);
  }
  return { width, height, data, startsFull: rounds.length > 0 };
}

function loopOf(mark: Extract<Mark, { do: 'box' | 'lasso' }>): readonly Spot[] {
  if (mark.do === 'lasso') return mark.along;
  const [left, top] = mark.from;
  const [right, bottom] = mark.to;
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
}

/** In cells: no cell that a line runs through has its middle further from it (half a diagonal is 0.71). */
const LEAST_RADIUS = 0.75;

/** Marks the cells within half a stroke's width of its line, and at least those that the line runs through. */
function drawStroke(
  data: Uint8Array,
  ground: SubjectGrid,
  along: readonly Spot[],
  width: number,
  value: number,
): void {
  const { shows, slope } = ground;
  const cellWidth = (100 * shows.width) / ground.width;
  const longer = Math.max(1, slope);
  const radius = Math.max((width * longer) / 2 / cellWidth, LEAST_RADIUS);
  const spots = onShown(along, shows, ground);
  spots.forEach((to, k) => drawSegment(data, ground, spots[Math.max(k - 1, 0)], to, radius, value));
}

function drawSegment(
  data: Uint8Array,
  { width, height }: SubjectGrid,
  [x1, y1]: Spot,
  [x2, y2]: Spot,
  radius: number,
  value: number,
): void {
  const [dx, dy] = [x2 - x1, y2 - y1];
  const square = dx * dx + dy * dy || 1;
  const top = Math.max(0, Math.floor(Math.min(y1, y2) - radius));
  const bottom = Math.min(height - 1, Math.ceil(Math.max(y1, y2) + radius));
  const left = Math.max(0, Math.floor(Math.min(x1, x2) - radius));
  const right = Math.min(width - 1, Math.ceil(Math.max(x1, x2) + radius));
  for (let row = top; row <= bottom; row++) {
    for (let column = left; column <= right; column++) {
      const [px, py] = [column + 0.5 - x1, row + 0.5 - y1];
      const share = Math.min(Math.max((px * dx + py * dy) / square, 0), 1);
      if (Math.hypot(px - share * dx, py - share * dy) <= radius)
        data[row * width + column] = value;
    }
  }
}
