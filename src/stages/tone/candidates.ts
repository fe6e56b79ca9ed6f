import type { Job } from '../../settings/job.js';
import { countSides } from '../../raster/count.js';
import { findRegions } from '../../raster/labels.js';
import { cropped } from '../../raster/crop.js';
import { matchOf, type Likeness, type Match } from '../../raster/likeness.js';
import type { Bitmap } from '../../raster/raster.js';
import { byPlace, type MatchedTone } from './by-place.js';
import type { Choice } from './choice.js';
import { marked } from './decision.js';
import { edgesTone } from './edges.js';
import { markFaces } from './draw-faces.js';
import type { Face } from '../../faces/face.js';
import { MISSED } from '../../faces/features.js';
import { lostFeatures } from '../../faces/kept.js';
import type { ToneGround, PictureContours } from './ground.js';
import { localTone } from './local.js';
import { withLostContours } from './lost-contours.js';
import { mixOf, mixedTones } from './mixed.js';
import { autoTone } from './one-level.js';
import { overviewPicture, type Decision, type TonePicture, type ToneJob } from './view.js';

/** The settings that make a tone; `best` takes the mix of lines and masses place by place. */
export type ToneSettings = { readonly tone: 'auto' | 'local' | 'edges' | 'best' } | Mixed;

type Mixed = Pick<Job & { readonly tone: 'mixed' }, 'tone' | 'masses' | 'detail'>;
type Plain = { readonly tone: 'auto' | 'local' | 'edges' };

/** A tone that was carried through to a finished print at a coarse scale. */
export interface ToneChoice {
  /** Laid over a job, they make this tone. */
  readonly settings: ToneSettings;
  /** How well the print keeps the picture's contours. */
  readonly likeness: Likeness;
  /** How far there is to cut, in mm. */
  readonly lengthMm: number;
  /** Openings to pop out. */
  readonly openings: number;
  /** Islands that bridges would have to hold. */
  readonly islands: number;
  /** What it is ranked by: likeness less what it costs to cut; 1 would be a perfect likeness for nothing. */
  readonly score: number;
}

/** Makes what a tone leaves cuttable, at any scale. */
export type WidenAtScale = (bitmap: Bitmap, pixelsPerMm: number) => Bitmap;

/** How a tone is carried through: what is drawn into it, and how the widths are kept. */
export interface Carry {
  readonly faces: readonly Face[];
  readonly finish: WidenAtScale;
  /** The same for a drawing at its own scale, its lines with room beside each other; without it it has its kind's tone. */
  readonly finishDrawing?: WidenAtScale | undefined;
  /** Lets strands of a drawing pass over and under, on the whole sheet. */
  readonly strands?: ((tone: DecidedTone) => DecidedTone) | undefined;
}

/** Dark or light on the whole sheet, and by which tone. */
interface DecidedTone {
  readonly bitmap: Bitmap;
  readonly mode: 'auto' | 'level' | 'local' | 'edges' | 'mixed';
}

/** The mixes that are tried, in percent. They share what is worked out for their detail. */
const MASSES = [50, 80, 25, 0] as const;
const DETAIL = 85;

/** Those that a default is made from: each costs time in every run. */
export const usualChoices: readonly Mixed[] = MASSES.map((masses) => ({
  tone: 'mixed',
  masses,
  detail: DETAIL,
}));

/** What a default is chosen from: a drawing may look like a photograph, and a photograph like a drawing. */
export const defaultChoices: readonly (Plain | Mixed)[] = [
  ...usualChoices,
  { tone: 'auto' },
  { tone: 'local' },
];

/**
 * What finding a contour is worth against inventing one, where mixes change by place: each rate is tried. Found by `npm
 * run likeness` (docs/measurements.md).
 */
const RATES = [2.4, 5, 8] as const;

/** All that a person may want to see beside one another. */
export const allChoices: readonly (Plain | Mixed)[] = [
  ...usualChoices,
  { tone: 'mixed', masses: 100, detail: 50 },
  { tone: 'mixed', masses: 50, detail: 20 },
  { tone: 'auto' },
  { tone: 'local' },
  { tone: 'edges' },
];

/**
 * What there is to cut, taken off the likeness (0 to 1): by mm of outline a mm² of picture, and by piece. A trade-off
 * between likeness and work.
 */
const COST_OF_LENGTH = 0.15;
const COST_OF_PIECE = 0.0005;
/**
 * Where less than this of the contours is kept, what lacks costs so much more: a face without its mouth is none.
 * Bridges, which are still to come, take about 0.02 of them, and up to 0.05.
 */
const ENOUGH = 0.9;
const COST_OF_LACK = 1;
/**
 * By so much a tone of another kind than the picture seems to be must be better: what it looks like is a prior, and at
 * the coarse scale of ranking two that are so near each other may change places.
 */
export const COST_OF_ODD = { photograph: 0.05, auto: 0.03, local: 0.03 } as const;
/**
 * What it costs to lose all eyes and mouths, which are then drawn by rule: a face that a tone keeps by itself is the more
 * like one. By eye on 30 photographs with faces.
 */
const COST_OF_FACES = 0.05;
/** What a tone costs that leaves nothing to cut, or nothing but a hole: any stencil is better than none. */
const COST_OF_NOTHING = 2;

/**
 * Carries tones through to what is left when the widths are kept, at a coarse scale, and ranks them by how well that
 * keeps the picture's contours, less what it costs to cut, and less a little where a tone is not of the picture's kind;
 * the best first.
 *
 * @param kind for a photograph also makes a tone of `usualChoices`, which must be among those tried: the best of them in
 * each place
 */
