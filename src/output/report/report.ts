import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import type { LayerPlace } from '../../settings/layer-settings.js';
import type { LetteringTold } from '../../settings/lettering-settings.js';
import type { Bridge, Bridged } from '../../stages/bridge/bridge.js';
import type { Checked } from '../../stages/check/check.js';
import type { Likeness } from '../../stages/likeness/likeness.js';
import type { Eased } from '../../stages/ease/ease.js';
import type { CutPlan } from '../../stages/plan/plan.js';
import type { Folded } from '../../stages/fold/fold.js';
import type { Packet } from '../../stages/packet/packet.js';
import type { Repeated } from '../../stages/repeat/repeat.js';
import type { FacesKept } from '../../stages/features/features.js';
import type { Advice } from '../../stages/advice/advice.js';
import type { DrawnStrokes } from '../../stages/strokes/strokes.js';
import type { Survival } from '../../stages/survival/survival.js';
import type { Tone } from '../../stages/tone/tone.js';
import type { Traced } from '../../stages/trace/trace.js';
import type { Widened } from '../../stages/widen/widen.js';
import type { Point } from '../../geometry/shape.js';
import type { MadeFrom } from '../../disk/made-from.js';

/** What the report is made from: the values of the stages. */
export interface Reported {
  readonly name: string;
  readonly sheet: Sheet;
  readonly job: Job;
  /** Where it stands in the set that it is a layer of. */
  readonly layer?: LayerPlace;
  /** The words that it is of, and how they are cut. */
  readonly words?: LetteringTold;
  readonly tone: Pick<Tone, 'mode' | 'why' | 'chosen'>;
  readonly repeated: Pick<Repeated, 'motifs'>;
  readonly likeness: Likeness | null;
  readonly traced: Pick<Traced, 'curves'>;
  readonly eased: Pick<Eased, 'curves' | 'corners' | 'deviationMm'>;
  readonly bridged: Pick<
    Bridged,
    'bridges' | 'islands' | 'islandsDropped' | 'islandsDear' | 'shareChanged'
  >;
  readonly widened: Pick<Widened, 'islandsDropped'>;
  readonly plan: CutPlan;
  readonly packet?: Packet | null;
  readonly folded?: Pick<Folded, 'fold'>;
  /** What is drawn with glue, where it is. */
  readonly strokes?: DrawnStrokes | null;
  readonly survival: Omit<Survival, 'counted'> | null;
  readonly advice: Advice | null;
  readonly features: FacesKept | null;
  readonly checked: Checked;
}

/** What the report says of the stencil. */
export type Report = Readonly<Record<string, unknown>>;

/**
 * To what figures are written: sizes, places and likeness; areas, sums of lengths, and places that are told to a person;
 * minutes; and shares of the card, of which that is ten pixels on 4 × 4 in. Finer than any of them can be measured on film.
 */
const THOUSANDTH = 0.001;
const HUNDREDTH = 0.01;
const TENTH = 0.1;
const OF_SHARES = 0.00001;

/**
 * Gathers what the report says: it can be done while the sheets are drawn. Lengths are in mm to 0.001, areas in mm²
 * to 0.01; `job` is a settings file, its values as they were used.
 */
