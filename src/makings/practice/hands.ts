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
import { practiceRows, practiceStrip, type Skill } from './practice-strip.js';

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
  const isBare = Object.keys(clean).length + Object.keys(glue).length === 0;
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
 * The settings that a hand stands for in a job.
 *
 * @throws Problem when it was tried with glue alone and something is cut, or the other way round
 */
export function handSettingsFor(hand: SavedHand, as: Job['as']): JobInput {
  const isCut = as !== 'glue-line';
  const cut = handSettings(hand);
  // The tool is always there.
  if (isCut && (hand.glue === undefined || Object.keys(cut).length > 1)) return cut;
  if (!isCut && hand.glue !== undefined) return glueSettings(hand);
  throw new Problem(
    `The hand "${hand.name}" was tried with ${isCut ? 'glue' : `the tool ${hand.tool}`} alone`,
    'hand, as',
    isCut
      ? 'Cut the practice strip and save what came out, or make it without that hand'
      : 'Draw the practice page for lines of glue and save how wide a line is, or make it without that hand',
  );
}

/** In mm a minute, over the whole strip. */
function speed(minutes: number): number {
  return Math.round(practiceStrip().lengthMm / minutes);
}

const tenth = (value: number): number => Math.round(value * 10) / 10;

function checkName(name: unknown, where: string): string {
  if (typeof name === 'string' && NAME.test(name.trim())) return name.trim();
  throw new Problem(
    `${shown(name)} can't be the name of a hand`,
    where,
    'Give it a short name of letters and digits, as in: ida',
  );
}

function checkTool(tool: unknown, where: string): Job['tool'] {
  const known = settings.tool.choices.find((choice) => choice === tool);
  if (known !== undefined) return known;
  throw new Problem(
    `${shown(tool)} is no tool to practise with`,
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
    `${title} of ${shown(size)} ${measure} are not on the practice strip`,
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
    `No hand takes ${shown(minutes)} minutes for the strip's ${(lengthMm / 1000).toFixed(1)} m of cutting`,
    where,
    `Enter the minutes that the whole strip took, between ${Math.ceil(least)} and ${Math.floor(most)}`,
  );
}

function checkWarmUp(minutes: unknown, where: string): number | undefined {
  if (minutes === undefined) return undefined;
  const { min, max } = settings.warmUp;
  if (typeof minutes === 'number' && minutes >= min && minutes <= max) return minutes;
  throw new Problem(
    `A tool can't take ${shown(minutes)} minutes to warm up`,
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
        `Lines of glue can't have ${shown(mm)} mm for ${what}`,
        where,
        `Enter what you measured on the practice page, ${min} to ${max} mm`,
      );
    }
    glue[name] = mm;
  }
  return glue;
}

function shown(value: unknown): string {
  return JSON.stringify(value) ?? String(value);
}
