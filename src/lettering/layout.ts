import type { Region } from '../geometry/boolean-operations.js';
import { signedArea } from '../geometry/signed-area.js';
import type { Point } from '../geometry/shape.js';
import { boundsOfLoops, boundsRound, type Bounds } from '../geometry/bounding-box.js';
import { boxGap, edgeWithin, gapBetween } from './gaps.js';
import { inkOf } from './ink.js';
import type { SetGlyph, SetLine } from './typeset.js';

/** Where a glyph goes: enlarged from ems to mm, turned clockwise on the page, and moved. */
export interface GlyphPlacement {
  readonly x: number;
  readonly y: number;
  /** In radians. */
  readonly angle: number;
  /** mm an em. */
  readonly scale: number;
}

/** A glyph at its place. */
export interface Letter {
  readonly glyph: SetGlyph;
  readonly line: number;
  /** Letters of one number move together: joined, or a letter and its marks. */
  readonly unit: number;
  readonly place: GlyphPlacement;
  /** By part of its ink: how far it is moved from the others, in ems, so that the film between them is wide enough. */
  readonly moved: readonly Point[];
}

/** How words are laid out; lengths in mm. */
export interface LayoutRules {
  readonly align: 'left' | 'centre' | 'right';
  /** More room between letters, as a share of the cap height. */
  readonly letterSpacing: number;
  /** From baseline to baseline, as a share of the cap height. */
  readonly lineSpacing: number;
  readonly along: 'line' | 'arch' | 'circle';
  /** Of an arch: the angle that its longest line spans, in radians. */
  readonly bend: number;
  /** The whole of it is turned, clockwise, in radians. */
  readonly turned: number;
  /** The least film between two letters. */
  readonly strip: number;
}

/** Words at their places; their box begins at 0, 0. */
export interface LaidOut {
  readonly letters: readonly Letter[];
  readonly capHeight: number;
  readonly width: number;
  readonly height: number;
  /** How much was added between letters, and between lines, to keep the least film, in mm. */
  readonly tracked: number;
  readonly leaded: number;
}

/** The loops of a letter on the page, in mm. */
function loopsAt({ glyph, place, moved }: Omit<Letter, 'line' | 'unit'>): Float64Array[] {
  return inkOf(glyph.face, glyph.id).regions.flatMap(({ outer, holes }, part) =>
    [outer, ...holes].map((loop) => placedPoints(loop, place, moved[part])),
  );
}

/** Points in ems at their place in mm. */
export function placedPoints(
  points: Float64Array,
  place: GlyphPlacement,
  moved: Point,
): Float64Array {
  const [cos, sin] = [Math.cos(place.angle) * place.scale, Math.sin(place.angle) * place.scale];
  const made = new Float64Array(points.length);
  for (let i = 0; i < points.length; i += 2) {
    const [x, y] = [points[i] + moved.x, points[i + 1] + moved.y];
    made[i] = place.x + cos * x - sin * y;
    made[i + 1] = place.y + sin * x + cos * y;
  }
  return made;
}

/** Rounds in which room is made between letters: each comes near what is wanted, and few are needed. */
const MOST_ROUNDS = 12;
/** Short of the least film by so little is not short, in mm. */
const NEAR_MM = 0.002;
/** Letters that come nearer than this, in ems, are joined by their design. */
const JOINED = 0.004;

/**
 * Lays lines out at a cap height. Where two letters, or two lines, would leave less film between them than the least,
 * all letters, or lines, move apart alike.
 */
export function layOut(lines: readonly SetLine[], capHeight: number, rules: LayoutRules): LaidOut {
  const scale = capHeight / capOf(lines);
  const units = lines.map((line) => unitsOf(line));
  const strip = rules.strip;
  let [tracked, leaded] = [0, 0];
  for (let round = 1; ; round++) {
    const letters = placeLetters(lines, units, scale, capHeight, tracked, leaded, rules);
    const short = shortage(letters, strip);
    const isDone = (short.letters <= NEAR_MM && short.lines <= NEAR_MM) || round === MOST_ROUNDS;
    if (isDone) return boxed(letters, capHeight, tracked, leaded);
    tracked += short.letters;
    leaded += short.lines;
  }
}

/** The height of a capital, in ems. */
function capOf(lines: readonly SetLine[]): number {
  return lines.flatMap(({ glyphs }) => glyphs)[0].face.capHeight;
}

