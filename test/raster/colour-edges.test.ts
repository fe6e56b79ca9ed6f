import { describe, expect, it } from 'vitest';
import { colourEdges } from '../../src/raster/colour-edges.js';
import { gaussianBlur } from '../../src/raster/blur.js';
import { seeded } from '../support/bitmaps.js';
import { draw, lumaOf, type Colour, type Drawn } from '../support/pictures.js';

const SIZE = 40;

/** Coloured clouds by a seed. */
function clouds(seed: number) {
  const random = seeded(seed);
  const channels = [0, 1, 2].map(() => {
    const data = Float32Array.from({ length: SIZE * SIZE }, () => 128 + 900 * (random() - 0.5));
    return gaussianBlur({ width: SIZE, height: SIZE, data }, 2).data;
  });
  const byte = (value: number): number => Math.min(255, Math.max(0, Math.round(value)));
  return draw(SIZE, SIZE, (x, y) => {
    const [red, green, blue] = channels.map((data) => byte(data[y * SIZE + x]));
    return [red, green, blue];
  });
}

/** Y′, R′ − Y′ and B′ − Y′ in percent (Rec. ITU-R BT.709-6, items 3.2 and 3.3, unscaled). */
function channelsOf({ data }: Drawn): Float64Array {
  return Float64Array.from(data, (_, i) => {
    const [red, green, blue] = data.subarray(i - (i % 3));
    const luma = lumaOf([red, green, blue]);
    return [luma, red - luma, blue - luma][i % 3] / 2.55;
  });
}

/** The longest change of colour over all directions, by trying them: what Di Zenzo's eigenvalue is. */
function steepestBySearch(channels: Float64Array, at: number): number {
  let most = 0;
  for (let degrees = 0; degrees < 180; degrees += 0.25) {
    const [cos, sin] = [Math.cos, Math.sin].map((f) => f((degrees / 180) * Math.PI));
    const change = [0, 1, 2].map((k) => {
      const across = channels[3 * (at + 1) + k] - channels[3 * (at - 1) + k];
      const down = channels[3 * (at + SIZE) + k] - channels[3 * (at - SIZE) + k];
      return cos * across + sin * down;
    });
    most = Math.max(most, Math.hypot(...change));
  }
  return most;
}

describe('colourEdges', () => {
  it.each([1, 2, 3])(
    'are, at every second pixel, where the colour changes enough in some direction, seed %i',
    (seed) => {
      const colours = clouds(seed);
      const strong = 12;
      const channels = channelsOf(colours);
      const found = new Set(
        colourEdges(colours, strong).edges.map(({ from, to }) => (from + to) / 2),
      );
      expect(found.size).toBeGreaterThan(20);
      let checked = 0;
      for (let y = 2; y < SIZE - 2; y += 2) {
        for (let x = 2; x < SIZE - 2; x += 2) {
          const steepest = steepestBySearch(channels, y * SIZE + x);
          if (Math.abs(steepest - strong) < 0.01) continue;
          checked++;
          expect(found.has(y * SIZE + x), `${x}, ${y}: ${steepest}`).toBe(steepest > strong);
        }
      }
      expect(checked).toBeGreaterThan(300);
    },
  );

  const RED: Colour = [230, 60, 60];
  // Of the same luma: 0.2126 R′ + 0.7152 G′ + 0.0722 B′.
  const GREEN: Colour = [30, 121, 44];

  it('has a side on either colour, whichever way the edge runs', () => {
    for (let degrees = 0; degrees < 360; degrees += 15) {
      const [cos, sin] = [Math.cos, Math.sin].map((f) => f((degrees / 180) * Math.PI));
      const isRed = (x: number, y: number) => (x - SIZE / 2) * cos + (y - SIZE / 2) * sin > 0.3;
      const colours = draw(SIZE, SIZE, (x, y) => (isRed(x, y) ? RED : GREEN));
      const { edges } = colourEdges(colours, 20);
      expect(edges.length).toBeGreaterThan(SIZE / 3);
      for (const { from, to } of edges) {
        const sides = [from, to].map((at) => isRed(at % SIZE, Math.floor(at / SIZE)));
        expect(sides[0], `${degrees}°`).not.toBe(sides[1]);
      }
    }
  });

  it('are weak where luma is the same, and not where it is not', () => {
    expect(Math.abs(lumaOf(RED) - lumaOf(GREEN))).toBeLessThan(1);
    const halves = (left: Colour, right: Colour) =>
      colourEdges(
        draw(SIZE, SIZE, (x) => (x < SIZE / 2 ? left : right)),
        20,
      ).edges;
    expect(halves(RED, GREEN).every(({ isWeak }) => isWeak)).toBe(true);
    expect(halves(RED, [200, 220, 120]).some(({ isWeak }) => isWeak)).toBe(false);
    expect(halves([40, 40, 40], [150, 150, 150]).some(({ isWeak }) => isWeak)).toBe(false);
  });

  it('are not weak where luma has the contour a pixel beside it, as in files with coarse colour', () => {
    const beside = draw(SIZE, SIZE, (x) =>
      x < SIZE / 2 ? [30, 121, 44] : x === SIZE / 2 ? [230, 60, 60] : [255, 200, 200],
    );
    expect(colourEdges(beside, 20).edges.some(({ isWeak }) => isWeak)).toBe(false);
  });
});
