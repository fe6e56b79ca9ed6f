/** A crop's left, top, right and bottom in percent of the picture. */
export type CropEdges = readonly [left: number, top: number, right: number, bottom: number];

/** No side is shorter than this, in percent. */
const LEAST = 4;

/** The rectangle when one of its sides or corners, or all of it, is dragged by percents. */
export function dragged(from: CropEdges, what: string, dx: number, dy: number): CropEdges {
  const [left, top, right, bottom] = from;
  if (what === 'all') {
    const x = Math.min(Math.max(dx, -left), 100 - right);
    const y = Math.min(Math.max(dy, -top), 100 - bottom);
    return [left + x, top + y, right + x, bottom + y];
  }
  const [x0, x1] = span(
    left + (what.includes('w') ? dx : 0),
    right + (what.includes('e') ? dx : 0),
    what.includes('w'),
  );
  const [y0, y1] = span(
    top + (what.includes('n') ? dy : 0),
    bottom + (what.includes('s') ? dy : 0),
    what.includes('n'),
  );
  return [x0, y0, x1, y1];
}

/** Two edges inside the picture, in order, and not too near each other; the first gives way when it is the moved one. */
function span(first: number, last: number, movesFirst: boolean): readonly [number, number] {
  const low = Math.max(0, Math.min(first, last));
  const high = Math.min(100, Math.max(first, last));
  if (high - low >= LEAST) return [low, high];
  if (movesFirst) return high >= LEAST ? [high - LEAST, high] : [0, LEAST];
  return low + LEAST <= 100 ? [low, low + LEAST] : [100 - LEAST, 100];
}

/** The crop setting's form; the whole picture is no crop. */
export function cropSetting([left, top, right, bottom]: CropEdges): string | undefined {
  const [x, y] = [left, top].map(tenth);
  const width = tenth(Math.min(right, 100) - x);
  const height = tenth(Math.min(bottom, 100) - y);
  return width >= 99.9 && height >= 99.9 ? undefined : `${x},${y},${width},${height}`;
}

/** Down to a tenth of a percent, so that left and width never come to more than 100. */
const tenth = (percent: number) => Math.floor(percent * 10 + 1e-6) / 10;

/**
 * The rectangle with a shape of its own: as wide against its height, in percents, as `ratio` says. The side or corner that is
 * dragged leads, what lies opposite stays, and nothing leaves the picture.
 */
export function shaped(edges: CropEdges, what: string, ratio: number): CropEdges {
  const [left, top, right, bottom] = edges;
  const [width, height] = [right - left, bottom - top];
  const byHeight = what === 'n' || what === 's';
  const wide = byHeight ? height * ratio : width;
  // What stays: the opposite side or corner; of a side that is dragged, the middle across.
  const fixX = what.includes('w') ? right : what.includes('e') ? left : (left + right) / 2;
  const fixY = what.includes('n') ? bottom : what.includes('s') ? top : (top + bottom) / 2;
  const towardsX = what.includes('w') ? -1 : what.includes('e') ? 1 : 0;
  const towardsY = what.includes('n') ? -1 : what.includes('s') ? 1 : 0;
  const roomX = roomFor(fixX, towardsX);
  const roomY = roomFor(fixY, towardsY);
  const across = Math.max(LEAST, Math.min(wide, roomX, roomY * ratio));
  const [x0, x1] = around(fixX, towardsX, across);
  const [y0, y1] = around(fixY, towardsY, across / ratio);
  return [x0, y0, x1, y1];
}

/** How long a side may become that grows from a place towards an edge, or to both sides of it. */
function roomFor(fix: number, towards: -1 | 0 | 1): number {
  if (towards === 0) return 2 * Math.min(fix, 100 - fix);
  return towards < 0 ? fix : 100 - fix;
}

function around(fix: number, towards: -1 | 0 | 1, length: number): readonly [number, number] {
  if (towards === 0) return [fix - length / 2, fix + length / 2];
  return towards < 0 ? [fix - length, fix] : [fix, fix + length];
}

/** The largest rectangle of a shape within another, about its middle. */
export function largestShaped([left, top, right, bottom]: CropEdges, ratio: number): CropEdges {
  const [width, height] = [right - left, bottom - top];
  const across = Math.min(width, height * ratio);
  const [x, y] = [(left + right) / 2, (top + bottom) / 2];
  return [x - across / 2, y - across / ratio / 2, x + across / 2, y + across / ratio / 2];
}
