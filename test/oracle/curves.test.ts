import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { ease } from '../../src/stages/ease/ease.js';
import { readPicture } from '../../src/stages/read/read.js';
import { tone } from '../../src/stages/tone/tone.js';
import { trace } from '../../src/stages/trace/trace.js';
import { widen } from '../../src/stages/widen/widen.js';
import { photographFile, photographs } from '../support/photographs.js';

// Outside: the tracer (Selinger 2003) at its own defaults on the same bitmap, and open photographs.
describe('eased photographs', () => {
  it.each(photographs)('%s: at most 0.45 × the tracer’s curves, within 0.25 mm', async (name) => {
    const job = completeJob({});
    const picture = await readPicture(readFileSync(photographFile(name)), job);
    const { bitmap } = widen(tone(picture, job).bitmap, picture.pixelsPerMm, job);
    const traced = trace(bitmap, picture.pixelsPerMm);
    const eased = ease(traced, picture.pixelsPerMm, job);
    expect(eased.curves / traced.curves).toBeLessThanOrEqual(0.45);
    expect(eased.deviationMm).toBeLessThanOrEqual(0.25);
    expect(eased.corners).toBeLessThan(eased.curves);
  });
});
