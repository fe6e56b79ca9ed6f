import type { Sheet } from '../card.js';
import { halfCovered } from '../geometry/coverage.js';
import { cubicOf, curvatureAt, pointAt } from '../geometry/cubic.js';
import { flatten } from '../geometry/flatten.js';
import { perimeter } from '../geometry/perimeter.js';
import { registerMarks, withoutRegisterMarks } from '../geometry/register-marks.js';
import { innerCorners } from '../geometry/inner-corners.js';
import { signedArea } from '../geometry/regions.js';
import { shapeAt } from '../geometry/shape-at.js';
import type { Outline, Shape } from '../geometry/shape.js';
import type { Job } from '../job.js';
import { countDifferent } from '../raster/count.js';
import { furtherThan, squaredDistance } from '../raster/distance.js';
import { sheetSize } from '../raster/fit.js';
import { labelRegions, type Regions } from '../raster/labels.js';
import type { Bitmap } from '../raster/raster.js';
import { findTongues } from '../raster/tongues.js';
import type { Bridged } from './bridge.js';
import type { Survival } from './survival.js';
import type { Tone } from './tone.js';
import type { Widened } from './widen.js';

/** Something about the stencil that a person should know. */
export interface Finding {
  /** An error is a promise that the stencil does not keep. */
  readonly level: 'error' | 'warning' | 'note';
  readonly code:
    | 'loose-island'
    | 'weak-hold'
    | 'narrow-opening'
    | 'small-opening'
    | 'tight-turn'
    | 'in-margin'
    | 'detail-lost'
    | 'parts-lost'
    | 'left-out'
    | 'unused-edit'
    | 'removed-bridge-drops-island';
  readonly message: string;
  /** Where, in mm from the sheet's left and top edge. */
  readonly at?: readonly [number, number];
}

/** A stencil measured against the promises. */
export interface Checked {
  readonly findings: readonly Finding[];
  /** Share of the card's area, 0 to 1, that the print changes against the tone picture. */
  readonly fidelity: number;
  /** One an opening, in the order of the openings; the length is that of all its outlines. */
  readonly openings: readonly { readonly areaMm2: number; readonly lengthMm: number }[];
  /**
   * Where the film may give way, in mm: strips under the limit, the tips of tongues that nothing ties, and sharp corners
   * of openings, where it tears.
   */
  readonly weakPlaces: readonly WeakPlace[];
}

interface WeakPlace {
  readonly kind: 'thin-hold' | 'tongue' | 'sharp-corner';
  readonly at: readonly [number, number];
}

/** What the stages before made: what was asked for, what was left out on the way, and what came of it. */
interface Made {
  readonly tone: Pick<Tone, 'bitmap'>;
  readonly widened: Pick<Widened, 'specksDropped' | 'islandsDropped' | 'unusedEdits'>;
  readonly bridged: Bridged;
  /** What became of the tone's parts; null where nobody counted. */
  readonly survived: Survival | null;
}

type CheckSettings = Pick<
  Job,
  | 'as'
  | 'registerMarks'
  | 'margin'
  | 'narrowestStrip'
  | 'narrowestOpening'
  | 'smallestOpening'
  | 'tightestTurn'
  | 'tongueFrom'
  | 'bridgeEdits'
  | 'bridgeFree'
>;

/** A strip or an opening is tried with just under half its width: this much less, in mm. */
const JUST_UNDER_MM = 0.1;
/** What a pixel grid and rounded numbers may add to the margin, in mm. */
const MARGIN_SLACK_MM = 0.05;
/** Turns are measured at even parameters, not at their very tightest: this share of the radius is let through. */
const TURN_SLACK = 0.9;
const LOOKS_PER_CURVE = 16;
/** A kink that a hand does not notice, in radians (10°). */
const MOST_KINK = (10 * Math.PI) / 180;
/** A pixel or two that the drawing parts from the tip of a sharp corner are no piece, in mm². */
const CRUMB_MM2 = 0.1;
/** What is left of a bump beyond a slight waist is no part of its own, in mm². */
const BUMP_MM2 = 0.25;
const AREA_SLACK = 0.98;
/** Above this share of the card changed, the picture is too fine for the card. */
const MUCH_CHANGED = 0.12;

