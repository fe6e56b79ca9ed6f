import { layHeavyEnough, type HeavyEnough } from '../lettering/heavy-enough.js';
import { fitInto, layOut, type LaidOut, type LayoutRules } from '../lettering/layout.js';
import { leastCapHeight } from '../lettering/least-size.js';
import { openTypeface } from '../lettering/open-typeface.js';
import { setLine, THE_WORDS, type SetLine } from '../lettering/typeset.js';
import type { Job } from '../settings/job.js';
import type { LetteringJob } from '../settings/lettering-settings.js';
import { Problem } from '../settings/problem.js';
import { otherFaces } from './words-typefaces.js';

/** Letters of this cap height, in mm, hold nothing that could be cut. */
export const LEAST_CAP_MM = 3;

export function rulesOf(set: LetteringJob, job: Job): LayoutRules {
  const inRadians = (degrees: number): number => (degrees / 180) * Math.PI;
  return {
    align: set.align,
    letterSpacing: set.letterSpacing / 100,
    lineSpacing: set.lineSpacing / 100,
    along: set.along,
    bend: inRadians(set.bend),
    turned: inRadians(set.tilt),
    strip: job.as === 'mask' ? job.narrowestOpening : job.narrowestStrip,
  };
}

/** Lays words out at their cap height, or as large as the room allows. */
export async function layInto(
  lines: readonly SetLine[],
  set: LetteringJob,
  whole: { readonly width: number; readonly height: number },
  rules: LayoutRules,
  job: Job,
): Promise<HeavyEnough> {
  const room = { width: whole.width - 2 * SQUARED_MM, height: whole.height - 2 * SQUARED_MM };
  const natural = naturalCap(lines, room);
  if (natural < LEAST_CAP_MM) throw noRoom(lines, room, natural);
  const given = set.capHeight;
  if (given === null) {
    const made = layHeavyEnough(lines, job, (own) => fitInto(own, room, rules));
    if (made.laid.capHeight < LEAST_CAP_MM) throw noRoom(lines, room, made.laid.capHeight);
    return made;
  }
  const made = layHeavyEnough(lines, job, (own) => layOut(own, given, rules));
  const { laid } = made;
  if (fitsInto(laid, room)) return made;
  const { capHeight } = fitInto(lines, room, rules);
  const most = (Math.floor(capHeight * 10) / 10).toFixed(1);
  const instead = await whatFits(lines, given, set, { room, rules }, job);
  throw new Problem(
    `Capitals of ${given} mm make the words ${inTenths(laid.width)} × ${inTenths(laid.height)} mm, and there is room for ${inTenths(room.width)} × ${inTenths(room.height)} mm`,
    '`capHeight`',
    `Give ${most} mm at most, ${instead}, or take a larger card`,
  );
}

function fitsInto(
  laid: Pick<LaidOut, 'width' | 'height'>,
  room: { readonly width: number; readonly height: number },
): boolean {
  return laid.width <= room.width + ROUNDING_MM && laid.height <= room.height + ROUNDING_MM;
}

/** How words that have no room at a cap height would have: in other typefaces, or in more lines; tried. */
async function whatFits(
  lines: readonly SetLine[],
  capHeight: number,
  set: LetteringJob,
  into: {
    readonly room: { readonly width: number; readonly height: number };
    readonly rules: LayoutRules;
  },
  job: Job,
): Promise<string> {
  const fits = (own: readonly SetLine[]): boolean =>
    fitsInto(layOut(own, capHeight, into.rules), into.room) &&
    capHeight >= leastCapHeight(own, job);
  const faces = await otherFaces(lines, set, fits);
  const broken = await brokenLines(lines, set, fits);
  const found = [
    faces.length > 0 && `take \`face\` ${faces.join(' or ')}`,
    broken && `break the words into lines, as in ${broken.map((line) => `"${line}"`).join(' ')}`,
  ].filter((one) => typeof one === 'string');
  return found.length > 0 ? found.join(', ') : 'take fewer words';
}

/** Words are broken into so many lines at the most, to see whether they fit. */
const MOST_BROKEN = 4;

/** One line in as few as fit, broken between its words; undefined where none do, or where there are several already. */
async function brokenLines(
  lines: readonly SetLine[],
  set: LetteringJob,
  fits: (lines: readonly SetLine[]) => boolean,
): Promise<readonly string[] | undefined> {
  if (lines.length > 1) return undefined;
  const words = lines[0].text.split(/ +/);
  const faces = await openTypeface(set.face, lines[0].text);
  for (let count = 2; count <= Math.min(MOST_BROKEN, words.length); count++) {
    const texts = evenly(words, count);
    if (fits(texts.map((text) => setLine(text, faces)))) return texts;
  }
  return undefined;
}

/** Words in so many lines, of about as many letters each. */
function evenly(words: readonly string[], count: number): string[] {
  const share = words.join(' ').length / count;
  const made: string[] = [];
  for (const [i, word] of words.entries()) {
    const last = made.at(-1);
    const left = words.length - i;
    const isFull = last !== undefined && last.length + word.length / 2 > share;
    const isNeeded = left <= count - made.length;
    if (last === undefined || (made.length < count && (isFull || isNeeded))) made.push(word);
    else made[made.length - 1] = `${last} ${word}`;
  }
  return made;
}

/** What a letter's small rounds may gain where they are given corners, in mm: see `squaredTurns`. */
const SQUARED_MM = 0.2;

/** What words may be larger than their room, in mm: rounding, and far less than the margin is wide. */
const ROUNDING_MM = 0.05;

/** What the cap height would be about if nothing but the width counted. */
function naturalCap(lines: readonly SetLine[], room: { readonly width: number }): number {
  const widest = Math.max(...lines.map(({ width }) => width));
  return (room.width / widest) * lines[0].glyphs[0].face.capHeight;
}

const inTenths = (mm: number): string => String(Math.round(10 * mm) / 10);

const wholeMm = (mm: number): string => String(Math.round(mm));

function noRoom(
  lines: readonly SetLine[],
  room: { readonly width: number; readonly height: number },
  capHeight: number,
): Problem {
  const letters = lines.reduce((sum, { text }) => sum + Array.from(text).length, 0);
  return new Problem(
    `${letters} letters in ${lines.length === 1 ? 'one line' : `${lines.length} lines`} would be ${capHeight.toFixed(1)} mm high in the ${wholeMm(room.width)} × ${wholeMm(room.height)} mm that there are`,
    THE_WORDS,
    'Give fewer words, break them into more lines, or take a larger card',
  );
}
