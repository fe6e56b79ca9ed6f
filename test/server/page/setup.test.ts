import { describe, expect, it } from 'vitest';
import { aimedAt } from '../../../server/page/setup.js';

describe('another aim', () => {
  const job = { card: 'a6', narrowestOpening: 1.9, bridgeWidth: 3 };

  it('lays the limits of a cutter aside for glue, and takes them up again', () => {
    const glue = aimedAt({ job }, { as: 'glue-line' }, undefined);
    expect(glue.job).toEqual({ card: 'a6', as: 'glue-line' });
    const wider = { ...glue, job: { ...glue.job, beadWidth: 5 } };
    const again = aimedAt(wider, { as: 'glue-line' }, undefined);
    const back = aimedAt(again, { as: 'mask' }, undefined);
    expect(back.job).toEqual({ ...job, as: 'mask', beadWidth: 5 });
  });

  it('leaves them as they are between stencil and mask, and takes layers', () => {
    const setup = aimedAt({ job: { ...job, as: 'mask' } }, { as: null }, { count: '3' });
    expect(setup).toEqual({ job, layers: { count: '3' } });
  });
});
