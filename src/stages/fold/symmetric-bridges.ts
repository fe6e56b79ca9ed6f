import { insideOfMargin } from '../../geometry/bounding-box.js';
import type { Area, BridgeEdit } from '../../settings/edits.js';
import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import { widthLimitsOf } from '../../settings/width-limits.js';
import { flatten } from '../../geometry/flatten.js';
import {
  copyAt,
  foldedBack,
  imageOf,
  insideOf,
  inverseOf,
  turnsAbout,
  wedgesAbout,
  type SymmetryPattern,
} from '../../geometry/fold-pattern.js';
import { findNecks, WIDTH_TOLERANCE_MM } from '../../geometry/necks.js';
import type { Point, Shape } from '../../geometry/shape.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { Bridge, Bridged } from '../bridge/bridge.js';
import type { DesignedBridge } from '../bridge/designed-bridge.js';
import {
  areaOf,
  fewestOrbits,
  mixedOrbits,
  orbitOf,
  SAME_MM,
  unevenMm2,
  unevenOf,
} from './bridge-orbits.js';
import { partedByPlaces } from './clean-parts.js';
import { bridgeMiddle } from './film-regions.js';
import { areaOrbits, bridgeOrbits, unusedOf } from './edits.js';
import { shareOffImages } from './off-images.js';
import { nearestUpright } from './symmetry.js';
import {
  begunElsewhere,
  symmetricShapes,
  unreached,
  type FoldedSheet,
} from './symmetric-shapes.js';

/** What bridges on a folded sheet have to keep to. */
interface FoldedSheetLimits extends FoldedSheet {
  readonly sheet: Sheet;
  readonly job: Pick<Job, 'narrowestStrip' | 'narrowestOpening' | 'fold'>;
  /** Openings must touch a fold or an open edge. */
  readonly needsReach: boolean;
  /** A sketch does without the last width, and nothing is laid anew for it. */
  readonly finish: 'exact' | 'sketch';
}

/** Openings with bridges, the same in every copy of the packet. */
interface SymmetricBridges extends Bridged {
  /** Where openings stay film, in mm in the packet, that bridges cut off from the folds. */
  readonly outOfReach: readonly (readonly [number, number])[];
}

/** Bridges are laid anew so often at most: what one copy holds may hang on another copy's bridge. */
const MOST_ROUNDS = 4;
/** Of the copies with the fewest islands so many are measured. */
const MEASURED = 4;

/**
 * Lays bridges on a folded sheet. They are chosen on the opened sheet, where what holds and what hangs is plain to see,
 * and then only those in one copy of the packet count: every copy gets them, each with all its images. The copy is
 * taken that leaves the fewest islands, loses the least to what scissors no longer reach, and has the fewest narrow
 * places; while it leaves islands or narrow film, bridges are laid over what came of it.
 *
 * @param lay lays bridges over openings; `isFirst` in the first round alone
 */
function symmetricBridges(
  shapes: readonly Shape[],
  folded: FoldedSheetLimits,
  lay: (shapes: readonly Shape[], isFirst: boolean) => Bridged,
): SymmetricBridges {
  const first = lay(shapes, true);
  // Folds are mirrors, and each of their copies can be opened.
  return mended(first, bestOf(first, [], folded)!, folded, (given) => lay(given, false));
}

/** Bridges in all copies, laid again over what came of them while they leave islands or narrow places. */
function mended(
  first: Bridged,
  from: FoldState,
  folded: FoldedSheetLimits,
  lay: (shapes: readonly Shape[]) => Bridged,
): SymmetricBridges {
  let state = from;
  for (let round = 2; round <= MOST_ROUNDS && isToMend(state); round++) {
    const next = bestOf(lay(state.openings), state.bridges, folded);
    if (!next || next.rank >= state.rank) break;
    state = next;
  }
  const { openings, bridges, outOfReach } = state;
  return { ...first, openings, bridges: inReadingOrder(bridges), outOfReach };
}

interface FoldState {
  readonly openings: readonly Shape[];
  readonly bridges: readonly Bridge[];
  readonly outOfReach: readonly (readonly [number, number])[];
  readonly islands: number;
  readonly necks: number;
  /** The less the better. */
  readonly rank: number;
}

const isToMend = ({ islands, necks }: FoldState): boolean => islands + necks > 0;

