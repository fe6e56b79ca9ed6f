import { memoizeLast } from '../../common/memoize-last.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Picture } from '../read/read.js';
import {
  allChoices,
  COST_OF_ODD,
  defaultChoices,
  rankTones,
  type Carry,
  usualChoices,
  type ToneChoice,
  type ToneSettings,
} from './candidates.js';
import { choose, evenLightness } from './choice.js';
import { marked } from './decision.js';
import { judgeDrawing, partsMasses } from './drawing.js';
import { edgesTone } from './edges.js';
import { withFaces } from './faces.js';
import { groundOf, overview, type ToneGround, type PictureContours } from './ground.js';
import { localTone } from './local.js';
import { mixOf, mixedTones } from './mixed.js';
import { autoTone, levelTone } from './one-level.js';
import type { Decision, TonePicture, ToneJob } from './view.js';

export type { ToneChoice, ToneSettings } from './candidates.js';

/** Dark or light, pixel by pixel, and how that was decided. */
export interface Tone {
  /** The whole sheet; outside the picture's box it is film. */
  readonly bitmap: Bitmap;
  readonly mode: 'auto' | 'level' | 'local' | 'edges' | 'mixed';
  /** One sentence for the artist. */
  readonly why: string;
  /** What a print of the picture is compared with. */
  readonly contours: PictureContours;
  /** Laid over the job, they make this tone: `best` where mixes change by place; undefined when nothing was chosen. */
  readonly chosen?: ToneSettings;
}

/**
 * Decides dark or light for every pixel of the picture.
 *
 * - `auto`: one level for all, Otsu's; for flat drawings.
 * - `level`: one level for all, given in percent of full lightness.
 * - `local`: each part against the paper round it, Sauvola & Pietikäinen's; for pages in uneven light.
 * - `edges`: lines and dark masses, Winnemöller, Kyprianidis & Olsen's.
 * - `mixed`: lines that run on and masses along the picture's contours, as the job mixes them; for photographs.
 * - `best`: `auto`, `local` or `mixed`, by what the picture is like; the mix, in each part of the picture, by what the
 *   finished print is like.
 *
 * Every scale is in millimetres on the card and follows from the limits and the smoothing. A picture of one
 * even tone is all light, or all dark when it is black; it is never parted by its grain.
 *
 * @param carry its faces are drawn as marks that can be cut, in every tone but that of a level given; mixes are compared
 * by what is left once it has kept the widths
 */
export function tone(
  picture: Picture,
  job: ToneJob,
  carry: Carry = { faces: [], finish: (bitmap) => bitmap },
): Tone {
  const ground = groundOf(picture, job);
  const { decision, why, ...said } =
    job.tone === 'level'
      ? decided('level', picture, ground, job)
      : looked(picture, ground, job.tone, job, carry);
  const plain = marked(decision, picture, job.swap);
  const bitmap = job.tone === 'level' ? plain : withFaces(plain, picture, job, carry);
  const told = [why, picture.greyWhy].filter((sentence) => sentence !== '').join(' ');
  return { bitmap, contours: ground.contours, ...said, why: told };
}

/** What is decided by looking at the picture: a level given is taken at its word. */
function looked(
  picture: TonePicture,
  ground: ToneGround,
  mode: Exclude<ToneJob['tone'], 'level'>,
  job: ToneJob,
  carry: Carry,
): Decided {
  const view = overview(picture);
  const even = evenLightness(view);
  if (even !== undefined) return evenTone(picture, even, mode === 'best' ? 'auto' : mode);
  return mode === 'best'
    ? best(picture, ground, choiceFor(picture), job, carry)
    : decided(mode, picture, ground, job);
}

/** All the tones that a person may choose from, carried through to what can be cut; the best first. */
export function rankAll(picture: TonePicture, job: ToneJob, carry: Carry): readonly ToneChoice[] {
  const { mode } = choiceFor(picture);
  return rankTones(picture, groundOf(picture, job), job, allChoices, mode, carry).map(
    ({ choice }) => choice,
  );
}

/** What a picture is taken for: several stages ask. */
const choiceFor = memoizeLast((picture: TonePicture) => choose(overview(picture)));

/** Whether a picture is told to be a photograph. */
export function looksLikeAPhotograph(picture: TonePicture): boolean {
  return choiceFor(picture).mode === 'photograph';
}

interface Decided extends Omit<Tone, 'bitmap' | 'contours'> {
  readonly decision: Decision;
}

const modes: Readonly<
  Record<
    Tone['mode'],
    { decide: (picture: TonePicture, job: ToneJob, ground: ToneGround) => Decision; why: string }
  >
> = {
  auto: { decide: autoTone, why: 'As asked, one level parts the whole picture: auto.' },
  level: { decide: levelTone, why: 'As asked, what is darker than the level given is cut: level.' },
  local: {
    decide: localTone,
    why: 'As asked, each part is judged against the paper round it: local.',
  },
  edges: { decide: edgesTone, why: 'As asked, lines and dark masses are kept: edges.' },
  mixed: {
    decide: ({ shows }, job, ground) => mixedTones(ground, shows, job, [mixOf(job)])[0],
    why: 'As asked, lines and masses are mixed: mixed.',
  },
};

