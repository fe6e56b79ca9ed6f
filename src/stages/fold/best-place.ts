import { insideOf, type FoldPattern } from '../../geometry/fold-pattern.js';
import {
  foldRasterOf,
  roomInPacket,
  unfoldedBitmap,
  type FoldRaster,
} from '../../geometry/unfold-bitmap.js';
import { labelRegions } from '../../raster/labels.js';
import { matchOf } from '../../raster/likeness.js';
import { decimated } from '../../raster/decimation.js';
import { countOpening } from '../../raster/count.js';
import { innerBorder } from '../../raster/morphology.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Job } from '../../settings/job.js';
import { laidInto, type DrawnContent, type PicturePlace } from './place.js';

/** What the widths leave of a bitmap, at any scale. */
export type KeepWidths = (bitmap: Bitmap, pixelsPerMm: number) => Bitmap;

/** Places are compared at so many pixels a millimetre: fine enough for the narrowest slot of scissors. */
const COARSE_PX = 2;
/** Sizes that are tried, of the one that was read. */
const SIZES = [0.8, 1, 1.25];
/** In a wedge: a picture's longer side, and how far its middle lies from the tip, as shares of the wedge's height. */
const WEDGE_SIZES = [0.35, 0.5, 0.65, 0.85];
const WEDGE_PLACES = [0.45, 0.6, 0.75];
/** What lies on a fold is off it by rounding at most so much, in mm. */
const ON_FOLD_MM = 1e-6;
/** In a panel the picture may be so much wider than it, in mm, to run over both folds: slots that open there. */
const OVER_MM = 1.5;
/** An upright picture is worth so much more than one that is turned where the sheet has an up and a down. */
const UPRIGHT = 1.15;
/** So many places that promise most are carried through to what can be cut. */
const TRIED = 16;
/** Of two places that keep as much of a picture the one is better where it is larger: by this power of its size. By eye. */
const BY_SIZE = 0.6;

interface PlaceLimits {
  readonly margin: number;
  readonly as: Job['as'];
  /** Openings must touch a fold or an open edge. */
  readonly needsReach: boolean;
}

/**
 * The place, size and turn of a picture in the packet that keep most of it: of all its contours, those that lie in the
 * packet, are left when the widths are kept, and belong to openings that scissors reach (Martin, Fowlkes & Malik's F, as
 * `matchOf` counts it).
 */
export function bestPlace(
  drawn: DrawnContent,
  pattern: FoldPattern,
  limits: PlaceLimits,
  keepWidths: KeepWidths,
): PicturePlace {
  const bench = benchOf(drawn, pattern, limits);
  const places = candidatePlaces(drawn, pattern, limits);
  const largest = places.reduce((most, { scale }) => Math.max(most, scale), 0);
  const worth = (place: PicturePlace, share: number): number =>
    share *
    (place.scale / largest) ** BY_SIZE *
    (bench.isRect && place.degrees === 0 ? UPRIGHT : 1);
  const outline = outlinePlaces(bench.drawn);
  const tried = places
    .map((place) => {
      const { share, holds } = shareInRoom(outline, bench, pattern, place);
      return { place, holds, worth: worth(place, share * holds) };
    })
    .sort((a, b) => b.worth - a.worth)
    .slice(0, TRIED)
    .map(({ place, holds }) => ({
      place,
      worth: worth(place, shareKept(bench, place, keepWidths) * holds),
    }));
  return tried.reduce((best, each) => (each.worth > best.worth ? each : best)).place;
}

/** Where the outline of what is drawn runs, as x, y pairs in mm from the middle of it. */
function outlinePlaces({ bitmap, content, pixelsPerMm }: DrawnContent): Float64Array {
  const { data, width } = innerBorder(bitmap);
  const [x, y] = [content.x + content.width / 2, content.y + content.height / 2];
  const places: number[] = [];
  data.forEach((value, i) => {
    if (value === 0) return;
    places.push(
      ((i % width) + 0.5 - x) / pixelsPerMm,
      (Math.floor(i / width) + 0.5 - y) / pixelsPerMm,
    );
  });
  return Float64Array.from(places);
}