/** An island weighs so many mm² of opening, a narrow strip of film and a narrow opening so many. */
const WEIGHTS = { island: 1e6, film: 1e3, opening: 20 } as const;

/**
 * @param of the copies that are tried; all of them unless given
 * @returns undefined where none of them can be opened
 */
function bestOf(
  bridged: Bridged,
  before: readonly Bridge[],
  folded: FoldedSheetLimits,
  of: readonly number[] = [...folded.pattern.copies.keys()],
): FoldState | undefined {
  const { pattern } = folded;
  const least = openedFromEach(bridged, of, folded)
    .toSorted((a, b) => a.islands - b.islands || a.lost - b.lost)
    .slice(0, MEASURED);
  let best: FoldState | undefined;
  for (const { copy, openings, outOfReach, islands, lost } of least) {
    const { film, opening } = narrow(openings, folded);
    const rank = islands * WEIGHTS.island + film * WEIGHTS.film + opening * WEIGHTS.opening + lost;
    if (best && best.rank <= rank) continue;
    const bridges = [...before, ...bridgesOf(bridged.bridges, copy, pattern)];
    best = { openings, bridges, outOfReach, islands, necks: film + opening, rank };
    if (islands === 0 && film === 0 && opening === 0) break;
  }
  return best;
}

/** A sketch, which measures no widths, needs none after the first that leaves nothing undone. */
function openedFromEach(bridged: Bridged, copies: readonly number[], folded: FoldedSheetLimits) {
  const opened: NonNullable<ReturnType<typeof openedFrom>>[] = [];
  for (const copy of copies) {
    const one = openedFrom(bridged, copy, folded);
    if (!one) continue;
    opened.push(one);
    if (folded.finish === 'sketch' && one.islands === 0 && one.lost === 0) break;
  }
  return opened;
}

function openedFrom(bridged: Bridged, copy: number, folded: FoldedSheetLimits) {
  const all = symmetricShapes(bridged.openings, folded, copy);
  if (!all) return undefined;
  const off = folded.needsReach ? unreached(all, folded) : [];
  const openings = all.filter((shape) => !off.includes(shape));
  const places = off.map(({ outer }) => {
    const { x, y } = foldedBack(folded.pattern, outer.coords[0], outer.coords[1])!;
    return {
      own: copyAt(folded.pattern, outer.coords[0], outer.coords[1]) === 0,
      at: [x, y] as const,
    };
  });
  const holes = openings.reduce((sum, shape) => sum + shape.holes.length, 0);
  return {
    copy,
    openings,
    outOfReach: places.filter(({ own }) => own).map(({ at }) => at),
    islands: Math.max(0, folded.isFree ? holes - 1 : holes),
    lost: off.reduce((sum, { outer }) => sum + Math.abs(signedArea(flatten(outer))), 0),
  };
}

/**
 * Bridges that are the same in every copy take at least so much of the area of those that were laid first, or something
 * hangs on one where two were laid to hold it.
 */
const LEAST_LAID = 0.9;
/** What is short of that costs so many times as much. */
const SHORT_COSTS = 10;

/** What bridges of so many mm² cost where others were laid first. */
function costOf(laidMm2: number, first: readonly Bridge[]): number {
  return laidMm2 + SHORT_COSTS * Math.max(0, LEAST_LAID * areaOf(first) - laidMm2);
}

/** The area of what is drawn, in mm²: openings, or the film in the one round a mask. */
const drawnMm2 = (shapes: readonly Shape[], isFree: boolean): number =>
  Math.abs(areaLess(isFree ? shapes.map(({ holes }) => holes).flat().map((outer) => ({ outer, holes: [] })) : shapes)); // prettier-ignore

const areaLess = (shapes: readonly Shape[]): number =>
  shapes.reduce(
    (sum, { outer, holes }) =>
      holes.reduce(
        (left, hole) => left - Math.abs(signedArea(flatten(hole))),
        sum + Math.abs(signedArea(flatten(outer))),
      ),
    0,
  );

/** How many strips of film and openings are too narrow; of a sketch, which measures no widths, none. */
function narrow(openings: readonly Shape[], { sheet, job, finish }: FoldedSheetLimits) {
  if (finish === 'sketch') return { film: 0, opening: 0 };
  const limits = widthLimitsOf(job);
  const necks = findNecks(openings, sheet, limits).filter(
    ({ region, widthMm }) => widthMm < limits[region] - WIDTH_TOLERANCE_MM,
  );
  const film = necks.filter(({ region }) => region === 'film').length;
  return { film, opening: necks.length - film };
}

