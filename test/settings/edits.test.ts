import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';

describe('edits', () => {
  it('are part of a job, and come back from JSON as they were', () => {
    const job = completeJob({
      bridgeEdits: [
        { do: 'add', from: [20, 31.5], to: [24, 31.5], widthMm: 3 },
        { do: 'pin', from: [1, 2], to: [3, 4] },
        { do: 'move', at: [5, 6], from: [1, 2], to: [3, 4] },
        { do: 'remove', at: [5, 6] },
      ],
      regionEdits: [
        { do: 'drop', at: [9, 9] },
        { do: 'keep', at: [7, 7] },
      ],
      bridgeFree: [
        [
          [0, 0],
          [9, 0],
          [9, 9],
        ],
      ],
    });
    expect(completeJob(JSON.parse(JSON.stringify(job)) as typeof job)).toEqual(job);
    expect(completeJob({})).toMatchObject({ bridgeEdits: [], regionEdits: [], bridgeFree: [] });
  });

  it.each<[string, unknown, RegExp]>([
    ['bridgeEdits', 'none', /Write a list like this: \[\{"do": "add"/],
    [
      'bridgeEdits',
      [
        { do: 'remove', at: [1, 2] },
        { do: 'cut', at: [1, 2] },
      ],
      /Number 2 of/,
    ],
    ['bridgeEdits', [{ do: 'add', from: [1, 2] }], /Number 1 of/],
    ['bridgeEdits', [{ do: 'add', from: [1, 2], to: [1, null] }], /Number 1 of/],
    ['bridgeEdits', [{ do: 'add', from: [1, 2], to: [3, 4], widthMm: 0 }], /Number 1 of/],
    ['bridgeEdits', [{ do: 'remove', at: [1, 2], wide: 3 }], /Number 1 of/],
    ['regionEdits', [{ do: 'drop', at: [1] }], /Number 1 of.*"drop"/],
    ['regionEdits', [{ do: 'drop', at: [1, 1e9] }], /Number 1 of/],
    ['bridgeFree', [[[1, 2], [3, 4]]], /Number 1 of/], // prettier-ignore
    ['bridgeFree', Array.from({ length: 20_000 }, () => []), /at most 10000/],
  ])('%s that can not be read are refused in words: %j', (name, value, says) => {
    expect(() => completeJob({ [name]: value })).toThrow(says);
    expect(() => completeJob({ [name]: value })).toThrow(/^.{0,300}$/);
  });
});
