import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { readNetwork } from '../../src/built-in/face-networks.js';
import { loadFaceFinder } from '../../src/faces/finder.js';
import { detectorOf } from '../../src/faces/network/detector.js';
import type { Colours } from '../../src/raster/colours.js';
import { home } from '../support/built.js';
import { facesByLibrary } from '../support/face-library.js';

/*
 * The networks by our layers against the library that they come with (@vladmandic/face-api 1.7.15), which runs them on a
 * tensor library of its own (@tensorflow/tfjs-core 4.22.0).
 */

const demo = (name: string): string =>
  join(home, 'node_modules/@vladmandic/face-api/demo', `${name}.jpg`);

async function coloursOf(file: string, width: number, flip = false): Promise<Colours> {
  const { data, info } = await sharp(file)
    .resize({ width })
    .flop(flip)
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, data: new Uint8Array(data) };
}

const finder = loadFaceFinder();
const detect = detectorOf(readNetwork('tiny_face_detector_model'));

/** 32-bit reals that are added up in another order differ by less than so many px. */
const PX = 0.02;
/** The library rounds the shorter side in its square to whole px before it goes back to the picture. */
const ROUNDED = 0.5;

describe('faces and landmarks are those of the library', () => {
  it.each([
    ['sample1', 900, 448, false],
    ['sample2', 640, 320, false],
    ['sample3', 501, 448, true],
    // The smallest square that the detector can take, and one with an odd number of cells.
    ['sample4', 700, 416, false],
    ['sample5', 433, 352, false],
    ['sample6', 1000, 448, true],
  ])('in %s, %i px wide, in a square of %i px', async (name, width, inputSize, flip) => {
    const picture = await coloursOf(demo(name), width, flip);
    const area = { x: 0, y: 0, width: picture.width, height: picture.height };
    const theirs = await facesByLibrary(picture, inputSize, 0.3);
    const ours = detect(picture, { area, inputSize }, 0.3);
    expect(theirs.length).toBeGreaterThan(0);
    expect(ours).toHaveLength(theirs.length);
    const bySide = theirs.toSorted((a, b) => a.box.x - b.box.x);
    ours
      .toSorted((a, b) => a.box.x - b.box.x)
      .forEach(({ box, score }, k) => {
        const other = bySide[k];
        expect(score).toBeCloseTo(other.score, 4);
        for (const key of ['x', 'y', 'width', 'height'] as const) {
          const rounded = (ROUNDED / inputSize) * 2 * picture.width;
          expect(Math.abs(box[key] - other.box[key])).toBeLessThan(PX + rounded);
        }
      });
    const located = finder.landmarksIn(
      picture,
      bySide.map(({ box }) => box),
    );
    expect(located).toHaveLength(bySide.length);
    located.forEach(({ landmarks }, k) => {
      landmarks.forEach(({ x, y }, at) => {
        const { x: right, y: down } = bySide[k].landmarks[at];
        expect(Math.hypot(x - right, y - down)).toBeLessThan(PX);
      });
    });
  });

  it('in a part of a picture as in that part alone', async () => {
    const picture = await coloursOf(demo('sample6'), 1000);
    const area = { x: 120, y: 90, width: 500, height: 420 };
    const alone = new Uint8Array(3 * area.width * area.height);
    for (let y = 0; y < area.height; y++) {
      const from = 3 * ((area.y + y) * picture.width + area.x);
      alone.set(picture.data.subarray(from, from + 3 * area.width), 3 * y * area.width);
    }
    const theirs = await facesByLibrary({ ...area, data: alone }, 448, 0.3);
    const ours = detect(picture, { area, inputSize: 448 }, 0.3);
    expect(theirs.length).toBeGreaterThan(0);
    expect(ours.map(({ box }) => box.x - area.x)).toHaveLength(theirs.length);
    const left = Math.min(...theirs.map(({ box }) => box.x));
    expect(Math.min(...ours.map(({ box }) => box.x)) - area.x).toBeCloseTo(left, 1);
  });
});
