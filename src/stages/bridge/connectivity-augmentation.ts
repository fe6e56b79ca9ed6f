import type { Job } from '../../settings/job.js';
import { frameCore, type ErodedFilm } from './eroded-film.js';
import { findCutEdges, isBelow, type CutEdges } from '../../graphs/cut-edges.js';
import { heavyFrom, measureParts, type FilmPart } from './parts.js';
import type { Apart, Spacing } from './spacing.js';
import type { Tie } from './tie.js';

/** What is laid so far. */
interface Network {
  /** Ties that stay as they are. */
  readonly given: readonly Tie[];
  readonly tree: readonly Tie[];
  /** Holds them all. */
  readonly spacing: Spacing;
}

type HoldSettings = Pick<
  Job,
  'narrowestOpening' | 'narrowestStrip' | 'bridgeAmount' | 'twoTiesFrom' | 'tieEvery'
>;

/**
 * A part may hang behind so many others at most: it is then three ties from the film that holds everything, and a
 * longer chain sways. Common practice, no source.
 */
const MOST_BEHIND = 2;
const DEEPEST = MOST_BEHIND + 1;

/**
 * The widest angle between two neighbouring ties of a part, seen from its middle, in radians (230°): beyond it all ties lie on
 * one side, and the part can swing about them like a door. A judgement, not measured.
 */
const WIDEST_GAP = (230 * Math.PI) / 180;

/** A strip longer than this, in mm, is no second hold: it would sag. Common practice, no source. */
const LONGEST_MM = 20;
/**
 * Nor is one that is longer than the smaller of the two parts that it joins: more would be seen of it than of the part. By
 * eye. One that is no longer than this, in mm, is allowed however small the part.
 */
const SHORT_ENOUGH_MM = 8;

/** The graph of parts and ties in the making. */
export interface Net {
  readonly root: number;
  readonly parts: readonly FilmPart[];
  readonly heavy: number;
  readonly candidates: readonly Tie[];
  readonly given: readonly Tie[];
  readonly chosen: Tie[];
  readonly spacing: Spacing;
}

/** What is done to a tree so that it holds, each step on the graph that the one before it left. */
export interface HoldSteps {
  readonly holdTwice: (net: Net) => void;
  readonly holdOnSides: (net: Net) => void;
  readonly holdNearer: (net: Net) => void;
  readonly exchange: (net: Net) => void;
}

/**
 * The tree, and the ties beyond it that make it hold. The first of the three is 2-edge-connectivity augmentation (Eswaran &
 * Tarjan, "Augmentation problems", SIAM J. Comput. 5, 1976), for heavy parts alone; with weights it is NP-hard. Here ties are
 * taken greedily, each the cheapest for the cut edges that it closes, and then exchanged one for one (local search): no bound
 * on how far that is from the best is claimed.
 *
 * - no tie is the only one that holds more film than `twoTiesFrom`, so that a tie that snaps lets nothing large fall;
 * - a part that should have several ties has them, and on more than one side;
 * - none hangs behind more than two others (a hop bound).
 *
 * Each where there is a place for it. Then single ties are exchanged for better ones, or left out, as long as that
 * helps.
 */
export function augmentConnectivity(
  film: ErodedFilm,
  candidates: readonly Tie[],
  { given, tree, spacing }: Network,
  settings: HoldSettings,
  steps: HoldSteps,
): readonly Tie[] {
  const parts = measureParts(film, settings);
  const net: Net = {
    root: rootOf(frameCore(film, settings), [...given, ...tree], parts),
    parts,
    heavy: heavyFrom(settings),
    candidates: candidates
      .filter((tie) => lengthOf(tie) <= longestBetween(parts[tie.from], parts[tie.to]))
      .sort((a, b) => a.cost - b.cost),
    given: given.filter(({ from, to }) => from !== 0 && to !== 0),
    chosen: [...tree],
    spacing,
  };
  if (settings.bridgeAmount !== 'fewer') {
    steps.holdTwice(net);
    steps.holdOnSides(net);
    steps.holdNearer(net);
  }
  steps.exchange(net);
  return net.chosen;
}

const lengthOf = ({ gapStart: a, gapEnd: b }: Tie): number => Math.hypot(b.x - a.x, b.y - a.y);

/** The length of a second hold between two parts at most, in mm. */
const longestBetween = (a: FilmPart, b: FilmPart): number =>
  Math.min(LONGEST_MM, Math.max(SHORT_ENOUGH_MM, Math.min(a.spanMm, b.spanMm)));

