import { describe, expect, it } from 'vitest';
import {
  addBridge,
  editRegion,
  isEdited,
  moveBridge,
  pinBridge,
  removeBridge,
  unsayRegion,
} from '../../../server/page/edit.js';
import { completeJob, type Bridge, type JobInput } from '../../../src/index.js';

const bridge = (x: number, origin: Bridge['origin'] = 'proposed'): Bridge => ({
  number: 1,
  from: { x, y: 10 },
  to: { x, y: 14 },
  widthMm: 2.4,
  origin,
});
const ends = (x: number) => ({ from: { x, y: 10.004 }, to: { x, y: 14 } });

describe('edits of bridges', () => {
  it('add, pin, move and remove are what a job takes', () => {
    let job: JobInput = { card: 'a6' };
    job = addBridge(job, ends(20));
    job = pinBridge(job, bridge(30));
    job = moveBridge(job, bridge(40), ends(41));
    job = removeBridge(job, bridge(50));
    expect(job.bridgeEdits).toEqual([
      { do: 'add', from: [20, 10], to: [20, 14] },
      { do: 'pin', from: [30, 10], to: [30, 14] },
      { do: 'move', at: [40, 12], from: [41, 10], to: [41, 14] },
      { do: 'remove', at: [50, 12] },
    ]);
    expect(completeJob(job).bridgeEdits).toEqual(job.bridgeEdits);
  });

  it('what a person laid is changed where it was said, and taken away without a trace', () => {
    const job = addBridge({}, ends(20));
    expect(isEdited(job, bridge(20.5, 'added'))).toBe(true);
    expect(moveBridge(job, bridge(20.5, 'added'), ends(25)).bridgeEdits).toEqual([
      { do: 'add', from: [25, 10], to: [25, 14] },
    ]);
    expect(removeBridge(job, bridge(20.5, 'added'))).toEqual({});
  });

  it('a proposed bridge beside one that was added is another one', () => {
    const job = addBridge({}, ends(20));
    expect(isEdited(job, bridge(20.5))).toBe(false);
    expect(isEdited(job, bridge(30, 'added'))).toBe(false);
  });

  it('a moved bridge that is removed stays removed', () => {
    const job = moveBridge({}, bridge(40), ends(41));
    expect(removeBridge(job, bridge(41, 'moved')).bridgeEdits).toEqual([
      { do: 'remove', at: [40, 12] },
    ]);
  });
});

describe('edits of regions', () => {
  it('are said and taken back', () => {
    const job = editRegion(editRegion({}, 'drop', { x: 5, y: 6 }), 'keep', { x: 7, y: 8.333 });
    expect(job.regionEdits).toEqual([
      { do: 'drop', at: [5, 6] },
      { do: 'keep', at: [7, 8.33] },
    ]);
    expect(unsayRegion(unsayRegion(job, 0), 0)).toEqual({});
  });
});
