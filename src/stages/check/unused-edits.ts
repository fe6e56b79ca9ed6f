import type { Job } from '../../settings/job.js';
import type { Bridged } from '../bridge/bridge.js';
import type { Widened } from '../widen/widen.js';
import type { Finding } from './finding.js';

const BRIDGE_EDITS = {
  add: 'The bridge that you added',
  pin: 'The bridge that you pinned',
  move: 'The bridge that you moved',
  remove: 'The bridge that you took away',
} as const;

export function unusedBridgeEdits(
  { unusedEdits }: Bridged,
  job: Pick<Job, 'bridgeEdits'>,
): Finding[] {
  return unusedEdits.map(({ index, at, why }): Finding => {
    const what = BRIDGE_EDITS[job.bridgeEdits[index].do];
    return {
      level: why === 'no-opening' ? 'warning' : 'note',
      code: 'unused-edit',
      message:
        why === 'no-opening'
          ? `${what} touches no opening here any more. It stays in the job (bridge edit ${index + 1}) and does nothing.`
          : `${what} is not proposed here any more. The edit stays in the job (bridge edit ${index + 1}).`,
      at: [at.x, at.y],
    };
  });
}

const REGION_EDITS = {
  'off-sheet': 'lies off the sheet',
  frame: 'lies on the film that holds everything: there is nothing to drop',
  lost: 'could not be kept: there is no room here for something large enough to cut or to hold',
} as const;

export function unusedRegionEdits({ unusedEdits }: Pick<Widened, 'unusedEdits'>): Finding[] {
  return unusedEdits.map(({ index, at, why }) => ({
    level: 'warning',
    code: 'unused-edit',
    message: `Part by hand ${index + 1} ${REGION_EDITS[why]}. It stays in the job.`,
    at,
  }));
}
