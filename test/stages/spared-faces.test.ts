import { describe, expect, it } from 'vitest';
import type { Face } from '../../src/faces/face.js';
import type { Shape } from '../../src/geometry/shape.js';
import { completeJob } from '../../src/settings/job.js';
import { bridge } from '../../src/stages/bridge/bridge.js';
import { faceAt, pictureOf } from '../support/face.js';
import { rectangle, ring } from '../support/openings.js';

const sheet = { widthMm: 60, heightMm: 60 };
const job = completeJob({ card: '60x60mm', bridgeAmount: 'fewer', flare: 0 });
const plain = pictureOf(60, () => 200);

/** The middles of the bridges, with faces told or not, on a picture in which no place stands out. */
function bridged(shapes: readonly Shape[], faces: readonly Face[]) {
  const { bridges } = bridge({ shapes }, { ...plain, sheet, faces }, job);
  return bridges.map(({ from, to }) => ({ x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 }));
}

describe('bridges by a face', () => {
  const face = faceAt({ x: 10, y: 20 }, 40);
  const eye = face.landmarks[42];

  it('go round an eye that is part of a shadow', () => {
    // Film in a shadow, nearer to its edge by way of the eye than by any other.
    const [x, y] = [eye.x + 1, eye.y];
    const shadow = {
      outer: rectangle(x - 9, y - 2.5, 34, 26),
      holes: [rectangle(x - 3, y + 2.5, 8, 8)],
    };
    const through = (faces: readonly Face[]) =>
      bridged([shadow], faces).filter(
        (at) => at.y < y + 2.5 && at.x < eye.x + 8 && at.x > eye.x - 2,
      );
    expect(through([])).toHaveLength(1);
    expect(through([face])).toHaveLength(0);
    expect(bridged([shadow], [face])).toHaveLength(1);
  });

  it("hold a lens of glasses at its rim's outer side", () => {
    const [right, left] = [36, 42].map((k) => {
      const corners = [face.landmarks[k], face.landmarks[k + 3]];
      return { x: (corners[0].x + corners[1].x) / 2, y: corners[0].y };
    });
    // Thinner towards the nose, where it would be bridged for that.
    const rims = [right, left].map(({ x, y }, k) => ring(x, y, 6.5, 4.5, k === 0 ? 0.3 : -0.3));
    const areOutside = (faces: readonly Face[]) => {
      const [one, other] = bridged(rims, faces).sort((a, b) => a.x - b.x);
      return one.x < right.x - 3 && other.x > left.x + 3;
    };
    expect(areOutside([])).toBe(false);
    expect(areOutside([face])).toBe(true);
  });
});
