import { halfCovered } from '../../geometry/coverage.js';
import { flatten } from '../../geometry/flatten.js';
import type { FoldLine } from '../../geometry/fold-pattern.js';
import { rasterise } from '../../geometry/rasterise.js';
import { pointToSegment } from '../../geometry/segment.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { SegmentIndex } from '../../geometry/segment-index.js';
import type { Outline, Point, Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { Face } from '../../faces/face.js';
import { saliencyOf, type Saliency } from '../../raster/saliency.js';
import type { Box, Gray } from '../../raster/raster.js';
import { memoizeLast } from '../../common/memoize-last.js';
import { slitsAtFolds } from './beside-folds.js';
import {
  keepsOut,
  readEdits,
  sift,
  type EditsRead,
  type Removal,
  type RemovedTie,
  type UnusedEdit,
} from './bridge-edits.js';
import { candidateTies } from './candidates.js';
import { chooseTies } from './choose.js';
import { cutStrips, type Flare } from './cut.js';
import { withEndsJustPastStroke, type DesignedBridge } from './designed-bridge.js';
import { bitmapSize, erodeFilm, type ErodedFilm } from './eroded-film.js';
import { bridgeHeuristics, type BridgeHeuristics } from './heuristics.js';
import { parted, sortIslands, withoutIslands } from './islands.js';
import type { Mended } from './mend.js';
import { pairMirroredTies } from './mirror-symmetry.js';
import { filmEdges } from './shortest-gap.js';
import { sparingLight } from './light-ground.js';
import { withStrips } from './side-effects.js';
import { tieBetween, type TieOrigin, type Tie } from './tie.js';
import { sparingFaces } from './spared-faces.js';
import { withoutUncuttable } from './uncuttable.js';
import type { Eased } from '../ease/ease.js';
import type { Picture } from '../read/read.js';

/** A strip of film across an opening; `from` and `to` lie on the film at either side of it, in mm. */
export interface Bridge {
  /** From 1, in reading order. */
  readonly number: number;
  readonly from: Point;
  readonly to: Point;
  readonly widthMm: number;
  readonly origin: TieOrigin;
}

/** A bridge that was proposed and that a person took away, or moved. */
interface Removed {
  readonly at: Point;
  readonly moved: boolean;
  /** Where its ends lay, inside the film at either side. */
  readonly start: Point;
  readonly end: Point;
}

/** The openings with bridges left across them. */
export interface Bridged {
  readonly openings: readonly Shape[];
  /** In reading order, from the top left. Strips that only make a neck of film wider are not among them. */
  readonly bridges: readonly Bridge[];
  /** Film regions that nothing held, before bridging. */
  readonly islands: number;
  /** Openings, or pieces that bridges cut off, that were too small or narrow to cut and stay film. */
  readonly openingsDropped: number;
  /** Islands that had no place wide enough for a bridge to hold, and are cut away. */
  readonly islandsDropped: number;
  /** Islands that would hang on bridges longer than they are worth, and are cut away. */
  readonly islandsDear: number;
  /** What the bridges were laid over: the openings that can be cut, whole. */
  readonly laidOver: readonly Shape[];
  /** The share of the sheet, 0 to 1, that bridging turned from opening to film, less what it turned the other way. */
  readonly shareChanged: number;
  readonly removed: readonly Removed[];
  readonly unusedEdits: readonly UnusedEdit[];
  /** Of a folded sheet: openings that stay film, in mm, since bridges cut them off from where scissors can begin. */
  readonly outOfReach?: readonly (readonly [number, number])[];
}

type BridgeSettings = Pick<
  Job,
  | 'bridgeWidth'
  | 'narrowestStrip'
  | 'narrowestOpening'
  | 'smallestOpening'
  | 'bridgeAmount'
  | 'twoTiesFrom'
  | 'tightestTurn'
  | 'flare'
  | 'tieEvery'
  | 'tongueFrom'
  | 'spareFeatures'
  | 'bridgeEdits'
  | 'bridgeFree'
  | 'margin'
> &
  Partial<Pick<Job, 'regionEdits' | 'fold'>>;

/** A job, and the heuristics that it is done by. */
interface Ruled extends BridgeSettings {
  readonly heuristics: BridgeHeuristics;
  readonly folds: readonly FoldLine[];
}

/** The sheet that the openings lie on; the picture on it and its faces, if they are there, say which places matter. */
export type SheetAndPicture = Pick<Picture, 'sheet' | 'pixelsPerMm'> &
  Partial<Pick<Picture, 'gray' | 'pictureBox'>> & {
    readonly faces?: readonly Face[];
    /** The folds of an opened strip. */
    readonly folds?: readonly FoldLine[];
  };

/** The openings in the making, and what was laid over them. */
interface BridgeState {
  readonly openings: readonly Shape[];
  readonly openingsDropped: number;
  readonly islandsDropped: number;
  readonly islandsDear: number;
  readonly ties: readonly Tie[];
  readonly removed: readonly RemovedTie[];
}

/**
 * Lays bridges over the openings until the film is one piece that holds: one piece still when it is eroded by just
 * under half the narrowest strip.
 *
 * The parts of the eroded film, its cores, are the nodes of a graph; straight strips from core to core are its edges,
 * and a spanning tree of least damage is laid (Bronson, Rheingans & Olano, "Semi-automatic stencil creation through
 * error minimization", NPAR 2008, weigh bridges so). A strip's middle line runs from a place that is a radius away
 * from all openings to another such place, and the strip is wider than two radii, so the line survives the erosion
 * and joins the two cores.
 *
 * What a person asks for goes first: strips that were added, pinned or moved are laid before any is proposed. A
 * proposed one that was taken away counts as laid, so that no other is proposed in its stead, but it is not cut.
 *
 * In the end what is a little too narrow, measured on the outlines, is made wide enough.
 *
 * @param heuristics a sketch does without some of them (`forSketch`)
 * @param designed laid before any is proposed, where nothing that a person asked for lies
 */
export function bridge(
  { shapes }: Pick<Eased, 'shapes'>,
  ground: SheetAndPicture,
  settings: BridgeSettings,
  heuristics = bridgeHeuristics,
  designed: readonly DesignedBridge[] = [],
): Bridged {
  const job: Ruled = { ...settings, heuristics, folds: ground.folds ?? [] };
  const cuttable = withoutUncuttable(shapes, ground.pixelsPerMm, job);
  const isAllowed = keepsOut(job.bridgeFree);
  const look = surveyor(ground, job, saliencyIfWanted(ground, cuttable, job));
  let seen: Survey | undefined = look(cuttable);
  const openingBefore = seen.film.opening;
  const read = readEdits(seen.film, job);
  let work: BridgeState = {
    openings: cuttable,
    openingsDropped: shapes.length - cuttable.length,
    islandsDropped: 0,
    islandsDear: 0,
    ties: [],
    removed: [],
  };
  if (designed.length > 0) {
    work = withDesigned(work, designed, seen.film, read, isAllowed, job);
    seen = undefined;
  }
  const asked = { ...read, removals: unusedIn(work, read) };
  const perfect = perfecter(ground, asked, isAllowed, job);
  let before: Left = { islands: Infinity, opening: Infinity };
  // New cores can come about: a strip or a dropped piece adds film, and rounding to pixels can part a strip from its core.
  // The next round finds them. Each round has to leave fewer islands, or as many and less opening: so the rounds end.
  // Where they are cut short, `measure` tells what does not hold.
  for (let round = 1; ; round++) {
    const { film, bare } = seen ?? look(work.openings);
    seen = undefined; // on a large sheet two of them would take much memory
    work = withoutBare(work, bare);
    const left = { islands: countIslands(work.openings), opening: film.opening };
    const isWhole = film.count === 1 && left.islands === 0;
    const isLast = isWhole || !isLess(left, before) || round > MOST_ROUNDS;
    before = left;
    const given = round === 1 ? asked.ties : [];
    if (!isLast || given.length > 0) {
      const next = tied(work, given, film, asked, isAllowed, round === 1 ? job : withFewest(job));
      const cheaper = round === 1 ? withoutDear(work, next, film, ground, job) : work;
      // Without them all is chosen anew, once.
      if (cheaper === work) work = next;
      else {
        const again = look(cheaper.openings);
        work = tied(cheaper, given, again.film, asked, isAllowed, job);
      }
      continue;
    }
    const { next, mended } = perfect(work, film);
    if (next) {
      work = next;
      continue;
    }
    return {
      openings: mended.openings,
      bridges: numbered(work.ties),
      islands: countIslands(cuttable),
      openingsDropped: work.openingsDropped,
      islandsDropped: work.islandsDropped,
      islandsDear: work.islandsDear,
      laidOver: cuttable,
      shareChanged: (openingBefore - film.opening) / film.bitmap.data.length,
      removed: work.removed.map(toRemoved),
      unusedEdits: [...read.unused, ...withoutBridge(read.removals, work)],
    };
  }
}

/** Lays what the design asks for, beside what a person does, and leaves out what she took away. */
function withDesigned(
  work: BridgeState,
  designed: readonly DesignedBridge[],
  film: ErodedFilm,
  { ties, removals }: EditsRead,
  isAllowed: (tie: Tie) => boolean,
  job: Ruled,
): BridgeState {
  const drawn = designed.map((one) => ({
    tie: withEndsJustPastStroke(
      tieBetween(film, one.from, one.to, one.widthMm, 'proposed', job),
      one,
    ),
    givesWay: one.givesWay,
    plain: one.flares !== true,
  }));
  const replaced = ties.flatMap((given) => {
    const between = drawn.filter(({ tie, givesWay }) => givesWay && joinSame(given, tie));
    return between
      .map(({ tie }) => tie)
      .toSorted((a, b) => tieDistance(a, given) - tieDistance(b, given))
      .slice(0, 1);
  });
  const wished = drawn
    .filter(({ tie }) => isAllowed(tie) && !replaced.includes(tie))
    .filter(({ tie }) => !ties.some((given) => isAtOnePlace(given, tie)))
    .map(({ tie, plain }) => ({ ...tie, plain }));
  const { wanted, removed } = sift(wished, removals);
  const stubs = designed.every(({ flares }) => flares) ? 'no stubs' : 'stubs stay';
  return lay({ ...work, removed }, wanted, film, job, stubs);
}

/** Whether two ties join the same two cores. */
function joinSame(a: Tie, b: Tie): boolean {
  return Math.min(a.from, a.to) === Math.min(b.from, b.to) && Math.max(a.from, a.to) === Math.max(b.from, b.to); // prettier-ignore
}

const tieDistance = (a: Tie, b: Tie): number =>
  Math.hypot(
    a.gapStart.x + a.gapEnd.x - b.gapStart.x - b.gapEnd.x,
    a.gapStart.y + a.gapEnd.y - b.gapStart.y - b.gapEnd.y,
  ) / 2;

function isAtOnePlace(a: Tie, b: Tie): boolean {
  const x = (a.gapStart.x + a.gapEnd.x) / 2;
  const y = (a.gapStart.y + a.gapEnd.y) / 2;
  return pointToSegment({ x, y }, b.gapStart, b.gapEnd) < (a.widthMm + b.widthMm) / 2;
}

function unusedIn(
  { removed }: BridgeState,
  { removals }: Pick<EditsRead, 'removals'>,
): readonly Removal[] {
  return removals.filter((one) => !removed.some(({ removal }) => removal === one));
}

/** Cuts away the islands that have no core. */
function withoutBare(work: BridgeState, bare: readonly Outline[]): BridgeState {
  const openings = withoutIslands(work.openings, bare);
  return { ...work, openings, islandsDropped: work.islandsDropped + bare.length };
}

/** The openings as they were, without the islands that are not worth their bridges. */
function withoutDear(
  work: BridgeState,
  { ties }: BridgeState,
  film: ErodedFilm,
  ground: SheetAndPicture,
  job: Ruled,
): BridgeState {
  const kept = (job.regionEdits ?? []).filter((edit) => edit.do === 'keep');
  const places = kept.map(({ at: [x, y] }) => ({ x, y }));
  const wanted = [...places, ...facesOn(ground)];
  const dear = job.heuristics.dearIslands(work.openings, film, ties, wanted, job.bridgeWidth);
  if (dear.length === 0) return work;
  const openings = withoutIslands(work.openings, dear);
  return { ...work, openings, islandsDear: work.islandsDear + dear.length };
}

/** A place in each face, in mm on the sheet: an island with a face on it is held, however dear its bridges are. */
function facesOn({ faces = NO_FACES, pictureBox, pixelsPerMm }: SheetAndPicture): Point[] {
  const left = (pictureBox?.x ?? 0) / pixelsPerMm;
  const top = (pictureBox?.y ?? 0) / pixelsPerMm;
  return faces.map(({ landmarks }) => ({
    x: left + mean(landmarks.map(({ x }) => x)),
    y: top + mean(landmarks.map(({ y }) => y)),
  }));
}

const mean = (all: readonly number[]): number =>
  all.reduce((sum, one) => sum + one, 0) / Math.max(1, all.length);

/** After the first round only what came loose is tied: not once more with as many ties as were asked for. */
function withFewest(job: Ruled): Ruled {
  return { ...job, bridgeAmount: 'fewer' };
}

/** Lays what is given, and what is proposed beside it and was not taken away. */
function tied(
  work: BridgeState,
  given: readonly Tie[],
  film: ErodedFilm,
  { removals }: EditsRead,
  isAllowed: (tie: Tie) => boolean,
  job: Ruled,
): BridgeState {
  const laid = { ...work, ties: [...work.ties, ...given] };
  const { wanted, removed } = sift(proposeTies(film, laid, isAllowed, job), removals);
  const next = { ...work, removed: [...work.removed, ...removed] };
  return lay(next, [...given, ...wanted], film, job);
}

/** What becomes of film that is in one piece: `next`, with more laid, to be surveyed once more; or `mended`, which is the result. */
type Perfected =
  | { readonly next: BridgeState; readonly mended?: undefined }
  | { readonly next?: undefined; readonly mended: Mended };

/**
 * What is done when no island is left to tie, one step after each look: tongues are tied, once; what is too narrow to cut
 * is closed; outlines are moved where film is a little too narrow, and what that leaves is closed.
 */
function perfecter(
  { sheet }: SheetAndPicture,
  asked: EditsRead,
  isAllowed: (tie: Tie) => boolean,
  job: Ruled,
): (work: BridgeState, film: ErodedFilm) => Perfected {
  let [isTongued, squeezings, closings] = [false, 0, 0];
  return (work, film) => {
    if (!isTongued) {
      isTongued = true;
      const next = withTongues(work, asked, film, isAllowed, job);
      if (next !== work) return { next };
    }
    const narrow =
      squeezings++ < MOST_SQUEEZINGS ? squeezed(film, work, job).filter(isAllowed) : [];
    if (narrow.length > 0) return { next: lay(work, narrow, film, job) };
    const mended = job.heuristics.mend(work.openings, sheet, job);
    const closing = closings++ < MOST_CLOSINGS ? closed(mended, film, job).filter(isAllowed) : [];
    return closing.length > 0 ? { next: lay(work, closing, film, job) } : { mended };
  };
}

/** Rounds until the film is one piece: each ties what still hangs loose; on pictures a few. */
const MOST_ROUNDS = 40;

/** Ties the tongues of a film that is in one piece, each at the best place that leaves what can be cut. */
function withTongues(
  work: BridgeState,
  { removals }: EditsRead,
  film: ErodedFilm,
  isAllowed: (tie: Tie) => boolean,
  job: Ruled,
): BridgeState {
  const { tongueTies, spacingOf, straightenOverGaps, sideEffectOf } = job.heuristics;
  const gone = work.removed.map(({ tie }) => tie);
  const found = tongueTies(film, [...work.ties, ...gone], job).filter(({ length }) => length > 0);
  if (found.length === 0) return work;
  const edges = filmEdges(work.openings);
  const proposed: Tie[] = [];
  for (const places of found) {
    const spacing = spacingOf(proposed, job.narrowestOpening);
    const tie = straightenOverGaps(places.slice(0, MOST_PLACES), film, edges, job)
      .filter((place) => isAllowed(place) && spacing.fits(place, 'spread'))
      .find((place) => sideEffectOf(film, place, job, CHAMFER * job.flare) === 'good');
    if (tie) proposed.push(tie);
  }
  if (proposed.length === 0) return work;
  const { wanted, removed } = sift(proposed, unusedIn(work, { removals }));
  return lay({ ...work, removed: [...work.removed, ...removed] }, wanted, film, job);
}

/** So many places are tried to tie a tongue, the cheapest first: each costs a measuring, and dearer ones show more. */
const MOST_PLACES = 8;

/** What is too narrow to cut, by the areas that pixels are covered by: hairs and waists finer than a pixel part there. */
function squeezed(film: ErodedFilm, { openings }: BridgeState, job: Ruled): Tie[] {
  const { width, height } = film.bitmap;
  const bitmap = halfCovered(openings, width, height, film.pixelsPerMm);
  return job.heuristics.squeezes({ ...film, bitmap }, job);
}

/** Strips over the necks that could not be made wide enough by moving outlines. */
function closed({ left }: Mended, film: ErodedFilm, job: Ruled): Tie[] {
  return left.flatMap((neck) => job.heuristics.overNeck(film, neck, job));
}

/** How often necks that could not be mended are closed by strips: beside a strip another neck can come about. */
const MOST_CLOSINGS = 2;

/**
 * How often what is too narrow to cut is closed when all is laid: a strip can leave another such place beside it. What
 * is left then the check tells.
 */
const MOST_SQUEEZINGS = 3;

function saliencyIfWanted(
  { gray, pictureBox, pixelsPerMm, faces = NO_FACES }: SheetAndPicture,
  openings: readonly Shape[],
  { spareFeatures }: BridgeSettings,
): Saliency | undefined {
  const isWanted =
    spareFeatures && gray && pictureBox && openings.some(({ holes }) => holes.length > 0);
  return isWanted
    ? sparingLight(saliencyIn(gray, pictureBox, pixelsPerMm, faces), gray, pixelsPerMm, openings)
    : undefined;
}

const NO_FACES: readonly Face[] = [];

const saliencyIn = memoizeLast(
  (gray: Gray, pictureBox: Box, pixelsPerMm: number, faces: readonly Face[]): Saliency =>
    sparingFaces(saliencyOf(gray, pictureBox, pixelsPerMm), pixelsPerMm, faces),
);

function toRemoved({ tie: { start, end }, removal: { at, moved } }: RemovedTie): Removed {
  return { at, moved, start: point(start), end: point(end) };
}

/**
 * Cuts strips out of the openings, and the stubs that they would leave where no more than a stub is lost by it.
 *
 * @param stubs a letter keeps what is left of its strokes: without the stubs of its bar an A is none
 */
function lay(
  work: BridgeState,
  wanted: readonly Tie[],
  film: ErodedFilm,
  job: Ruled,
  stubs: 'no stubs' | 'stubs stay' = 'no stubs',
): BridgeState {
  if (wanted.length === 0) return work;
  const given = [...wanted, ...slitsAtFolds(wanted, job.folds, job.narrowestOpening)];
  let fills = stubs === 'no stubs' ? goodFills(given, film, job) : [];
  for (;;) {
    const ties = [...given, ...fills];
    const cut = cutStrips(work.openings, ties, flareOn(film, job), job.heuristics);
    const kept = withoutUncuttable(cut.changed, film.pixelsPerMm, job);
    const scraps = cut.changed.filter((piece) => !kept.includes(piece));
    const [lost, crumbs] = parts(scraps, (scrap) => !isStubCrumb(scrap, fills));
    const [bad, good] = parts(fills, (fill) => lost.some((scrap) => touches(scrap, fill)));
    if (bad.length === 0) {
      const openingsDropped = work.openingsDropped + scraps.length - crumbs.length;
      const openings = [...cut.untouched, ...kept];
      return { ...work, openings, openingsDropped, ties: [...work.ties, ...ties] };
    }
    fills = good;
  }
}

/** Strips over the stubs of ties, where they leave what can be cut. */
function goodFills(ties: readonly Tie[], film: ErodedFilm, job: Ruled): Tie[] {
  const { stubFills, sideEffectOf } = job.heuristics;
  const found = stubFills(film, ties).filter(keepsOut(job.bridgeFree));
  if (found.length === 0) return found;
  const laid = withStrips(film, ties);
  return found.filter((fill) => {
    const wider = { ...fill, followsNeck: false, widthMm: fill.widthMm + WIDER_MM };
    return sideEffectOf(laid, wider, job, 0) === 'good';
  });
}

/** What lies along a strip over a stub is looked at with so much more of it, in mm: two pixels of the raster. */
const WIDER_MM = 0.2;

/** Those of which something holds, and those of which it does not. */
function parts<T>(all: readonly T[], holds: (one: T) => boolean): [T[], T[]] {
  return [all.filter(holds), all.filter((one) => !holds(one))];
}

/**
 * A strip that fills a stub is straight; where the stub's wall is bowed, a rest of opening stays beside it. Under this area, in
 * mm², and touching the strip, it is no opening of its own and becomes film, too.
 */
const STUB_REST_MM2 = 0.25;

function isStubCrumb(scrap: Shape, fills: readonly Tie[]): boolean {
  const areaMm2 = Math.abs(signedArea(flatten(scrap.outer)));
  return areaMm2 < STUB_REST_MM2 && fills.some((fill) => touches(scrap, fill));
}

/**
 * A place this near a strip's side, in mm, touches it: a pixel of the raster. Measured from the strip's middle line, whose ends
 * are round; the corners of its square ends lie further off.
 */
const TOUCHES_MM = 0.1;

function touches({ outer: { coords } }: Shape, { start, end, widthMm }: Tie): boolean {
  for (let i = 0; i < coords.length; i += 6) {
    const off = pointToSegment({ x: coords[i], y: coords[i + 1] }, start, end);
    if (off < widthMm / 2 + TOUCHES_MM) return true;
  }
  return false;
}

/** A cut past a corner where no arc has room, as a share of the radius that was asked for. */
const CHAMFER = 0.6;
/** An arc is drawn this much wider than the tightest turn at least, for what rounding may take. */
const WIDER = 1.03;

/** How strips flare: by arcs that the tip can follow, the wider the better. */
function flareOn({ bitmap, pixelsPerMm }: ErodedFilm, job: BridgeSettings): Flare {
  const { flare, tightestTurn, narrowestOpening } = job;
  const least = WIDER * tightestTurn;
  const radii = [flare, (flare + least) / 2, least].filter((radius) => radius >= least);
  const chamferMm = CHAMFER * flare;
  const limits = { narrowestOpening, tightestTurn };
  return { radii: flare > 0 ? radii : [], chamferMm, bitmap, pixelsPerMm, ...limits };
}

/** The removals that found nothing proposed at their place. Where another strip was laid instead, that is as it should be. */
function withoutBridge(removals: readonly Removal[], { removed }: BridgeState): UnusedEdit[] {
  return removals
    .filter((one) => !one.moved && !removed.some(({ removal }) => removal === one))
    .map(({ index, at }) => ({ index, at, why: 'no-bridge' }));
}

/** How far a round has come. */
interface Left {
  readonly islands: number;
  /** Pixels of opening. */
  readonly opening: number;
}

function isLess(a: Left, b: Left): boolean {
  return a.islands < b.islands || (a.islands === b.islands && a.opening < b.opening);
}

/** Every hole of an opening is an island. */
function countIslands(openings: readonly Shape[]): number {
  return openings.reduce((sum, { holes }) => sum + holes.length, 0);
}

/** What a round goes by. */
interface Survey {
  readonly film: ErodedFilm;
  /** Islands that have no core. */
  readonly bare: readonly Outline[];
}

/**
 * Draws the film and finds its cores, and the islands that have none.
 *
 * Cutting those away leaves all cores what they are: such an island lies inside an opening, which was nearer to
 * everything else than the island is.
 */
function surveyor(
  { sheet, pixelsPerMm }: SheetAndPicture,
  job: Ruled,
  saliency: Saliency | undefined,
): (openings: readonly Shape[]) => Survey {
  const { width, height } = bitmapSize(sheet, pixelsPerMm);
  return (openings) => {
    const bitmap = rasterise(openings, width, height, pixelsPerMm);
    const { coresOf = (all) => all } = job.heuristics;
    const film = coresOf(erodeFilm(bitmap, pixelsPerMm, job, saliency), openings, sheet, job);
    const { bare, joined } = sortIslands(openings, film);
    if (joined.length === 0) return { film, bare };
    const without = parted(bitmap, joined, pixelsPerMm);
    const apart = coresOf(erodeFilm(without, pixelsPerMm, job, saliency), openings, sheet, job);
    return { film: apart, bare: sortIslands(openings, apart).bare };
  };
}

/**
 * Proposes the ties of one round: candidates (`candidates.ts`), priced (`strip.ts`) and chosen (`choose.ts`). Those that
 * leave what can't be cut become dearer, and all are chosen anew.
 */
function proposeTies(
  film: ErodedFilm,
  { openings, ties, removed }: BridgeState,
  isAllowed: (tie: Tie) => boolean,
  job: Ruled,
): Tie[] {
  const { findMirrorAxis, straightenOverGaps, sideEffectOf, dearer } = job.heuristics;
  const edges = filmEdges(openings);
  const given = { laid: ties, unwanted: removed.map(({ tie }) => tie) };
  const found = candidateTies(film, job);
  // Where the shortest bridges are wanted nothing else counts.
  const axis = film.saliency && found.length > 0 ? findMirrorAxis(film) : undefined;
  const paired = axis === undefined ? found : pairMirroredTies(film, found, axis, job);
  let candidates = paired.filter(isAllowed);
  for (let turn = 1; ; turn++) {
    const chosen = chooseTies(film, candidates, given, job, job.heuristics);
    const settled = straightenOverGaps(chosen, film, edges, job);
    const laid = chosen.map((tie, i) => (isAllowed(settled[i]) ? settled[i] : tie));
    const left = laid.map((tie) => sideEffectOf(film, tie, job, CHAMFER * job.flare));
    const bad = chosen.filter((_, i) => left[i] === 'neck');
    if (bad.length === 0 || turn === MOST_TURNS) {
      const plain = laid.map((tie, i) => (left[i] === 'good' ? tie : { ...tie, plain: true }));
      return withoutStubs(plain, film, edges, ties, isAllowed, job);
    }
    candidates = candidates.map((tie) => (bad.some(isTwin(tie)) ? dearer(tie) : tie));
  }
}

/** Moves ties to the junctions beside them where all else stays as good. */
function withoutStubs(
  ties: readonly Tie[],
  film: ErodedFilm,
  edges: SegmentIndex,
  given: readonly Tie[],
  isAllowed: (tie: Tie) => boolean,
  job: Ruled,
): Tie[] {
  const { atJunctions, spacingOf, sideEffectOf } = job.heuristics;
  const spacing = spacingOf([...given, ...ties], job.narrowestOpening);
  return atJunctions(ties, film, edges, job, (moved, tie) => {
    if (!isAllowed(moved) || !spacing.fits(moved, 'spread', tie)) return undefined;
    const left = sideEffectOf(film, moved, job, CHAMFER * job.flare);
    if (left === 'neck') return undefined;
    spacing.remove(tie);
    spacing.add(moved);
    return { ...moved, plain: left !== 'good' };
  });
}

/**
 * How often ties are chosen anew when some leave what can't be cut: each turn takes time, and makes the bad places
 * dearer once more.
 */
const MOST_TURNS = 4;

/** Whether another tie is this one, or its mirror image. */
function isTwin(tie: Tie): (other: Tie) => boolean {
  return (other) => other === tie || (tie.pair !== undefined && other.pair === tie.pair);
}

function numbered(ties: readonly Tie[]): Bridge[] {
  return ties
    .filter(({ followsNeck }) => !followsNeck)
    .sort(byReading)
    .map(({ gapStart, gapEnd, widthMm, origin }, i) => ({
      number: i + 1,
      from: point(gapStart),
      to: point(gapEnd),
      widthMm,
      origin,
    }));
}

function point({ x, y }: Point): Point {
  return { x, y };
}

function byReading(a: Tie, b: Tie): number {
  return (
    a.gapStart.y + a.gapEnd.y - b.gapStart.y - b.gapEnd.y ||
    a.gapStart.x + a.gapEnd.x - b.gapStart.x - b.gapEnd.x
  );
}
