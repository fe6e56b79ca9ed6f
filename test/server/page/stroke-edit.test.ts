import { describe, expect, it } from 'vitest';
import {
  drawLine,
  moveJoin,
  offLine,
  removeJoin,
  removeLine,
} from '../../../server/page/stroke-edit.js';
import { completeJob, type JobInput } from '../../../src/settings/job.js';

const along = [[10, 10, 20, 10, 30, 10], [30, 10, 30, 12]]; // prettier-ignore
const join = { from: { x: 10, y: 20 }, to: { x: 14, y: 20 } };

describe('lines of glue edited on the page', () => {
  it('are drawn with places apart, the last one kept', () => {
    const job = drawLine(
      {},
      [0, 0.2, 0.9, 1.1].map((x) => ({ x, y: 5 })),
    );
    expect(job.strokeEdits).toEqual([{ do: 'draw', along: [[0, 5], [0.9, 5], [1.1, 5]] }]); // prettier-ignore
    expect(completeJob({ ...job, as: 'glue-line' }).strokeEdits).toEqual(job.strokeEdits);
    expect(drawLine({}, [{ x: 1, y: 1 }])).toEqual({});
  });

  it('go by a place on them, and those of her own by the edit that drew them', () => {
    const drawn = drawLine({}, [{ x: 1, y: 1 }, { x: 9, y: 1 }]); // prettier-ignore
    const removed = removeLine(drawn, { along });
    expect(removed.strokeEdits?.[1]).toEqual({ do: 'remove', at: [20, 10] });
    expect(removeLine(removed, { along, drawnBy: 0 }).strokeEdits).toEqual([
      { do: 'remove', at: [20, 10] },
    ]);
    expect(removeLine(drawn, { along, drawnBy: 0 })).toEqual({});
  });

  it('move and remove joins, also twice', () => {
    const once = moveJoin({}, join, { from: { x: 1, y: 2 }, to: { x: 3, y: 4 } });
    expect(once.strokeEdits).toEqual([{ do: 'move', at: [12, 20], from: [1, 2], to: [3, 4] }]);
    const moved = { ...join, movedBy: 0 };
    const twice: JobInput = moveJoin(once, moved, join);
    expect(twice.strokeEdits).toEqual([{ do: 'move', at: [12, 20], from: [10, 20], to: [14, 20] }]);
    expect(removeJoin(twice, moved).strokeEdits).toEqual([{ do: 'remove', at: [12, 20] }]);
    expect(removeJoin({}, join).strokeEdits).toEqual([{ do: 'remove', at: [12, 20] }]);
  });

  it('are near where one of their places is', () => {
    expect(offLine({ along }, { x: 20, y: 13 })).toBe(3);
  });
});
