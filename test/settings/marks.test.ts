import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';

describe('marks', () => {
  it('are part of a job, and come back from JSON as they were', () => {
    const job = completeJob({
      marks: [
        { do: 'box', from: [80, 95], to: [20, 10] },
        { do: 'lasso', along: [[-5, 0], [50, 110], [90, 5]] }, // prettier-ignore
        { do: 'this', along: [[50, 50]] },
        { do: 'not-this', along: [[10, 10], [12, 40]], width: 3.5 }, // prettier-ignore
      ],
    });
    expect(completeJob(JSON.parse(JSON.stringify(job)) as typeof job)).toEqual(job);
    expect(completeJob({})).toMatchObject({ marks: [], subject: null });
  });

  it.each<[string, unknown, RegExp]>([
    ['no list', { do: 'this', along: [[1, 2]] }, /Write a list like this: \[\{"do": "box"/],
    ['no such mark', [{ do: 'circle', along: [[1, 2]] }], /Number 1 of/],
    ['a box without a corner', [{ do: 'box', from: [1, 2] }], /Number 1 of/],
    ['a box that holds nothing', [{ do: 'box', from: [1, 2], to: [1.2, 90] }], /Number 1 of/],
    ['a lasso of two spots', [{ do: 'lasso', along: [[1, 2], [3, 4]] }], /Number 1 of/], // prettier-ignore
    ['a stroke of none', [{ do: 'this', along: [] }], /Number 1 of/],
    [
      'a stroke without a width',
      [
        { do: 'this', along: [[1, 2]] },
        { do: 'not-this', along: [[1, 2]], width: 0 },
      ],
      /Number 2 of/,
    ],
    ['pixels', [{ do: 'this', along: [[1200, 800]] }], /Number 1 of/],
    ['something else in it', [{ do: 'this', along: [[1, 2]], colour: 'red' }], /Number 1 of/],
  ])('that are %s are refused in words', (_, marks, says) => {
    expect(() => completeJob({ marks })).toThrow(says);
  });

  it.each(['20,10,60', 'left', '-1,2,3,4', 'find it'])('a subject can not be %s', (subject) => {
    expect(() => completeJob({ subject })).toThrow(/Write it like this: 20,10,60,85/);
  });
});
