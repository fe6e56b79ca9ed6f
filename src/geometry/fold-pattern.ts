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
export interface FoldPattern extends MirrorPattern {
  readonly kind: Exclude<FoldKind, 'none'>;
  /** The packet's corners, clockwise on the page, and its sides in the same order. */
  readonly outline: readonly Point[];
  readonly sides: readonly PacketSide[];
}

/** A part of the plane and its images by reflections: wedges round a place, or panels of a strip. In mm, y down. */
export interface MirrorPattern {
  /** How many parts there are. */
  readonly layers: number;
  /** The two mirrors of the first part: of a packet its folds, every other side of which is an open edge. */
  readonly mirrors: readonly [FoldLine, FoldLine];
  /** By copy, its place: the first part itself is the first. */
  readonly copies: readonly Isometry[];
  /** The copy on the other side of a copy's image of a mirror; -1 where all ends there. */
  readonly across: readonly (readonly [number, number])[];
  /** Where wedges meet; undefined for a strip. */
  readonly centre?: Point;
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
function inStrip(from: Point, to: Point, count: number): MirrorPattern {
  const wide = (to.x - from.x) / count;
  const there = (i: number): number => (i >= 0 && i < count ? i : -1);
  return {
    layers: count,
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

/** A sheet whose left and right half mirror each other, about an upright axis anywhere on it. */
export function leftAndRight({ widthMm, heightMm }: Sheet, axisX: number): MirrorPattern {
  const half = Math.max(axisX, widthMm - axisX);
  return inStrip({ x: axisX - half, y: 0 }, { x: axisX + half, y: heightMm }, 2);
}

/**
 * The dihedral group Dn about a place: from straight up, clockwise on the page, wedges of 180° / n, each the mirror image
 * of the one before.
 *
 * @param n at least 2
 */
export function wedgesAbout(centre: Point, n: number, sheet: Sheet): MirrorPattern {
  const count = 2 * n;
  const wedge = Math.PI / n;
  const copies = Array.from({ length: count }, (_, k): Isometry => {
    // Angles from straight up: φ becomes kθ + φ, or (k + 1)θ - φ where the wedge is turned over.
    const isTurned = k % 2 === 1;
    const [cos, sin] = exactly((isTurned ? k + 1 : k) * wedge);
    const m = isTurned
      ? { a: -cos, b: -sin, c: -sin, d: cos }
      : { a: cos, b: sin, c: -sin, d: cos };
    return {
      ...m,
      e: centre.x - m.a * centre.x - m.c * centre.y,
      f: centre.y - m.b * centre.x - m.d * centre.y,
    };
  });
  const around = (k: number): number => (k + count) % count;
  const [cos, sin] = exactly(wedge);
  return {
    layers: count,
    mirrors: [
      { at: centre, normal: { x: 1, y: 0 } },
      { at: centre, normal: { x: -cos, y: -sin } },
    ],
    copies,
    across: copies.map((_, k) =>
      k % 2 === 0 ? [around(k - 1), around(k + 1)] : [around(k + 1), around(k - 1)],
    ),
    centre,
    from: { x: 0, y: 0 },
    to: { x: sheet.widthMm, y: sheet.heightMm },
  };
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
export function parallelFolds({ centre, layers, from, to }: MirrorPattern): FoldLine[] {
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
export function copyAt(pattern: MirrorPattern, x: number, y: number): number {
  const { from, to, layers, centre } = pattern;
  if (x < from.x || x > to.x || y < from.y || y > to.y) return -1;
  if (!centre) {
    const wide = (to.x - from.x) / layers;
    return Math.min(layers - 1, Math.floor((x - from.x) / wide));
  }
  const turn = Math.atan2(x - centre.x, centre.y - y);
  const share = (turn < 0 ? turn + 2 * Math.PI : turn) / (2 * Math.PI);
  return Math.min(layers - 1, Math.floor(share * layers));
}

/** The place of the packet that comes to lie over a place of the opened sheet; undefined where it is not folded. */
export function foldedBack(pattern: MirrorPattern, x: number, y: number): Point | undefined {
  const copy = copyAt(pattern, x, y);
  return copy < 0 ? undefined : imageOf(inverseOf(pattern.copies[copy]), { x, y });
}
