import { settings, toolLimits } from '../../src/index.js';
import { seeded } from '../support/bitmaps.js';

/** From a card for one small picture to a sheet of film: how wide a limit is to the picture changes with them. */
const CARDS = ['trading-card', '4x4in', 'a6', '5x7in', 'film-sheet'] as const;
const TOOLS = ['hot-tip', 'craft-knife'] as const;

/** The limits that are widths, in mm. */
const WIDTHS = [
  'narrowestStrip',
  'narrowestOpening',
  'bridgeWidth',
  'tightestTurn',
  'meltWidth',
] as const;
const AREAS = ['smallestOpening', 'smallestIsland'] as const;

type Width = (typeof WIDTHS)[number];
type Limit = Width | (typeof AREAS)[number];
type Limits = Record<Limit, number>;

/** Settings as the command line takes them. */
export type Given = Readonly<Record<string, string | number>>;

/** Steps to a mm, over the whole legal range of a limit. */
const STEPS = 10;

const valuesOf = (limit: Limit): readonly number[] => {
  const { min, max } = settings[limit];
  const first = Math.ceil(min * STEPS);
  const last = Math.floor(max * STEPS);
  return Array.from({ length: last - first + 1 }, (_, k) => (first + k) / STEPS);
};

/** Every width at every step, with every tool, on every card. */
const grid = WIDTHS.flatMap((limit) =>
  valuesOf(limit).flatMap((value) =>
    TOOLS.flatMap((tool) => CARDS.map((card) => ({ limit, value, tool, card }))),
  ),
);

/** Prime, and no part of the grid's size: in as many steps it leads to every place of the grid once. */
const STRIDE = 7919;

/**
 * The settings of a case: a place on the grid; in every second case another limit is drawn at random as well. Limits
 * that would contradict the one on the grid give way to it.
 */
export function limitsOf(number: number): Given {
  const { limit, value, tool, card } = grid[(number * STRIDE) % grid.length];
  const random = seeded(number);
  const usual = toolLimits[tool];
  const limits = Object.fromEntries([...WIDTHS, ...AREAS].map((name) => [name, usual[name]])) as Limits; // prettier-ignore
  if (random() < 0.5) {
    const other = pick(random, [...WIDTHS, ...AREAS]);
    limits[other] = pick(random, valuesOf(other));
  }
  limits[limit] = value;
  return { card, tool, ...legal(limits, limit, random) };
}

/** Lets what contradicts a limit give way to it. */
function legal(limits: Limits, limit: Limit, random: () => number): Limits {
  const { meltWidth, narrowestOpening, narrowestStrip, bridgeWidth } = limits;
  if (narrowestOpening <= meltWidth) {
    if (limit === 'meltWidth') limits.narrowestOpening = rounded(meltWidth + 0.1);
    else limits.meltWidth = Math.max(settings.meltWidth.min, rounded(narrowestOpening - 0.1));
  }
  if (bridgeWidth < narrowestStrip) {
    if (limit === 'bridgeWidth') limits.narrowestStrip = bridgeWidth;
    else limits.bridgeWidth = rounded(narrowestStrip + pick(random, [0, 0.4, 0.8, 2]));
  }
  return limits;
}

const rounded = (mm: number): number => Math.round(mm * 100) / 100;

function pick<T>(random: () => number, from: readonly T[]): T {
  return from[Math.floor(random() * from.length)];
}

/** How many places the grid has. */
export const gridSize = grid.length;

/** A case as somebody would give it on the command line. */
export function commandOf(picture: string, given: Given): string {
  const options = Object.entries(given).map(
    ([name, value]) =>
      `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)} ${value}`,
  );
  return ['stencilwright make', picture, ...options].join(' ');
}