/** What holds everything: the frame, or the largest part where no tie can reach the frame, as round a mask. */
function rootOf(frame: number, links: readonly Tie[], parts: readonly FilmPart[]): number {
  if (links.length === 0 || links.some(({ from, to }) => from === frame || to === frame))
    return frame;
  let root = frame;
  let largest = 0;
  // Beside a mask there may be film that no tie reaches, as the corners of a sheet folded in sixths.
  const tied = new Set(links.flatMap(({ from, to }) => [from, to]));
  parts.forEach(({ areaMm2 }, part) => {
    if (part === 0 || !tied.has(part) || areaMm2 <= largest) return;
    root = part;
    largest = areaMm2;
  });
  return root;
}

const linksOf = ({ given, chosen }: Net): readonly Tie[] => [...given, ...chosen];

function take(net: Net, tie: Tie): void {
  net.chosen.push(tie);
  net.spacing.add(tie);
}

/**
 * A bound on the turns of a loop that adds ties: each turn either takes a candidate, which is not taken a second time since it
 * does not fit beside itself, or gives a part up for good. So there are no more than candidates and parts together.
 */
const mostTurns = ({ candidates, parts }: Net): number => candidates.length + parts.length;

/** Gives every heavy load that hangs on one tie a second way, from the outermost inward. */
function holdTwice(net: Net): void {
  const without = new Set<number>();
  for (let turns = mostTurns(net); turns > 0; turns--) {
    const hanging = findCutEdges(net.root, net.parts.length, linksOf(net));
    const top = outermost(net, hanging, without);
    if (top === undefined) return;
    const tie = spreadIfPossible((apart) => alternativePath(net, hanging, top, apart));
    if (tie) take(net, tie);
    else without.add(top);
  }
}

/** The area of film that hangs on the link above each node. */
function loads({ parts }: Net, { entered, above }: CutEdges): Float64Array {
  const load = Float64Array.from(parts, ({ areaMm2 }) => areaMm2);
  const order = new Int32Array(entered.length + 1).fill(-1);
  entered.forEach((at, node) => (order[at] = at > 0 ? node : -1));
  for (let at = order.length - 1; at > 0; at--) {
    const node = order[at];
    if (node >= 0 && above[node] >= 0) load[above[node]] += load[node];
  }
  return load;
}

function outermost(net: Net, hanging: CutEdges, without: ReadonlySet<number>): number | undefined {
  const load = loads(net, hanging);
  let best: number | undefined;
  hanging.single.forEach((single, node) => {
    if (single === 0 || load[node] < net.heavy || without.has(node)) return;
    if (best === undefined || load[node] < load[best]) best = node;
  });
  return best;
}

/** What there is a place for at a distance; a second hold goes before good looks, so else nearer to others. */
const spreadIfPossible = (find: (apart: Apart) => Tie | undefined): Tie | undefined =>
  find('spread') ?? find('clear');

/** The tie that leads out of what hangs below a node, at the least cost for each single link that it makes safe. */
function alternativePath(net: Net, hanging: CutEdges, top: number, apart: Apart): Tie | undefined {
  let best: Tie | undefined;
  let least = Infinity;
  for (const tie of net.candidates) {
    if (isBelow(hanging, tie.from, top) === isBelow(hanging, tie.to, top)) continue;
    const each = tie.cost / madeSafe(hanging, tie);
    if (each >= least || !net.spacing.fits(tie, apart)) continue;
    best = tie;
    least = each;
  }
  return best;
}

/** How many single links lie on the way through the search tree that a tie would close to a ring. */
function madeSafe({ above, entered, single }: CutEdges, { from, to }: Tie): number {
  let count = 0;
  let [a, b] = [from, to];
  while (a !== b) {
    if (entered[a] < entered[b]) [a, b] = [b, a];
    count += single[a];
    if (above[a] < 0) break;
    a = above[a];
  }
  return Math.max(1, count);
}

/** Gives each part the ties that it should have, on more than one side. */
function holdOnSides(net: Net): void {
  const byPart = candidatesByPart(net);
  net.parts.forEach(({ ties }, part) => {
    if (part === net.root || part === 0 || ties < 2) return;
    const near = byPart.get(part) ?? [];
    for (let turns = near.length; turns > 0; turns--) {
      const angles = anglesOf(net, part);
      const gap = widestGap(angles);
      const isFull = angles.length >= ties;
      if (isFull && gap.width <= WIDEST_GAP) return;
      const tie = spreadIfPossible((apart) => onOtherSide(net, near, part, gap, isFull, apart));
      if (!tie) return;
      take(net, tie);
    }
  });
}

function candidatesByPart({ candidates }: Net): ReadonlyMap<number, readonly Tie[]> {
  const byPart = new Map<number, Tie[]>();
  for (const tie of candidates) {
    for (const part of [tie.from, tie.to]) {
      const ties = byPart.get(part);
      if (ties) ties.push(tie);
      else byPart.set(part, [tie]);
    }
  }
  return byPart;
}

