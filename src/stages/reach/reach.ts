import { foldRaster, unfoldedBitmap, type FoldRaster } from '../../geometry/unfold-bitmap.js';
import { squaredDistance } from '../../raster/distance.js';
import { labelRegions } from '../../raster/labels.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Job } from '../../settings/job.js';
import type { Picture } from '../read/read.js';
import type { LaidInPacket } from '../fold/fold.js';
import type { Role } from '../role/role.js';

/** What became of an opening that scissors could not reach, and where it lay, in mm on the sheet. */
interface ReachChange {
  readonly how: 'joined' | 'moved' | 'left-out';
  readonly at: readonly [number, number];
  /** Of the slot, or of the way that it was moved; 0 where it was left out. */
  readonly lengthMm: number;
}

/** A design in which scissors reach every opening from a fold or an open edge. */
export interface Reached extends Role {
  readonly changes: readonly ReachChange[];
}

type ReachJob = Pick<Job, 'tool' | 'narrowestOpening' | 'narrowestStrip' | 'smallestOpening'>;

/** To leave an opening out is worth so much more damage than its area: the picture loses a feature. */
const LOSS = 2;
/** Moved no further than this, in mm, so that it is still where it belongs in the picture. */
const MOST_MOVED_MM = 6;

/**
 * Joins, moves or leaves out what scissors can't reach: they can't begin inside a layer, so every opening of the packet
 * has to touch a fold or an open edge. Of the three ways the one that changes least of the picture is taken, by area: a
 * slot, straight to the nearest fold or opening that is reached; the opening moved over the nearest fold; nothing cut.
 * A knife begins anywhere, and its design passes as it is.
 */
export function reach(
  role: Role,
  { pixelsPerMm }: Pick<Picture, 'pixelsPerMm'>,
  laid: Pick<LaidInPacket, 'pattern' | 'room'> | undefined,
  job: ReachJob,
): Reached {
  if (!laid || job.tool !== 'scissors') return { ...role, changes: [] };
  const { width, height } = role.bitmap;
  const raster = foldRaster(laid.pattern, width, height, pixelsPerMm);
  const packet = packetOf(role.bitmap, raster, laid.room);
  const changes = makeReachable(packet, pixelsPerMm, job);
  if (changes.length === 0) return { ...role, changes };
  const data = role.bitmap.data.slice();
  for (let y = 0; y < packet.height; y++) {
    const from = y * packet.width;
    const to = (y + packet.y) * width + packet.x;
    for (let x = 0; x < packet.width; x++) {
      if (packet.isIn[from + x]) data[to + x] = packet.data[from + x];
    }
  }
  return { ...role, bitmap: unfoldedBitmap({ width, height, data }, raster), changes };
}

/** The packet alone, on a grid of its own. */
interface PacketWindow extends Bitmap {
  readonly x: number;
  readonly y: number;
  /** 1 in the packet. */
  readonly isIn: Uint8Array;
  /** 1 where the packet ends and a cut may begin, on its own side of the fold or the edge. */
  readonly edge: Uint8Array;
}

/** What a packet's grid has round it, in px: its edge is then never that of the grid. */
const RIM_PX = 2;

function packetOf(
  bitmap: Bitmap,
  { width, height, copy }: FoldRaster,
  room?: Bitmap,
): PacketWindow {
  let [left, top, right, bottom] = [Infinity, Infinity, -1, -1];
  for (let i = 0; i < copy.length; i++) {
    if (copy[i] !== 0) continue;
    const x = i % width;
    const y = (i - x) / width;
    left = Math.min(left, x);
    right = Math.max(right, x);
    top = Math.min(top, y);
    bottom = Math.max(bottom, y);
  }
  const [x, y] = [left - RIM_PX, top - RIM_PX];
  const [wide, high] = [right - left + 1 + 2 * RIM_PX, bottom - top + 1 + 2 * RIM_PX];
  const [data, isIn, edge] = [0, 1, 2].map(() => new Uint8Array(wide * high));
  for (let v = 0; v < high; v++) {
    for (let u = 0; u < wide; u++) {
      const [column, row] = [u + x, v + y];
      if (column < 0 || row < 0 || column >= width || row >= height) continue;
      const i = row * width + column;
      if (copy[i] !== 0) continue;
      isIn[v * wide + u] = 1;
      data[v * wide + u] = bitmap.data[i];
    }
  }
  for (let i = wide; i < isIn.length - wide; i++) {
    // Where the margin lies along the packet's edge no cut may begin.
    const at = (Math.floor(i / wide) + y) * width + (i % wide) + x;
    if (isIn[i] === 0 || room?.data[at] === 0) continue;
    const inner = isIn[i - 1] & isIn[i + 1] & isIn[i - wide] & isIn[i + wide];
    edge[i] = 1 - inner;
  }
  return { width: wide, height: high, data, x, y, isIn, edge };
}

