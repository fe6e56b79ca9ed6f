import { findRegions } from '../../raster/labels.js';
import { BACKGROUND, SUBJECT, type Cells, type Known } from './graph-cut.js';

/**
 * Pieces of subject that are smaller than this share of all of it are slips of the cut: what belongs to it is mostly
 * larger …
 */
const SLIP = 0.02;
/** … and so are gaps in it that are much smaller still: a larger one is what shows between leaves or limbs. */
const SLIP_IN_IT = 0.003;

/**
 * Takes away the slips of a cut: small pieces apart that no mark is on, and small gaps that none is in. What grew from
 * strokes alone is only what they are on.
 */
export function withoutSmallComponents(cut: Cells, known: Known): Cells {
  const data = cut.data.slice();
  const size = data.reduce((sum, value) => sum + value, 0);
  giveAway({ ...cut, data }, 1, 8, known.startsFull ? SLIP * size : Infinity, known, SUBJECT);
  giveAway({ ...cut, data }, 0, 4, SLIP_IN_IT * size, known, BACKGROUND);
  return { ...cut, data };
}

function giveAway(
  cells: Cells,
  value: 0 | 1,
  connectivity: 4 | 8,
  size: number,
  known: Known,
  mark: number,
): void {
  const { starts, ends, numbers, areas } = findRegions(cells, value, connectivity);
  const keeps = new Uint8Array(areas.length);
  for (let run = 0; run < starts.length; run++) {
    if (known.data.subarray(starts[run], ends[run]).includes(mark)) keeps[numbers[run]] = 1;
  }
  for (let run = 0; run < starts.length; run++) {
    const region = numbers[run];
    if (keeps[region] === 1 || areas[region] >= size) continue;
    cells.data.fill(1 - value, starts[run], ends[run]);
  }
}
