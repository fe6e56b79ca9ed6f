import type { Job } from '../../settings/job.js';
import { Problem } from '../../settings/problem.js';
import type { Box } from '../../raster/raster.js';

/** Where one motif goes: its top left pixel, and whether it is turned over on the way. */
export interface MotifPlace {
  readonly x: number;
  readonly y: number;
  readonly flipX: boolean;
  readonly flipY: boolean;
}

/** How many motifs stand in the first row and column, and how many in those that are shifted by half. */
interface Counts {
  readonly across: number;
  readonly down: number;
}

/** A way to repeat: what is shifted by half, and whether every second motif is turned over. */
interface Arrangement {
  readonly shifts: 'nothing' | 'rows' | 'columns';
  readonly mirrors: boolean;
}

const arrangements: Readonly<Record<Exclude<Job['repeat'], 'none'>, Arrangement>> = {
  straight: { shifts: 'nothing', mirrors: false },
  brick: { shifts: 'rows', mirrors: false },
  'half-drop': { shifts: 'columns', mirrors: false },
  mirrored: { shifts: 'nothing', mirrors: true },
};

/** What numbers that are not exact in binary may be off by, px. */
const ROUNDING = 1e-6;

/**
 * The places of a motif that is repeated over a room: as many whole ones as fit, the block of them in the room's
 * middle; bled, the same pattern going on to the room's edges and over them.
 *
 * Places are rounded to the pixel each by itself, so that no error adds up over the card.
 *
 * @param motif px; it fits into the room
 * @param gapPx between one motif and the next
 * @throws Problem when rows or columns are to be shifted and no whole motif fits into a shifted one
 */
export function motifPlaces(
  motif: Pick<Box, 'width' | 'height'>,
  gapPx: number,
  room: Box,
  job: { readonly repeat: keyof typeof arrangements; readonly motifEdge: Job['motifEdge'] },
): MotifPlace[] {
  const { shifts, mirrors } = arrangements[job.repeat];
  const cell = { width: motif.width + gapPx, height: motif.height + gapPx };
  const shift = {
    x: shifts === 'rows' ? cell.width / 2 : 0,
    y: shifts === 'columns' ? cell.height / 2 : 0,
  };
  const plain = counted(room, gapPx, cell);
  const shifted = counted(
    { width: room.width - shift.x, height: room.height - shift.y },
    gapPx,
    cell,
  );
  const whole = job.motifEdge === 'whole';
  if (whole) refuseOneSided(plain, shifted, shifts);
  const isBoth = {
    x: shifts !== 'rows' || plain.down > 1,
    y: shifts !== 'columns' || plain.across > 1,
  };
  const block = {
    width:
      Math.max(plain.across * cell.width, isBoth.x ? shift.x + shifted.across * cell.width : 0) -
      gapPx,
    height:
      Math.max(plain.down * cell.height, isBoth.y ? shift.y + shifted.down * cell.height : 0) -
      gapPx,
  };
  const start = {
    x: room.x + (room.width - block.width) / 2,
    y: room.y + (room.height - block.height) / 2,
  };
  const reach = {
    x: Math.ceil(room.width / cell.width) + 1,
    y: Math.ceil(room.height / cell.height) + 1,
  };
  const places: MotifPlace[] = [];
  for (let j = -reach.y; j <= reach.y; j++) {
    for (let i = -reach.x; i <= reach.x; i++) {
      const x = Math.round(start.x + i * cell.width + (isOdd(j) ? shift.x : 0));
      const y = Math.round(start.y + j * cell.height + (isOdd(i) ? shift.y : 0));
      const box = { x, y, width: motif.width, height: motif.height };
      if (!(whole ? isInRoom(box, room) : touches(box, room))) continue;
      places.push({ x, y, flipX: mirrors && isOdd(i), flipY: mirrors && isOdd(j) });
    }
  }
  return places;
}

function counted(
  { width, height }: Pick<Box, 'width' | 'height'>,
  gapPx: number,
  cell: { readonly width: number; readonly height: number },
): Counts {
  return {
    across: Math.floor((width + gapPx) / cell.width + ROUNDING),
    down: Math.floor((height + gapPx) / cell.height + ROUNDING),
  };
}

function refuseOneSided(plain: Counts, shifted: Counts, shifts: Arrangement['shifts']): void {
  const [inLine, lines, line] =
    shifts === 'rows'
      ? ([shifted.across, plain.down, 'row'] as const)
      : ([shifted.down, plain.across, 'column'] as const);
  if (shifts === 'nothing' || inLine > 0 || lines < 2) return;
  throw new Problem(
    `No whole motif fits into a ${line} that is shifted by half`,
    '`motifSize`',
    'Make the motif smaller, repeat it straight, or let it bleed over the margin',
  );
}

const isOdd = (n: number): boolean => n % 2 !== 0;

/** Inside but for a pixel, which rounding may push it over by. */
function isInRoom(box: Box, room: Box): boolean {
  return (
    box.x >= room.x - 1 &&
    box.y >= room.y - 1 &&
    box.x + box.width <= room.x + room.width + 1 &&
    box.y + box.height <= room.y + room.height + 1
  );
}

function touches(box: Box, room: Box): boolean {
  return (
    box.x < room.x + room.width &&
    box.y < room.y + room.height &&
    box.x + box.width > room.x &&
    box.y + box.height > room.y
  );
}
