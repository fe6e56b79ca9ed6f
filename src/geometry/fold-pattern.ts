import type { Sheet } from '../settings/card.js';
import type { FoldKind, FoldSettings } from '../settings/folds.js';
import type { Point } from './shape.js';

/** What quarters of a turn may be off by in binary. */
const ROUNDING = 1e-9;

/** A place or direction's image: x' = a x + c y + e, y' = b x + d y + f. */
export interface Isometry {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
}

/** A side of the packet: its inside is where the normal points. */
export interface FoldLine {
  readonly at: Point;
  /** Of length 1, into the packet. */
  readonly normal: Point;
}

/** One side of the packet as it is seen on the table. */
interface PacketSide {
  readonly from: Point;
  readonly to: Point;
  /** A fold; the sheet's open edges; or, of a strip of three panels or more, folds with one loose end between them. */
  readonly is: 'fold' | 'open' | 'folds-and-end';
}

/**
 * A sheet folded to a packet. The packet is a part of the sheet, where it lies on the opened sheet; every other part is
 * its image by reflections in the folds. In mm, y down.
 *
 * The groups are those of the plane: dihedral about the sheet's middle (quarter D2, eighth D4, sixth D6; International
 * Tables for Crystallography A, 3.2.1: 2mm, 4mm, 6mm), and for a strip the frieze group with mirrors across it (p1m1,
 * the same Tables, E: p m 1 1), of which half (D1) is the case of two panels. From memory.
 */
export interface FoldPattern extends SymmetryPattern {
  readonly kind: Exclude<FoldKind, 'none'>;
  /** The packet's corners, clockwise on the page, and its sides in the same order. */
  readonly outline: readonly Point[];
  readonly sides: readonly PacketSide[];
}

/** A part of the plane and its images: wedges round a place, or panels of a strip. In mm, y down. */
export interface SymmetryPattern {
  /** How many parts there are. */
  readonly layers: number;
  /** Whether a part is the mirror image of the one beside it, or that one turned. */
  readonly beside: 'mirrored' | 'turned';
  /**
   * The two lines between the first part and those beside it: of a packet its folds, every other side of which is an open
   * edge. Where parts are turned, the first leads over into the second.
   */
  readonly mirrors: readonly [FoldLine, FoldLine];
  /** By copy, its place: the first part itself is the first. */
  readonly copies: readonly Isometry[];
  /** The copy on the other side of a copy's image of a mirror; -1 where all ends there. */
  readonly across: readonly (readonly [number, number])[];
  /** Where wedges meet; undefined for a strip. */
  readonly centre?: Point;
  /** Where the first wedge begins, clockwise from straight up, in degrees. */
  readonly tilt: number;
  /** What of the sheet is in parts: all of it, or of a strip that is cut to length first that length. */
  readonly from: Point;
  readonly to: Point;
}

/** What the pattern needs to know of a job. */
export interface FoldRequest extends FoldSettings {
  readonly sheet: Sheet;
  /** Mm cut off both ends of a strip before it is folded. */
  readonly trim?: number;
}

/** How a sheet is folded; undefined when it is not. */
export function foldPattern({
  fold,
  foldPanels,
  sheet,
  trim = 0,
}: FoldRequest): FoldPattern | undefined {
  switch (fold) {
    case 'none':
      return undefined;
    case 'half':
      return panels(sheet, 2, 0, fold);
    case 'to-and-fro':
      return panels(sheet, Number(foldPanels), trim, fold);
    case 'quarter':
      return wedges(sheet, 2, fold);
    case 'eighth':
      return wedges(sheet, 4, fold);
    case 'sixth':
      return wedges(sheet, 6, fold);
  }
}

function panels(
  { widthMm, heightMm }: Sheet,
  count: number,
  trim: number,
  kind: FoldPattern['kind'],
): FoldPattern {
  const wide = (widthMm - 2 * trim) / count;
  const [left, right] = [trim, trim + wide];
  const outline = [
    { x: left, y: 0 },
    { x: right, y: 0 },
    { x: right, y: heightMm },
    { x: left, y: heightMm },
  ];
  // The last panel's end lies over the right side of the packet where their number is odd.
  const leftIs = count === 2 ? 'open' : 'folds-and-end';
  const rightIs = count % 2 === 1 ? 'folds-and-end' : 'fold';
  return {
    kind,
    ...inStrip({ x: left, y: 0 }, { x: widthMm - trim, y: heightMm }, count),
    outline,
    sides: sidesOf(outline, ['open', rightIs, 'open', leftIs]),
  };
}

