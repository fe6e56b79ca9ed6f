import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import type { Sheet } from '../../src/settings/card.js';
import type { Shape } from '../../src/geometry/shape.js';
import { previewPng } from '../../src/output/images/preview.js';
import { circle, rectangle, solid, sprig } from './outlines.js';

const sheet: Sheet = { widthMm: 101.6, heightMm: 101.6 };
const job = { paint: '#c03020', ground: '#f6f0e4' };

async function pixels(openings: readonly Shape[], colours = job, on = sheet) {
  const png = await previewPng(openings, on, colours);
  const { data, info } = await sharp(png).removeAlpha().raw().toBuffer({ resolveWithObject: true });
  return { data, width: info.width, height: info.height, channels: info.channels };
}

type Pixels = Awaited<ReturnType<typeof pixels>>;

/** The mean colour of a square of `side` mm round a place, at 10 px a mm. */
function colourAt({ data, width, channels }: Pixels, x: number, y: number, side = 2) {
  const sums = [0, 0, 0];
  const half = side * 5;
  for (let row = y * 10 - half; row < y * 10 + half; row++) {
    for (let column = x * 10 - half; column < x * 10 + half; column++) {
      for (let channel = 0; channel < 3; channel++) {
        sums[channel] += data[(row * width + column) * channels + channel];
      }
    }
  }
  return sums.map((sum) => sum / (2 * half) ** 2);
}

function distance(colour: readonly number[], hex: string): number {
  const wanted = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
  return Math.hypot(...wanted.map((value, channel) => value - colour[channel]));
}

describe('previewPng', () => {
  it('shows paint in the openings and card everywhere else', async () => {
    const picture = await pixels([solid(circle(50, 50, 30), circle(50, 50, 12))]);
    for (const [x, y] of [
      [50, 30],
      [29, 50],
      [71, 50],
      [50, 70],
    ]) {
      expect(distance(colourAt(picture, x, y), job.paint)).toBeLessThan(25);
    }
    for (const [x, y] of [
      [50, 50],
      [10, 10],
      [90, 50],
    ]) {
      expect(distance(colourAt(picture, x, y), job.ground)).toBeLessThan(4);
    }
  });

  it('shows light paint on a dark card as well', async () => {
    const night = { paint: '#f2e8c9', ground: '#14202b' };
    const picture = await pixels([solid(rectangle(20, 20, 40, 40))], night);
    expect(distance(colourAt(picture, 40, 40), night.paint)).toBeLessThan(25);
    expect(distance(colourAt(picture, 80, 80), night.ground)).toBeLessThan(4);
  });

  it('lets paint gather at the edge of the film', async () => {
    const picture = await pixels([solid(rectangle(10, 10, 80, 80))]);
    const darkness = (colour: readonly number[]): number => -colour.reduce((a, b) => a + b, 0);
    const strip = (x: number): number => {
      let sum = 0;
      for (let y = 15; y < 85; y++) sum += darkness(colourAt(picture, x, y, 0.2));
      return sum / 70;
    };
    expect(strip(10.2)).toBeGreaterThan(strip(50) + 5);
  });

  it('is only card where nothing is cut', async () => {
    const picture = await pixels([]);
    expect(distance(colourAt(picture, 50, 50, 90), job.ground)).toBeLessThan(3);
  });

  it('gives the same bytes for the same job', async () => {
    const [first, second] = [
      await previewPng(sprig, sheet, job),
      await previewPng(sprig, sheet, job),
    ];
    expect(first).toEqual(second);
  });

  it('is small enough to send to a friend', async () => {
    expect((await previewPng(sprig, sheet, job)).length).toBeLessThan(500_000);
  });

  it.each([
    [101.6, 101.6],
    [85.6, 53.98],
    [20, 20],
    [228.6, 304.8],
    [1000, 20],
    [1000, 1000],
  ])('is true to size at %d by %d mm', async (widthMm, heightMm) => {
    const png = await previewPng([], { widthMm, heightMm }, job);
    // A reader's own idea of the size: pixels over pixels an inch.
    const { width, height, density = 0 } = await sharp(png).metadata();
    const perMetre = Buffer.from(png).readUInt32BE(Buffer.from(png).indexOf('pHYs') + 4);
    expect(density).toBe(Math.round((perMetre * 25.4) / 1000));
    const pixelMm = 1000 / perMetre;
    expect(Math.abs(width * pixelMm - widthMm)).toBeLessThan(0.06);
    expect(Math.abs(height * pixelMm - heightMm)).toBeLessThan(0.06 + pixelMm / 2);
    expect(width * height).toBeLessThan(2_600_000);
  });
});