/** One look at the finished stencil: its film and openings drawn anew, and the numbers to measure them by. */
interface Drawn {
  readonly bitmap: Bitmap;
  readonly film: Regions;
  /** The region of film that all must belong to. */
  readonly root: number;
  readonly pixelsPerMm: number;
  readonly job: CheckSettings;
  readonly shapes: readonly Shape[];
  readonly sheet: Sheet;
}

/**
 * Draws the finished stencil again and tests the promises on the drawing.
 *
 * By another road than the one that made it: the stages before count pixel centres inside the flattened outlines,
 * this one takes exact covered areas of the final curves.
 */
export function check(
  { tone, widened, bridged, survived }: Made,
  sheet: Sheet,
  pixelsPerMm: number,
  job: CheckSettings,
): Checked {
  const { width, height } = sheetSize(sheet, pixelsPerMm);
  const bitmap = halfCovered(bridged.openings, width, height, pixelsPerMm);
  const film = labelRegions(bitmap, 0, 4);
  const root = rootOf(film);
  const drawn: Drawn = { bitmap, film, root, pixelsPerMm, job, shapes: bridged.openings, sheet };
  const openings = bridged.openings.map(measureOpening);
  const changed = countDifferent(bitmap, tone.bitmap) - marksArea(sheet, pixelsPerMm, job);
  const thin = weakHolds(drawn);
  const fidelity = Math.max(0, changed) / (width * height);
  const findings = [
    ...looseIslands(drawn),
    ...droppedByRemoval(drawn, bridged),
    ...thin,
    ...narrowOpenings(drawn),
    ...smallOpenings(drawn, openings),
    ...tightTurns(drawn),
    ...inMargin(drawn),
    ...detailLost(fidelity),
    ...partsLost(survived, sheet),
    ...unusedBridgeEdits(bridged, job),
    ...unusedRegionEdits(widened),
    ...leftOut(widened, bridged),
  ];
  return {
    findings: findings.map((finding) => inWordsOf(job.as, finding)),
    fidelity,
    openings,
    weakPlaces: [
      ...thin.flatMap(({ at }): WeakPlace[] => (at ? [{ kind: 'thin-hold', at }] : [])),
      ...findTongues(bitmap, pixelsPerMm, job.tongueFrom).map(({ tip }): WeakPlace => ({
        kind: 'tongue',
        at: tip,
      })),
      ...innerCorners(bridged.openings).map(({ x, y }): WeakPlace => ({
        kind: 'sharp-corner',
        at: [x, y],
      })),
    ],
  };
}

/** The film along the sheet's edge; round a mask there is none, and the mask is the largest. */
function rootOf({ labels, areas }: Regions): number {
  if (labels[0] !== 0) return labels[0];
  let root = 0;
  for (let label = 1; label < areas.length; label++) {
    if (root === 0 || areas[label] > areas[root]) root = label;
  }
  return root;
}

const outlinesOf = ({ outer, holes }: Shape): readonly Outline[] => [outer, ...holes];

function measureOpening(shape: Shape): { areaMm2: number; lengthMm: number } {
  let areaMm2 = 0;
  let lengthMm = 0;
  for (const [k, outline] of outlinesOf(shape).entries()) {
    const polygon = flatten(outline, 0.005);
    areaMm2 += (k === 0 ? 1 : -1) * Math.abs(signedArea(polygon));
    lengthMm += perimeter(polygon);
  }
  return { areaMm2, lengthMm };
}

/** What register marks add to the print is no change of it, in px. */
function marksArea(sheet: Sheet, pixelsPerMm: number, job: CheckSettings): number {
  const areas = registerMarks(sheet, job).map((shape) => measureOpening(shape).areaMm2);
  return areas.reduce((sum, area) => sum + area, 0) * pixelsPerMm ** 2;
}