/** The directions, from a part's middle, in which its ties meet it; ascending, in radians. */
function anglesOf(net: Net, part: number): number[] {
  return linksOf(net)
    .filter(({ from, to }) => from === part || to === part)
    .map((tie) => angleAt(net, part, tie))
    .sort((a, b) => a - b);
}

function angleAt({ parts }: Net, part: number, { from, gapStart, gapEnd }: Tie): number {
  const { x, y } = from === part ? gapStart : gapEnd;
  return Math.atan2(y - parts[part].y, x - parts[part].x);
}

/** The widest way round between two of ascending angles, and where it begins. */
interface AngularGap {
  readonly begin: number;
  readonly width: number;
}

function widestGap(angles: readonly number[]): AngularGap {
  let widest: AngularGap = { begin: 0, width: angles.length === 0 ? 2 * Math.PI : 0 };
  angles.forEach((begin, i) => {
    const next = i + 1 < angles.length ? angles[i + 1] : angles[0] + 2 * Math.PI;
    if (next - begin > widest.width) widest = { begin, width: next - begin };
  });
  return widest;
}

/** From either end of a gap, as a share of it: between them lies its middle half. */
const MIDDLE_HALF = 0.25;
/**
 * What a tie costs is divided by how far into the gap it is, as a share of it: from the second of these on all are alike,
 * and at an end of the gap, with the first, a tie costs four times as much. A larger first one takes shorter ties nearer to
 * others. By eye.
 */
const AT_THE_END = 0.1;
const WELL_INTO = 0.3;

/** A tie in the middle half of the gap; nearer to its ends, when one is only missing in number, as well. */
function onOtherSide(
  net: Net,
  candidates: readonly Tie[],
  part: number,
  { begin, width }: AngularGap,
  strictly: boolean,
  apart: Apart,
): Tie | undefined {
  let best: Tie | undefined;
  let least = Infinity;
  for (const tie of candidates) {
    const turn = 2 * Math.PI;
    const into = (((angleAt(net, part, tie) - begin) % turn) + turn) % turn;
    const off = Math.min(into, width - into) / width;
    if (off < 0 || (strictly && off < MIDDLE_HALF)) continue;
    const cost = tie.cost / (AT_THE_END + Math.min(WELL_INTO, off));
    if (cost >= least || !net.spacing.fits(tie, apart)) continue;
    best = tie;
    least = cost;
  }
  return best;
}

/** Ties parts that hang behind too many others to something nearer, those that are the least too deep first. */
function holdNearer(net: Net): void {
  const without = new Set<number>();
  for (let turns = mostTurns(net); turns > 0; turns--) {
    const { depth } = findCutEdges(net.root, net.parts.length, linksOf(net));
    const deep = leastDeep(depth, without);
    if (deep === undefined) return;
    const tie = spreadIfPossible((apart) =>
      net.candidates.find(({ from, to, ...rest }) => {
        const other = from === deep ? to : to === deep ? from : 0;
        if (other === 0 || depth[other] < 0 || depth[other] >= DEEPEST) return false;
        return net.spacing.fits({ from, to, ...rest }, apart);
      }),
    );
    if (tie) {
      take(net, tie);
      // What it brought nearer may be near enough for others.
      without.clear();
    } else without.add(deep);
  }
}

function leastDeep(depth: Int32Array, without: ReadonlySet<number>): number | undefined {
  let best: number | undefined;
  depth.forEach((each, part) => {
    if (each <= DEEPEST || without.has(part)) return;
    if (best === undefined || each < depth[best]) best = part;
  });
  return best;
}

/**
 * What a part that nothing holds counts for, and one that is too heavy for its single tie, in parts that hang too deep: a
 * hundred of the second weigh as much as one of the first, more than most stencils have of them.
 */
const LOOSE = 1000;
const SINGLE = 10;

/** How much is wrong with what is laid, in the order of what matters. */
function faults(net: Net): number {
  const hanging = findCutEdges(net.root, net.parts.length, linksOf(net));
  const load = loads(net, hanging);
  let loose = 0;
  let single = 0;
  let deep = 0;
  for (let part = 1; part < net.parts.length; part++) {
    if (part !== net.root && hanging.depth[part] < 0) loose++;
    if (hanging.depth[part] > DEEPEST) deep++;
    if (hanging.single[part] === 1 && load[part] >= net.heavy) single++;
  }
  return LOOSE * loose + SINGLE * single + deep;
}

