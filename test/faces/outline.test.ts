import { describe, expect, it } from 'vitest';
import { faceOutline } from '../../src/faces/face-outline.js';
import { windowOf } from '../../src/faces/window.js';
import { faceAt, pictureOf } from '../support/face.js';

const FACE = faceAt({ x: 10, y: 13 }, 10);
const OPENING = 1.5;

/** Skin is an oval with a forehead of the same width; over it is hair, under it a neck. */
function portrait({ hair, neck, wall }: { hair: number; neck: number; wall: number }) {
  return pictureOf(30, (x, y) => {
    const isFace = Math.hypot((x - 15) / 5.2, (y - 15) / (y > 15 ? 8.3 : 6)) < 1;
    if (isFace) return 200;
    if (y < 16 && Math.hypot(x - 15, y - 13) < 9) return hair;
    return y > 19 && Math.abs(x - 15) < 3.5 ? neck : wall;
  });
}

function outlined(picture: ReturnType<typeof portrait>): (x: number, y: number) => number {
  const window = windowOf(picture, FACE)!;
  const { data } = faceOutline(window, OPENING);
  const { box, width } = window;
  return (x, y) => data[(Math.floor(10 * y) - box.y) * width + Math.floor(10 * x) - box.x];
}

describe('the line of jaw and hair', () => {
  it('is hair beside a face and the shadow under its chin, no forehead, no skin, no wall', () => {
    const at = outlined(portrait({ hair: 40, neck: 140, wall: 230 }));
    expect([at(8.8, 13), at(21.2, 13)]).toEqual([1, 1]);
    expect(at(15, 24.4)).toBe(1);
    expect(at(15, 10.6)).toBe(0);
    expect([at(15, 15), at(12, 20), at(15, 22)]).toEqual([0, 0, 0]);
    expect([at(9, 20), at(21, 20)]).toEqual([0, 0]);
  });

  it('is not drawn where the picture does not part them', () => {
    const { data } = faceOutline(windowOf(portrait({ hair: 190, neck: 190, wall: 230 }), FACE)!, OPENING); // prettier-ignore
    expect(data).not.toContain(1);
  });
});
