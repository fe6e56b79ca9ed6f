import { boundingBox } from '../geometry/bounding-box.js';
import type { Region } from '../geometry/boolean-operations.js';
import { perimeter } from '../geometry/perimeter.js';
import { signedArea } from '../geometry/signed-area.js';
import type { Point } from '../geometry/shape.js';
import { remnantsOf, type UprightStrip } from './remnants.js';

/*
 * Where a type designer opens the counters of a letter. Learnt from published stencil faces beside their plain siblings
 * (test/oracle/lettering.test.ts has the figures): strokes are cut along one axis, at both ends of a counter; a round
 * counter in its middle; one beside a stem flush with the stem, where the bowl leaves it, so that the stem stays whole;
 * never through a joint while there is a plain stroke.
 */

/** A cut across a stroke: from the film at one side of it to the film at the other. */
export interface CounterBridge {
  readonly from: Point;
  readonly to: Point;
  /** From where to where its middle and its two sides cross the stroke. */
  readonly lines: readonly (readonly [from: Point, to: Point])[];
}

/** What bridges are laid by; lengths in the letter's own unit. */
export interface CounterRules {
  /** Which way they run: radians from upright, leaning to the right; π/2 is level. 'thin' finds the thinnest strokes. */
  readonly axis: number | 'thin';
  readonly width: number;
  /** The least width of an opening. */
  readonly opening: number;
  /** A counter under this area has one bridge instead of two. */
  readonly smallCounter: number;
  /** A counter from this area on has two, even where there is one good stroke only. */
  readonly largeCounter: number;
  /** Not flush with a stem, though there is one: letters that are alike are bridged alike. */
  readonly offStems?: boolean;
}

/** A stretch of one line, from its lower to its higher end. */
type Interval = readonly [number, number];

/** A stroke that a strip cuts: between which places along the axis, and how thick it is there. */
interface Cut {
  readonly span: Interval;
  /** The same of its middle and its sides, with where they are. */
  readonly lines: readonly { readonly u: number; readonly span: Interval }[];
  /** In the mean over the strip's width, and at the most. */
  readonly thick: number;
  readonly longest: number;
  /** Nothing of the letter lies beyond it: the bar of an e opens on more of the e. */
  readonly free: boolean;
}

/** The same letter with the bridges' axis upright: across is u, along is v. */
interface UprightLetter {
  readonly loops: readonly Float64Array[];
  /** How thick the letter's strokes are, taken all together. */
  readonly stroke: number;
  /** What strips leave that is too thin, as an area. */
  readonly remnants: (strips: readonly UprightStrip[]) => number;
  readonly back: (u: number, v: number) => Point;
}

/** A place to cut a counter open: both strokes on one axis, or one of them. */
interface Opening {
  readonly before: Cut | undefined;
  readonly after: Cut | undefined;
}

/** So far apart a round counter's places are tried, as a share of its width. */
const STEP_SHARE = 1 / 24;
/** What is so many times as thick as the letter's strokes is a joint, or a stroke cut lengthwise, and is not cut. */
const JOINT = 1.5;
/** Beside a stem the bowl's root may be thicker. */
const ROOT = 1.9;
/** What it costs to leave the middle, in shares of the counter's width, against a stroke twice as thick. */
const OFF_MIDDLE = 1.6;
/** What it costs to leave a square of the stroke's side that is too thin, in strokes. */
const RAGGED = 5;
/** What it costs to cut one stroke only, in strokes. */
const ONE_ONLY = 1.5;
/** Within this share of the counter's height a stem is straight … */
const STRAIGHT = 0.06;
/** … and within this its ends are level with the strokes that leave it. */
const LEVEL = 0.04;
/** Where along a counter a stem is looked at, as shares of its height. */
const STEM_LOOKS = [0.3, 0.5, 0.7];
/** Just inside a strip's edge, as a share of its width from its middle. */
const EDGE = 0.49;
/** What numbers that are not exact in binary may be off by. */
const ROUNDING = 1e-6;
/** Axes that are tried for the thinnest strokes. */
const THIN_AXES = [0, -1, 1, -2, 2, -3, 3, 4].map((step) => (step * Math.PI) / 8);
/** An axis that leans must cut strokes that are thinner by this share to be worth it. */
const WORTH_LEANING = 0.75;

/**
 * The bridges of a letter, in its own coordinates with y down: the same for the same letter wherever it stands.
 *
 * @param regions what is ink, with its counters as holes
 */
