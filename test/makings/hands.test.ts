import { describe, expect, it } from 'vitest';
import {
  checkHand,
  handSettings,
  handSettingsFor,
  type HandInput,
  type HandUse,
} from '../../src/makings/practice/hands.js';
import { completeJob, toolLimits, type JobInput } from '../../src/settings/job.js';
import { practiceStrip } from '../../src/makings/practice/practice-strip.js';
import { Problem } from '../../src/settings/problem.js';

const ida: HandInput = { name: 'ida', tool: 'hot-tip', clean: { slot: 1.8 }, minutes: 12 };

describe('a hand', () => {
  it('becomes settings: the sizes that came out clean, and the pace over the whole strip', () => {
    const hand = checkHand(
      {
        ...ida,
        clean: { slot: 1.8, dot: 2, corner: 2.5, strip: 2, bridge: 2.4, turn: 1.5 },
        warmUpMinutes: 15,
      },
      'test',
    );
    expect(handSettings(hand)).toEqual({
      tool: 'hot-tip',
      narrowestOpening: 1.8,
      narrowestStrip: 2,
      bridgeWidth: 2.4,
      tightestTurn: 1.5,
      // The square of 2.5 mm is larger than the dot of 2 mm; 9 mm² of island for 3 mm² of opening, as the tool has it.
      smallestOpening: 6.3,
      smallestIsland: 18.8,
      cuttingSpeed: Math.round(practiceStrip().lengthMm / 12),
      warmUp: 15,
    });
  });

  it('leaves the tool what was not entered', () => {
    const job = completeJob(handSettings(checkHand(ida, 'test')));
    expect(job).toMatchObject({
      ...toolLimits['hot-tip'],
      narrowestOpening: 1.8,
      cuttingSpeed: Math.round(practiceStrip().lengthMm / 12),
    });
  });

  it('whose narrowest strip is wider than its bridges gets bridges as wide', () => {
    const hand = checkHand({ ...ida, clean: { strip: 3, bridge: 2 } }, 'test');
    expect(handSettings(hand)).toMatchObject({ narrowestStrip: 3, bridgeWidth: 3 });
  });

  it('with glue and a tool lays neither over the other', () => {
    const hand = checkHand({ ...ida, glue: { width: 3.5, gap: 2, bend: 2.5 } }, 'test');
    expect(handSettingsFor(hand, { as: 'glue-line' })).toEqual({
      beadWidth: 3.5,
      narrowestOpening: 2,
      tightestBend: 2.5,
    });
    expect(handSettingsFor(hand, { as: 'mask' })).toEqual(handSettings(hand));
    const job = completeJob({ as: 'glue-line', ...handSettingsFor(hand, { as: 'glue-line' }) });
    // What follows from the line, follows from hers: three quarters of it hold.
    expect(job).toMatchObject({ narrowestOpening: 2, narrowestStrip: 2.63, cuttingSpeed: 600 });
  });

  it('with scissors widens the slots of a folded sheet by its layers, and of nothing else', () => {
    const hand = checkHand({ ...ida, scissors: { layer: 2.5, packet: 6 } }, 'test');
    const slotOf = (given: Omit<HandUse, 'as'> & Pick<JobInput, 'card'>): number =>
      completeJob({ ...given, ...handSettingsFor(hand, { as: 'stencil', ...given }) })
        .narrowestOpening;
    expect(slotOf({ tool: 'scissors' })).toBe(2.5);
    expect(slotOf({ fold: 'eighth' })).toBe(6);
    // Even steps of half a millimetre a layer.
    expect(slotOf({ fold: 'quarter' })).toBe(4);
    expect(slotOf({ fold: 'to-and-fro', foldPanels: '6', card: '12x4in' })).toBe(5);
    expect(slotOf({})).toBe(1.8);
    // With one measure the other follows as the scissors' own do: 0.1 mm a layer.
    const one = checkHand({ ...ida, scissors: { layer: 2.5 } }, 'test');
    expect(handSettingsFor(one, { as: 'stencil', fold: 'eighth' }).narrowestOpening).toBe(3.2);
  });

  it('of a hot tip does not serve a folded sheet; of a knife it does', () => {
    const tip = checkHand(ida, 'test');
    const folded = { as: 'stencil', fold: 'eighth' } as const;
    expect(() => handSettingsFor(tip, folded)).toThrow(/hot-tip alone/);
    const knife = checkHand({ ...ida, tool: 'craft-knife' }, 'test');
    expect(handSettingsFor(knife, folded)).toMatchObject({ tool: 'craft-knife' });
    const scissorsAlone = checkHand({ name: 'bo', tool: 'hot-tip', clean: {}, scissors: { layer: 3 } }, 'test'); // prettier-ignore
    expect(() => handSettingsFor(scissorsAlone, { as: 'stencil' })).toThrow(/scissors alone/);
  });

  it('that was tried with the one alone does not serve the other', () => {
    const glueAlone = checkHand({ name: 'bo', tool: 'hot-tip', clean: {}, glue: { width: 3 } }, 'test'); // prettier-ignore
    expect(() => handSettingsFor(glueAlone, { as: 'stencil' })).toThrow(/tried with glue alone/);
    expect(() => handSettingsFor(checkHand(ida, 'test'), { as: 'glue-line' })).toThrow(
      /hot-tip alone/,
    );
  });

  it.each<[string, HandInput, RegExp]>([
    [
      'a slot that scissors are not tried on',
      { scissors: { layer: 2.2 } },
      /slot for scissors of 2.2 mm is not on the practice strip/,
    ],
    [
      'a size that is not on the strip',
      { clean: { slot: 1.7 } },
      /Slots of 1.7 mm wide are not on the practice strip/,
    ],
    ['a word for a size', { clean: { dot: 'small' } }, /Dots of "small" mm across/],
    ['a row that is not there', { clean: { loop: 2 } }, /no row called "loop"/],
    ['no time at all', { minutes: 0 }, /No hand takes 0 minutes/],
    ['a minute of haste', { minutes: 0.1 }, /No hand takes 0.1 minutes for the strip's 1.1 m/],
    ['a week', { minutes: 10_000 }, /No hand takes 10000 minutes/],
    ['less than no time', { minutes: -5 }, /No hand takes -5 minutes/],
    ['a long warm-up', { warmUpMinutes: 600 }, /can't take 600 minutes to warm up/],
    ['another tool', { tool: 'spoon' }, /"spoon" is no tool to practise with/],
    ['no name', { name: ' ' }, /can't be the name of a hand/],
    ['a path for a name', { name: '../ida' }, /can't be the name of a hand/],
    ['a line of glue as wide as a hand', { glue: { width: 90 } }, /can't have 90 mm for width/],
    ['a word for a gap', { glue: { gap: 'small' } }, /can't have "small" mm for gap/],
    ['another measure', { glue: { length: 3 } }, /can't have 3 mm for length/],
    ['nothing entered', { clean: {}, minutes: undefined }, /Nothing is entered for this hand/],
  ])('refuses %s', (_what, change, words) => {
    const check = (): unknown => checkHand({ ...ida, ...change }, 'test');
    expect(check).toThrow(Problem);
    expect(check).toThrow(words);
  });
});
