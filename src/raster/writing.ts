import type { Field } from './field.js';
import { findRegions, type RegionRuns } from './labels.js';
import { sauvolaLevels } from './local-mean.js';
import type { Bitmap } from './raster.js';

/** Lines of writing in a picture. */
export interface TextBlock {
  readonly lines: number;
  /** Letters, or words where letters touch. */
  readonly letters: number;
  /** Of a small letter, the median of all, in px. */
  readonly heightPx: number;
  /** How much of what is dark is writing, 0 to 1. */
  readonly share: number;
}

/** The box round what is dark and hangs together, in px; right and bottom are its last pixels. */
interface DarkBox {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly area: number;
}

/** Of the letters' window, in times their height: wide enough that most of it is paper. */
const WINDOW = 4;
/** Sauvola's k for black on white, by their paper. */
const K = 0.3;
/** Letters are from so many pixels high on; what is less has no form. */
const LEAST_PX = 4;
/** A word whose letters touch is so many times as wide as high at most. */
const WIDEST = 10;
/** Neighbours on a line are so many times as high as each other at most, and so many heights apart. */
const [UNLIKE_HEIGHT, APART] = [2.2, 1.2];
/** They share so much of the lower one's height. */
const BESIDE = 0.5;
/** Fewer are no line. */
const FEWEST = 5;
/** Letters stand on a line: so many of them within so much of their height. */
const [STANDING, OFF_LINE] = [0.6, 0.2];
/**
 * Letters differ in width, or in height where all are as wide; planks, tiles and hatching do not: so many of them by more than
 * such a share of their median.
 */
const [OTHERS, OTHER] = [0.2, 0.15];

const heightOf = ({ top, bottom }: DarkBox): number => bottom - top + 1;
const widthOf = ({ left, right }: DarkBox): number => right - left + 1;

/**
 * Looks for lines of writing: dark things that stand side by side on a line, of like height and unlike width. That letters
 * are chained by height and nearness, and that a chain of a few is a line, is after B. Epshtein, E. Ofek & Y. Wexler,
 * "Detecting text in natural scenes with stroke width transform", CVPR 2010, section 3.3; the figures here are by eye.
 *
 * @param field lightness, 0 to 255
 * @param tallestPx letters are no higher
 * @returns undefined where there is no line
 */
export function findWriting(field: Field, tallestPx: number): TextBlock | undefined {
  const dark = darkOn(field, Math.ceil((WINDOW * tallestPx) / 2));
  const regions = findRegions(dark, 1, 8);
  const lines = linesOf(lettersOf(regions, tallestPx)).filter(isWritten);
  const letters = lines.flat();
  if (letters.length === 0) return undefined;
  const sum = (areas: Iterable<number>): number => Array.from(areas).reduce((a, b) => a + b, 0);
  return {
    lines: lines.length,
    letters: letters.length,
    heightPx: median(letters.map(heightOf)),
    share: sum(letters.map(({ area }) => area)) / sum(regions.areas),
  };
}

function darkOn(field: Field, reach: number): Bitmap {
  const { width, height } = field;
  const levels = sauvolaLevels(field, reach, K).data;
  const data = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i++) data[i] = field.data[i] < levels[i] ? 1 : 0;
  return { width, height, data };
}

function lettersOf({ bounds, areas, count }: RegionRuns, tallestPx: number): DarkBox[] {
  const letters: DarkBox[] = [];
  for (let k = 1; k <= count; k++) {
    const [left, top, right, bottom] = bounds.subarray(4 * k, 4 * k + 4);
    const letter = { left, top, right, bottom, area: areas[k] };
    const high = heightOf(letter);
    if (high < LEAST_PX || high > tallestPx || widthOf(letter) > WIDEST * high) continue;
    letters.push(letter);
  }
  return letters;
}

/** Each letter with the one that stands next on its right, and so on, from those that have none on their left. */
function linesOf(letters: readonly DarkBox[]): DarkBox[][] {
  const byLeft = letters.toSorted((a, b) => a.left - b.left);
  const next = byLeft.map((letter, i) => nextTo(letter, byLeft, i + 1));
  const isFirst = new Uint8Array(byLeft.length).fill(1);
  for (const after of next) if (after >= 0) isFirst[after] = 0;
  const seen = new Uint8Array(byLeft.length);
  const lines: DarkBox[][] = [];
  byLeft.forEach((_, first) => {
    if (isFirst[first] === 0) return;
    const line: DarkBox[] = [];
    for (let i = first; i >= 0 && seen[i] === 0; i = next[i]) {
      seen[i] = 1;
      line.push(byLeft[i]);
    }
    lines.push(line);
  });
  return lines;
}

/** The nearest on the right, by its place in the list; -1 where none is near. */
function nextTo(letter: DarkBox, byLeft: readonly DarkBox[], from: number): number {
  const high = heightOf(letter);
  for (let i = from; i < byLeft.length; i++) {
    const other = byLeft[i];
    if (other.left - letter.right > APART * UNLIKE_HEIGHT * high) return -1;
    const [low, tall] = [Math.min(high, heightOf(other)), Math.max(high, heightOf(other))];
    if (tall > UNLIKE_HEIGHT * low || other.left - letter.right > APART * tall) continue;
    const shared = Math.min(letter.bottom, other.bottom) - Math.max(letter.top, other.top) + 1;
    if (shared >= BESIDE * low) return i;
  }
  return -1;
}

function isWritten(line: readonly DarkBox[]): boolean {
  if (line.length < FEWEST) return false;
  const high = median(line.map(heightOf));
  const foot = median(line.map(({ bottom }) => bottom));
  const standing = line.filter(({ bottom }) => Math.abs(bottom - foot) <= OFF_LINE * high);
  if (standing.length < STANDING * line.length) return false;
  return isVaried(line.map(widthOf)) || isVaried(line.map(heightOf));
}

function isVaried(values: readonly number[]): boolean {
  const usual = median(values);
  const others = values.filter((value) => Math.abs(value - usual) > OTHER * usual);
  return others.length >= OTHERS * values.length;
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[sorted.length >> 1];
}