/** How far a part falls short of its ties and sides. */
function shortOf(net: Net, part: number): number {
  const { ties } = net.parts[part];
  if (part === net.root || ties < 2) return 0;
  const angles = anglesOf(net, part);
  return Math.max(0, ties - angles.length) + (widestGap(angles).width > WIDEST_GAP ? 1 : 0);
}

/**
 * A tie must cost this share of another at most to take its place: less is what counting pixels adds by chance, and
 * could be exchanged for ever.
 */
const GAIN = 0.98;
/** Rounds of exchanges. Each exchange makes the whole cheaper, so that they end; on pictures after a few. */
const MOST_EXCHANGES = 100;

/**
 * Leaves out ties that nothing needs, and exchanges ties for cheaper ones between the same parts or others, until no
 * single exchange helps.
 */
function exchange(net: Net): void {
  const byPart = candidatesByPart(net);
  let changed = true;
  for (let round = 0; changed && round < MOST_EXCHANGES; round++) {
    changed = false;
    const needed = singleTies(net);
    let wrong = faults(net);
    let below: Below | undefined;
    for (const tie of [...net.chosen].sort((a, b) => b.cost - a.cost)) {
      const without = needed.has(tie) ? undefined : leaveOut(net, tie, wrong);
      below ??= belowIn(net);
      const after = without ?? replace(net, tie, byPart, { wrong, below: below(tie) });
      if (after === undefined) continue;
      wrong = after;
      below = undefined;
      changed = true;
    }
  }
}

/** What falls when a tie goes: whether a part is among it; undefined where nothing falls. */
type Below = (tie: Tie) => ((part: number) => boolean) | undefined;

function belowIn(net: Net): Below {
  const links = linksOf(net);
  const hanging = findCutEdges(net.root, net.parts.length, links);
  return (tie) => {
    const top = [tie.from, tie.to].find(
      (part) => hanging.single[part] === 1 && links[hanging.by[part]] === tie,
    );
    return top === undefined ? undefined : (part) => isBelow(hanging, part, top);
  };
}

/** The ties that are the only hold of what is below them. */
function singleTies(net: Net): ReadonlySet<Tie> {
  const links = linksOf(net);
  const { by, single } = findCutEdges(net.root, net.parts.length, links);
  return new Set([...by].filter((_, part) => single[part] === 1).map((link) => links[link]));
}

/**
 * Leaves a tie out if nothing becomes worse.
 *
 * @param wrong the faults as it is laid now
 * @returns the faults then; undefined when the tie stays
 */
function leaveOut(net: Net, tie: Tie, wrong: number): number | undefined {
  const before = wrong + shortOf(net, tie.from) + shortOf(net, tie.to);
  put(net, tie, undefined);
  const after = faults(net);
  if (after + shortOf(net, tie.from) + shortOf(net, tie.to) <= before) return after;
  put(net, undefined, tie);
  return undefined;
}

/** The ties at either end of one that cost less; candidates ascend by cost. */
function* cheaper(byPart: ReadonlyMap<number, readonly Tie[]>, tie: Tie): Generator<Tie> {
  for (const part of [tie.from, tie.to]) {
    for (const other of byPart.get(part) ?? []) {
      if (other.cost >= GAIN * tie.cost) break;
      yield other;
    }
  }
}

/** The net as it is laid: its faults, and what falls when the tie that is looked at goes. */
interface Now {
  readonly wrong: number;
  readonly below: ((part: number) => boolean) | undefined;
}

/**
 * Takes a cheaper tie instead of one if nothing becomes worse; like `leaveOut`.
 *
 * All faults are counted anew only where the exchange may change them: not for another place between the same two
 * parts, nor for a tie that would not hold what falls.
 */
function replace(
  net: Net,
  tie: Tie,
  byPart: ReadonlyMap<number, readonly Tie[]>,
  { wrong, below }: Now,
): number | undefined {
  for (const other of cheaper(byPart, tie)) {
    if (below && below(other.from) === below(other.to)) continue;
    if (!net.spacing.fits(other, 'spread', tie)) continue;
    const parts = new Set([tie.from, tie.to, other.from, other.to]);
    const short = (): number => [...parts].reduce((sum, part) => sum + shortOf(net, part), 0);
    const before = wrong + short();
    put(net, tie, other);
    const after = parts.size === 2 ? wrong : faults(net);
    if (after + short() <= before) return after;
    put(net, other, tie);
  }
  return undefined;
}

/** Takes one tie out and puts another in. */
function put({ chosen, spacing }: Net, out: Tie | undefined, into: Tie | undefined): void {
  if (out) {
    chosen.splice(chosen.indexOf(out), 1);
    spacing.remove(out);
  }
  if (into) {
    chosen.push(into);
    spacing.add(into);
  }
}

export const holdSteps: HoldSteps = { holdTwice, holdOnSides, holdNearer, exchange };
