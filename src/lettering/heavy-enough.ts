import type { Job } from '../settings/job.js';
import { heavierLines } from './heavier.js';
import { inkOf } from './ink.js';
import { leastCapHeight, leastForStrokes } from './least-size.js';
import type { LaidOut } from './layout.js';
import type { SetLine } from './typeset.js';

/** Words laid out in letters that are as heavy as they have to be. */
export interface HeavyEnough {
  readonly laid: LaidOut;
  readonly lines: readonly SetLine[];
  /** What every stroke has grown by, in mm; 0 for the typeface's own weight. */
  readonly grownMm: number;
}

/** Letters grow where their size is so many times too small at the most: more would be another typeface. By eye. */
const MOST_SHORT = 1.5;
/** Tried in turn, as shares of what the thinnest stroke lacks: joints grow by less than straight strokes. */
const TRIED = [1.05, 1.3, 1.6];
/** Letters grow as long as no mouth of theirs becomes narrower than this, in mm: it would look closed. */
const LEAST_GAP_MM = 0.3;
/** Strokes are to be wider than they must by such a share: what is off when letters are drawn with corners for the tool. */
const SPARE = 1.03;

/**
 * Lays words out, in heavier letters where strokes of the typeface are somewhat too thin for the tool at the size that
 * comes of it: all alike, as a type designer draws a smaller size. In the typeface's own weight where that would not do.
 */
export function layHeavyEnough(
  lines: readonly SetLine[],
  limits: Pick<Job, 'narrowestOpening' | 'narrowestStrip' | 'smallestOpening'>,
  lay: (lines: readonly SetLine[]) => LaidOut,
): HeavyEnough {
  const laid = lay(lines);
  const asItIs = { laid, lines, grownMm: 0 };
  const short = (SPARE * leastForStrokes(lines, limits)) / laid.capHeight;
  if (short <= 1 || short > MOST_SHORT) return asItIs;
  const [{ place }] = laid.letters;
  const lacksMm = limits.narrowestOpening * (1 - 1 / short);
  for (const share of TRIED) {
    const grownMm = share * lacksMm;
    const heavy = heavierLines(lines, grownMm / place.scale);
    const heavier = heavierLines(lines, (grownMm + LEAST_GAP_MM) / place.scale);
    if (lines.some((line, i) => closesUp(line, heavier[i]))) break;
    const made = lay(heavy);
    // Mouths narrow as strokes grow, and may no longer bear to be widened.
    const least = Math.max(SPARE * leastForStrokes(heavy, limits), leastCapHeight(heavy, limits));
    if (least <= made.capHeight) return { laid: made, lines: heavy, grownMm };
  }
  return asItIs;
}

/** Whether letters close up as they grow, as the mouth of a 9 does. */
function closesUp(line: SetLine, heavy: SetLine): boolean {
  return line.glyphs.some(({ face, id }, i) => {
    const [own, grown] = [inkOf(face, id), inkOf(heavy.glyphs[i].face, id)].map(
      ({ regions }) => regions,
    );
    const holes = (regions: typeof own): number =>
      regions.reduce((sum, region) => sum + region.holes.length, 0);
    return own.length !== grown.length || holes(own) !== holes(grown);
  });
}