/** One opening of the packet that touches no edge. */
interface Unreached {
  readonly pixels: Int32Array;
  readonly areaMm2: number;
}

function makeReachable(packet: PacketWindow, pixelsPerMm: number, job: ReachJob): ReachChange[] {
  const { loose, isReached } = openingsIn(packet, pixelsPerMm);
  const changes: ReachChange[] = [];
  const toEdge = squaredDistance({ ...packet, data: packet.edge }, 1);
  // The large ones first: what is small may then be joined to them.
  for (const one of loose.sort((a, b) => b.areaMm2 - a.areaMm2)) {
    if (one.pixels.some((i) => isReached[i] === 1)) continue;
    changes.push(made(one, packet, isReached, toEdge, pixelsPerMm, job));
  }
  return changes;
}

function openingsIn(packet: PacketWindow, pixelsPerMm: number) {
  const { labels, count, areas } = labelRegions(packet, 1, 8);
  const touches = new Uint8Array(count + 1);
  for (let i = 0; i < labels.length; i++) if (packet.edge[i]) touches[labels[i]] = 1;
  const pixels = Array.from(
    { length: count + 1 },
    (_, k) => new Int32Array(k > 0 && touches[k] === 0 ? areas[k] : 0),
  );
  const filled = new Int32Array(count + 1);
  const isReached = new Uint8Array(labels.length);
  for (let i = 0; i < labels.length; i++) {
    const label = labels[i];
    if (label === 0) continue;
    if (touches[label]) isReached[i] = 1;
    else pixels[label][filled[label]++] = i;
  }
  const loose: Unreached[] = pixels
    .filter(({ length }) => length > 0)
    .map((own) => ({ pixels: own, areaMm2: own.length / pixelsPerMm ** 2 }));
  return { loose, isReached };
}

/**
 * Makes the change of least damage. Writes to the packet and to what is reached.
 *
 * @param toEdge squared px from each pixel to where a cut may begin
 */
function made(
  one: Unreached,
  packet: PacketWindow,
  isReached: Uint8Array,
  toEdge: Float32Array,
  pixelsPerMm: number,
  job: ReachJob,
): ReachChange {
  const { width } = packet;
  const targets = new Uint8Array(packet.edge);
  for (let i = 0; i < targets.length; i++) targets[i] |= isReached[i];
  const slot = nearestIn(one, targets, squaredDistance({ ...packet, data: targets }, 1), width);
  const slotMm = slot.length / pixelsPerMm;
  const slotCost = slotMm * job.narrowestOpening;
  const edgeward = nearestIn(one, packet.edge, toEdge, width);
  const moved = movedTo(one, edgeward, packet, pixelsPerMm, job);
  const out = LOSS * one.areaMm2;
  const at = unreachedMiddle(one, packet, pixelsPerMm);
  if (out <= slotCost && (!moved || out <= moved.cost)) {
    for (const i of one.pixels) packet.data[i] = 0;
    return { how: 'left-out', at, lengthMm: 0 };
  }
  if (moved && moved.cost < slotCost) {
    for (const i of one.pixels) packet.data[i] = 0;
    for (const i of moved.pixels) packet.data[i] = isReached[i] = 1;
    return { how: 'moved', at, lengthMm: moved.lengthMm };
  }
  for (const i of one.pixels) isReached[i] = 1;
  drawSlot(packet, isReached, slot, (job.narrowestOpening / 2) * pixelsPerMm, width);
  return { how: 'joined', at, lengthMm: slotMm };
}

/** The shortest way, in px, from an opening to what is set. */
interface ShortestLink {
  readonly from: number;
  readonly to: number;
  readonly length: number;
}

