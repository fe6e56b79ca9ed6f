import { flatten } from '../../geometry/flatten.js';
import { perimeter } from '../../geometry/perimeter.js';
import { withoutRegisterMarks } from '../../geometry/register-marks.js';
import { signedArea } from '../../geometry/regions.js';
import { shapeFinder } from '../../geometry/shape-at.js';
import type { Shape } from '../../geometry/shape.js';
import { findRegions, regionOf, type RegionRuns } from '../../raster/labels.js';
import type { Bitmap } from '../../raster/raster.js';
import {
  BUMP_MM2,
  CRUMB_MM2,
  eroded,
  isEdge,
  nearestOf,
  outlinesOf,
  placeOf,
  type Drawn,
} from './drawn.js';
import type { Finding } from './finding.js';

/** The area of an opening, and the length of all its outlines. */
export interface Measured {
  readonly areaMm2: number;
  readonly lengthMm: number;
}

export function measureOpening(shape: Shape): Measured {
  let areaMm2 = 0;
  let lengthMm = 0;
  for (const [k, outline] of outlinesOf(shape).entries()) {
    const polygon = flatten(outline, 0.005);
    areaMm2 += (k === 0 ? 1 : -1) * Math.abs(signedArea(polygon));
    lengthMm += perimeter(polygon);
  }
  return { areaMm2, lengthMm };
}

/** Promise 3, width: the tip can clear each opening in one go, and nowhere has to squeeze through a neck. */
export function narrowOpenings(drawn: Drawn): Finding[] {
  const { bitmap, job, pixelsPerMm } = drawn;
  const openings = findRegions(bitmap, 1, 8);
  const core = eroded(bitmap, 1, job.narrowestOpening, pixelsPerMm);
  const cores = findRegions(core, 1, 8);
  const rooms = new Int32Array(openings.count + 1);
  const bumps = new Int32Array(openings.count + 1);
  const crumb = CRUMB_MM2 * pixelsPerMm * pixelsPerMm;
  const bump = BUMP_MM2 * pixelsPerMm * pixelsPerMm;
  for (let label = 1; label <= cores.count; label++) {
    const found = cores.areas[label] >= bump ? rooms : bumps;
    found[regionOf(openings, cores.first[label])]++;
  }
  const necks = partedByNecks(cores, openings, drawn);
  return [...openings.first].flatMap((i, label): Finding[] => {
    const neck = necks.get(label);
    if (neck !== undefined) return [narrowNeck(neck, drawn)];
    const isCrumb = label === 0 || openings.areas[label] < crumb;
    if (isCrumb || rooms[label] === 1 || (rooms[label] === 0 && bumps[label] > 0)) return [];
    if (rooms[label] > 0) return [narrowNeck(neckOf(cores, openings, label, bitmap), drawn)];
    const message = `An opening is narrower than ${job.narrowestOpening} mm all over.`;
    return [{ level: 'error', code: 'narrow-opening', message, at: placeOf(i, drawn) }];
  });
}

function narrowNeck(pixel: number, drawn: Drawn): Finding {
  const message = `An opening has a neck narrower than ${drawn.job.narrowestOpening} mm.`;
  return { level: 'error', code: 'narrow-opening', message, at: placeOf(pixel, drawn) };
}

/**
 * The parts of an opening that the drawing shows apart from the rest, since the neck between them is narrower than a
 * pixel: by the number of each, its pixel at the neck.
 */
function partedByNecks(cores: RegionRuns, openings: RegionRuns, drawn: Drawn): Map<number, number> {
  const necks = new Map<number, number>();
  const parts = new Set<number>();
  const partOf = new Map<number, number>();
  const shapeAt = shapeFinder(drawn.shapes);
  for (const i of cores.first.subarray(1)) {
    const part = regionOf(openings, i);
    if (parts.has(part)) continue;
    parts.add(part);
    const shape = shapeAt(...placeOf(i, drawn));
    const rest = partOf.get(shape);
    if (rest === undefined) partOf.set(shape, part);
    else necks.set(part, nearestOf(openings, part, rest, drawn.bitmap));
  }
  return necks;
}

/** A pixel at the neck of an opening: of its smallest room, the one that is nearest to the largest. */
function neckOf(cores: RegionRuns, openings: RegionRuns, opening: number, like: Bitmap): number {
  const rooms = [...cores.areas.keys()]
    .filter((core) => core > 0 && regionOf(openings, cores.first[core]) === opening)
    .sort((a, b) => cores.areas[a] - cores.areas[b]);
  return nearestOf(cores, rooms[0], rooms[rooms.length - 1], like);
}

const AREA_SLACK = 0.98;

/** Promise 3, area: each piece is large enough to pop out. */
export function smallOpenings({ shapes, job }: Drawn, openings: readonly Measured[]): Finding[] {
  return openings.flatMap(({ areaMm2 }, k): Finding[] => {
    if (areaMm2 >= AREA_SLACK * job.smallestOpening) return [];
    const { coords } = shapes[k].outer;
    return [
      {
        level: 'error',
        code: 'small-opening',
        message: `An opening of ${areaMm2.toFixed(1)} mm² is smaller than ${job.smallestOpening} mm².`,
        at: [coords[0], coords[1]],
      },
    ];
  });
}

/** What a pixel grid and rounded numbers may add to the margin, in mm. */
const MARGIN_SLACK_MM = 0.05;

/** Promise 4: no opening reaches into the margin, save the register marks, which stand there; and no mask. */
export function inMargin({ shapes, sheet, job }: Drawn): Finding[] {
  const least = job.margin - MARGIN_SLACK_MM;
  const right = sheet.widthMm - least;
  const bottom = sheet.heightMm - least;
  const reaching = withoutRegisterMarks(shapes, sheet, job).flatMap(({ outer, holes }) =>
    isEdge(outer, sheet) ? holes : [outer],
  );
  return reaching.flatMap((outline): Finding[] => {
    const polygon = flatten(outline);
    for (let i = 0; i < polygon.length; i += 2) {
      const [x, y] = [polygon[i], polygon[i + 1]];
      if (x >= least && y >= least && x <= right && y <= bottom) continue;
      return [
        {
          level: 'error',
          code: 'in-margin',
          message: `An opening reaches into the margin of ${job.margin} mm.`,
          at: [x, y],
        },
      ];
    }
    return [];
  });
}