export function counterBridges(
  regions: readonly Region[],
  rules: CounterRules,
): readonly CounterBridge[] {
  const axis = rules.axis === 'thin' ? thinnestAxis(regions, rules) : rules.axis;
  return alongAxis(regions, axis, rules).map(({ bridge }) => bridge);
}

/** Whether all counters of a letter are opened flush with stems; not where it has none. */
export function isFlush(regions: readonly Region[], rules: CounterRules): boolean {
  const counters = regions.flatMap(({ holes }) => holes);
  if (counters.length === 0) return false;
  const loops = regions.flatMap(({ outer, holes }) => [outer, ...holes]);
  const upright = uprightLetter(loops, rules.axis === 'thin' ? 0 : rules.axis, rules);
  return counters.every((counter) => {
    const own = upright.loops[loops.indexOf(counter)];
    return flushAxis(own, upright, rules) !== undefined;
  });
}

interface LaidBridge {
  readonly bridge: CounterBridge;
  readonly thick: number;
}

function thinnestAxis(regions: readonly Region[], rules: CounterRules): number {
  const mean = (axis: number): number => {
    const laid = alongAxis(regions, axis, rules);
    return laid.length === 0
      ? Infinity
      : laid.reduce((sum, { thick }) => sum + thick, 0) / laid.length;
  };
  return THIN_AXES.reduce(
    (best, axis) => {
      const thick = mean(axis);
      return thick < best.thick * WORTH_LEANING ? { axis, thick } : best;
    },
    { axis: 0, thick: mean(0) },
  ).axis;
}

function alongAxis(regions: readonly Region[], axis: number, rules: CounterRules): LaidBridge[] {
  const counters = regions.flatMap(({ holes }) => holes);
  if (counters.length === 0) return [];
  const loops = regions.flatMap(({ outer, holes }) => [outer, ...holes]);
  const upright = uprightLetter(loops, axis, rules);
  const holesIn = counters.map((counter) => upright.loops[loops.indexOf(counter)]);
  const laid: LaidBridge[] = [];
  for (const column of columnsOf(holesIn)) {
    const u = sharedAxis(column, upright, rules);
    for (const counter of column)
      laid.push(...openedCounter(counter, u(counter), upright, rules, laid));
  }
  return laid;
}

/** Counters over each other share an axis: B and 8 are opened in one line. */
function columnsOf(counters: readonly Float64Array[]): Float64Array[][] {
  const columns: Float64Array[][] = [];
  for (const counter of counters) {
    const box = boundingBox(counter);
    const column = columns.find((others) =>
      others.every((other) => {
        const [left, , right] = boundingBox(other);
        const shared = Math.min(right, box[2]) - Math.max(left, box[0]);
        return shared > SHARED * Math.min(right - left, box[2] - box[0]);
      }),
    );
    if (column) column.push(counter);
    else columns.push([counter]);
  }
  return columns;
}

/** Counters whose widths overlap by this share stand over each other. */
const SHARED = 0.8;

/** The axis of each of some counters that stand over each other. */
function sharedAxis(
  column: readonly Float64Array[],
  upright: UprightLetter,
  rules: CounterRules,
): (counter: Float64Array) => number {
  const axes = column.map((counter) => axisOf(counter, upright, rules));
  const mean = axes.reduce((sum, u) => sum + u, 0) / axes.length;
  const isNear = axes.every((u) => Math.abs(u - mean) < rules.width / 2);
  return (counter) => (isNear ? mean : axes[column.indexOf(counter)]);
}

/** Where a counter is cut open: flush with a stem, or near its middle where the strokes are thin. */
function axisOf(counter: Float64Array, upright: UprightLetter, rules: CounterRules): number {
  const [left, , right] = boundingBox(counter);
  const width = right - left;
  const strip = Math.min(rules.width, width);
  const middle = (left + right) / 2;
  const flush = rules.offStems === true ? undefined : flushAxis(counter, upright, rules);
  if (flush !== undefined) return flush;
  let best = { u: middle, cost: Infinity };
  const step = Math.max(width * STEP_SHARE, width / 1000);
  for (let off = 0; off <= (width - strip) / 2; off += step) {
    for (const u of off === 0 ? [middle] : [middle - off, middle + off]) {
      const found = opening(counter, u, upright, strip);
      const cost = costOf(found, upright) + (OFF_MIDDLE * off) / width;
      // A place that is dearer anyway is not drawn.
      if (cost >= best.cost) continue;
      const whole = cost + RAGGED * raggedness(counter, u, found, upright, rules);
      if (whole < best.cost - ROUNDING) best = { u, cost: whole };
    }
  }
  return best.u;
}