/** Promise 1: the film is one piece. Every region of film but the frame's is an island, so is every hole. */
function looseIslands(drawn: Drawn): Finding[] {
  const { film, shapes, pixelsPerMm } = drawn;
  const crumb = CRUMB_MM2 * pixelsPerMm * pixelsPerMm;
  const regions = [...film.first]
    .filter((_, label) => label > 0 && label !== drawn.root && film.areas[label] >= crumb)
    .map((i) => placeOf(i, drawn));
  const holes = shapes.flatMap(({ outer, holes }) =>
    (isEdge(outer, drawn.sheet) ? holes.slice(1) : holes).map(
      ({ coords }): readonly [number, number] => [coords[0], coords[1]],
    ),
  );
  return (holes.length > regions.length ? holes : regions).map((at) => ({
    level: 'error',
    code: 'loose-island',
    message:
      drawn.job.bridgeFree.length === 0
        ? 'An island of film has no hold: it would fall out.'
        : 'An island of film has no hold: it would fall out. Perhaps it lies in a part that you keep free of bridges.',
    at,
  }));
}

/** The bridges that a person took away without which the film at one of their ends falls out. */
function droppedByRemoval(drawn: Drawn, { removed }: Bridged): Finding[] {
  const regionAt = ({ x, y }: { readonly x: number; readonly y: number }): number => {
    const { bitmap, film, pixelsPerMm } = drawn;
    return film.labels[Math.floor(y * pixelsPerMm) * bitmap.width + Math.floor(x * pixelsPerMm)];
  };
  return removed
    .filter(({ start, end }) => regionAt(start) !== regionAt(end))
    .map(({ at, moved }) => ({
      level: 'error',
      code: 'removed-bridge-drops-island',
      message: moved
        ? 'The bridge that you moved from here no longer holds its island, which would fall out. Move it to where it meets film at both ends, or add another.'
        : 'Without the bridge that you took away here an island would fall out. Put it back, or add one elsewhere.',
      at: [at.x, at.y],
    }));
}

/** Promise 2: eroded by just under half the narrowest strip, the film that was one piece still is. */
function weakHolds(drawn: Drawn): Finding[] {
  const { bitmap, film, job, pixelsPerMm } = drawn;
  const core = eroded(bitmap, 0, job.narrowestStrip, pixelsPerMm);
  const cores = labelRegions(core, 1, 8);
  const root = rootOf(cores);
  const bump = BUMP_MM2 * pixelsPerMm * pixelsPerMm;
  const weak = [...cores.first].filter(
    (i, label) =>
      label > 0 && label !== root && cores.areas[label] >= bump && film.labels[i] === drawn.root,
  );
  if (weak.length === 0) return [];
  const toRoot = distanceToRegion(cores, root, core);
  return weak.map((i) => ({
    level: 'error',
    code: 'weak-hold',
    message: `The film is held here by a strip narrower than ${job.narrowestStrip} mm.`,
    at: placeOf(nearestOf(cores, cores.labels[i], toRoot), drawn),
  }));
}

/** The pixels of one value that a disk of just under half of `widthMm` round them does not leave. */
function eroded(bitmap: Bitmap, value: 0 | 1, widthMm: number, pixelsPerMm: number): Bitmap {
  const radius = (widthMm / 2 - JUST_UNDER_MM) * pixelsPerMm;
  const [data] = furtherThan(bitmap, value === 1 ? 0 : 1, [radius * radius]);
  return { ...bitmap, data };
}

/** Squared distance in px² from each pixel to a region; the raster's size is that of `like`. */
function distanceToRegion({ labels }: Regions, region: number, like: Bitmap): Float32Array {
  const { width, height } = like;
  const data = Uint8Array.from(labels, (label) => (label === region ? 1 : 0));
  return squaredDistance({ width, height, data }, 1);
}

function nearestOf({ labels }: Regions, label: number, squared: Float32Array): number {
  let best = -1;
  for (let i = 0; i < labels.length; i++) {
    if (labels[i] === label && (best < 0 || squared[i] < squared[best])) best = i;
  }
  return best;
}