/** @param squared the distance to what is set, in px² */
function nearestIn(
  { pixels }: Unreached,
  data: Uint8Array,
  squared: Float32Array,
  width: number,
): ShortestLink {
  let nearest = Infinity;
  for (const i of pixels) nearest = Math.min(nearest, squared[i]);
  // Of a side that faces it all along, the middle.
  const most = (Math.sqrt(nearest) + 1) ** 2;
  const facing = pixels.filter((i) => squared[i] <= most);
  const from = facing[facing.length >> 1];
  const [x, y] = [from % width, Math.floor(from / width)];
  // It is no further off than that, so that the rest of the packet need not be looked through.
  const away = Math.ceil(Math.sqrt(squared[from]));
  const height = data.length / width;
  let [to, least] = [from, Infinity];
  for (let v = Math.max(0, y - away); v <= Math.min(height - 1, y + away); v++) {
    for (let u = Math.max(0, x - away); u <= Math.min(width - 1, x + away); u++) {
      if (data[v * width + u] === 0) continue;
      const squaredAway = (u - x) ** 2 + (v - y) ** 2;
      if (squaredAway < least) [to, least] = [v * width + u, squaredAway];
    }
  }
  return { from, to, length: Math.sqrt(least) };
}

/** The opening moved over the nearest fold, if there is room for it; its cost in mm² of changed print. */
function movedTo(
  { pixels }: Unreached,
  { from, to, length }: ShortestLink,
  packet: PacketWindow,
  pixelsPerMm: number,
  { narrowestOpening, narrowestStrip }: ReachJob,
):
  | { readonly pixels: readonly number[]; readonly cost: number; readonly lengthMm: number }
  | undefined {
  if (length > MOST_MOVED_MM * pixelsPerMm || length === 0) return undefined;
  const { width, height, data, isIn } = packet;
  const over = 1 + (0.5 * narrowestOpening * pixelsPerMm) / length;
  const dx = Math.round(((to % width) - (from % width)) * over);
  const dy = Math.round((Math.floor(to / width) - Math.floor(from / width)) * over);
  const own = new Set(pixels);
  const others = new Uint8Array(data);
  for (const i of pixels) others[i] = 0;
  const free = squaredDistance({ width, height, data: others }, 1);
  const gap = (narrowestStrip * pixelsPerMm) ** 2;
  const there: number[] = [];
  let same = 0;
  for (const i of pixels) {
    const [x, y] = [(i % width) + dx, Math.floor(i / width) + dy];
    if (x < 0 || y < 0 || x >= width || y >= height) continue;
    const at = y * width + x;
    if (isIn[at] === 0) continue;
    if (free[at] < gap) return undefined;
    there.push(at);
    if (own.has(at)) same++;
  }
  const changed = pixels.length + there.length - 2 * same;
  return {
    pixels: there,
    cost: changed / 2 / pixelsPerMm ** 2,
    lengthMm: Math.hypot(dx, dy) / pixelsPerMm,
  };
}

/** A straight slot with round ends. Writes to the packet and to what is reached. */
function drawSlot(
  packet: PacketWindow,
  isReached: Uint8Array,
  { from, to }: ShortestLink,
  half: number,
  width: number,
): void {
  const [x0, y0] = [from % width, Math.floor(from / width)];
  const [x1, y1] = [to % width, Math.floor(to / width)];
  const squared = (x1 - x0) ** 2 + (y1 - y0) ** 2 || 1;
  const reachPx = Math.ceil(half);
  for (let y = Math.min(y0, y1) - reachPx; y <= Math.max(y0, y1) + reachPx; y++) {
    for (let x = Math.min(x0, x1) - reachPx; x <= Math.max(x0, x1) + reachPx; x++) {
      const share = Math.min(
        1,
        Math.max(0, ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / squared),
      );
      const off = Math.hypot(x - x0 - share * (x1 - x0), y - y0 - share * (y1 - y0));
      const i = y * width + x;
      if (off > half || x < 0 || x >= width || !packet.isIn[i]) continue;
      packet.data[i] = isReached[i] = 1;
    }
  }
}

function unreachedMiddle(
  { pixels }: Unreached,
  { width, x, y }: PacketWindow,
  pixelsPerMm: number,
): readonly [number, number] {
  let [sumX, sumY] = [0, 0];
  for (const i of pixels) {
    sumX += (i % width) + 0.5;
    sumY += Math.floor(i / width) + 0.5;
  }
  return [(sumX / pixels.length + x) / pixelsPerMm, (sumY / pixels.length + y) / pixelsPerMm];
}
