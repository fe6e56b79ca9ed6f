import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { outputsFor } from '../../src/output/outputs.js';
import type { DrawnOutput } from '../../src/output/outputs.js';

const cut = completeJob({});
const folded = completeJob({ fold: 'half' });
const glue = completeJob({ as: 'glue-line' });

describe('the outputs that there are for a job', () => {
  it('are those that are asked for, and what goes along with a stencil', () => {
    expect(outputsFor(cut, ['stencil', 'packet', 'masks'])).toEqual(['stencil', 'masks']);
    expect(outputsFor(folded, ['stencil'])).toEqual(['stencil', 'packet']);
    expect(outputsFor(glue, ['stencil', 'masks'])).toEqual(['stencil', 'strokes']);
    expect(outputsFor(cut, [])).toEqual([]);
  });

  it.each<[string, DrawnOutput, Parameters<typeof outputsFor>[0], RegExp]>([
    ['a packet of a flat sheet', 'packet', cut, /no packet.*Fold the sheet, or leave packet out/s],
    ['strokes of what is cut', 'strokes', cut, /no strokes.*glue/s],
    ['masks of glue', 'masks', glue, /no pieces drop out/],
  ])('are none where nothing but %s is asked for, which is told', (_, asked, job, says) => {
    expect(() => outputsFor(job, [asked])).toThrow(says);
  });
});