/** The axis of a counter that is opened flush with a stem; undefined for any other. */
function flushAxis(
  counter: Float64Array,
  upright: UprightLetter,
  rules: CounterRules,
): number | undefined {
  const [left, , right] = boundingBox(counter);
  const strip = Math.min(rules.width, right - left);
  return (
    ([-1, 1] as const)
      // Where both sides are stems, as in a box, reading order decides.
      .flatMap((side) => flushWith(counter, side, upright, strip) ?? [])
      .at(0)
  );
}

/** What is left too thin beside the strips of a counter, in squares of the stroke. */
function raggedness(
  counter: Float64Array,
  u: number,
  found: Opening,
  { remnants, stroke }: UprightLetter,
  rules: CounterRules,
): number {
  const [left, , right] = boundingBox(counter);
  const half = Math.min(rules.width, right - left) / 2;
  const strips = wantedCuts(counter, found, stroke, rules).map(
    ({ span: [from, to] }): UprightStrip => ({
      across: [u - half, u + half],
      along: [from - half, to + half],
    }),
  );
  return remnants(strips) / stroke ** 2;
}

const cutsOf = ({ before, after }: Opening): Cut[] =>
  [before, after].filter((cut) => cut !== undefined);

/** The axis of a strip along a stem's edge; undefined where no stem is, or where the strip would cut more than bars. */
function flushWith(
  counter: Float64Array,
  side: -1 | 1,
  upright: UprightLetter,
  strip: number,
): number | undefined {
  if (!isStem(counter, side, upright, strip)) return undefined;
  const [left, , right] = boundingBox(counter);
  const edge = side === -1 ? left : right;
  const at = (off: number): number => edge - side * (off + strip / 2);
  const isPlain = (off: number): boolean =>
    cutsOf(opening(counter, at(off), upright, strip)).every(
      ({ longest }) => longest <= ROOT * upright.stroke,
    );
  const most = Math.min(right - left - strip, MOST_BULGE * (right - left));
  const least = Math.min(stemBeyond(counter, at(0), side, edge, upright, strip), Math.max(most, 0));
  let [bad, good] = [least, most];
  if (isPlain(least)) return at(least);
  if (good <= 0 || !isPlain(good)) return undefined;
  // A counter may bulge a little into its stem: the strip lies along the stem's edge beyond the bowl.
  for (let halving = 0; halving < HALVINGS; halving++) {
    const off = (bad + good) / 2;
    if (isPlain(off)) good = off;
    else bad = off;
  }
  return at(good);
}

/** How far a stem reaches into a strip that lies along it, beyond the strokes that the strip cuts: it is not nicked. */
function stemBeyond(
  counter: Float64Array,
  u: number,
  side: -1 | 1,
  edge: number,
  upright: UprightLetter,
  strip: number,
): number {
  const { before, after } = opening(counter, u, upright, strip);
  const beyond = BEYOND.flatMap((share) => [
    ...(before ? [before.span[0] - share * strip] : []),
    ...(after ? [after.span[1] + share * strip] : []),
  ]);
  const offs = beyond
    .flatMap((v) => spansOf(upright.loops.map(swapped), v))
    .map(([from, to]) => (side === -1 ? to - edge : edge - from));
  return Math.max(0, ...offs.filter((off) => off < strip * MOST_BULGE));
}

/** So far beyond a stroke, in widths of the strip, it goes on in film. */
const BEYOND = [0.25, 0.5, 1];

/** How far a counter may bulge into a stem, as a share of its width; and how finely that is found. */
const MOST_BULGE = 0.2;
const HALVINGS = 12;

/** What it costs to open a counter at a place, in strokes. */
function costOf(found: Opening, { stroke }: UprightLetter): number {
  const cuts = cutsOf(found);
  const plain = cuts.filter(({ thick }) => thick <= JOINT * stroke);
  if (plain.length === 0) return Math.min(...cuts.map(({ thick }) => thick / stroke), 9) + 3;
  const mean = plain.reduce((sum, { thick }) => sum + thick, 0) / plain.length / stroke;
  return mean + (plain.length < 2 ? ONE_ONLY : 0);
}

/**
 * Whether a stem stands at a side of a counter: straight along it, and with ends that reach as far as the strokes that
 * leave it, or further. The side of a round letter turns in before that.
 */
