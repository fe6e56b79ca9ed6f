import { namedCards, settings, type Setting } from '../../src/index.js';
import { seeded } from '../support/bitmaps.js';

/** What nobody would give, and somebody does. */
const ODD: readonly unknown[] = [
  null,
  undefined,
  true,
  false,
  0,
  -1,
  1e308,
  Number.NaN,
  Infinity,
  '',
  'x',
  '4x4in',
  '-1x-1mm',
  '1e9x1e9mm',
  '0,0,0,0',
  [],
  {},
  [[]],
  [{}],
  { length: 3 },
  '__proto__',
  '\u0000',
  'é'.repeat(5000),
];
const CARDS = ['20x30mm', '4x4in', '3.5x2in', '60x40mm', '100x20mm', '9x12in'];
const MOST_GIVEN = 6;
const ODD_SHARE = 0.12;

/** A random set of settings by a seed number: most values in range, often at its ends, some odd. */
export function randomSettings(number: number): Readonly<Record<string, unknown>> {
  const random = seeded(number);
  const names = Object.keys(settings) as (keyof typeof settings)[];
  const given: Record<string, unknown> = { card: pick(random, CARDS) };
  for (let count = Math.floor(random() * MOST_GIVEN); count > 0; count--) {
    const name = pick(random, names);
    given[name] = random() < ODD_SHARE ? pick(random, ODD) : valueFor(settings[name], random);
  }
  return given;
}

function valueFor(setting: Setting, random: () => number): unknown {
  switch (setting.kind) {
    case 'number': {
      // Squared, so that small numbers come as often as large ones.
      const share = pick(random, [0, 1, random(), random() ** 2]);
      return setting.min + share * (setting.max - setting.min);
    }
    case 'choice':
      return pick(random, setting.choices);
    case 'switch':
      return random() < 0.5;
    case 'text':
      return random() < 0.3 ? pick(random, namedCards).name : setting.form;
    case 'data':
      return JSON.parse(setting.form) as unknown;
  }
}

function pick<T>(random: () => number, from: readonly T[]): T {
  return from[Math.floor(random() * from.length)];
}
