import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { labelRegions } from '../../src/raster/labels.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { lightPartsTold } from '../../src/stages/check/lost.js';
import { widen, type Widened } from '../../src/stages/widen/widen.js';
import { painted } from '../support/bitmaps.js';

const SIZE = 300;
const PX = 10;
const pictureBox = { x: 0, y: 0, width: SIZE, height: SIZE };
/** By the hot tip: openings of 1.5 mm, strips of 1.6 mm, islands of 9 mm². */
const job = completeJob({ margin: 2 });

type Rule = (x: number, y: number) => boolean;

/** What is left of a drawing by a rule in mm; its light parts are so light, of 255, and its dark ones 40. */
function kept(
  rule: Rule,
  light: Rule = () => false,
  lightness = 220,
  settings = job,
): Widened & { drawn: Bitmap } {
  const drawn = painted(SIZE, SIZE, (x, y) => rule(x / PX, y / PX) && !light(x / PX, y / PX));
  const data = drawn.data.map((value, i) => {
    const isLight = light(((i % SIZE) + 0.5) / PX, (Math.floor(i / SIZE) + 0.5) / PX);
    return value === 1 ? 40 : isLight ? lightness : 220;
  });
  const gray = { width: SIZE, height: SIZE, data };
  return { ...widen(drawn, PX, settings, { gray, pictureBox }), drawn };
}

/** The film regions other than what is all round: where their first pixel lies, and how large they are, in mm². */
function islands({ bitmap }: Widened): number[] {
  const { areas } = labelRegions(bitmap, 0, 4);
  return [...areas.slice(2)].map((area) => area / PX ** 2);
}

const disc =
  (x: number, y: number, radius: number): Rule =>
  (u, v) =>
    Math.hypot(u - x, v - y) < radius;
const anyOf =
  (...rules: readonly Rule[]): Rule =>
  (x, y) =>
    rules.some((rule) => rule(x, y));
/** 3.6 × 2.4 mm, 6.8 mm²: too small for an island. */
const eye =
  (x: number, y: number): Rule =>
  (u, v) =>
    Math.hypot((u - x) / 1.8, (v - y) / 1.2) < 1;
const head = disc(15, 15, 11);

describe('a light part that the widths would take', () => {
  it('grows to the size of an island where there is room: two eyes', () => {
    const result = kept(head, anyOf(eye(11, 13), eye(19, 13)));
    expect([result.lightPartsGrown, result.lightPartsJoined]).toEqual([2, 0]);
    const left = islands(result);
    expect(left).toHaveLength(2);
    for (const area of left) {
      expect(area).toBeGreaterThan(9);
      expect(area).toBeLessThan(13);
    }
    expect(result.bitmap.data[130 * SIZE + 110]).toBe(0);
  });

  it('goes where nobody compares it with a picture, and is counted', () => {
    const drawn = painted(
      SIZE,
      SIZE,
      (x, y) => head(x / PX, y / PX) && !eye(11, 13)(x / PX, y / PX),
    );
    const { lightPartsGrown, islandsDropped } = widen(drawn, PX, job);
    expect([lightPartsGrown, islandsDropped]).toEqual([0, 1]);
  });

  it('goes where it hardly stands out from the dark round it', () => {
    // 0.6 of what the paper is lighter: 108 levels.
    expect(islands(kept(head, eye(11, 13), 40 + 100))).toEqual([]);
    expect(islands(kept(head, eye(11, 13), 40 + 120))).toHaveLength(1);
  });

  it('goes where an island has to be many times as large', () => {
    const large = { ...job, smallestIsland: 70 };
    expect(kept(head, eye(11, 15), 220, large).lightPartsGrown).toBe(0);
    expect(kept(head, eye(11, 15), 220, { ...job, smallestIsland: 40 }).lightPartsGrown).toBe(1);
  });

  it('may be dark where light is cut', () => {
    const rule: Rule = (x, y) => head(x, y) && !eye(11, 13)(x, y);
    const drawn = painted(SIZE, SIZE, (x, y) => rule(x / PX, y / PX));
    const gray = { width: SIZE, height: SIZE, data: drawn.data.map((value) => 40 + 180 * value) };
    expect(widen(drawn, PX, job, { gray, pictureBox }).lightPartsGrown).toBe(1);
  });

  it('goes where it is a speck, or a gap', () => {
    expect(islands(kept(head, disc(15, 13, 0.5)))).toEqual([]);
    expect(islands(kept(head, (x, y) => Math.abs(x - 15) < 1.4 && Math.abs(y - 13) < 0.27))).toEqual([]); // prettier-ignore
  });

  /** A letter o of 5.4 mm, its inside 3.8 mm², between two stems. */
  const letter = (gap: number): Rule =>
    anyOf(
      (x, y) => disc(15, 15, 2.7)(x, y) && !disc(15, 15, 1.1)(x, y),
      (x, y) => Math.abs(y - 15) < 5 && Math.abs(Math.abs(x - 15) - 2.7 - gap - 0.8) < 0.8,
    );

  it('is open to a side where there is none: the inside of a small letter', () => {
    const result = kept(letter(1.7));
    expect([result.lightPartsGrown, result.lightPartsJoined]).toEqual([0, 1]);
    expect(result.bitmap.data[150 * SIZE + 150]).toBe(0);
    expect(islands(result)).toEqual([]);
  });

  const holeIn = (height: number, radius: number): Widened =>
    kept((x, y) => Math.abs(x - 15) < 10 && Math.abs(y - 15) < height / 2, disc(15, 15, radius));

  it('is open to a side where what is drawn round it would suffer if it grew: a hole in a bar', () => {
    const { lightPartsGrown, lightPartsJoined } = holeIn(5.8, 1.1);
    expect([lightPartsGrown, lightPartsJoined]).toEqual([0, 1]);
    expect(holeIn(6.2, 1.1).lightPartsGrown).toBe(1);
    // The shortest way is not the best one.
    expect(holeIn(3.8, 0.8).lightPartsJoined).toBe(1);
  });

  it('goes where either would cost more of what is drawn round it: a letter too near to others', () => {
    const { lightPartsGrown, lightPartsJoined, islandsDropped } = kept(letter(1));
    expect([lightPartsGrown, lightPartsJoined, islandsDropped]).toEqual([0, 0, 1]);
  });

  it('is kept among others: the holes of a net', () => {
    const net: Rule = (x, y) =>
      Math.max(Math.abs(x - 15), Math.abs(y - 15)) < 9 && Math.min(x % 3.6, y % 3.6) < 1.6;
    const result = kept(net);
    expect(result.lightPartsGrown + result.lightPartsJoined).toBe(16);
    for (let y = 9.8; y < 22; y += 3.6) {
      for (let x = 9.8; x < 22; x += 3.6) {
        expect(result.bitmap.data[Math.round(y * PX) * SIZE + Math.round(x * PX)]).toBe(0);
      }
    }
  });
});

describe('lightPartsTold', () => {
  it('says nothing where nothing was done', () => {
    expect(lightPartsTold({ lightPartsGrown: 0, lightPartsJoined: 0 })).toEqual([]);
  });

  it('counts what has grown, and what is open to a side', () => {
    const [{ level, code, message }] = lightPartsTold({ lightPartsGrown: 2, lightPartsJoined: 1 });
    expect([level, code]).toEqual(['note', 'light-parts']);
    expect(message).toBe(
      '2 light parts too small for an island are made as large as one has to be. 1 light part with no room to grow is open to film beside it, as the insides of a stencil’s letters are.'.replace(
        '’',
        "'",
      ),
    );
  });
});
