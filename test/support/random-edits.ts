import type { Area, BridgeEdit, Place } from '../../src/settings/edits.js';
import type { Bridge } from '../../src/stages/bridge/bridge.js';

/** What a person may do to bridges, in mm. */
export interface RandomEdits {
  readonly bridgeEdits: readonly BridgeEdit[];
  readonly bridgeFree: readonly Area[];
}

const FAR_MM = 3;
const LONGEST_MM = 12;
const FREE_MM = 6;

/**
 * One edit of each kind at random: a bridge added, moved, removed and pinned, and an area without any. What needs a
 * bridge that was proposed is left out where there is none.
 *
 * @param sideMm the side of a square sheet
 */
export function randomEdits(
  bridges: readonly Bridge[],
  sideMm: number,
  random: () => number,
): RandomEdits {
  const off = (by: number): number => by * (2 * random() - 1);
  const anywhere = (): Place => [sideMm * random(), sideMm * random()];
  const near = ([x, y]: Place, by: number): Place => [x + off(by), y + off(by)];
  const from = anywhere();
  const edits: BridgeEdit[] = [
    { do: 'add', from, to: near(from, LONGEST_MM), widthMm: 2 + 2 * random() },
  ];
  for (const kind of ['move', 'remove', 'pin'] as const) {
    if (bridges.length === 0) break;
    const { from, to } = bridges[Math.floor(bridges.length * random())];
    const [a, b]: Place[] = [
      [from.x, from.y],
      [to.x, to.y],
    ];
    const at: Place = [(from.x + to.x) / 2, (from.y + to.y) / 2];
    if (kind === 'move') edits.push({ do: kind, at, from: near(a, FAR_MM), to: near(b, FAR_MM) });
    else if (kind === 'remove') edits.push({ do: kind, at });
    else edits.push({ do: kind, from: a, to: b });
  }
  const [x, y] = anywhere();
  const free: Area = [
    [x, y],
    [x + FREE_MM, y],
    [x + FREE_MM, y + FREE_MM],
    [x, y + FREE_MM],
  ];
  return { bridgeEdits: edits, bridgeFree: [free] };
}