export function reportOn(reported: Reported): Report {
  const { name, sheet, job, tone, repeated, likeness, traced, eased, widened, bridged } = reported;
  const { plan, checked } = reported;
  return {
    name,
    sheet: { widthMm: to(THOUSANDTH, sheet.widthMm), heightMm: to(THOUSANDTH, sheet.heightMm) },
    tone: { mode: tone.mode, why: tone.why, ...(tone.chosen && { chosen: tone.chosen }) },
    motifs: repeated.motifs,
    ...(reported.packet && { fold: foldOf(reported.packet, reported.folded) }),
    ...(likeness && {
      likeness: {
        f: to(THOUSANDTH, likeness.f),
        recall: to(THOUSANDTH, likeness.recall),
        precision: to(THOUSANDTH, likeness.precision),
      },
    }),
    ease: {
      curves: eased.curves,
      tracedCurves: traced.curves,
      deviationMm: to(THOUSANDTH, eased.deviationMm),
      corners: eased.corners,
    },
    islands: bridged.islands,
    openings: checked.openings.map(({ areaMm2, lengthMm }) => ({
      areaMm2: to(HUNDREDTH, areaMm2),
      lengthMm: to(HUNDREDTH, lengthMm),
    })),
    bridges: bridged.bridges.map(({ number, from, to: end, widthMm, origin }) => ({
      number,
      from: roundedPlace(from),
      to: roundedPlace(end),
      widthMm: to(THOUSANDTH, widthMm),
      origin,
    })),
    plan: planOf(plan),
    order: orderOf(plan),
    ...(reported.strokes && glueOf(reported.strokes)),
    holds: {
      bridgesMm: to(HUNDREDTH, totalLength(bridged.bridges)),
      shareChanged: to(OF_SHARES, bridged.shareChanged),
      islandsCutAway: widened.islandsDropped + bridged.islandsDropped + bridged.islandsDear,
    },
    findings: checked.findings.map(({ at, ...finding }) =>
      at ? { ...finding, at: at.map((mm) => to(HUNDREDTH, mm)) } : finding,
    ),
    weakPlaces: checked.weakPlaces.map(({ kind, at }) => ({
      kind,
      at: at.map((mm) => to(HUNDREDTH, mm)),
    })),
    fidelity: to(OF_SHARES, checked.fidelity),
    ...(reported.survival && { survival: survivalOf(reported.survival, reported.advice) }),
    ...(reported.features &&
      reported.features.faces.length > 0 && { faces: facesOf(reported.features) }),
    ...(reported.layer && { layer: reported.layer }),
    ...(reported.words && { words: reported.words }),
    job,
  };
}

/** What the plan of cutting comes to in all. */
function planOf(plan: Reported['plan']): Report['plan'] {
  return {
    minutes: to(TENTH, plan.minutes),
    warmUpMinutes: to(TENTH, plan.warmUpMinutes),
    difficulty: plan.difficulty,
    pieces: plan.pieces.length,
    cuttingMm: to(HUNDREDTH, plan.cuttingMm),
    corners: plan.corners,
    straightRuns: plan.straightRuns,
    travelMm: to(HUNDREDTH, plan.travelMm),
    thinPlaces: plan.thinPlaces,
    thinInARow: plan.thinInARow,
    masks: plan.pieces.filter(({ keep }) => keep).length,
  };
}

/** The pieces in the order in which they are cut. */
function orderOf(plan: Reported['plan']): Report['order'] {
  return plan.pieces.map((piece) => ({
    number: piece.number,
    opening: piece.opening,
    start: roundedPlace(piece.start),
    areaMm2: to(HUNDREDTH, piece.areaMm2),
    lengthMm: to(HUNDREDTH, piece.lengthMm),
    corners: piece.corners,
    straightRuns: piece.runs.length,
    minutes: to(HUNDREDTH, piece.minutes),
    mask: piece.keep,
  }));
}

/** The symmetry of the opened sheet by Schoenflies' symbols; of a strip, the frieze group with mirrors across it. */
const GROUPS = {
  half: 'D1',
  quarter: 'D2',
  eighth: 'D4',
  sixth: 'D6',
  'to-and-fro': 'p1m1',
} as const;

function foldOf(packet: Packet, folded: Pick<Folded, 'fold'> | undefined) {
  const { pattern, layers, thicknessMm, creepMm, packetCuts: cuts, tackDabs } = packet;
  const laid = folded?.fold;
  return {
    kind: pattern.kind,
    symmetry: GROUPS[pattern.kind],
    layers,
    thicknessMm,
    creepMm: to(HUNDREDTH, creepMm),
    packet: pattern.outline.map(roundedPlace),
    sides: pattern.sides.map(({ from, to: end, is }) => ({
      from: roundedPlace(from),
      to: roundedPlace(end),
      is,
    })),
    ...(laid?.symmetry !== undefined && { drawingSymmetry: to(THOUSANDTH, laid.symmetry) }),
    ...(laid?.place && {
      picture: {
        at: roundedPlace(laid.place),
        scale: to(THOUSANDTH, laid.place.scale),
        degrees: to(TENTH, laid.place.degrees),
      },
    }),
    cuts: cuts.map((cut) => ({
      number: cut.number,
      areaMm2: to(HUNDREDTH, cut.areaMm2),
      lengthMm: to(HUNDREDTH, cut.lengthMm),
      enters: cut.entries.map(({ at }) => roundedPlace(at)),
      outer: cut.isOuter,
    })),
    glue: tackDabs.map(roundedPlace),
  };
}

