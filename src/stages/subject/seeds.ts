import { STROKE_WIDTH, type Mark, type Spot } from '../../marks.js';
import type { Box } from '../../raster/raster.js';
import { BACKGROUND, SUBJECT, UNKNOWN, type Known } from './cut.js';

/** A grid over the part of a picture that is shown; `shows` in shares of the whole picture. */
export interface Ground {
  readonly width: number;
  readonly height: number;
  readonly shows: Box;
  /** The whole picture's height over its width. */
  readonly slope: number;
}

/** What marks say of each cell of a grid. Of two strokes over one another the later one holds. */
export function seedsOf(marks: readonly Mark[], ground: Ground): Known {
  const { width, height } = ground;
  const data = new Uint8Array(width * height);
  const rounds = marks.filter((mark) => mark.do === 'box' || mark.do === 'lasso');
  if (rounds.length > 0) {
    data.fill(BACKGROUND);
    for (const round of rounds) fillLoop(data, ground, loopOf(round));
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

/** The columns and rows of spots on the grid, as fractions of cells. */
function onGrid(along: readonly Spot[], { width, height, shows }: Ground): Spot[] {
  return along.map(([x, y]) => [
    ((x / 100 - shows.x) / shows.width) * width,
    ((y / 100 - shows.y) / shows.height) * height,
  ]);
}

/** Leaves the cells whose centre an odd number of turns of a loop holds to be told apart. */
function fillLoop(data: Uint8Array, ground: Ground, loop: readonly Spot[]): void {
  const corners = onGrid(loop, ground);
  for (let row = 0; row < ground.height; row++) {
    const y = row + 0.5;
    const crossings: number[] = [];
    corners.forEach(([x1, y1], k) => {
      const [x2, y2] = corners[(k + 1) % corners.length];
      if (y1 > y !== y2 > y) crossings.push(x1 + ((y - y1) / (y2 - y1)) * (x2 - x1));
    });
    crossings.sort((a, b) => a - b);
    for (let k = 0; k + 1 < crossings.length; k += 2) {
      const first = clamped(Math.ceil(crossings[k] - 0.5), ground.width);
      const end = clamped(Math.ceil(crossings[k + 1] - 0.5), ground.width);
      data.fill(UNKNOWN, row * ground.width + first, row * ground.width + end);
    }
  }
}

function clamped(column: number, width: number): number {
  return Math.min(Math.max(column, 0), width);
}

/** Marks the cells within half a stroke's width of its line, and at least those that the line runs through. */
function drawStroke(
  data: Uint8Array,
  ground: Ground,
  along: readonly Spot[],
  width: number,
  value: number,
): void {
  const { shows, slope } = ground;
  const cellWidth = (100 * shows.width) / ground.width;
  const longer = Math.max(1, slope);
  const radius = Math.max((width * longer) / 2 / cellWidth, 0.75);
  const spots = onGrid(along, ground);
  spots.forEach((to, k) => drawSegment(data, ground, spots[Math.max(k - 1, 0)], to, radius, value));
}

function drawSegment(
  data: Uint8Array,
  { width, height }: Ground,
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