/** By glyph: its unit's number on its line. */
function unitsOf({ glyphs }: SetLine): number[] {
  const units: number[] = [];
  let unit = -1;
  /** What the present unit has so far: a letter may join another with a mark between them. */
  let own: SetGlyph[] = [];
  for (const glyph of glyphs) {
    const isJoined =
      own.length > 0 &&
      (glyph.isAttached || own.slice(-MOST_MARKS - 1).some((before) => areJoined(before, glyph)));
    if (!isJoined) {
      unit++;
      own = [];
    }
    units.push(unit);
    own.push(glyph);
  }
  return units;
}

/** Marks that stand between two letters which join, at the most. */
const MOST_MARKS = 3;

/**
 * Whether two letters join by their design, as those of a script do: along some of their edge. Two that are kerned until
 * their corners touch, as a v and a w may be, do not.
 */
function areJoined(a: SetGlyph, b: SetGlyph): boolean {
  const [one, other] = [a, b].map((glyph) =>
    inkOf(glyph.face, glyph.id).regions.map(({ outer }) =>
      placedPoints(outer, { x: glyph.x, y: -glyph.up, angle: 0, scale: 1 }, STILL),
    ),
  );
  if (one.length === 0 || other.length === 0) return false;
  if (boxGap(boundsOfLoops(one), boundsOfLoops(other)) > JOINED) return false;
  if (gapBetween(one, other, 1) >= JOINED) return false;
  return edgeWithin(one, other, JOINED) > LEAST_JOINT;
}

/** What letters that join have in common at least of their edge, in ems: a thin stroke is as wide. */
const LEAST_JOINT = 0.02;

const STILL: Point = { x: 0, y: 0 };

function placeLetters(
  lines: readonly SetLine[],
  units: readonly (readonly number[])[],
  scale: number,
  capHeight: number,
  tracked: number,
  leaded: number,
  rules: LayoutRules,
): Letter[] {
  const apart = rules.letterSpacing * capHeight + tracked;
  const step = rules.lineSpacing * capHeight + leaded;
  const widths = lines.map(({ width }, k) => width * scale + apart * (units[k].at(-1) ?? 0));
  const widest = Math.max(...widths);
  const bend = bendOf(widest, lines.length, step, capHeight, apart, rules);
  return lines.flatMap(({ glyphs }, line) => {
    const start = { left: 0, centre: (widest - widths[line]) / 2, right: widest - widths[line] }[
      rules.align
    ];
    return glyphs.map((glyph, i): Letter => {
      const along = start + glyph.pen * scale + apart * units[line][i];
      const at = bend(along - widest / 2, (glyph.advance * scale) / 2, line);
      const off = (glyph.x - glyph.pen) * scale;
      const turned = at.angle + rules.turned;
      const [cos, sin] = [Math.cos(at.angle), Math.sin(at.angle)];
      const x = at.x + cos * off + sin * glyph.up * scale;
      const y = at.y + sin * off - cos * glyph.up * scale;
      const [c, s] = [Math.cos(rules.turned), Math.sin(rules.turned)];
      return {
        glyph,
        line,
        unit: units[line][i],
        place: { x: c * x - s * y, y: s * x + c * y, angle: turned, scale },
        moved: movedApart(glyph, rules.strip / scale),
      };
    });
  });
}

/** Maps a distance along a line of text, and half of a glyph's width, to the glyph's place and angle on the page. */
type Bend = (
  along: number,
  half: number,
  line: number,
) => { readonly x: number; readonly y: number; readonly angle: number };

function bendOf(
  widest: number,
  count: number,
  step: number,
  capHeight: number,
  apart: number,
  { along, bend }: LayoutRules,
): Bend {
  if (along === 'line') return (x, _half, line) => ({ x, y: line * step, angle: 0 });
  const full = 2 * Math.PI;
  const angle = along === 'circle' ? full : bend;
  // Round a whole circle the last letter stands as far from the first as the others from each other.
  const length = along === 'circle' ? widest + apart + ROOM_ROUND * capHeight : widest;
  const radius = Math.max(length / angle, LEAST_RADIUS * capHeight + (count - 1) * step);
  return (x, half, line) => {
    const own = radius - line * step;
    const turn = (x + half) / own;
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
    // The glyph's own middle stands on the radius.
    return { x: own * sin - cos * half, y: -own * cos - sin * half, angle: turn };
  };
}

/** Between the end and the start of words round a circle, and the tightest curve that words take, in cap heights. */
const ROOM_ROUND = 0.5;
const LEAST_RADIUS = 0.8;

