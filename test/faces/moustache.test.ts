import { describe, expect, it } from 'vitest';
import { foundedIn } from '../../src/faces/contrast.js';
import { moustacheOf } from '../../src/faces/moustache.js';
import { windowOf, type FaceWindow } from '../../src/faces/window.js';
import { faceAt, pictureOf } from '../support/face.js';

const FACE = faceAt({ x: 8, y: 10 }, 24);
const OPENING = 1.5;

/** Where a place lies in the face: from its right ear and the top of its nose, in widths of the face. */
const inFace = (x: number, y: number): readonly [number, number] => [(x - 8) / 24, (y - 10) / 24];

/** A face in an even light with dark eyes and what else is told, by its place in the face. */
function seen(isDark: (across: number, down: number) => boolean, eyes = true): FaceWindow {
  const picture = pictureOf(40, (x, y) => {
    const [across, down] = inFace(x, y);
    const isEye = Math.abs(down) < 0.03 && Math.abs(Math.abs(across - 0.5) - 0.23) < 0.09;
    return (eyes && isEye) || isDark(across, down) ? 50 : 200;
  });
  return windowOf(picture, FACE)!;
}

const found = (window: FaceWindow) => moustacheOf(window, foundedIn(window), OPENING);

const isLip = (down: number): boolean => down > 0.44 && down < 0.62;

describe('a moustache', () => {
  it('is what is dark from side to side between nose and lip', () => {
    const window = seen((across, down) => isLip(down) && Math.abs(across - 0.5) < 0.2);
    const { data } = found(window)!;
    let [most, left, right] = [0, Infinity, -Infinity];
    for (let i = data.indexOf(1); i >= 0; i = data.indexOf(1, i + 1)) {
      const down = (Math.floor(i / window.width) - window.landmarks[27].y) / 240;
      expect(down).toBeGreaterThan(0.41);
      expect(down).toBeLessThan(0.7);
      left = Math.min(left, (i % window.width) - window.landmarks[27].x);
      right = Math.max(right, (i % window.width) - window.landmarks[27].x);
      most++;
    }
    expect(most / 100).toBeGreaterThan(20);
    // A little wider than the mouth, which reaches 0.16 widths to either side.
    expect(left / 240).toBeLessThan(-0.17);
    expect(right / 240).toBeGreaterThan(0.17);
  });

  it.each([
    ['nothing dark', () => false],
    ['a shadow on one side', (across: number, down: number) => isLip(down) && across > 0.46],
    ['nostrils', (across: number, down: number) => down > 0.38 && down < 0.44 && Math.abs(across - 0.5) < 0.1], // prettier-ignore
    ['a mouth', (across: number, down: number) => down > 0.6 && down < 0.69 && Math.abs(across - 0.5) < 0.16], // prettier-ignore
  ])('is not %s', (_, isDark) => {
    expect(found(seen(isDark))).toBeUndefined();
  });

  it('is told by the eyes, and without them not at all', () => {
    expect(found(seen((_, down) => isLip(down), false))).toBeUndefined();
  });
});
