import { boundsOf, type Bounds } from '../../geometry/bounding-box.js';
import { flatten } from '../../geometry/flatten.js';
import { isInside } from '../../geometry/boolean-operations.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { Outline, Shape } from '../../geometry/shape.js';
import { findRegions } from '../../raster/labels.js';
import type { Bitmap } from '../../raster/raster.js';
import type { ErodedFilm } from './eroded-film.js';

/** The holes of the openings, each of which is an island of film, by what the bitmap shows of them. */
export interface Islands {
  /** No place in it is wide enough for a bridge to hold. */
  readonly bare: readonly Outline[];
  /** The opening round it is somewhere finer than a pixel, so that it seems to be joined to other film. */
  readonly joined: readonly Outline[];
}

/** An island: a hole of an opening, in mm. */
export interface Hole {
  readonly outline: Outline;
  readonly polygon: Float64Array;
  readonly box: Bounds;
  readonly area: number;
}

/** Tells the islands that no bridge can hold, and those that the bitmap hides, from the others. */
export function sortIslands(openings: readonly Shape[], film: ErodedFilm): Islands {
  const holes = holesOf(openings);
  if (holes.length === 0) return { bare: [], joined: [] };
  const held = new Set<Hole>();
  for (const { x, y } of heldRegions(film)) {
    const hole = innermost(holes, x, y);
    if (hole) held.add(hole);
  }
  const bare: Outline[] = [];
  const joined: Outline[] = [];
  for (const hole of holes) {
    if (!held.has(hole)) (hasCore(hole, holes, film) ? joined : bare).push(hole.outline);
  }
  return { bare, joined };
}

/** The holes of all openings. */
export function holesOf(openings: readonly Shape[]): Hole[] {
  return openings.flatMap(({ holes }) => holes.map(measureHole));
}

function measureHole(outline: Outline): Hole {
  const polygon = flatten(outline);
  return { outline, polygon, box: boundsOf(polygon), area: Math.abs(signedArea(polygon)) };
}

/** A place in mm in each film region that does not come to the sheet's edge and has a core. */
function heldRegions({ bitmap, pixelsPerMm, cores }: ErodedFilm): { x: number; y: number }[] {
  const { width, height } = bitmap;
  const { starts, ends, numbers, count, bounds } = findRegions(bitmap, 0, 4);
  const core = new Int32Array(count + 1).fill(-1);
  const isInside = Uint8Array.from(core, (_, region) => {
    const [left, top, right, bottom] = bounds.subarray(4 * region, 4 * region + 4);
    return Number(left > 0 && top > 0 && right < width - 1 && bottom < height - 1);
  });
  for (let run = 0; run < starts.length; run++) {
    const region = numbers[run];
    if (isInside[region] === 0 || core[region] >= 0) continue;
    for (let i = starts[run]; i < ends[run] && core[region] < 0; i++) {
      if (cores[i] !== 0) core[region] = i;
    }
  }
  return [...core]
    .filter((i) => i >= 0)
    .map((i) => ({
      x: ((i % width) + 0.5) / pixelsPerMm,
      y: (Math.floor(i / width) + 0.5) / pixelsPerMm,
    }));
}

/** The smallest hole that a place lies in, in mm. */
export function innermost(holes: readonly Hole[], x: number, y: number): Hole | undefined {
  let best: Hole | undefined;
  for (const hole of holes) {
    const { left, top, right, bottom } = hole.box;
    if (x < left || x > right || y < top || y > bottom) continue;
    if ((!best || hole.area < best.area) && isInside(hole.polygon, x, y)) best = hole;
  }
  return best;
}

/** Whether a core lies in a hole, and not in one further in. */
function hasCore(
  hole: Hole,
  holes: readonly Hole[],
  { bitmap, cores, pixelsPerMm }: ErodedFilm,
): boolean {
  const { left, top, right, bottom } = hole.box;
  for (let j = Math.floor(top * pixelsPerMm); j <= bottom * pixelsPerMm; j++) {
    for (let i = Math.floor(left * pixelsPerMm); i <= right * pixelsPerMm; i++) {
      if (cores[j * bitmap.width + i] === 0) continue;
      const place = innermost(holes, (i + 0.5) / pixelsPerMm, (j + 0.5) / pixelsPerMm);
      if (place === hole) return true;
    }
  }
  return false;
}

/** Draws outlines into a copy of a bitmap as lines of opening, to part what only seemed to be joined. */
export function parted(bitmap: Bitmap, outlines: readonly Outline[], pixelsPerMm: number): Bitmap {
  const data = bitmap.data.slice();
  for (const outline of outlines) {
    const polygon = flatten(outline);
    for (let i = 0; i < polygon.length; i += 2) {
      const j = (i + 2) % polygon.length;
      const dx = polygon[j] - polygon[i];
      const dy = polygon[j + 1] - polygon[i + 1];
      const steps = Math.max(1, Math.ceil(2 * pixelsPerMm * Math.max(Math.abs(dx), Math.abs(dy))));
      for (let k = 0; k < steps; k++) {
        const x = Math.floor((polygon[i] + (dx * k) / steps) * pixelsPerMm);
        const y = Math.floor((polygon[i + 1] + (dy * k) / steps) * pixelsPerMm);
        data[y * bitmap.width + x] = 1;
      }
    }
  }
  return { ...bitmap, data };
}

/** Cuts away islands. What one had inside it becomes part of the opening round it. */
export function withoutIslands(
  openings: readonly Shape[],
  islands: readonly Outline[],
): readonly Shape[] {
  return islands.reduce(withoutIsland, openings);
}

function withoutIsland(openings: readonly Shape[], island: Outline): readonly Shape[] {
  const home = openings.find(({ holes }) => holes.includes(island));
  if (!home) return openings;
  const loop = flatten(island);
  const inside = openings.filter((other) => other !== home && startsIn(other.outer, loop));
  const direct = inside.filter((one) => !inside.some((other) => liesInHoleOf(one, other)));
  const holes = home.holes.filter((one) => one !== island);
  const merged = { outer: home.outer, holes: [...holes, ...direct.flatMap((one) => one.holes)] };
  return openings
    .filter((one) => !direct.includes(one))
    .map((one) => (one === home ? merged : one));
}

function startsIn(outline: Outline, loop: Float64Array): boolean {
  return isInside(loop, outline.coords[0], outline.coords[1]);
}

function liesInHoleOf(one: Shape, other: Shape): boolean {
  return one !== other && other.holes.some((hole) => startsIn(one.outer, flatten(hole)));
}