export function rankTones(
  picture: TonePicture,
  ground: ToneGround,
  job: ToneJob,
  tried: readonly (Plain | Mixed)[],
  kind: Kind,
  { faces, finish }: Carry,
): Ranked[] {
  const small = overviewPicture(picture, ground.view.factor);
  const kept = markFaces(small, faces, job).map(({ window, features }) => ({
    ...window,
    features,
  }));
  const had = kept.reduce(
    (sum, face) => sum + face.features.filter(({ name }) => MISSED.has(name)).length,
    0,
  );
  const carried = (settings: ToneSettings, decision: Decision, swap = job.swap): Ranked => {
    // The small picture is on the grid of the mixes; the other tones were decided on it.
    const onGrid = isOfMixes(settings) ? { ...decision, factor: 1 } : decision;
    const finished = finish(marked(onGrid, small, swap), small.pixelsPerMm);
    const lost = kept.reduce((sum, face) => sum + lostFeatures(finished, face).length, 0);
    const share = had > 0 ? lost / had : 0;
    return { ...judged(settings, finished, small, ground.contours, share), decision };
  };
  const decisions = decide(picture, ground, small, job, tried);
  const ranked = tried.map((settings, k) => carried(settings, decisions[k]));
  const asItsKind = ({ choice }: Ranked): number =>
    choice.score - (isOfKind(choice.settings, kind) ? 0 : COST_OF_ODD[kind]);
  const byKind = (a: Ranked, b: Ranked): number => asItsKind(b) - asItsKind(a);
  if (kind !== 'photograph') return ranked.sort(byKind);
  const usual = ranked
    .filter(({ choice }) => usualChoices.some((one) => one === choice.settings))
    // Swapped or not, it is one tone.
    .map((one) => (job.swap ? carried(one.choice.settings, one.decision, false) : one))
    .sort(byScore);
  const opening = job.narrowestOpening * small.pixelsPerMm;
  const [best] = RATES.map((rate) =>
    carried({ tone: 'best' }, byPlace(usual, ground.contours, opening, rate)),
  ).sort(byScore);
  const [first, ...others] = [...ranked, best].sort(byKind);
  const more = withMore(first, ground, job, carried);
  return [more, ...(more === first ? others : others.filter((one) => one !== best))];
}

/** A mix with the contours that its print has lost, if it is better for them: the best of each place. */
function withMore(
  ranked: Ranked,
  { contours }: ToneGround,
  job: ToneJob,
  carried: (settings: ToneSettings, decision: Decision) => Ranked,
): Ranked {
  const { choice, decision, match, print } = ranked;
  if (!isOfMixes(choice.settings)) return ranked;
  const drawn = withLostContours(decision, match, print, contours, job);
  if (!drawn) return ranked;
  const more = carried({ tone: 'best' }, drawn);
  return more.choice.score > choice.score ? more : ranked;
}

/** What a picture seems to be; for a drawing, the tone that suits it. */
type Kind = Choice['mode'];

const isOfKind = (settings: ToneSettings, kind: Kind): boolean =>
  kind === 'photograph' ? isOfMixes(settings) : settings.tone === kind;

const isOfMixes = ({ tone }: ToneSettings): boolean => tone === 'mixed' || tone === 'best';

/** A choice, and what it was judged by. A mix's decision is the one for the whole sheet, too. */
interface Ranked extends MatchedTone {
  readonly choice: ToneChoice;
  /** What is left of it, on the grid of the contours. */
  readonly print: Bitmap;
}

const byScore = (a: Ranked, b: Ranked): number => b.choice.score - a.choice.score;

function decide(
  picture: TonePicture,
  ground: ToneGround,
  small: TonePicture,
  job: ToneJob,
  tried: readonly (Plain | Mixed)[],
): Decision[] {
  const mixes = tried.flatMap((settings) => (settings.tone === 'mixed' ? [mixOf(settings)] : []));
  const mixed = mixedTones(ground, picture.shows, job, mixes);
  const others = { auto: autoTone, local: localTone, edges: edgesTone };
  return tried.map(({ tone }) => (tone === 'mixed' ? mixed.shift()! : others[tone](small, job)));
}

/** Judges what is left of a tone once the widths are kept, on the grid of an overview of its picture. */
export function judged(
  settings: ToneSettings,
  finished: Bitmap,
  { pictureBox, pixelsPerMm }: TonePicture,
  contours: PictureContours,
  facesLost = 0,
  costOfLack = COST_OF_LACK,
): { readonly choice: ToneChoice; readonly match: Match; readonly print: Bitmap } {
  const print = cropped(finished, pictureBox);
  const match = matchOf(contours, print, pixelsPerMm);
  const { likeness } = match;
  const lengthMm = outlineLength(finished) / pixelsPerMm;
  const openings = findRegions(finished, 1, 8).count;
  const islands = findRegions(finished, 0, 4).count - 1;
  const areaMm2 = (pictureBox.width * pictureBox.height) / pixelsPerMm ** 2;
  const cost =
    (COST_OF_LENGTH * lengthMm) / areaMm2 +
    COST_OF_PIECE * (openings + islands) +
    costOfLack * Math.max(0, ENOUGH - likeness.recall) +
    COST_OF_FACES * facesLost +
    (match.drawn === 0 ? COST_OF_NOTHING : 0);
  const score = likeness.f - cost;
  return { choice: { settings, likeness, lengthMm, openings, islands, score }, match, print };
}

/** Each side between two pixels of unlike values stands for π/4 of outline (A.-L. Cauchy & M. W. Crofton). */
const outlineLength = (bitmap: Bitmap): number => (countSides(bitmap) * Math.PI) / 4;
