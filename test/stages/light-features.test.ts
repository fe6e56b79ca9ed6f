import { describe, expect, it } from 'vitest';
import type { Face } from '../../src/faces/face.js';
import { lightInTheDark } from '../../src/faces/kept.js';
import { windowOf } from '../../src/faces/window.js';
import { labelRegions } from '../../src/raster/labels.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { withLightFeatures } from '../../src/stages/tone/light-features.js';
import { faceAt, pictureOf } from '../support/face.js';

const HOT_TIP = {
  narrowestOpening: 1.5,
  narrowestStrip: 1.6,
  smallestOpening: 3,
  smallestIsland: 9,
  swap: false,
};
const SIDE = 50;
const SKIN = 60;

type Picture = ReturnType<typeof pictureOf>;

/** Dark skin all over, and eyes of a lightness, from a share of their width on. */
function darkFace({ landmarks }: Face, eyes: number, from = 0): Picture {
  const whites = [
    [36, 39],
    [42, 45],
  ].map(([outer, inner]) => {
    const [left, right] = [landmarks[outer].x, landmarks[inner].x];
    return { left: left + from * (right - left), right, y: landmarks[outer].y };
  });
  const half = 0.03 * (landmarks[16].x - landmarks[0].x);
  return pictureOf(SIDE, (x, y) =>
    whites.some((eye) => x >= eye.left && x <= eye.right && Math.abs(y - eye.y) <= half)
      ? eyes
      : SKIN,
  );
}

/** A tone of one value, with a stripe of the other up to a place, in mm. */
function toneOf(value: 0 | 1, until = 0): Bitmap {
  const width = 10 * SIDE;
  const data = new Uint8Array(width * width).fill(value);
  for (let y = 0; y < width; y++) data.fill(1 - value, y * width, y * width + 10 * until);
  return { width, height: width, data };
}

const at = ({ width, data }: Bitmap, { x, y }: { x: number; y: number }): number =>
  data[Math.floor(10 * y) * width + Math.floor(10 * x)];

/** The middle of an eye, between its corners. */
const eyeOf = ({ landmarks }: Face, first: 36 | 42) => ({
  x: (landmarks[first].x + landmarks[first + 3].x) / 2,
  y: (landmarks[first].y + landmarks[first + 3].y) / 2,
});

describe('light eyes of a dark face', () => {
  const face = faceAt({ x: 10, y: 14 }, 30);

  it('are islands of film that are worth a bridge, where there is room', () => {
    const laid = withLightFeatures(toneOf(1), darkFace(face, 190), [face], HOT_TIP);
    const { areas } = labelRegions(laid, 0, 4);
    expect(areas).toHaveLength(3);
    for (const area of areas.slice(1)) {
      expect(area / 100).toBeGreaterThan(HOT_TIP.smallestIsland);
      // No more than what it takes: the dark between them stays.
      expect(area / 100).toBeLessThan(2 * HOT_TIP.smallestIsland);
    }
    for (const first of [36, 42] as const) expect(at(laid, eyeOf(face, first))).toBe(0);
    expect(at(laid, face.landmarks[30])).toBe(1);
  });

  it('are told as lost before, and as kept after', () => {
    const picture = darkFace(face, 190);
    const window = windowOf(picture, face)!;
    const told = (print: Bitmap) =>
      lightInTheDark(print, window).map(({ name, isLost }) => [name, isLost]);
    expect(told(toneOf(1))).toEqual([
      ['right eye', true],
      ['left eye', true],
    ]);
    const laid = withLightFeatures(toneOf(1), picture, [face], HOT_TIP);
    expect(told(laid).every(([, isLost]) => isLost === false)).toBe(true);
    expect(told(toneOf(0))).toEqual([]);
  });

  it('are joined to film beside them where they are too small for islands, and left where there is none', () => {
    const small = faceAt({ x: 10, y: 14 }, 12);
    const tone = toneOf(1, 10);
    const laid = withLightFeatures(tone, darkFace(small, 190), [small], HOT_TIP);
    expect(at(laid, eyeOf(small, 36))).toBe(0);
    expect(at(laid, eyeOf(small, 42))).toBe(1);
    expect(labelRegions(laid, 0, 4).count).toBe(1);
    const [before, after] = [tone, laid].map(({ data }) => data.filter((value) => value === 0).length); // prettier-ignore
    expect((after - before) / 100).toBeLessThan(14);
  });

  it('are cut where the picture is swapped', () => {
    const laid = withLightFeatures(toneOf(0), darkFace(face, 190), [face], { ...HOT_TIP, swap: true }); // prettier-ignore
    for (const first of [36, 42] as const) expect(at(laid, eyeOf(face, first))).toBe(1);
    expect(labelRegions(laid, 1, 8).count).toBe(2);
  });

  it.each<[string, Picture, Bitmap]>([
    ['the picture does not have them lighter', darkFace(face, SKIN + 8), toneOf(1)],
    ['it has a glint alone', darkFace(face, 250, 0.75), toneOf(1)],
    ['it has them dark', darkFace(face, 10), toneOf(1)],
    ['the skin is film anyway', darkFace(face, 190), toneOf(0)],
  ])('are never invented: %s', (_, picture, tone) => {
    expect(withLightFeatures(tone, picture, [face], HOT_TIP)).toBe(tone);
  });

  it('are none where a lid is lit between shadows and the skin is as light', () => {
    const dark = darkFace(face, 150);
    const eyes = [eyeOf(face, 36), eyeOf(face, 42)];
    const data = dark.gray.data.map((value, i) => {
      const [x, y] = [(i % (10 * SIDE)) / 10, Math.floor(i / (10 * SIDE)) / 10];
      const isNear = eyes.some((eye) => Math.hypot(x - eye.x, y - eye.y) < 6);
      return isNear ? value : 150;
    });
    const tone = toneOf(1);
    const picture = { ...dark, gray: { ...dark.gray, data } };
    expect(withLightFeatures(tone, picture, [face], HOT_TIP)).toBe(tone);
  });

  it('are as the tone has them in a face that has room for lines', () => {
    const large = faceAt({ x: 4, y: 6 }, 40);
    const tone = toneOf(1);
    expect(withLightFeatures(tone, darkFace(large, 190), [large], HOT_TIP)).toBe(tone);
  });

  it.each([
    ['half outside', -14, 14],
    ['at the lower edge', 10, 48],
  ])('are kept as far as the picture goes: %s', (_, x, y) => {
    const away = faceAt({ x, y }, 30);
    const laid = withLightFeatures(toneOf(1), darkFace(away, 190), [away], HOT_TIP);
    expect(laid.data).toHaveLength(250_000);
  });
});
