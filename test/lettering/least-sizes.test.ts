import { describe, expect, it } from 'vitest';
import { openTypeface } from '../../src/lettering/open-typeface.js';
import { leastCapHeight } from '../../src/lettering/least-size.js';
import { CAPITALS, LETTERS, leastSizesKnown } from '../../src/lettering/least-sizes.js';
import { setLine } from '../../src/lettering/typeset.js';
import { completeJob } from '../../src/settings/job.js';
import { typefaceKinds } from '../../src/settings/lettering-settings.js';

describe('the smallest sizes that are kept', () => {
  it.each(typefaceKinds)('%s: are what is worked out on its outlines', async (kind) => {
    const faces = await openTypeface(kind, LETTERS);
    for (const tool of ['hot-tip', 'craft-knife'] as const) {
      const job = completeJob({ tool });
      const least = (text: string): number => leastCapHeight([setLine(text, faces)], job);
      const kept = leastSizesKnown(kind, job);
      expect(kept?.capitals).toBeCloseTo(least(CAPITALS), 3);
      expect(kept?.letters).toBeCloseTo(least(LETTERS), 3);
    }
  });

  it('are of these limits alone', () => {
    const job = completeJob({ narrowestOpening: 1.6 });
    expect(leastSizesKnown('sans', job)).toBeUndefined();
  });
});