function decided(
  mode: Tone['mode'],
  picture: TonePicture,
  ground: ToneGround,
  job: ToneJob,
): Decided {
  return { mode, why: modes[mode].why, decision: modes[mode].decide(picture, job, ground) };
}

function best(
  picture: TonePicture,
  ground: ToneGround,
  { mode, why }: ReturnType<typeof choose>,
  job: ToneJob,
  carry: Carry,
): Decided {
  // What is cut when swapped is exactly what is not cut otherwise, so the choice is one for both.
  const plain = { ...job, swap: false };
  if (mode !== 'photograph') return bestOfDrawing(picture, ground, { mode, why }, plain, carry);
  const [chosen] = rankTones(picture, ground, plain, defaultChoices, mode, carry);
  return asChosen(picture, ground, why, job, chosen);
}

/** A tone of a drawing's kind that scores so much is not compared with others: hardly one could be better. */
const GOOD_ENOUGH = 0.93;

/**
 * The tone that keeps most of a drawing. The one of its kind is carried through at the sheet's own scale, for lines that
 * are thin or near each other fare otherwise on a coarse grid. Where that loses something, so is the best of the others,
 * as the coarse ranking finds it.
 */
function bestOfDrawing(
  picture: TonePicture,
  ground: ToneGround,
  { mode, why }: { readonly mode: 'auto' | 'local'; readonly why: string },
  job: ToneJob,
  carry: Carry,
): Decided {
  const own = decided(mode, picture, ground, job);
  const ofKind = { ...own, why, chosen: { tone: mode } };
  const { finishDrawing } = carry;
  if (!finishDrawing) return ofKind;
  const drawn = marked(own.decision, picture, false);
  const parted = carry.strands?.({ bitmap: drawn, mode }).bitmap;
  // Which strand passes over which is told by lines that no other tone brings back.
  if (parted && partsMasses(drawn, parted, picture.pixelsPerMm)) return ofKind;
  const scored = (settings: ToneSettings, { decision }: Decided): ToneChoice =>
    judgeDrawing(settings, marked(decision, picture, false), drawn, picture, ground, finishDrawing);
  const { score } = scored({ tone: mode }, own);
  if (score >= GOOD_ENOUGH) return ofKind;
  const others = defaultChoices.filter(({ tone }) => tone !== mode);
  const [other] = rankTones(picture, ground, job, others, mode, carry);
  const rival = asChosen(picture, ground, why, job, other);
  const choice = scored(other.choice.settings, rival);
  return choice.score - COST_OF_ODD[mode] > score
    ? { ...rival, why: `${why} ${keeps(choice, 'But of')}` }
    : ofKind;
}

function asChosen(
  picture: TonePicture,
  ground: ToneGround,
  why: string,
  job: ToneJob,
  { choice, decision }: Pick<ReturnType<typeof rankTones>[number], 'choice' | 'decision'>,
): Decided {
  const { settings } = choice;
  const said = { why: `${why} ${keeps(choice)}`, chosen: settings };
  return settings.tone === 'mixed' || settings.tone === 'best'
    ? { mode: 'mixed', decision, ...said }
    : { ...decided(settings.tone, picture, ground, job), ...said };
}

const words = {
  auto: 'one level for all, auto',
  local: 'each part against what is round it, local',
} as const;

/** What follows the sentence that `choose` makes of a picture; with `But of`, of a drawing that has another tone than its kind's. */
function keeps({ settings, likeness }: ToneChoice, of: 'Of' | 'But of' = 'Of'): string {
  const tried =
    of === 'Of' && (settings.tone === 'mixed' || settings.tone === 'best')
      ? `${of} ${usualChoices.length} mixes tried`
      : `${of} all that was tried`;
  const share = `(${Math.round(100 * likeness.recall)} % of them)`;
  if (settings.tone === 'auto' || settings.tone === 'local') {
    return `${tried}, another keeps its contours best ${share}: ${words[settings.tone]}.`;
  }
  return settings.tone === 'mixed'
    ? `${tried}, this keeps its contours best ${share}: mixed, masses ${settings.masses} %, detail ${settings.detail} %.`
    : `${tried}, each part has what keeps its contours best ${share}: mixed, part by part.`;
}

/** Darker than this, of 255, an even picture is black. */
const BLACK = 32;

function evenTone({ pictureBox }: TonePicture, lightness: number, mode: Tone['mode']): Decided {
  const dark = lightness < BLACK;
  const factor = Math.max(pictureBox.width, pictureBox.height);
  return {
    mode,
    why: `The picture is one even tone, so there is nothing to tell apart: all of it counts as ${dark ? 'dark' : 'light'}.`,
    decision: { lightness: { width: 1, height: 1, data: Float32Array.of(dark ? -1 : 1) }, factor },
  };
}