/** What a place is worth where nothing of the picture crosses a fold that it has to, as a share. By eye. */
const OFF_FOLD = 0.5;

/**
 * The share of an outline that lies in the packet, and what the place is worth for what crosses its folds: an opening
 * begins at one of them; figures of a row hold hands over both.
 */
function shareInRoom(
  outline: Float64Array,
  { room, pixelsPerMm, limits }: Bench,
  { mirrors, kind }: FoldPattern,
  { x, y, scale, degrees }: PicturePlace,
): { readonly share: number; readonly holds: number } {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  const { width, height } = room;
  let inside = 0;
  const beyond = [Infinity, Infinity];
  for (let k = 0; k < outline.length; k += 2) {
    const mmX = x + scale * (cos * outline[k] - sin * outline[k + 1]);
    const mmY = y + scale * (sin * outline[k] + cos * outline[k + 1]);
    mirrors.forEach((mirror, m) => {
      beyond[m] = Math.min(beyond[m], insideOf(mirror, mmX, mmY));
    });
    const [u, v] = [Math.floor(mmX * pixelsPerMm), Math.floor(mmY * pixelsPerMm)];
    if (u < 0 || v < 0 || u >= width || v >= height) continue;
    inside += room.data[v * width + u];
  }
  const crossed = beyond.filter((mm) => mm < 0).length;
  const isRow = limits.as === 'mask' && kind === 'to-and-fro';
  const wanted = isRow ? 2 : limits.needsReach ? 1 : 0;
  return {
    share: inside / Math.max(1, outline.length / 2),
    holds: crossed >= wanted ? 1 : OFF_FOLD,
  };
}

/** Everything that one comparison of a place needs, at the coarse scale. */
interface Bench {
  readonly drawn: DrawnContent;
  readonly raster: FoldRaster;
  readonly room: Bitmap;
  readonly everywhere: Bitmap;
  readonly limits: PlaceLimits;
  readonly isRect: boolean;
  /** The length of the picture's outline at its own size. */
  readonly outlinePx: number;
  readonly pixelsPerMm: number;
}

function benchOf(
  { bitmap, content, pixelsPerMm }: DrawnContent,
  pattern: FoldPattern,
  limits: PlaceLimits,
): Bench {
  const factor = Math.max(1, Math.floor(pixelsPerMm / COARSE_PX));
  const coarse = decimated(bitmap, factor);
  const scale = pixelsPerMm / factor;
  const { width, height } = coarse;
  const raster = foldRasterOf(pattern, width, height, scale);
  const { margin } = limits;
  const room = roomInPacket(pattern, raster, scale, {
    left: margin,
    top: margin,
    right: width / scale - margin,
    bottom: height / scale - margin,
  });
  return {
    drawn: {
      bitmap: coarse,
      content: {
        x: content.x / factor,
        y: content.y / factor,
        width: content.width / factor,
        height: content.height / factor,
      },
      pixelsPerMm: scale,
    },
    raster,
    room,
    everywhere: { width, height, data: new Uint8Array(width * height).fill(1) },
    limits,
    isRect: pattern.outline.length === 4,
    outlinePx: countOpening(innerBorder(coarse)),
    pixelsPerMm: scale,
  };
}

/** The share of a picture's contours that is left of it at a place when it is cut. */
function shareKept(bench: Bench, place: PicturePlace, keepWidths: KeepWidths): number {
  const { drawn, raster, room, limits, pixelsPerMm } = bench;
  const laid = laidInto(drawn, place, room);
  if (!laid.data.includes(1)) return 0;
  const kept = keepWidths(unfoldedBitmap(laid, raster), pixelsPerMm);
  const packet = { ...kept, data: kept.data.map((value, i) => (raster.copy[i] === 0 ? value : 0)) };
  const print = limits.needsReach && limits.as === 'stencil' ? reached(packet, raster) : packet;
  const { data, ...size } = innerBorder(laidInto(drawn, place, bench.everywhere));
  const wanted = { ...size, weight: Float32Array.from(data) };
  const { found } = matchOf(wanted, print, pixelsPerMm);
  // What of it lies beyond the sheet is lost as well.
  return found.reduce((sum, value) => sum + value, 0) / Math.max(1, bench.outlinePx * place.scale);
}

