import type { Bridge, BridgeEdit, JobInput, Place, RegionEdit } from '../../src/index.js';
import type { ViewPoint } from './viewport.js';
import { withList } from './without.js';

/** The ends of a bridge on the sheet, in mm. */
export interface Ends {
  readonly from: ViewPoint;
  readonly to: ViewPoint;
}

/** The nearest hundredth of a millimetre: far below what a hand can hold. */
export const sheetPlace = ({ x, y }: ViewPoint): Place => [
  Math.round(x * 100) / 100,
  Math.round(y * 100) / 100,
];

const spot = ([x, y]: Place): ViewPoint => ({ x, y });

export const middle = ({ from, to }: Ends): ViewPoint => ({
  x: (from.x + to.x) / 2,
  y: (from.y + to.y) / 2,
});

export function distanceToBridge({ from, to }: Ends, at: ViewPoint): number {
  const dx = to.x - from.x;
  const dy = to.y - from.y;
  const along = ((at.x - from.x) * dx + (at.y - from.y) * dy) / (dx * dx + dy * dy || 1);
  const t = Math.min(Math.max(along, 0), 1);
  return Math.hypot(from.x + t * dx - at.x, from.y + t * dy - at.y);
}

/** Lays one more bridge. */
export function addBridge(job: JobInput, { from, to }: Ends): JobInput {
  return withList(job, 'bridgeEdits', [
    ...editsOf(job),
    { do: 'add', from: sheetPlace(from), to: sheetPlace(to) },
  ]);
}

/** Gives a bridge other ends: the edit that made it, when one did, or else a new one for what was proposed. */
export function moveBridge(job: JobInput, bridge: Bridge, { from, to }: Ends): JobInput {
  const ends = { from: sheetPlace(from), to: sheetPlace(to) };
  const edits = editsOf(job);
  const made = madeBy(edits, bridge);
  if (made < 0) {
    return withList(job, 'bridgeEdits', [
      ...edits,
      { do: 'move', at: sheetPlace(middle(bridge)), ...ends },
    ]);
  }
  return withList(
    job,
    'bridgeEdits',
    edits.map((edit, i) => (i === made ? { ...edit, ...ends } : edit)),
  );
}

/** Takes a bridge away. */
export function removeBridge(job: JobInput, bridge: Bridge): JobInput {
  const edits = editsOf(job);
  const made = madeBy(edits, bridge);
  if (made < 0) {
    return withList(job, 'bridgeEdits', [
      ...edits,
      { do: 'remove', at: sheetPlace(middle(bridge)) },
    ]);
  }
  const edit = edits[made];
  const others = edits.filter((_, i) => i !== made);
  return withList(
    job,
    'bridgeEdits',
    edit.do === 'move' ? [...others, { do: 'remove', at: edit.at }] : others,
  );
}

/** Keeps a proposed bridge as it lies, whatever changes. */
export function pinBridge(job: JobInput, bridge: Bridge): JobInput {
  const edits = editsOf(job);
  if (madeBy(edits, bridge) >= 0) return job;
  const { from, to } = bridge;
  return withList(job, 'bridgeEdits', [
    ...edits,
    { do: 'pin', from: sheetPlace(from), to: sheetPlace(to) },
  ]);
}

/** Whether a person had a hand in a bridge. */
export const isEdited = (job: JobInput, bridge: Bridge): boolean =>
  madeBy(editsOf(job), bridge) >= 0;

/** How far a laid bridge may lie from where it was asked for, in mm: its ends settle on the film. */
const NEAR_MM = 1.2;

/** The edit that a bridge comes from; -1 when it was proposed. */
function madeBy(edits: readonly BridgeEdit[], bridge: Bridge): number {
  if (bridge.origin === 'proposed') return -1;
  return edits.findIndex((edit) => {
    if (edit.do === 'remove') return false;
    const asked = { from: spot(edit.from), to: spot(edit.to) };
    return (
      distanceToBridge(asked, middle(bridge)) <= NEAR_MM &&
      distanceToBridge(bridge, middle(asked)) <= NEAR_MM
    );
  });
}

/** Says drop or keep of the region at a place; the same said near it before is taken back instead. */
export function editRegion(job: JobInput, what: RegionEdit['do'], at: ViewPoint): JobInput {
  return withList(job, 'regionEdits', [...regionsOf(job), { do: what, at: sheetPlace(at) }]);
}

export function unsayRegion(job: JobInput, index: number): JobInput {
  return withList(
    job,
    'regionEdits',
    regionsOf(job).filter((_, i) => i !== index),
  );
}

const editsOf = ({ bridgeEdits }: JobInput): readonly BridgeEdit[] => bridgeEdits ?? [];
export const regionsOf = ({ regionEdits }: JobInput): readonly RegionEdit[] => regionEdits ?? [];