/**
 * The report as JSON, with where the stencil comes from, if that is to be told. The times stand last: they alone
 * differ between two runs of one job.
 *
 * @param timingsMs by stage, in the order of the stages; written to 0.1 ms
 */
export function reportJson(
  report: Report,
  timingsMs: Readonly<Record<string, number>>,
  madeFrom?: MadeFrom,
): string {
  const times = Object.entries(timingsMs).map(([stage, ms]) => [stage, to(TENTH, ms)] as const);
  return layOut({
    ...report,
    ...(madeFrom && { madeFrom }),
    timingsMs: Object.fromEntries(times),
  });
}

/** What is drawn with glue: each stroke, what joins the parts, and what it takes. */
function glueOf({ strokes, fewest, joins, parts, glue, runTogether, lost }: DrawnStrokes): Report {
  return {
    glue: {
      strokes: strokes.length,
      fewestStrokes: fewest,
      lengthMm: to(HUNDREDTH, glue.lengthMm),
      sectionMm2: to(HUNDREDTH, glue.sectionMm2),
      volumeMm3: to(HUNDREDTH, glue.volumeMm3),
      sticks: to(HUNDREDTH, glue.sticks),
      formula: glue.formula,
      parts,
      ...lost,
    },
    strokes: strokes.map(({ number, kind, isClosed, x, y, lengthMm, travelMm }) => ({
      number,
      kind,
      closed: isClosed,
      start: roundedPlace({ x: x[0], y: y[0] }),
      end: roundedPlace({ x: x[x.length - 1], y: y[y.length - 1] }),
      lengthMm: to(HUNDREDTH, lengthMm),
      travelMm: to(HUNDREDTH, travelMm),
    })),
    joins: joins.map(({ from, to: end, kind, isSecond }) => ({
      from: roundedPlace(from),
      to: roundedPlace(end),
      kind,
      second: isSecond,
    })),
    runTogether: runTogether.map(({ at, areaMm2 }) => ({
      at: at.map((mm) => to(HUNDREDTH, mm)),
      areaMm2: to(HUNDREDTH, areaMm2),
    })),
  };
}

function totalLength(bridges: readonly Bridge[]): number {
  return bridges.reduce(
    (sum, { from, to: end }) => sum + Math.hypot(end.x - from.x, end.y - from.y),
    0,
  );
}

function facesOf({ faces, wideEnoughMm, crop }: FacesKept) {
  return {
    wideEnoughMm: to(TENTH, wideEnoughMm),
    crop,
    found: faces.map(({ at, widthMm, had, lost }) => ({
      at: at.map((mm) => to(HUNDREDTH, mm)),
      widthMm: to(TENTH, widthMm),
      had,
      lost,
    })),
  };
}

function survivalOf(
  { notable, parts, dropped, merged, lost }: Omit<Survival, 'counted'>,
  advice: Advice | null,
) {
  return {
    notable,
    parts,
    dropped,
    merged,
    ...advice,
    lost: lost.map(({ at, areaMm2, fate }) => ({
      at: at.map((mm) => to(HUNDREDTH, mm)),
      areaMm2: to(HUNDREDTH, areaMm2),
      fate,
    })),
  };
}

const roundedPlace = ({ x, y }: Point): readonly [number, number] => [
  to(THOUSANDTH, x),
  to(THOUSANDTH, y),
];

/** The nearest multiple of `step`, a negative power of ten. */
function to(step: number, value: number): number {
  const parts = Math.round(1 / step);
  return Math.round(value * parts) / parts;
}

/** JSON with one line an item in lists, so that a person can read down a list of openings or bridges. */
function layOut(report: Report): string {
  const lines = Object.entries(report).map(
    ([key, value]) =>
      `  ${JSON.stringify(key)}: ${Array.isArray(value) ? jsonList(value) : block(value)}`,
  );
  return `{\n${lines.join(',\n')}\n}\n`;
}

function jsonList(items: readonly unknown[]): string {
  if (items.length === 0) return '[]';
  return `[\n${items.map((item) => `    ${JSON.stringify(item)}`).join(',\n')}\n  ]`;
}

function block(value: unknown): string {
  return JSON.stringify(value, null, 2).replaceAll('\n', '\n  ');
}
