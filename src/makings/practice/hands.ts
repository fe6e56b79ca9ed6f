import {
  completeJob,
  settings,
  toolLimits,
  type Job,
  type JobInput,
  type SettingName,
  type SettingsOrigin,
} from '../../settings/job.js';
import { Problem } from '../../settings/problem.js';
import { layersOf, scissorsLimits } from '../../settings/folds.js';
import { practiceRows, practiceStrip, SNIP_LAYERS, SNIPS, type Skill } from './practice-strip.js';

/** A person's own hand with a tool, as tried on a practice strip; what she did not enter is left out. */
export interface SavedHand {
  readonly name: string;
  readonly tool: Job['tool'];
  /** For each row of the strip, the smallest that came out clean, mm. */
  readonly clean: { readonly [S in Skill]?: number };
  /** How long the whole strip took, without the warm-up. */
  readonly minutes?: number;
  readonly warmUpMinutes?: number;
  /** What lines of glue came out like on the practice page, mm. */
  readonly glue?: GlueMeasures;
  /** What came out clean of the strip's row for scissors, mm. */
  readonly scissors?: ScissorsMeasures;
}

/** The narrowest slot that scissors cut clean, in mm; what she did not enter is left out. */
interface ScissorsMeasures {
  /** In one layer. */
  readonly layer?: number;
  /** In the packet of the practice strip. */
  readonly packet?: number;
}

/** What is measured of lines of glue, in mm; what she did not enter is left out. */
export interface GlueMeasures {
  /** How wide a line is. */
  readonly width?: number;
  /** The narrowest gap between two lines that stayed open. */
  readonly gap?: number;
  /** The radius of the tightest turn that came out clean. */
  readonly bend?: number;
}

/** The setting that each of them stands for. */
export const glueMeasures = {
  width: 'beadWidth',
  gap: 'narrowestOpening',
  bend: 'tightestBend',
} as const satisfies Readonly<Record<keyof GlueMeasures, SettingName>>;

/** What is known of a hand that may not be one: of a file, of words on a command line. */
export type HandInput = { readonly [K in keyof SavedHand]?: unknown };

const NAME = /^[\p{L}\p{N}][\p{L}\p{N} ._-]{0,39}$/u;
const SKILLS = Object.keys(practiceRows) as readonly Skill[];
/** What is measured of scissors, and in how many layers. */
const SNIPPED = { layer: 1, packet: SNIP_LAYERS } as const satisfies Readonly<
  Record<keyof ScissorsMeasures, number>
>;

/**
 * Checks that entries make sense: that each size was on the strip, and that no hand is slower or quicker than the
 * settings allow.
 *
 * @param where what a person knows the entries by, for the error
 * @throws Problem that names the entry
 */
export function checkHand(given: HandInput, where: string): SavedHand {
  const name = checkName(given.name, where);
  const tool = checkTool(given.tool, where);
  const clean = checkClean(given.clean, where);
  const minutes = checkMinutes(given.minutes, where);
  const warmUpMinutes = checkWarmUp(given.warmUpMinutes, where);
  const glue = checkGlueMeasures(given.glue, where);
  const scissors = checkScissors(given.scissors, where);
  const isBare = [clean, glue, scissors].every((entered) => Object.keys(entered).length === 0);
  if (isBare && minutes === undefined && warmUpMinutes === undefined) {
    throw new Problem(
      'Nothing is entered for this hand',
      where,
      `Enter the smallest that came out clean of at least one row (${SKILLS.join(', ')}), the minutes, or the width of a line of glue`,
    );
  }
  const hand: SavedHand = {
    name,
    tool,
    clean,
    ...(minutes !== undefined && { minutes }),
    ...(warmUpMinutes !== undefined && { warmUpMinutes }),
    ...(Object.keys(glue).length > 0 && { glue }),
    ...(Object.keys(scissors).length > 0 && { scissors }),
  };
  const origin: SettingsOrigin = { where, spell: (setting) => setting };
  completeJob(handSettings(hand), origin);
  completeJob({ as: 'glue-line', ...glueSettings(hand) }, origin);
  return hand;
}

/**
 * The settings that a hand stands for, to be laid over a tool's. Where she entered nothing the tool's stay.
 *
 * An opening is large enough when both a dot and a square of its size came out clean; the smallest island follows in
 * the tool's own proportion. A bridge is no narrower than a strip has to be.
 */