function isStem(
  counter: Float64Array,
  side: -1 | 1,
  upright: UprightLetter,
  strip: number,
): boolean {
  const [left, top, right, bottom] = boundingBox(counter);
  const height = bottom - top;
  const slack = STRAIGHT * height;
  const at = (share: number): Interval | undefined => {
    const v = top + share * height;
    const own = spansOf([swapped(counter)], v);
    const edge = side === -1 ? own.at(0)?.[0] : own.at(-1)?.[1];
    if (edge === undefined) return undefined;
    return spansOf(upright.loops.map(swapped), v).find(
      ([from, to]) => Math.abs((side === -1 ? to : from) - edge) < ROUNDING,
    );
  };
  const spans = STEM_LOOKS.map(at).filter((span) => span !== undefined);
  if (spans.length < 3) return false;
  const edges = spans.map(([from, to]) => (side === -1 ? to : from));
  const inner = side === -1 ? left : right;
  if (edges.some((edge) => Math.abs(edge - inner) > slack)) return false;
  const centre = (spans[1][0] + spans[1][1]) / 2;
  const middle = (top + bottom) / 2;
  const stem = spansOf(upright.loops, centre).find(([from, to]) => from < middle && to > middle);
  const { before, after } = opening(counter, inner - (side * strip) / 2, upright, strip);
  if (!stem || (!before && !after)) return false;
  const short = LEVEL * height;
  return (
    (before === undefined || stem[0] <= before.span[0] + short) &&
    (after === undefined || stem[1] >= after.span[1] - short)
  );
}

/** The cuts of a counter at an axis: those that are joints left out, and one alone where it is small. */
function openedCounter(
  counter: Float64Array,
  u: number,
  upright: UprightLetter,
  rules: CounterRules,
  laid: readonly LaidBridge[],
): LaidBridge[] {
  const [left, , right] = boundingBox(counter);
  const strip = Math.min(rules.width, right - left);
  const found = opening(counter, u, upright, strip);
  const plain = plainCuts(found, upright.stroke);
  const area = Math.abs(signedArea(counter));
  if (plain.length === 1 && area >= rules.largeCounter) {
    const sides = twoSides(counter, plain[0] === found.before ? 'before' : 'after', upright, strip);
    if (sides) return sides.map((side) => laidAt(side.u, side.cut, upright));
  }
  return wantedCuts(counter, found, upright.stroke, rules)
    .map((cut) => laidAt(u, cut, upright))
    .filter(({ bridge }) => !laid.some((other) => isSamePlace(other.bridge, bridge)));
}

/** The strokes of a counter that are no joints, the thinner first. */
function plainCuts(found: Opening, stroke: number): Cut[] {
  const cuts = cutsOf(found).sort(byThickness);
  if (cuts.length === 0) return [];
  const most = Math.max(JOINT * stroke, cuts[0].thick);
  return cuts.filter(({ thick }) => thick <= most && thick <= MOST_UNLIKE * cuts[0].thick);
}

/** Those of them that are cut: of a small counter one. */
function wantedCuts(
  counter: Float64Array,
  found: Opening,
  stroke: number,
  rules: CounterRules,
): Cut[] {
  const plain = plainCuts(found, stroke);
  if (plain.length === 0 || Math.abs(signedArea(counter)) >= rules.smallCounter) return plain;
  // A strip that opens outward holds by itself; through the bar of an e it holds as its mouth does.
  return [plain.find(({ free }) => free) ?? plain[0]];
}

/** Of the two strokes of a counter one that is so many times as thick as the other is left whole. */
const MOST_UNLIKE = 1.7;

const byThickness = (a: Cut, b: Cut): number => a.thick - b.thick;

/** A bridge between two counters is found from both. */
function isSamePlace(a: CounterBridge, b: CounterBridge): boolean {
  const [ax, ay] = [a.from.x + a.to.x, a.from.y + a.to.y];
  const [bx, by] = [b.from.x + b.to.x, b.from.y + b.to.y];
  const [lx, ly] = [a.to.x - a.from.x, a.to.y - a.from.y];
  return Math.hypot(ax - bx, ay - by) / 2 < Math.hypot(lx, ly) / 2;
}

function laidAt(
  u: number,
  { span: [from, to], lines, thick }: Cut,
  upright: UprightLetter,
): LaidBridge {
  const bridge = {
    from: upright.back(u, from),
    to: upright.back(u, to),
    lines: lines.map(
      (line) => [upright.back(line.u, line.span[0]), upright.back(line.u, line.span[1])] as const,
    ),
  };
  return { bridge, thick };
}

