import { foldPattern, type FoldRequest } from '../../geometry/fold-pattern.js';
import type { Box } from '../../raster/raster.js';

/** The share of a wedge's height, from its tip to its open edge, that a picture's box takes. By eye. */
const IN_A_WEDGE: Readonly<Record<string, number>> = { eighth: 0.6, sixth: 0.45 };

/**
 * The pixels of the packet, inside the margin, that a picture is laid into: all of a panel or of a quarter, and of a
 * wedge a square that loses its corners at most.
 *
 * @param room the pixels inside the margin
 * @param margin mm
 */
export function packetBox(
  request: FoldRequest,
  room: Box,
  pixelsPerMm: number,
  margin: number,
): Box {
  const pattern = foldPattern(request);
  if (!pattern) return room;
  const xs = pattern.outline.map(({ x }) => x * pixelsPerMm);
  const ys = pattern.outline.map(({ y }) => y * pixelsPerMm);
  const share = IN_A_WEDGE[pattern.kind];
  if (share !== undefined) {
    const side = Math.floor((ys[0] / pixelsPerMm - margin) * share * pixelsPerMm);
    return { x: Math.ceil(Math.min(...xs)), y: room.y, width: side, height: side };
  }
  const left = Math.max(room.x, Math.ceil(Math.min(...xs)));
  const top = Math.max(room.y, Math.ceil(Math.min(...ys)));
  const right = Math.min(room.x + room.width, Math.floor(Math.max(...xs)));
  const bottom = Math.min(room.y + room.height, Math.floor(Math.max(...ys)));
  return { x: left, y: top, width: Math.max(1, right - left), height: Math.max(1, bottom - top) };
}