/** The openings of a packet that come within a pixel of a fold. */
function reached(packet: Bitmap, { copy }: FoldRaster): Bitmap {
  const { width, height } = packet;
  const { labels, count } = labelRegions(packet, 1, 8);
  const touches = new Uint8Array(count + 1);
  for (let i = width; i < width * (height - 1); i++) {
    if (labels[i] === 0) continue;
    const edge = [i - 1, i + 1, i - width, i + width].some((next) => copy[next] !== 0);
    if (edge) touches[labels[i]] = 1;
  }
  return { ...packet, data: packet.data.map((value, i) => value & touches[labels[i]]) };
}

/** Places to compare: in a panel upright and on its side, in its middle and over its folds; in a wedge all round. */
function candidatePlaces(
  drawn: DrawnContent,
  pattern: FoldPattern,
  limits: PlaceLimits,
): PicturePlace[] {
  return pattern.outline.length === 4
    ? placesInPanel(drawn, pattern, limits)
    : placesInWedge(drawn, pattern, limits);
}

function placesInPanel(
  { content, pixelsPerMm }: DrawnContent,
  { outline, mirrors }: FoldPattern,
  { margin }: PlaceLimits,
): PicturePlace[] {
  const xs = outline.map(({ x }) => x);
  const ys = outline.map(({ y }) => y);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [top, bottom] = [Math.min(...ys), Math.max(...ys)];
  const isFold = (x: number, y: number): boolean =>
    mirrors.some((mirror) => Math.abs(insideOf(mirror, x, y)) < ON_FOLD_MM);
  const [midX, midY] = [(left + right) / 2, (top + bottom) / 2];
  const room = {
    left: isFold(left, midY) ? left - OVER_MM : left + margin,
    right: isFold(right, midY) ? right + OVER_MM : right - margin,
    top: isFold(midX, top) ? top - OVER_MM : top + margin,
    bottom: isFold(midX, bottom) ? bottom + OVER_MM : bottom - margin,
  };
  const places: PicturePlace[] = [];
  for (const degrees of [0, 90, 270]) {
    const isSide = degrees !== 0;
    const wide = (isSide ? content.height : content.width) / pixelsPerMm;
    const high = (isSide ? content.width : content.height) / pixelsPerMm;
    const fits = Math.min((room.right - room.left) / wide, (room.bottom - room.top) / high);
    for (const scale of [fits, ...SIZES.map((size) => size * fits), 1]) {
      const [halfX, halfY] = [(scale * wide) / 2, (scale * high) / 2];
      for (const x of [midX, room.left + halfX, room.right - halfX]) {
        for (const y of [(room.top + room.bottom) / 2, room.top + halfY, room.bottom - halfY]) {
          places.push({ x, y, scale, degrees });
        }
      }
    }
  }
  return places;
}

function placesInWedge(
  { content, pixelsPerMm }: DrawnContent,
  { outline, layers }: FoldPattern,
  { margin }: PlaceLimits,
): PicturePlace[] {
  const [tip] = outline;
  const wedge = 360 / layers;
  const high = tip.y - margin;
  const longer = Math.max(content.width, content.height) / pixelsPerMm;
  const places: PicturePlace[] = [];
  for (const size of WEDGE_SIZES) {
    const scale = (size * high) / longer;
    for (const far of WEDGE_PLACES) {
      for (const at of [0, 0.5, 1]) {
        const turn = (at * wedge * Math.PI) / 180;
        const [x, y] = [tip.x + far * high * Math.sin(turn), tip.y - far * high * Math.cos(turn)];
        for (const quarter of [0, 90, 180, 270]) {
          places.push({ x, y, scale, degrees: at * wedge + quarter });
        }
      }
    }
  }
  return places;
}
