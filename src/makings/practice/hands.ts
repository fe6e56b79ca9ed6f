import { completeJob, settings, toolLimits, type Job, type JobInput } from '../../settings/job.js';
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
}

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
  if (Object.keys(clean).length === 0 && minutes === undefined && warmUpMinutes === undefined) {
    throw new Problem(
      'Nothing is entered for this hand',
      where,
      `Enter the smallest that came out clean of at least one row (${SKILLS.join(', ')}), or the minutes`,
    );
  }
  const hand: SavedHand = {
    name,
    tool,
    clean,
    ...(minutes !== undefined && { minutes }),
    ...(warmUpMinutes !== undefined && { warmUpMinutes }),
  };
  completeJob(handSettings(hand), { where, spell: (setting) => setting });
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

function shown(value: unknown): string {
  return JSON.stringify(value) ?? String(value);
}
