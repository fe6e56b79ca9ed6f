import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  checkSettings,
  completeJob,
  overlay,
  settings,
  sheetOf,
  toolLimits,
  type JobInput,
  type Setting,
} from '../../src/settings/job.js';
import { Problem } from '../../src/settings/problem.js';

describe('completeJob', () => {
  it('fills in every setting, and has none without a value but the crop, the page, the subject and the place in a packet', () => {
    const job = completeJob({});
    expect(Object.keys(job).sort()).toEqual(Object.keys(settings).sort());
    for (const [name, value] of Object.entries(job)) {
      if (!['crop', 'page', 'subject', 'foldPlace'].includes(name))
        expect(value, name).not.toBeNull();
    }
    expect(sheetOf(job)).toEqual({ widthMm: 101.6, heightMm: 101.6 });
  });

  // Common practice, from memory, no published source.
  it('takes the limits of the tool', () => {
    expect(completeJob({})).toMatchObject(toolLimits['hot-tip']);
    expect(completeJob({ tool: 'craft-knife' })).toMatchObject(toolLimits['craft-knife']);
    expect(completeJob({ tool: 'craft-knife', bridgeWidth: 3.5 })).toMatchObject({
      ...toolLimits['craft-knife'],
      bridgeWidth: 3.5,
    });
  });

  it('has a wider margin on cards over 6 in', () => {
    expect(completeJob({ card: '6x6in' }).margin).toBe(6);
    expect(completeJob({ card: '6.1x4in' }).margin).toBe(12);
    expect(completeJob({ card: '6.1x4in', margin: 5 }).margin).toBe(5);
  });

  it('has a margin as wide as the narrowest strip, unless one is given', () => {
    expect(completeJob({ narrowestStrip: 6.5, bridgeWidth: 7 }).margin).toBe(7);
    expect(completeJob({ narrowestStrip: 5, bridgeWidth: 7 }).margin).toBe(6);
    // Round a mask nothing is held by the margin.
    const mask = { as: 'mask', margin: 3.5, narrowestStrip: 4, bridgeWidth: 4 };
    expect(completeJob(mask).margin).toBe(3.5);
  });

  it('is at rest: a whole job stays as it is, also through JSON', () => {
    const job = completeJob({ card: 'a6', turn: 'landscape', tool: 'craft-knife', swap: true });
    expect(completeJob(JSON.parse(JSON.stringify(job)) as JobInput)).toEqual(job);
  });

  it('does not change what it is given', () => {
    const given = Object.freeze({ card: 'a6' });
    completeJob(given);
    expect(given).toEqual({ card: 'a6' });
  });

  it.each<[Record<string, unknown>, RegExp]>([
    [{ magin: 6 }, /no setting called "magin".*Did you mean margin\?/],
    [{ toString: 6 }, /no setting called "toString"/],
    [{ margin: '6' }, /`margin` can't be "6".*number from 2 to 100 mm/],
    [{ margin: Number.NaN }, /`margin` can't be/],
    [{ margin: -1 }, /`margin` can't be -1/],
    [{ tone: 'sepia' }, /`tone` can't be "sepia".*best, auto/],
    [{ swap: 'yes' }, /`swap` can't be "yes".*true or false/],
    [{ crop: '1,2,3' }, /`crop` can't be "1,2,3".*10,5,80,90/],
    [{ paint: 'blue' }, /`paint` can't be "blue"/],
    [{ card: 'vast' }, /"vast" is not a card size/],
    [{ card: '30x30mm', margin: 12 }, /leaves no room/],
    [{ meltWidth: 2, narrowestOpening: 1.5 }, /can't cut an opening/],
    [{ bridgeWidth: 1, narrowestStrip: 1.6 }, /narrower than the narrowest strip/],
    [
      { margin: 2, narrowestStrip: 3, bridgeWidth: 3 },
      /margin of 2 mm is narrower than the narrowest strip of film, 3 mm.*margin of 3 mm or more/,
    ],
    [{ narrowestStrip: 10, bridgeWidth: 15, card: '40x40mm' }, /too wide/],
  ])('refuses %j in words', (given, words) => {
    expect(() => completeJob(given)).toThrow(Problem);
    expect(() => completeJob(given)).toThrow(words);
  });

  it('calls a setting what the person calls it', () => {
    const origin = { where: 'on the command line', spell: (name: string) => `--${name}` };
    expect(() => completeJob({ margin: -1 }, origin)).toThrow(/^--margin can't .*command line/);
    expect(() => completeJob({ bridgeWidth: 1 }, origin)).toThrow(/Make --bridgeWidth at least/);
  });

  it('takes any value in range or says no in words: nothing else is thrown', () => {
    const values = Object.fromEntries(
      (Object.entries(settings) as [string, Setting][]).map(([name, setting]) => [
        name,
        anyValue(setting),
      ]),
    );
    fc.assert(
      fc.property(fc.record(values, { requiredKeys: [] }), (given) => {
        try {
          const job = completeJob(given);
          const sheet = sheetOf(job);
          expect(2 * job.margin).toBeLessThan(Math.min(sheet.widthMm, sheet.heightMm));
          expect(job.narrowestOpening).toBeGreaterThan(job.meltWidth);
          expect(job.bridgeWidth).toBeGreaterThanOrEqual(job.narrowestStrip);
          if (job.as === 'stencil') expect(job.margin).toBeGreaterThanOrEqual(job.narrowestStrip);
        } catch (error) {
          expect(error).toBeInstanceOf(Problem);
        }
      }),
      { numRuns: 500 },
    );
  });
});

function anyValue(setting: Setting): fc.Arbitrary<unknown> {
  switch (setting.kind) {
    case 'number':
      return fc.oneof(
        fc.double({ min: setting.min, max: setting.max, noNaN: true }),
        fc.constant(null),
      );
    case 'choice':
      return fc.constantFrom(...setting.choices);
    case 'switch':
      return fc.boolean();
    case 'text':
      return fc.constantFrom(setting.form, null, 'a5', '3x9in', '');
    case 'data':
      return fc.constantFrom<unknown>(JSON.parse(setting.form), [], null, [{ do: 'add' }], 'none');
  }
}

describe('settings', () => {
  it('each has a heading, a sentence, and a default or what it follows from', () => {
    for (const [name, setting] of Object.entries(settings) as [string, Setting][]) {
      expect(setting.says, name).toMatch(/^[A-Z].*\.$/);
      if (setting.default === null) expect(setting.follows, name).toBeTruthy();
      else expect(() => checkSettings({ [name]: setting.default }), name).not.toThrow();
      if (setting.kind === 'text') expect(setting.form, name).toMatch(setting.pattern);
      if (setting.kind === 'data') expect(setting.wrong(JSON.parse(setting.form))).toBeUndefined();
    }
  });

  it("every tool's limits are in range", () => {
    for (const limits of Object.values(toolLimits))
      expect(() => checkSettings(limits)).not.toThrow();
  });
});

describe('overlay', () => {
  const job = completeJob({ card: '4x4in', bridgeWidth: 3 });

  it('leaves a whole job as it is when nothing is laid over', () => {
    expect(overlay(job, {})).toEqual(job);
  });

  it('lets what only followed follow anew', () => {
    const knife = completeJob(overlay(job, { tool: 'craft-knife' }));
    expect(knife).toEqual(completeJob({ card: '4x4in', bridgeWidth: 3, tool: 'craft-knife' }));
    expect(completeJob(overlay(job, { card: '9x12in' })).margin).toBe(12);
  });

  it('keeps what was chosen, and the later word wins', () => {
    const wide = completeJob({ margin: 9 });
    expect(completeJob(overlay(wide, { card: '9x12in' })).margin).toBe(9);
    expect(completeJob(overlay(wide, { margin: 7 })).margin).toBe(7);
  });
});
