import { describe, expect, it } from 'vitest';
import { registerMarks, withoutRegisterMarks } from '../../src/geometry/register-marks.js';
import { completeJob } from '../../src/settings/job.js';
import { registerMargin, registerSide } from '../../src/settings/register-marks.js';
import { circle, rectangle } from '../support/openings.js';

const sheet = { widthMm: 100, heightMm: 80 };

describe('register marks', () => {
  it('are none unless wanted', () => {
    expect(registerMarks(sheet, completeJob({}))).toEqual([]);
  });

  it.each(['hot-tip', 'craft-knife'] as const)('can be cut with the %s and hold', (tool) => {
    const job = completeJob({ tool, registerMarks: true });
    const side = registerSide(job);
    expect(side).toBeGreaterThanOrEqual(job.narrowestOpening);
    expect(side ** 2).toBeGreaterThanOrEqual(job.smallestOpening);
    expect((job.margin - side) / 2).toBeGreaterThanOrEqual(job.narrowestStrip);
    expect(job.margin).toBe(6);
  });

  it('widen a margin that was not given, and refuse one that is too narrow', () => {
    const heavy = { registerMarks: true, narrowestStrip: 3, bridgeWidth: 3 };
    expect(completeJob(heavy).margin).toBe(9);
    expect(registerMargin(completeJob(heavy))).toBe(8.5);
    expect(() => completeJob({ ...heavy, margin: 8 })).toThrow(/no room for register marks.*9 mm/);
    expect(completeJob({ ...heavy, registerMarks: false }).margin).toBe(6);
  });

  it('are known among other openings', () => {
    const job = completeJob({ registerMarks: true });
    const marks = registerMarks(sheet, job);
    expect(marks).toHaveLength(3);
    const others = [
      { outer: circle(50, 40, 10), holes: [] },
      { outer: rectangle(1.75, 1.75, 2.5, 2.6), holes: [] },
      { outer: rectangle(60, 20, 2.5, 2.5), holes: [] },
    ];
    expect(withoutRegisterMarks([...others, ...marks], sheet, job)).toEqual(others);
  });
});
