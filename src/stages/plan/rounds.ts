import { boxIndex } from '../../geometry/box-index.js';
import { convexHull, inHull } from '../../geometry/hull.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { CutPiece } from './piece.js';

/** Small is under a pea, middling under a large coin. */
export type SizeClass = 'small' | 'middling' | 'large';

/** In mm²: a pea 8 mm across; a coin 24 mm across. From memory, no published source. */
const PEA_MM2 = 50;
const COIN_MM2 = 450;

export function sizeClassOf(areaMm2: number): SizeClass {
  if (areaMm2 < PEA_MM2) return 'small';
  return areaMm2 < COIN_MM2 ? 'middling' : 'large';
}

const CLASSES: readonly SizeClass[] = ['small', 'middling', 'large'];
/** Pieces lie in each other less deep than this: size and depth make one number, size first. */
const DEEPEST = 2 ** 20;
/** The side of a cell of the index, in mm: about a piece, so that few cells are looked in and few pieces in each. */
const CELL_MM = 5;

/**
 * The round in which each piece is cut, from 0: by size, and of one size the enclosed before what encloses them. A
 * piece encloses one with a smaller hull whose middle lies in its own convex hull.
 */
export function sortIntoRounds(pieces: readonly CutPiece[]): Int32Array {
  const classes = pieces.map(({ areaMm2 }) => CLASSES.indexOf(sizeClassOf(areaMm2)));
  const hulls = pieces.map(({ polygon }) => convexHull(polygon));
  const depths = new Int32Array(pieces.length);
  const spans = hulls.map((hull) => signedArea(hull));
  const bySize = [...pieces.keys()].sort((a, b) => spans[a] - spans[b]);
  const place = new Int32Array(pieces.length);
  bySize.forEach((piece, at) => (place[piece] = at));
  const middles = new Float64Array(4 * pieces.length);
  pieces.forEach(({ middle: { x, y } }, i) => middles.set([x, y, x, y], 4 * i));
  const index = boxIndex(middles, CELL_MM);
  for (const outer of bySize) {
    const { middle, widthMm, heightMm } = pieces[outer];
    const [x, y] = [middle.x - widthMm / 2, middle.y - heightMm / 2];
    index.near(x, y, x + widthMm, y + heightMm, (inner) => {
      if (place[inner] >= place[outer] || classes[inner] !== classes[outer]) return;
      if (!inBox(pieces[inner], pieces[outer])) return;
      if (inHull(hulls[outer], pieces[inner].middle.x, pieces[inner].middle.y))
        depths[outer] = Math.max(depths[outer], depths[inner] + 1);
    });
  }
  const keys = pieces.map((_, i) => classes[i] * DEEPEST + depths[i]);
  const rounds = [...new Set(keys)].sort((a, b) => a - b);
  return Int32Array.from(keys, (key) => rounds.indexOf(key));
}

/** Whether one piece's middle lies in the other's box. */
function inBox({ middle }: CutPiece, outer: CutPiece): boolean {
  return (
    2 * Math.abs(middle.x - outer.middle.x) <= outer.widthMm &&
    2 * Math.abs(middle.y - outer.middle.y) <= outer.heightMm
  );
}