/** Whether a place lies in a copy, or on one of its mirrors. */
function isShownIn(copy: number, { x, y }: Point, pattern: SymmetryPattern): boolean {
  if (copyAt(pattern, x, y) === copy) return true;
  const back = imageOf(inverseOf(pattern.copies[copy]), { x, y });
  return pattern.mirrors.every((mirror) => insideOf(mirror, back.x, back.y) > -SAME_MM / 2);
}

/** The bridges whose middle a copy shows, in every copy. */
function bridgesOf(bridges: readonly Bridge[], copy: number, pattern: SymmetryPattern): Bridge[] {
  return bridges
    .filter((bridge) => isShownIn(copy, bridgeMiddle(bridge), pattern))
    .flatMap((bridge) => orbitOf(bridge, copy, pattern));
}

/** What reads as one line of bridges, in mm. */
const LINE_MM = 1;

function inReadingOrder(bridges: readonly Bridge[]): Bridge[] {
  const line = ({ from, to }: Bridge): number => Math.round((from.y + to.y) / 2 / LINE_MM);
  return bridges
    .toSorted((a, b) => line(a) - line(b) || a.from.x + a.to.x - b.from.x - b.to.x)
    .map((bridge, i) => ({ ...bridge, number: i + 1 }));
}

type FoldBridgeJob = Pick<
  Job,
  | 'as'
  | 'fold'
  | 'margin'
  | 'tool'
  | 'tightestTurn'
  | 'narrowestStrip'
  | 'narrowestOpening'
  | 'bridgeEdits'
  | 'bridgeFree'
  | 'bridgeAmount'
  | 'tongueFrom'
>;

/** Beyond any tongue, in mm: on a thin sheet they are held down by glue. */
const NO_TONGUE_MM = 500;

/**
 * `symmetricBridges` by a job. What a person edits at one place holds at all its images. For scissors as few bridges
 * are laid as hold everything: each cuts an opening in two, and both parts have to touch a fold.
 */
export function bridgedOnFold<J extends FoldBridgeJob>(
  shapes: readonly Shape[],
  pattern: SymmetryPattern,
  sheet: Sheet,
  job: J,
  lay: (shapes: readonly Shape[], job: J) => Bridged,
  finish: 'exact' | 'sketch' = 'exact',
): Bridged {
  const { edits, of } = bridgeOrbits(job.bridgeEdits, pattern);
  const few = { bridgeAmount: 'fewer', tongueFrom: NO_TONGUE_MM } as const;
  const wanted: J = {
    ...job,
    ...(job.tool === 'scissors' && few),
    bridgeEdits: edits,
    bridgeFree: areaOrbits(job.bridgeFree, pattern),
  };
  // A coarse pixel may part what is one opening in the stencil: a sketch leaves out nothing for that.
  const needsReach = job.tool === 'scissors' && finish === 'exact';
  const bridged = symmetricBridges(
    shapes,
    { ...limitsOf(sheet, job, finish), pattern, needsReach },
    // What was added is there by then; what was taken away is not laid again.
    (given, isFirst) =>
      lay(given, isFirst ? wanted : { ...wanted, bridgeEdits: removalsIn(edits) }),
  );
  return { ...bridged, unusedEdits: unusedOf(bridged.unusedEdits, of) };
}

/** The places where no bridge is wanted: of those that were taken away, and of those that were moved. */
const removalsIn = (edits: readonly BridgeEdit[]): readonly BridgeEdit[] =>
  edits.flatMap((edit) => ('at' in edit ? [{ do: 'remove', at: edit.at }] : []));

/** What bridges keep to, whether a sheet is folded or what is on it is symmetric itself. A sketch marks no tight turns. */
const limitsOf = (
  sheet: Sheet,
  job: FoldedSheetLimits['job'] & Pick<Job, 'as' | 'margin' | 'tightestTurn'>,
  finish: FoldedSheetLimits['finish'],
) => ({
  sheet,
  job,
  finish,
  isFree: job.as === 'mask',
  tightestTurn: finish === 'exact' ? job.tightestTurn : 0,
  inside: insideOfMargin(sheet, job.margin),
});