/** Promise 3, width: the tip can clear each opening in one go, and nowhere has to squeeze through a neck. */
function narrowOpenings(drawn: Drawn): Finding[] {
  const { bitmap, job, pixelsPerMm } = drawn;
  const openings = labelRegions(bitmap, 1, 8);
  const core = eroded(bitmap, 1, job.narrowestOpening, pixelsPerMm);
  const cores = labelRegions(core, 1, 8);
  const rooms = new Int32Array(openings.count + 1);
  const bumps = new Int32Array(openings.count + 1);
  const crumb = CRUMB_MM2 * pixelsPerMm * pixelsPerMm;
  const bump = BUMP_MM2 * pixelsPerMm * pixelsPerMm;
  for (let label = 1; label <= cores.count; label++) {
    const found = cores.areas[label] >= bump ? rooms : bumps;
    found[openings.labels[cores.first[label]]]++;
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
function partedByNecks(cores: Regions, openings: Regions, drawn: Drawn): Map<number, number> {
  const necks = new Map<number, number>();
  const parts = new Set<number>();
  const partOf = new Map<number, number>();
  for (const i of cores.first.subarray(1)) {
    const part = openings.labels[i];
    if (parts.has(part)) continue;
    parts.add(part);
    const shape = shapeAt(drawn.shapes, ...placeOf(i, drawn));
    const rest = partOf.get(shape);
    if (rest === undefined) partOf.set(shape, part);
    else necks.set(part, nearestOf(openings, part, distanceToRegion(openings, rest, drawn.bitmap)));
  }
  return necks;
}

/** A pixel at the neck of an opening: of its smallest room, the one that is nearest to the largest. */
function neckOf(cores: Regions, openings: Regions, opening: number, like: Bitmap): number {
  const rooms = [...cores.areas.keys()]
    .filter((core) => core > 0 && openings.labels[cores.first[core]] === opening)
    .sort((a, b) => cores.areas[a] - cores.areas[b]);
  return nearestOf(cores, rooms[0], distanceToRegion(cores, rooms[rooms.length - 1], like));
}

/** Promise 3, area: each piece is large enough to pop out. */
function smallOpenings({ shapes, job }: Drawn, openings: Checked['openings']): Finding[] {
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

/** Promise 3, turns: between marked corners no curve is tighter than the tip can follow. */
function tightTurns({ shapes, job }: Drawn): Finding[] {
  if (job.tightestTurn === 0) return [];
  const most = 1 / (TURN_SLACK * job.tightestTurn);
  return shapes.flatMap(outlinesOf).flatMap((outline) =>
    tightPlaces(outline, most).map((at): Finding => ({
      level: 'error',
      code: 'tight-turn',
      message: `A curve turns more tightly than a radius of ${job.tightestTurn} mm.`,
      at,
    })),
  );
}

function tightPlaces(outline: Outline, mostCurvature: number): (readonly [number, number])[] {
  const places: (readonly [number, number])[] = [];
  for (let i = 0; i < outline.straight.length; i++) {
    const cubic = cubicOf(outline, i);
    if (outline.corner[i] === 0 && turnInto(outline, i) > MOST_KINK) places.push(pointAt(cubic, 0));
    if (outline.straight[i] === 1) continue;
    for (let k = 0; k <= LOOKS_PER_CURVE; k++) {
      const t = k / LOOKS_PER_CURVE;
      if (Math.abs(curvatureAt(cubic, t)) <= mostCurvature) continue;
      places.push(pointAt(cubic, t));
      break;
    }
  }
  return places;
}

/** The angle, in radians, by which an outline turns at the start of its curve i. */
function turnInto(outline: Outline, i: number): number {
  const curves = outline.straight.length;
  const before = cubicOf(outline, (i + curves - 1) % curves);
  const here = cubicOf(outline, i);
  const end = pointAt(before, 0.999);
  const start = pointAt(here, 0.001);
  const [x, y] = here;
  const [ax, ay] = [x - end[0], y - end[1]];
  const [bx, by] = [start[0] - x, start[1] - y];
  return Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by));
}

/** Whether an outline is the sheet's edge: all round a mask is cut away. */
function isEdge({ coords, straight }: Outline, { widthMm, heightMm }: Sheet): boolean {
  const [x0, y0, x1, y1] = [coords[0], coords[1], coords[12], coords[13]];
  return straight.length === 4 && x0 === 0 && y0 === 0 && x1 === widthMm && y1 === heightMm;
}

/** Promise 4: no opening reaches into the margin, save the register marks, which stand there; and no mask. */
function inMargin({ shapes, sheet, job }: Drawn): Finding[] {
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

/** What is said of a stencil, said of a mask. */
const OF_A_MASK: readonly (readonly [RegExp, string])[] = [
  [
    /^An island of film has no hold: it would fall out\./,
    'A part of the mask has no hold on the rest: it would come away.',
  ],
  [/an island would fall out/, 'a part of the mask would come away'],
  [/its island, which would fall out/, 'its part of the mask, which would come away'],
  [/^The film is held here/, 'The mask is held together here'],
  [/^An opening reaches into the margin/, 'The mask reaches into the margin'],
  [/^An opening/, 'A gap in the mask'],
  [/^(\d+) openings? too small to cut, left as film/, '$1 too small to cut out of the mask'],
  [
    /^(\d+) specks? of film too small for a bridge, cut away/,
    '$1 too small to be joined to the mask, cut away',
  ],
];

function inWordsOf(as: Job['as'], finding: Finding): Finding {
  if (as === 'stencil') return finding;
  const message = OF_A_MASK.reduce((says, [of, so]) => says.replace(of, so), finding.message);
  return { ...finding, message };
}

function detailLost(fidelity: number): Finding[] {
  if (fidelity <= MUCH_CHANGED) return [];
  return [
    {
      level: 'warning',
      code: 'detail-lost',
      message: `The picture is finer than this card can carry: ${Math.round(100 * fidelity)} % of the card differs. Try a larger card, a closer crop or another tone.`,
    },
  ];
}

/** How large the card would have to be, in whole steps of this many mm. */
const CARD_STEP_MM = 5;

/** What the widths cost, in numbers, and what would help. */
function partsLost(survived: Survival | null, { widthMm, heightMm }: Sheet): Finding[] {
  if (!survived?.notable) return [];
  const { parts, dropped, merged, enlargement, crop } = survived;
  if (dropped + merged === 0) {
    const message = `All ${parts} parts of the picture survive on this card.`;
    return [{ level: 'note', code: 'parts-lost', message }];
  }
  const share = Math.round((100 * (dropped + merged)) / parts);
  const larger = (mm: number): number =>
    Math.ceil((mm * (enlargement ?? 1)) / CARD_STEP_MM) * CARD_STEP_MM;
  const sentences = [
    `This card is small for the picture: of its ${parts} parts ${dropped} are too small and go, and ${merged} run together with others (${share} %); the report says where.`,
    enlargement !== null &&
      `On a card of about ${larger(widthMm)} × ${larger(heightMm)} mm nine tenths of them would survive.`,
    crop !== null && `The crop ${crop.box} keeps ${crop.kept} of them on this card.`,
  ];
  const message = sentences.filter((sentence) => sentence !== false).join(' ');
  return [{ level: 'warning', code: 'parts-lost', message }];
}

const BRIDGE_EDITS = {
  add: 'The bridge that you added',
  pin: 'The bridge that you pinned',
  move: 'The bridge that you moved',
  remove: 'The bridge that you took away',
} as const;

function unusedBridgeEdits({ unusedEdits }: Bridged, job: CheckSettings): Finding[] {
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

function unusedRegionEdits({ unusedEdits }: Made['widened']): Finding[] {
  return unusedEdits.map(({ index, at, why }) => ({
    level: 'warning',
    code: 'unused-edit',
    message: `Region edit ${index + 1} ${REGION_EDITS[why]}. It stays in the job.`,
    at,
  }));
}

function leftOut({ specksDropped, islandsDropped }: Made['widened'], bridged: Bridged): Finding[] {
  const told = [
    [
      specksDropped + bridged.openingsDropped,
      'opening',
      'openings',
      'too small to cut, left as film',
    ],
    [
      islandsDropped + bridged.islandsDropped,
      'speck of film',
      'specks of film',
      'too small for a bridge, cut away',
    ],
  ] as const;
  return told.flatMap(([count, one, many, why]): Finding[] =>
    count === 0
      ? []
      : [
          {
            level: 'note',
            code: 'left-out',
            message: `${count} ${count === 1 ? one : many} ${why}.`,
          },
        ],
  );
}

function placeOf(i: number, { bitmap, pixelsPerMm }: Drawn): readonly [number, number] {
  const { width } = bitmap;
  return [((i % width) + 0.5) / pixelsPerMm, (Math.floor(i / width) + 0.5) / pixelsPerMm];
}
