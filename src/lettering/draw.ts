import { curveRestorer, flattenTracked } from '../geometry/restore-curves.js';
import { unionNonZero } from '../geometry/boolean-operations.js';
import { signedArea } from '../geometry/signed-area.js';
import { withTightTurnsMarked } from '../geometry/tight-turns.js';
import type { Outline, Point, Shape } from '../geometry/shape.js';
import {
  counterBridges,
  isFlush,
  type CounterBridge,
  type CounterRules,
} from './counter-bridges.js';
import type { Font } from './font.js';
import { boundsOfLoops } from '../geometry/bounding-box.js';
import { inkOf } from './ink.js';
import { squaredTurns } from './squared-turns.js';
import { setLine } from './typeset.js';
import { placedPoints, type LaidOut, type Letter, type GlyphPlacement } from './layout.js';

/** A bridge of a letter, in mm: a strip across a stroke, and the letter that it is of. */
export interface LetterBridge {
  readonly from: Point;
  readonly to: Point;
  /** From where to where its middle and its two sides cross the stroke. */
  readonly lines: readonly (readonly [from: Point, to: Point])[];
  readonly widthMm: number;
  /** Its letter's place among all that are laid out. */
  readonly letter: number;
}

/** How near polygons follow the curves in a boolean, in mm; the curves themselves come back. */
const TOLERANCE_MM = 0.01;
/** What letters that cross leave between them is no counter, in mm². */
const LEAST_MM2 = 0.02;

/**
 * The letters' ink as openings, in mm: outlines as the face has them, letter for letter, united where letters join.
 * Where a turn is too tight for the tip a corner is marked.
 *
 * @param at where the box round the words begins on the sheet
 */
export function drawLetters({ letters }: LaidOut, at: Point, tightestTurn: number): Shape[] {
  const outlines = letters.flatMap((letter) => outlinesAt(letter, at));
  const sources = outlines.map((outline) => flattenTracked(outline, () => TOLERANCE_MM));
  const restored = curveRestorer(sources);
  const toOutline = (loop: Float64Array): Outline[] => {
    if (Math.abs(signedArea(loop)) < LEAST_MM2) return [];
    const outline = restored(loop);
    if (!outline) return [];
    return [withTightTurnsMarked(squaredTurns(outline, tightestTurn), tightestTurn)];
  };
  return unionNonZero(sources.map(({ points }) => points)).flatMap(({ outer, holes }) =>
    toOutline(outer).map((whole) => ({ outer: whole, holes: holes.flatMap(toOutline) })),
  );
}

function outlinesAt({ glyph, place, moved }: Letter, at: Point): Outline[] {
  const { outlines, partOf } = inkOf(glyph.face, glyph.id);
  const onSheet = { ...place, x: place.x + at.x, y: place.y + at.y };
  return outlines.map((outline, i) => ({
    ...outline,
    coords: placedPoints(outline.coords, onSheet, moved[partOf[i]]),
  }));
}

/** What bridges of letters are laid by; lengths in mm, areas in mm². */
export interface LetterBridgeRules {
  readonly rule: 'upright' | 'level' | 'slanted' | 'thin';
  /** As wide as this, and where a counter of the words is narrow, less, down to the least. */
  readonly bridgeWidth: number;
  readonly leastWidth: number;
  readonly narrowestOpening: number;
  readonly smallCounter: number;
  readonly largeCounter: number;
}

/** The bridges of all letters, alike for letters that are alike. */
export function letterBridges(
  { letters }: LaidOut,
  at: Point,
  rules: LetterBridgeRules,
): LetterBridge[] {
  const widthMm = bridgeWidthFor(letters, rules);
  const faces = [...new Set(letters.map(({ glyph }) => glyph.face))];
  const known = new Map<string, readonly CounterBridge[]>();
  const own = { ...rules, bridgeWidth: widthMm };
  return letters.flatMap(({ glyph, place }, letter) => {
    const name = `${faces.indexOf(glyph.face)} ${glyph.id}`;
    const laid = known.get(name) ?? bridgesIn(letters[letter], own);
    known.set(name, laid);
    return laid.map(({ from, to, lines }) => ({
      from: pointOnSheet(from, place, at),
      to: pointOnSheet(to, place, at),
      lines: lines.map(
        ([a, b]) => [pointOnSheet(a, place, at), pointOnSheet(b, place, at)] as const,
      ),
      widthMm,
      letter,
    }));
  });
}

/** A letter's bridges in its own coordinates, in ems. */
function bridgesIn(
  { glyph, place, moved }: Letter,
  rules: LetterBridgeRules,
): readonly CounterBridge[] {
  const { regions } = inkOf(glyph.face, glyph.id);
  const inPlace = regions.map(({ outer, holes }, part) => ({
    outer: placedPoints(outer, UNPLACED, moved[part]),
    holes: holes.map((hole) => placedPoints(hole, UNPLACED, moved[part])),
  }));
  const inLetter = inEms(rules, place.scale, glyph.face.slant);
  const offStems = ALIKE.includes(glyph.text) && !allFlush(glyph.face, inLetter);
  return counterBridges(inPlace, { ...inLetter, offStems });
}

/** Letters of a bowl and a stem, which a type designer draws, and bridges, as turns of one another. */
const ALIKE: readonly string[] = ['b', 'd', 'p', 'q'];

/** Whether all of those that a typeface has are opened flush with their stems. */
function allFlush(face: Font, rules: CounterRules): boolean {
  return ALIKE.filter((letter) => face.has(letter.codePointAt(0)!)).every((letter) =>
    isFlush(inkOf(face, setLine(letter, [face]).glyphs[0].id).regions, rules),
  );
}

/** What a bridge may take of the narrowest counter across, so that the stems beside it stay what they are. */
const SHARE_OF_COUNTER = 0.6;

/** One width for all of the words: with bridges of several, like letters would look unlike. */
function bridgeWidthFor(letters: readonly Letter[], rules: LetterBridgeRules): number {
  const counters = letters.flatMap(({ glyph, place }) =>
    inkOf(glyph.face, glyph.id).regions.flatMap(({ holes }) =>
      holes.map((hole) => {
        const { left, right } = boundsOfLoops([hole]);
        return (right - left) * place.scale;
      }),
    ),
  );
  const narrowest = Math.min(Infinity, ...counters);
  return Math.max(rules.leastWidth, Math.min(rules.bridgeWidth, SHARE_OF_COUNTER * narrowest));
}

const UNPLACED: GlyphPlacement = { x: 0, y: 0, angle: 0, scale: 1 };

function inEms(
  {
    rule,
    bridgeWidth,
    narrowestOpening,
    smallCounter,
    largeCounter,
  }: Omit<LetterBridgeRules, 'leastWidth'>,
  scale: number,
  slant: number,
): CounterRules {
  const axis = { upright: 0, level: Math.PI / 2, slanted: slant, thin: 'thin' as const }[rule];
  return {
    axis,
    width: bridgeWidth / scale,
    opening: narrowestOpening / scale,
    smallCounter: smallCounter / scale ** 2,
    largeCounter: largeCounter / scale ** 2,
  };
}

function pointOnSheet({ x, y }: Point, place: GlyphPlacement, at: Point): Point {
  const [cos, sin] = [Math.cos(place.angle) * place.scale, Math.sin(place.angle) * place.scale];
  return { x: at.x + place.x + cos * x - sin * y, y: at.y + place.y + sin * x + cos * y };
}