export function handSettings({ tool, clean, minutes, warmUpMinutes }: SavedHand): JobInput {
  const usual = toolLimits[tool];
  const area = Math.max((Math.PI / 4) * (clean.dot ?? 0) ** 2, (clean.corner ?? 0) ** 2);
  const areas = area > 0 && {
    smallestOpening: tenth(area),
    smallestIsland: tenth((area * usual.smallestIsland) / usual.smallestOpening),
  };
  const strip = clean.strip ?? usual.narrowestStrip;
  const bridge = Math.max(clean.bridge ?? usual.bridgeWidth, strip);
  return {
    tool,
    ...(clean.slot !== undefined && { narrowestOpening: clean.slot }),
    ...(clean.strip !== undefined && { narrowestStrip: clean.strip }),
    ...((clean.bridge ?? clean.strip) !== undefined && { bridgeWidth: bridge }),
    ...(clean.turn !== undefined && { tightestTurn: clean.turn }),
    ...areas,
    ...(minutes !== undefined && { cuttingSpeed: speed(minutes) }),
    ...(warmUpMinutes !== undefined && { warmUp: warmUpMinutes }),
  };
}

/** The settings that a hand stands for where lines of glue are drawn: none of the tool's. */
export function glueSettings({ glue = {} }: Pick<SavedHand, 'glue'>): JobInput {
  const measured = Object.entries(glue) as [keyof GlueMeasures, number][];
  return Object.fromEntries(measured.map(([what, mm]) => [glueMeasures[what], mm]));
}

/**
 * The settings that a hand stands for where scissors cut a sheet of so many layers. The slot grows evenly from one layer
 * to the packet's; where she entered one of the two, as the scissors' own grows. Turns and strips stay the scissors' own:
 * the strip has no row for them.
 */
export function scissorsSettings(
  { scissors = {} }: Pick<SavedHand, 'scissors'>,
  layers: number,
): JobInput {
  const usual = (of: number): number => scissorsLimits(of, THIN).narrowestOpening;
  const { layer, packet } = scissors;
  if (layer !== undefined && packet !== undefined) {
    const more = (Math.max(packet, layer) - layer) / (SNIPPED.packet - SNIPPED.layer);
    return { tool: 'scissors', narrowestOpening: tenth(layer + more * (layers - SNIPPED.layer)) };
  }
  const off =
    layer !== undefined
      ? layer - usual(SNIPPED.layer)
      : packet !== undefined
        ? packet - usual(SNIPPED.packet)
        : 0;
  return { tool: 'scissors', narrowestOpening: tenth(usual(layers) + off) };
}

/** Of the slot's limit the thickness is no part. */
const THIN = settings.sheetThickness.min;

/** What of a job says which of a hand's measures serve it. */
export type HandUse = Pick<Job, 'as'> & Partial<Pick<Job, 'fold' | 'foldPanels' | 'tool'>>;

/**
 * The settings that a hand stands for in a job: with scissors, where a sheet is folded and no other tool is said.
 *
 * @throws Problem when it was tried with glue, scissors or a tool alone, and the job wants another
 */
export function handSettingsFor(hand: SavedHand, use: HandUse): JobInput {
  const { as, fold = 'none', foldPanels = settings.foldPanels.default } = use;
  if (as === 'glue-line') {
    if (hand.glue !== undefined) return glueSettings(hand);
    throw triedWith(hand, `the tool ${hand.tool}`, GLUE_REMEDY);
  }
  const cut = handSettings(hand);
  // The tool is always there.
  const hasCut = Object.keys(cut).length > 1;
  const tool = use.tool ?? (fold === 'none' ? undefined : 'scissors');
  if (tool === 'scissors') {
    if (hand.scissors) return scissorsSettings(hand, layersOf({ fold, foldPanels }));
    // What was tried with a knife serves a folded sheet, too.
    if (hasCut && (use.tool === undefined ? hand.tool !== 'hot-tip' : true)) return cut;
    throw triedWith(hand, hasCut ? `the tool ${hand.tool}` : 'glue', SCISSORS_REMEDY);
  }
  if (hasCut || (hand.glue === undefined && hand.scissors === undefined)) return cut;
  throw triedWith(hand, hand.scissors ? 'scissors' : 'glue', CUT_REMEDY);
}

const GLUE_REMEDY =
  'Draw the practice page for lines of glue and save how wide a line is, or make it without that hand';
const SCISSORS_REMEDY =
  'Cut the row for scissors of the practice strip and save what came out, or make it without that hand';
const CUT_REMEDY = 'Cut the practice strip and save what came out, or make it without that hand';

function triedWith({ name }: SavedHand, what: string, remedy: string): Problem {
  return new Problem(`The hand "${name}" was tried with ${what} alone`, 'hand', remedy);
}

/** In mm a minute, over the whole strip. */
function speed(minutes: number): number {
  return Math.round(practiceStrip().lengthMm / minutes);
}

const tenth = (value: number): number => Math.round(value * 10) / 10;