/** A strip in upright panels of one width, each the mirror image of the one before: the frieze group p1m1. */
function inStrip(from: Point, to: Point, count: number): SymmetryPattern {
  const wide = (to.x - from.x) / count;
  const there = (i: number): number => (i >= 0 && i < count ? i : -1);
  return {
    layers: count,
    beside: 'mirrored',
    tilt: 0,
    mirrors: [
      { at: from, normal: { x: 1, y: 0 } },
      { at: { x: from.x + wide, y: from.y }, normal: { x: -1, y: 0 } },
    ],
    copies: Array.from({ length: count }, (_, i): Isometry =>
      i % 2 === 0
        ? { a: 1, b: 0, c: 0, d: 1, e: i * wide, f: 0 }
        : { a: -1, b: 0, c: 0, d: 1, e: 2 * from.x + (i + 1) * wide, f: 0 },
    ),
    across: Array.from({ length: count }, (_, i) =>
      i % 2 === 0 ? [there(i - 1), there(i + 1)] : [there(i + 1), there(i - 1)],
    ),
    from,
    to,
  };
}

/**
 * The dihedral group Dn about a place: clockwise on the page, wedges of 180° / n, each the mirror image of the one before.
 *
 * @param n 1 for one mirror alone
 * @param tilt where the first wedge begins, in degrees from straight up
 */
export function wedgesAbout(centre: Point, n: number, sheet: Sheet, tilt = 0): SymmetryPattern {
  const count = 2 * n;
  const wedge = Math.PI / n;
  const copies = Array.from({ length: count }, (_, k): Isometry => {
    // Angles from the first mirror: φ becomes kθ + φ, or (k + 1)θ - φ where the wedge is turned over.
    const isTurned = k % 2 === 1;
    const [cos, sin] = exactly(isTurned ? (k + 1) * wedge + 2 * radians(tilt) : k * wedge);
    const m = isTurned
      ? { a: -cos, b: -sin, c: -sin, d: cos }
      : { a: cos, b: sin, c: -sin, d: cos };
    return about(centre, m);
  });
  const around = (k: number): number => (k + count) % count;
  return {
    ...wedgeOf(centre, wedge, tilt, sheet),
    layers: count,
    beside: 'mirrored',
    copies,
    across: copies.map((_, k) =>
      k % 2 === 0 ? [around(k - 1), around(k + 1)] : [around(k + 1), around(k - 1)],
    ),
  };
}

/**
 * The cyclic group Cn about a place, turns without a mirror: clockwise on the page, wedges of 360° / n, each the one before
 * turned. Where the first begins is as good as anywhere.
 *
 * @param n at least 2
 */
export function turnsAbout(centre: Point, n: number, sheet: Sheet, tilt = 0): SymmetryPattern {
  const wedge = (2 * Math.PI) / n;
  const copies = Array.from({ length: n }, (_, k): Isometry => {
    const [cos, sin] = exactly(k * wedge);
    return about(centre, { a: cos, b: sin, c: -sin, d: cos });
  });
  return {
    ...wedgeOf(centre, wedge, tilt, sheet),
    layers: n,
    beside: 'turned',
    copies,
    across: copies.map((_, k) => [(k + n - 1) % n, (k + 1) % n]),
  };
}

/** A pattern of wedges whose first one begins elsewhere. */
export function tilted(pattern: SymmetryPattern, tilt: number): SymmetryPattern {
  const { centre, beside, layers, to } = pattern;
  const sheet = { widthMm: to.x, heightMm: to.y };
  if (!centre) return pattern;
  return beside === 'turned'
    ? turnsAbout(centre, layers, sheet, tilt)
    : wedgesAbout(centre, layers / 2, sheet, tilt);
}

/** The first wedge, and the sheet that it lies on. */
function wedgeOf(
  centre: Point,
  wedge: number,
  tilt: number,
  sheet: Sheet,
): Pick<SymmetryPattern, 'mirrors' | 'centre' | 'tilt' | 'from' | 'to'> {
  const [cos, sin] = exactly(radians(tilt));
  const [cosTo, sinTo] = exactly(radians(tilt) + wedge);
  return {
    mirrors: [
      { at: centre, normal: { x: cos, y: sin } },
      { at: centre, normal: { x: -cosTo, y: -sinTo } },
    ],
    centre,
    tilt,
    from: { x: 0, y: 0 },
    to: { x: sheet.widthMm, y: sheet.heightMm },
  };
}

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/** An isometry that leaves a place where it is. */
function about({ x, y }: Point, m: Pick<Isometry, 'a' | 'b' | 'c' | 'd'>): Isometry {
  return { ...m, e: x - m.a * x - m.c * y, f: y - m.b * x - m.d * y };
}

