import { chance } from './noise.js';
import type { Sample } from './sample.js';

const SIDE = 1200;
/** The stem's path: a square with round corners, this far from the picture's edge. */
const INSET = 150;
const ROUND = 130;

const fixed = (value: number): string => String(Math.round(value * 10) / 10);

/** A place on the stem and its direction, `along` px from the middle of the top side, clockwise. */
function stem(along: number): { x: number; y: number; turn: number } {
  const straight = SIDE - 2 * INSET - 2 * ROUND;
  const bend = (Math.PI / 2) * ROUND;
  let left = along + straight / 2;
  const side = Math.floor(left / (straight + bend));
  left -= side * (straight + bend);
  const reach = SIDE / 2 - INSET;
  let [x, y, turn] = [-straight / 2 + left, -reach, 0];
  if (left > straight) {
    turn = (left - straight) / ROUND;
    x = straight / 2 + ROUND * Math.sin(turn);
    y = -reach + ROUND * (1 - Math.cos(turn));
  }
  const quarter = (side * Math.PI) / 2;
  const [cos, sin] = [Math.cos(quarter), Math.sin(quarter)];
  return { x: SIDE / 2 + x * cos - y * sin, y: SIDE / 2 + x * sin + y * cos, turn: turn + quarter };
}

/** A pointed leaf that grows from its foot along `turn` (radians). */
function leaf(x: number, y: number, turn: number, long: number, wide: number): string {
  const at = (u: number, v: number): string => {
    const [a, b] = [u * long, v * wide];
    return `${fixed(x + a * Math.cos(turn) - b * Math.sin(turn))} ${fixed(y + a * Math.sin(turn) + b * Math.cos(turn))}`;
  };
  return `M${at(0, 0)}C${at(0.2, 0.75)} ${at(0.62, 0.62)} ${at(1, 0)}C${at(0.66, -0.42)} ${at(0.24, -0.66)} ${at(0, 0)}Z`;
}

/** One arm of the border: from the middle of a side to a curled tip in the middle of the next. */
function frond(start: number): string {
  const random = chance(5);
  const length = SIDE - 2 * INSET - 2 * ROUND + (Math.PI / 2) * ROUND;
  const parts: string[] = [];
  const [outer, inner]: string[][] = [[], []];
  for (let along = 34; along <= length - 40; along += 6) {
    const { x, y, turn } = stem(start + along);
    const half = Math.min(1, 0.3 + along / 160) * (15 - 4 * (along / length));
    outer.push(`${fixed(x + half * Math.sin(turn))} ${fixed(y - half * Math.cos(turn))}`);
    inner.push(`${fixed(x - half * Math.sin(turn))} ${fixed(y + half * Math.cos(turn))}`);
  }
  parts.push(`M${outer.join('L')}L${inner.reverse().join('L')}Z`);
  let outside = true;
  for (let along = 78; along < length - 90; along += 56) {
    const share = along / length;
    const { x, y, turn } = stem(start + along);
    // inside a bend there is less room
    const room = !outside && Math.abs(share - 0.48) < 0.15 ? 0.52 : 1;
    const long = (150 - 52 * share) * (0.94 + 0.12 * random()) * room;
    const tilt = (outside ? -1 : 1) * (0.86 + 0.1 * random());
    parts.push(leaf(x, y, turn + tilt, long, (76 - 16 * share) * (room < 1 ? 0.75 : 1)));
    outside = !outside;
  }
  const tip = stem(start + length - 58);
  parts.push(leaf(tip.x, tip.y, tip.turn, 84, 44));
  return parts.map((d) => `<path d="${d}"/>`).join('\n');
}

function border(): string {
  const length = SIDE - 2 * INSET - 2 * ROUND + (Math.PI / 2) * ROUND;
  const fronds = [0, 1, 2, 3].map((side) => frond(side * length));
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}" height="${SIDE}" viewBox="0 0 ${SIDE} ${SIDE}">\n` +
    `<rect width="${SIDE}" height="${SIDE}" fill="#fff"/>\n` +
    `<g fill="#1d3a24">\n${fronds.join('\n')}\n</g>\n</svg>\n`
  );
}

/** A border of fern leaves round an empty middle: four fronds that follow one another. */
export const fern: Sample = {
  file: 'fern-border.svg',
  draw: () => Promise.resolve(Buffer.from(border())),
};
