import { shareAlong, twiceArea } from './segment.js';

/**
 * A hair's two sides come as near to each other as this, in mm, at its mouth: under a pixel of the raster, which would
 * show them joined.
 */
const MOUTH_MM = 0.08;
/**
 * It is no longer than this there and back, in mm, and no larger than this, in mm²: what lies behind so fine a mouth
 * would be an opening of its own, and none so small is cut.
 */
const LONGEST_MM = 6;
const LARGEST_MM2 = 0.5;
/** Its way there and back is so many times as long as its mouth is wide: a bend of the outline is no hair. */
const SLENDER = 6;
/** A mouth that is closed counts as this wide, in mm: else every touch of two sides were one, however short. */
const LEAST_MOUTH_MM = MOUTH_MM / 3;

/**
 * Takes hairs off a loop: spikes so fine at their mouth that no tip cuts them and no drawing of pixels shows them
 * joined, as they stay where one cut runs a hair's breadth beside another.
 *
 * @param loop x, y pairs in mm; handed back as it is when it has no hairs
 */
export function withoutSpikes(loop: Float64Array): Float64Array {
  const ahead = withoutSpikesAhead(loop);
  const turned = backwards(ahead);
  const behind = withoutSpikesAhead(turned);
  return behind === turned ? ahead : backwards(behind);
}

/** Takes off the hairs whose mouth is at a point of the loop and on a side further on. */
function withoutSpikesAhead(loop: Float64Array): Float64Array {
  let points = loop;
  for (let i = 0; 2 * i < points.length && points.length > 6; i++) {
    const hair = spikeAt(points, i);
    if (hair) points = cutOff(points, i, hair);
  }
  return points;
}

/** Where a hair that begins at a point of a loop ends: on the side after its last point. */
interface Hair {
  readonly points: number;
  readonly x: number;
  readonly y: number;
}

function spikeAt(loop: Float64Array, i: number): Hair | undefined {
  const count = loop.length / 2;
  const [x0, y0] = [loop[2 * i], loop[2 * i + 1]];
  let [x, y, walked, swept] = [x0, y0, 0, 0];
  for (let k = 1; k < count - 2; k++) {
    const j = (i + k) % count;
    const [nextX, nextY] = [loop[2 * j], loop[2 * j + 1]];
    if (k > 1) {
      const t = shareAlong(x0, y0, x, y, nextX, nextY);
      const [mouthX, mouthY] = [x + t * (nextX - x), y + t * (nextY - y)];
      const mouth = apart(mouthX, mouthY, x0, y0);
      if (mouth < MOUTH_MM) {
        const way = walked + t * apart(nextX, nextY, x, y);
        const area = Math.abs(swept + twiceArea(x0, y0, x, y, mouthX, mouthY)) / 2;
        const isHair = way > SLENDER * Math.max(mouth, LEAST_MOUTH_MM) && way <= LONGEST_MM;
        if (isHair && area <= LARGEST_MM2) return { points: k - 1, x: mouthX, y: mouthY };
      }
      swept += twiceArea(x0, y0, x, y, nextX, nextY);
    }
    walked += apart(nextX, nextY, x, y);
    if (walked > LONGEST_MM) return undefined;
    [x, y] = [nextX, nextY];
  }
  return undefined;
}

/** The engine's own hypotenuse, which minds numbers of any size, takes many times as long. */
function apart(x0: number, y0: number, x1: number, y1: number): number {
  return Math.sqrt((x1 - x0) * (x1 - x0) + (y1 - y0) * (y1 - y0));
}

/** Goes from a point straight over the mouth of the hair that begins there. */
function cutOff(loop: Float64Array, i: number, { points, x, y }: Hair): Float64Array {
  const count = loop.length / 2;
  const kept: number[] = [];
  for (let k = points + 1; k < count; k++) {
    const j = (i + k) % count;
    kept.push(loop[2 * j], loop[2 * j + 1]);
  }
  return Float64Array.of(loop[2 * i], loop[2 * i + 1], x, y, ...kept);
}

function backwards(loop: Float64Array): Float64Array {
  const turned = new Float64Array(loop.length);
  for (let i = 0; i < loop.length; i += 2) {
    turned[loop.length - 2 - i] = loop[i];
    turned[loop.length - 1 - i] = loop[i + 1];
  }
  return turned;
}