/** A sheet folded about its middle to a wedge of 180° / n. */
function wedges(sheet: Sheet, n: number, kind: FoldPattern['kind']): FoldPattern {
  const { widthMm, heightMm } = sheet;
  const centre = { x: widthMm / 2, y: heightMm / 2 };
  const [cos, sin] = exactly(Math.PI / n);
  const top = { x: centre.x, y: 0 };
  const outline =
    n === 2
      ? [centre, top, { x: widthMm, y: 0 }, { x: widthMm, y: centre.y }]
      : [
          centre,
          top,
          n === 4 ? { x: widthMm, y: 0 } : { x: centre.x + centre.y * (sin / cos), y: 0 },
        ];
  return {
    kind,
    ...wedgesAbout(centre, n, sheet),
    outline,
    sides: sidesOf(outline, n === 2 ? ['fold', 'open', 'open', 'fold'] : ['fold', 'open', 'fold']),
  };
}

function sidesOf(outline: readonly Point[], kinds: readonly PacketSide['is'][]): PacketSide[] {
  return outline.map((from, i) => ({ from, to: outline[(i + 1) % outline.length], is: kinds[i] }));
}

/** Cosine and sine, with quarters of a turn exact: a place and its image then fall on the same grid. */
function exactly(angle: number): readonly [number, number] {
  const quarters = angle / (Math.PI / 2);
  const whole = Math.round(quarters);
  if (Math.abs(quarters - whole) > ROUNDING) return [Math.cos(angle), Math.sin(angle)];
  return (
    [
      [1, 0],
      [0, 1],
      [-1, 0],
      [0, -1],
    ] as const
  )[((whole % 4) + 4) % 4];
}

/** Where a place of the packet lies in a copy of it. */
export function imageOf({ a, b, c, d, e, f }: Isometry, { x, y }: Point): Point {
  return { x: a * x + c * y + e, y: b * x + d * y + f };
}

/** Whether a copy is turned over. */
export function isReflection({ a, b, c, d }: Isometry): boolean {
  return a * d - b * c < 0;
}

/** The folds of an opened strip from the left, with its ends, which are folds of its other panels; none of a wedge. */
export function parallelFolds({ centre, layers, from, to }: SymmetryPattern): FoldLine[] {
  if (centre) return [];
  const wide = (to.x - from.x) / layers;
  return Array.from({ length: layers + 1 }, (_, k) => ({
    at: { x: from.x + k * wide, y: from.y },
    normal: { x: 1, y: 0 },
  }));
}

/** The way back: an isometry's linear part is its own transpose's inverse. */
export function inverseOf({ a, b, c, d, e, f }: Isometry): Isometry {
  return { a, b: c, c: b, d, e: -(a * e + b * f), f: -(c * e + d * f) };
}

/** How far inside a mirror a place is, in mm; under 0 beyond it. */
export function insideOf({ at, normal }: FoldLine, x: number, y: number): number {
  return (x - at.x) * normal.x + (y - at.y) * normal.y;
}

/** The copy that a place lies in; -1 where the sheet is not folded. A place on a fold belongs to either. */
export function copyAt(pattern: SymmetryPattern, x: number, y: number): number {
  const { from, to, layers, centre, tilt } = pattern;
  if (x < from.x || x > to.x || y < from.y || y > to.y) return -1;
  if (!centre) {
    const wide = (to.x - from.x) / layers;
    return Math.min(layers - 1, Math.floor((x - from.x) / wide));
  }
  const turns = (Math.atan2(x - centre.x, centre.y - y) - radians(tilt)) / (2 * Math.PI);
  return Math.min(layers - 1, Math.floor((turns - Math.floor(turns)) * layers));
}

/** The place of the packet that comes to lie over a place of the opened sheet; undefined where it is not folded. */
export function foldedBack(pattern: SymmetryPattern, x: number, y: number): Point | undefined {
  const copy = copyAt(pattern, x, y);
  return copy < 0 ? undefined : imageOf(inverseOf(pattern.copies[copy]), { x, y });
}