/** How much is missing between the letters of a line, and between lines, at the tightest place of each. */
function shortage(
  letters: readonly Letter[],
  strip: number,
): { readonly letters: number; readonly lines: number } {
  const inked = letters
    .map((letter) => ({ letter, loops: loopsAt(letter) }))
    .filter(({ loops }) => loops.length > 0)
    .map((one) => ({ ...one, extent: boundsOfLoops(one.loops) }));
  let [between, above] = [0, 0];
  inked.forEach((one, i) => {
    for (let k = i + 1; k < inked.length; k++) {
      const other = inked[k];
      const isSameLine = one.letter.line === other.letter.line;
      if (isSameLine && one.letter.unit === other.letter.unit) continue;
      const least = isSameLine ? between : above;
      if (boxGap(one.extent, other.extent) >= strip - least) continue;
      const short = strip - gapBetween(one.loops, other.loops, strip);
      if (isSameLine) between = Math.max(between, short / (other.letter.unit - one.letter.unit));
      else above = Math.max(above, short);
    }
  });
  return { letters: between, lines: above };
}

/** Moves words so that the box round their ink begins at 0, 0. */
function boxed(
  letters: readonly Letter[],
  capHeight: number,
  tracked: number,
  leaded: number,
): LaidOut {
  const extents = letters.map((letter) => boundsOfLoops(loopsAt(letter)));
  const box: Bounds = boundsRound(extents.filter(({ left }) => Number.isFinite(left)));
  const moved = letters.map((letter) => ({
    ...letter,
    place: { ...letter.place, x: letter.place.x - box.left, y: letter.place.y - box.top },
  }));
  const [width, height] = [box.right - box.left, box.bottom - box.top];
  return { letters: moved, capHeight, width, height, tracked, leaded };
}

/** Parts that lie nearer than the least film are moved apart: the dot of an i, the accent of an é. */
function movedApart({ face, id }: SetGlyph, strip: number): readonly Point[] {
  const { regions } = inkOf(face, id);
  if (regions.length < 2) return regions.map(() => STILL);
  const order = [...regions.keys()].sort(
    (a, b) => signedArea(regions[b].outer) - signedArea(regions[a].outer),
  );
  const moved: Point[] = regions.map(() => STILL);
  for (let at = 1; at < order.length; at++) {
    for (let round = 0; round < MOST_MOVES; round++) {
      const tight = tightest(regions, moved, order.slice(0, at), order[at], strip);
      if (!tight) break;
      const { x, y } = moved[order[at]];
      moved[order[at]] = { x: x + tight.x, y: y + tight.y };
    }
  }
  return moved;
}

/** Short by so little, in ems, is not short. */
const NEAR_EMS = 1e-4;
/** So often a part is moved from those before it: each time it comes within a hair of what is wanted. */
const MOST_MOVES = 4;

function tightest(
  regions: readonly Region[],
  moved: readonly Point[],
  others: readonly number[],
  part: number,
  strip: number,
): Point | undefined {
  const at = (k: number): Float64Array[] => [
    placedPoints(regions[k].outer, { x: 0, y: 0, angle: 0, scale: 1 }, moved[k]),
  ];
  const own = at(part);
  for (const other of others) {
    const loops = at(other);
    const gap = gapBetween(own, loops, strip);
    // What touches is one part by its design.
    if (gap >= strip - NEAR_EMS || gap === 0) continue;
    const [a, b] = [boundsOfLoops(own), boundsOfLoops(loops)];
    const [dx, dy] = [a.left + a.right - b.left - b.right, a.top + a.bottom - b.top - b.bottom];
    const across = Math.max(a.left - b.right, b.left - a.right);
    const down = Math.max(a.top - b.bottom, b.top - a.bottom);
    const by = strip - gap;
    return down >= across ? { x: 0, y: Math.sign(dy) * by } : { x: Math.sign(dx) * by, y: 0 };
  }
  return undefined;
}

/** Rounds until words fill their room to this share; each comes nearer, and from the third on from below. */
const MOST_FITS = 10;
const FILLED = 1e-3;
const FROM_BELOW = 0.9995;
/** Where no round ended inside the room, this share of the last is. */
const SAFE = 0.98;

/** The largest cap height at which words fit a room, laid out at it. */
export function fitInto(
  lines: readonly SetLine[],
  room: { readonly width: number; readonly height: number },
  rules: LayoutRules,
): LaidOut {
  let cap = Math.min(room.width, room.height) / 2;
  let best: LaidOut | undefined;
  for (let turn = 0; turn < MOST_FITS; turn++) {
    const laid = layOut(lines, cap, rules);
    const share = Math.min(room.width / laid.width, room.height / laid.height);
    const fits = share >= 1;
    if (fits && (!best || cap > best.capHeight)) best = laid;
    if (fits && share < 1 + FILLED) break;
    cap *= share * (turn > 2 ? FROM_BELOW : 1);
  }
  return best ?? layOut(lines, cap * SAFE, rules);
}
