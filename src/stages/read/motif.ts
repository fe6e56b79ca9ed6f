import type { Job } from '../../settings/job.js';
import { Problem } from '../../settings/problem.js';
import { contained } from '../../raster/placement.js';
import type { Box, Gray } from '../../raster/raster.js';
import type { PixelSize } from './decoding.js';

/** The longer side, in px, of the look that finds where a drawing ends: to a fifth of a percent, in little time. */
const LOOK_PX = 512;
/** What paper may wander by along the picture's edge and still be paper, in greys of 256. */
const EVEN_GREYS = 24;
/** What differs from the paper by more than this is drawn, in greys of 256: twice what the paper may wander by. */
const DRAWN_GREYS = 48;
/** Kept round what is drawn, px of the look: the soft rim of a line. */
const RIM_PX = 1;

/**
 * The part of a picture that is drawn on: without the empty paper round it. The whole part where its edge is no
 * even paper, as in a photograph.
 *
 * @param part in the picture's px
 * @param look gives a part as grey, at a size in px
 */
export async function drawnPart(
  part: Box,
  look: (part: Box, size: PixelSize) => Promise<Uint8Array>,
): Promise<Box> {
  const scale = Math.min(1, LOOK_PX / Math.max(part.width, part.height));
  const size = {
    width: Math.max(1, Math.round(part.width * scale)),
    height: Math.max(1, Math.round(part.height * scale)),
  };
  const drawn = drawnBox({ ...size, data: await look(part, size) });
  if (!drawn) return part;
  const [across, down] = [part.width / size.width, part.height / size.height];
  return {
    x: part.x + drawn.x * across,
    y: part.y + drawn.y * down,
    width: drawn.width * across,
    height: drawn.height * down,
  };
}

/** The box of what differs from the paper along the edge; undefined when there is no paper, or nothing on it. */
function drawnBox({ width, height, data }: Gray): Box | undefined {
  const edge = edgeGreys({ width, height, data }).sort();
  const paper = edge[edge.length >> 1];
  const most = Math.max(paper - edge[0], edge[edge.length - 1] - paper);
  if (most > EVEN_GREYS) return undefined;
  let [left, top, right, bottom] = [width, height, -1, -1];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      if (Math.abs(data[y * width + x] - paper) <= DRAWN_GREYS) continue;
      left = Math.min(left, x);
      right = Math.max(right, x);
      top = Math.min(top, y);
      bottom = y;
    }
  }
  if (right < 0) return undefined;
  const x = Math.max(0, left - RIM_PX);
  const y = Math.max(0, top - RIM_PX);
  return {
    x,
    y,
    width: Math.min(width, right + 1 + RIM_PX) - x,
    height: Math.min(height, bottom + 1 + RIM_PX) - y,
  };
}

function edgeGreys({ width, height, data }: Gray): Uint8Array {
  const sides: number[] = [];
  for (let x = 0; x < width; x++) sides.push(data[x], data[(height - 1) * width + x]);
  for (let y = 0; y < height; y++) sides.push(data[y * width], data[(y + 1) * width - 1]);
  return Uint8Array.from(sides);
}

/**
 * Where one motif lies: in the middle of the room, its longer side as long as the job says.
 *
 * @param part the picture's shape
 * @param room the pixels inside the margin
 * @throws Problem when it does not fit into the room
 */
export function motifBox(
  part: Box,
  room: Box,
  pixelsPerMm: number,
  { motifSize }: Pick<Job, 'motifSize'>,
): Box {
  const side = Math.round(motifSize * pixelsPerMm);
  const { width, height } = contained(part.width, part.height, {
    x: 0,
    y: 0,
    width: side,
    height: side,
  });
  if (width > room.width || height > room.height) {
    const inMm = (px: number): string => String(Math.round(px / pixelsPerMm));
    throw new Problem(
      `The motif is larger than the card: ${inMm(width)} × ${inMm(height)} mm, where ${inMm(room.width)} × ${inMm(room.height)} mm lie inside the margin`,
      '`motifSize`',
      'Make the motif smaller, or take a larger card',
    );
  }
  return {
    x: room.x + ((room.width - width) >> 1),
    y: room.y + ((room.height - height) >> 1),
    width,
    height,
  };
}