function checkName(name: unknown, where: string): string {
  if (typeof name === 'string' && NAME.test(name.trim())) return name.trim();
  throw new Problem(
    `${asJson(name)} can't be the name of a hand`,
    where,
    'Give it a short name of letters and digits, as in: ida',
  );
}

function checkTool(tool: unknown, where: string): Job['tool'] {
  const known = settings.tool.choices.find((choice) => choice === tool);
  if (known !== undefined) return known;
  throw new Problem(
    `${asJson(tool)} is no tool to practise with`,
    where,
    `Choose one of: ${settings.tool.choices.join(', ')}`,
  );
}

function checkClean(given: unknown, where: string): SavedHand['clean'] {
  if (typeof given !== 'object' || given === null) {
    throw new Problem('The sizes of a hand are missing', where, 'Enter them anew');
  }
  const clean: { [S in Skill]?: number } = {};
  for (const [skill, size] of Object.entries(given)) {
    const known = SKILLS.find((name) => name === skill);
    if (known === undefined) {
      throw new Problem(
        `The practice strip has no row called "${skill}"`,
        where,
        `Its rows are: ${SKILLS.join(', ')}`,
      );
    }
    if (size !== undefined) clean[known] = checkSize(known, size, where);
  }
  return clean;
}

function checkSize(skill: Skill, size: unknown, where: string): number {
  const { title, measure, sizes } = practiceRows[skill];
  const known = sizes.find((one) => one === size);
  if (known !== undefined) return known;
  throw new Problem(
    `${title} of ${asJson(size)} ${measure} are not on the practice strip`,
    where,
    `Enter one of ${sizes.join(', ')}; leave it out if none came out clean, and the tool's own stays`,
  );
}

function checkMinutes(minutes: unknown, where: string): number | undefined {
  if (minutes === undefined) return undefined;
  const { min, max } = settings.cuttingSpeed;
  const { lengthMm } = practiceStrip();
  const [least, most] = [lengthMm / max, lengthMm / min];
  if (typeof minutes === 'number' && speed(minutes) >= min && speed(minutes) <= max) return minutes;
  throw new Problem(
    `No hand takes ${asJson(minutes)} minutes for the strip's ${(lengthMm / 1000).toFixed(1)} m of cutting`,
    where,
    `Enter the minutes that the whole strip took, between ${Math.ceil(least)} and ${Math.floor(most)}`,
  );
}

function checkWarmUp(minutes: unknown, where: string): number | undefined {
  if (minutes === undefined) return undefined;
  const { min, max } = settings.warmUp;
  if (typeof minutes === 'number' && minutes >= min && minutes <= max) return minutes;
  throw new Problem(
    `A tool can't take ${asJson(minutes)} minutes to warm up`,
    where,
    `Enter the minutes until it was ready, ${min} to ${max}`,
  );
}

function checkGlueMeasures(given: unknown, where: string): GlueMeasures {
  const glue: { -readonly [K in keyof GlueMeasures]: number } = {};
  if (given === undefined) return glue;
  if (typeof given !== 'object' || given === null) {
    throw new Problem('The measures of glue of a hand are missing', where, 'Enter them anew');
  }
  for (const [what, mm] of Object.entries(given)) {
    if (mm === undefined) continue;
    const name = Object.keys(glueMeasures).find((one) => one === what) as keyof GlueMeasures;
    const { min, max } = settings[glueMeasures[name] ?? 'beadWidth'];
    if (name === undefined || typeof mm !== 'number' || !(mm >= min && mm <= max)) {
      throw new Problem(
        `Lines of glue can't have ${asJson(mm)} mm for ${what}`,
        where,
        `Enter what you measured on the practice page, ${min} to ${max} mm`,
      );
    }
    glue[name] = mm;
  }
  return glue;
}

function checkScissors(given: unknown, where: string): ScissorsMeasures {
  const scissors: { -readonly [K in keyof ScissorsMeasures]: number } = {};
  if (given === undefined) return scissors;
  if (typeof given !== 'object' || given === null) {
    throw new Problem('The slots that scissors cut are missing', where, 'Enter them anew');
  }
  for (const [what, mm] of Object.entries(given)) {
    if (mm === undefined) continue;
    const name = Object.keys(SNIPPED).find((one) => one === what) as keyof ScissorsMeasures;
    const known = SNIPS.find((one) => one === mm);
    if (name === undefined || known === undefined) {
      throw new Problem(
        `A slot for scissors of ${asJson(mm)} mm is not on the practice strip`,
        where,
        `Enter one of ${SNIPS.join(', ')}; leave it out if none came out clean, and the scissors' own stays`,
      );
    }
    scissors[name] = known;
  }
  return scissors;
}

function asJson(value: unknown): string {
  return JSON.stringify(value) ?? String(value);
}