type MirrorBridgeJob = Pick<
  Job,
  | 'as'
  | 'margin'
  | 'tightestTurn'
  | 'narrowestStrip'
  | 'narrowestOpening'
  | 'fold'
  | 'bridgeEdits'
  | 'bridgeFree'
> & {
  /** Where no bridge may lie, whatever a person wants: round a mask. */
  readonly moat: readonly Area[];
};

/**
 * `symmetricBridges` of a picture that is symmetric itself. What a person edits is of one place alone: her edits are made
 * on the bridges that are laid without them.
 *
 * @param lay lays bridges over openings, those given first of all
 */
export function bridgedBySymmetry<J extends MirrorBridgeJob>(
  shapes: readonly Shape[],
  pattern: SymmetryPattern,
  sheet: Sheet,
  job: J,
  lay: (shapes: readonly Shape[], job: J, given: readonly DesignedBridge[]) => Bridged,
  finish: 'exact' | 'sketch' = 'exact',
): Bridged {
  const unedited: J = { ...job, bridgeEdits: [], bridgeFree: job.moat };
  const limits = { ...limitsOf(sheet, job, finish), needsReach: false };
  const first = lay(shapes, unedited, []);
  const isEven = unevenMm2(first.bridges, pattern) === 0;
  const printMm2 = drawnMm2(shapes, limits.isFree);
  // Laid again with the fewest of them, and all their images, where they are not each other's image by themselves.
  const laidEven = (): Bridged => {
    if (isEven) return first;
    const orbits = fewestOrbits(first.bridges, first.laidOver, pattern, job.narrowestOpening);
    return lay(shapes, unedited, orbits.map(designed));
  };
  const again = (given: readonly Shape[]): Bridged => lay(given, unedited, []);
  /** Fewer, some of them even by a part of the pattern alone; undefined where there are none, or they leave something undone. */
  const mixed = (): Bridged | undefined => {
    if (pattern.copies.length <= 2 || isEven) return undefined;
    const mostMm2 = UNEVEN * printMm2;
    const fewer = mixedOrbits(first.bridges, first.laidOver, pattern, partsOf(pattern), job.narrowestOpening, mostMm2); // prettier-ignore
    if (!fewer) return undefined;
    const laid = lay(shapes, unedited, fewer.bridges.map(designed));
    if (unevenMm2(laid.bridges, pattern) > mostMm2) return undefined;
    const whole = fewer.within ? wholeBy(laid, { ...limits, pattern: fewer.within }) : laid;
    const alike = whole && withAlikeEven(whole, { ...limits, pattern });
    return alike && shareOffImages(alike.openings, pattern) <= MOST_OFF ? alike : undefined;
  };
  const even =
    first.bridges.length === 0
      ? first
      : (mixed() ?? cheapestIn(pattern, laidEven(), printMm2, limits, again));
  // On a small card the bridges of all parts may leave hardly anything of what is drawn.
  const isWorthIt =
    areaLess(even.openings) >= LEAST_LEFT * areaLess(first.openings) || limits.isFree;
  const bridged = isWorthIt ? even : first;
  const isEdited = job.bridgeEdits.length + job.bridgeFree.length > 0;
  if (!isEdited) return bridged;
  const given = bridged.bridges.map((one) => ({ ...designed(one), givesWay: true }));
  return lay(shapes, { ...job, bridgeFree: [...job.bridgeFree, ...job.moat] }, given);
}

/** Of the openings that bridges leave where nothing is made even, at least so much is left, as a share. By eye. */
const LEAST_LEFT = 0.75;

const designed = ({ from, to, widthMm }: Bridge): DesignedBridge => ({
  from,
  to,
  widthMm,
  flares: true,
});

/** So many of the cheapest copies are carried through to the widths: mostly the first leaves nothing undone. */
const CARRIED = 6;
/** So much of the print may be other than its image for bridges, as a share: a twentieth of it would be seen. By eye. */
const UNEVEN = 0.007;
/** So much of the print may lie off one of its images in the end, flares and all, as a share. By eye, as above. */
const MOST_OFF = 0.01;

/**
 * The bridges of one copy of one pattern, in all its copies: those that cost least of those that leave nothing undone;
 * else the one that leaves least, mended.
 *
 * @param pattern all that the picture has: bridges laid by a part of it are another's image, too, save for a little
 * @param printMm2 the area of all openings
 */