/** Two cuts in the one stroke that can be cut, a quarter of the counter's width from either end: A when it is large. */
function twoSides(
  counter: Float64Array,
  end: keyof Opening,
  upright: UprightLetter,
  strip: number,
): readonly { readonly u: number; readonly cut: Cut }[] | undefined {
  const [left, , right] = boundingBox(counter);
  const sides = [left + (right - left) / 4, right - (right - left) / 4].flatMap((u) => {
    const cut = opening(counter, u, upright, strip)[end];
    return cut ? [{ u, cut }] : [];
  });
  return sides.length === 2 && sides[1].u - sides[0].u > 2 * strip ? sides : undefined;
}

/** The strokes before and after a counter along an axis, as far as there is film beyond them. */
function opening(
  counter: Float64Array,
  u: number,
  { loops }: UprightLetter,
  strip: number,
): Opening {
  const [left, , right] = boundingBox(counter);
  // A strip's own edges count too: what it cuts is as long as at its longest.
  const lines = [u, u - EDGE * strip, u + EDGE * strip].filter((at) => at > left && at < right);
  const cuts = lines.map((at) => {
    const own = spansOf([counter], at);
    const ink = own.length > 0 ? spansOf(loops, at) : [];
    const [from, to] = [own.at(0)?.[0] ?? NaN, own.at(-1)?.[1] ?? NaN];
    return {
      before: ink.find(([, end]) => Math.abs(end - from) < ROUNDING),
      after: ink.find(([start]) => Math.abs(start - to) < ROUNDING),
      first: ink.at(0),
      last: ink.at(-1),
    };
  });
  const joined = (end: keyof Opening): Cut | undefined => {
    const crossed = cuts.flatMap((cut, i) => {
      const span = cut[end];
      return span ? [{ u: lines[i], span }] : [];
    });
    if (crossed.length === 0) return undefined;
    const found = crossed.map(({ span }) => span);
    return {
      lines: crossed,
      span: [Math.min(...found.map(([from]) => from)), Math.max(...found.map(([, to]) => to))],
      thick: found.reduce((sum, [from, to]) => sum + to - from, 0) / found.length,
      longest: Math.max(...found.map(([from, to]) => to - from)),
      free: cuts.every((cut) => cut[end] === (end === 'before' ? cut.first : cut.last)),
    };
  };
  return { before: joined('before'), after: joined('after') };
}

/** Where the upright line at u lies in what loops enclose: inside an odd number of them. */
function spansOf(loops: readonly Float64Array[], u: number): Interval[] {
  const at: number[] = [];
  for (const loop of loops) {
    const n = loop.length;
    for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
      if (loop[i] > u === loop[j] > u) continue;
      const share = (u - loop[i]) / (loop[j] - loop[i]);
      at.push(loop[i + 1] + share * (loop[j + 1] - loop[i + 1]));
    }
  }
  at.sort((a, b) => a - b);
  return Array.from({ length: at.length >> 1 }, (_, k): Interval => [at[2 * k], at[2 * k + 1]]);
}

const swapped = (loop: Float64Array): Float64Array =>
  loop.map((_, i) => (i % 2 === 0 ? loop[i + 1] : loop[i - 1]));

/**
 * Loops with the axis upright. One that leans less than 45° is sheared, so that bars stay level and are cut as in an
 * upright letter; a level one is turned.
 */
function uprightLetter(
  loops: readonly Float64Array[],
  axis: number,
  { opening: least }: CounterRules,
): UprightLetter {
  const { loops: own, ...rest } = standUpright(loops, axis);
  const remnants = remnantsOf(own, least, (u) => spansOf(own, u));
  return { ...rest, loops: own, remnants };
}

function standUpright(
  loops: readonly Float64Array[],
  axis: number,
): Omit<UprightLetter, 'remnants'> {
  const [inkArea, edge] = [
    Math.abs(loops.reduce((sum, loop) => sum + signedArea(loop), 0)),
    loops.reduce((sum, loop) => sum + perimeter(loop), 0),
  ];
  const stroke = (2 * inkArea) / edge;
  if (Math.abs(axis) < Math.PI / 4) {
    const lean = Math.tan(axis);
    return {
      loops: loops.map((loop) =>
        loop.map((value, i) => (i % 2 ? value : value + lean * loop[i + 1])),
      ),
      stroke,
      back: (u, v) => ({ x: u - lean * v, y: v }),
    };
  }
  const [cos, sin] = [Math.cos(axis), Math.sin(axis)];
  return {
    loops: loops.map((loop) =>
      loop.map((value, i) =>
        i % 2 ? cos * value - sin * loop[i - 1] : cos * value + sin * loop[i + 1],
      ),
    ),
    stroke,
    back: (u, v) => ({ x: cos * u - sin * v, y: sin * u + cos * v }),
  };
}