function cheapestIn(
  pattern: SymmetryPattern,
  first: Bridged,
  printMm2: number,
  limits: Omit<FoldedSheetLimits, 'pattern'>,
  lay: (shapes: readonly Shape[]) => Bridged,
): Bridged {
  const cheapest = [pattern, ...subgroupsOf(pattern)]
    .flatMap(begunElsewhere)
    .flatMap((each) =>
      each.copies.map((_, copy) => {
        const bridges = bridgesOf(first.bridges, copy, each);
        const folded = { ...limits, pattern: each };
        return { folded, copy, bridges, cost: costOf(areaOf(bridges), first.bridges) };
      }),
    )
    .toSorted((a, b) => a.cost - b.cost);
  let best: { readonly state: FoldState; readonly folded: FoldedSheetLimits } | undefined;
  let carried = 0;
  for (const { folded, copy, bridges } of cheapest) {
    if (unevenMm2(bridges, pattern) > UNEVEN * printMm2) continue;
    const state = bestOf(first, [], folded, [copy]);
    if (!state) continue;
    if (best === undefined || state.rank < best.state.rank) best = { state, folded };
    carried++;
    if (!isToMend(state) || carried === CARRIED) break;
  }
  return best ? mended(first, best.state, best.folded, lay) : first;
}

/** Bridges as one copy shows them that leaves nothing undone, the first of them; undefined where each does. */
function wholeBy(laid: Bridged, folded: FoldedSheetLimits): Bridged | undefined {
  for (const copy of folded.pattern.copies.keys()) {
    const state = bestOf(laid, [], folded, [copy]);
    if (state && !isToMend(state)) {
      const { openings, bridges, outOfReach } = state;
      return { ...laid, openings, bridges: inReadingOrder(bridges), outOfReach };
    }
  }
  return undefined;
}

/** What no bridge lies in that is uneven, as one copy of the whole pattern shows it; as it was where that leaves something undone. */
function withAlikeEven(bridged: Bridged, folded: FoldedSheetLimits): Bridged {
  const { pattern } = folded;
  const places = unevenOf(bridged.bridges, pattern).map(bridgeMiddle);
  const { alike, unlike } = partedByPlaces(bridged.openings, bridged.laidOver, places, pattern);
  if (alike.length === 0 || folded.isFree) return bridged;
  for (const each of begunElsewhere(pattern)) {
    for (const copy of each.copies.keys()) {
      const even = symmetricShapes(alike, { ...folded, pattern: each }, copy);
      if (!even) continue;
      const openings = [...unlike, ...even];
      const { film, opening } = narrow(openings, folded);
      const islands = openings.reduce((sum, shape) => sum + shape.holes.length, 0);
      if (islands + film + opening === 0) return { ...bridged, openings };
    }
  }
  return bridged;
}

/** Parts of a pattern, the largest first: its subgroups, and each of its mirrors alone, the one nearest to upright first. */
function partsOf(pattern: SymmetryPattern): SymmetryPattern[] {
  const { centre, layers, beside, tilt, to } = pattern;
  const turned = subgroupsOf(pattern).filter(({ copies }) => copies.length > 2);
  if (!centre || beside === 'turned') return turned;
  const sheet = { widthMm: to.x, heightMm: to.y };
  const mirrors = Array.from({ length: layers / 2 }, (_, k) => tilt + (k * 360) / layers)
    .toSorted((a, b) => Math.abs(nearestUpright(a, 1)) - Math.abs(nearestUpright(b, 1)))
    .map((degrees) => wedgesAbout(centre, 1, sheet, degrees));
  return [...turned, ...mirrors];
}

/** A pattern with every second, third … of its turns alone: fewer bridges to lay alike. */
function subgroupsOf(pattern: SymmetryPattern): SymmetryPattern[] {
  const { centre, layers, beside, tilt, to } = pattern;
  if (!centre) return [];
  const sheet = { widthMm: to.x, heightMm: to.y };
  const [turns, least] = beside === 'turned' ? [layers, 2] : [layers / 2, 1];
  return Array.from({ length: turns - least }, (_, k) => turns - 1 - k)
    .filter((n) => turns % n === 0)
    .map((n) => (beside === 'turned' ? turnsAbout : wedgesAbout)(centre, n, sheet, tilt));
}
