import { describe, expect, it } from 'vitest';
import { withoutSpikes } from '../../src/geometry/spikes.js';
import { signedArea } from '../../src/geometry/signed-area.js';

const square = Float64Array.of(0, 0, 10, 0, 10, 10, 0, 10);
/** A square with a spike off its left side, as fine as 0.01 mm where it leaves it. */
const hairy = Float64Array.of(0, 0, 10, 0, 10, 10, 0, 10, 0, 5.01, -0.3, 5.04, -0.3, 5, 0, 5);
const backwards = (loop: Float64Array): Float64Array =>
  Float64Array.from(loop, (_, i) => loop[loop.length - 2 - (i - (i % 2)) + (i % 2)]);

describe('hairs', () => {
  it.each([
    ['one way round', hairy],
    ['the other', backwards(hairy)],
  ])('are taken off, %s', (_, loop) => {
    const smooth = withoutSpikes(loop);
    expect(Math.abs(signedArea(smooth))).toBeCloseTo(100, 1);
    expect(Math.min(...smooth)).toBeGreaterThan(-0.05);
    expect(Math.sign(signedArea(smooth))).toBe(Math.sign(signedArea(loop)));
  });

  it('go with the wedge behind their mouth, which is too small to cut', () => {
    const wedged = Float64Array.of(
      0,
      0,
      10,
      0,
      10,
      10,
      0,
      10,
      0,
      5.05,
      -1.5,
      5.2,
      -1.5,
      4.95,
      0,
      5,
    );
    expect(Math.abs(signedArea(withoutSpikes(wedged)))).toBeCloseTo(100, 1);
    const large = Float64Array.of(0, 0, 10, 0, 10, 10, 0, 10, 0, 5.05, -1.5, 6, -1.5, 4.95, 0, 5);
    expect(withoutSpikes(large)).toEqual(large);
  });

  it('leave a loop without any as it is', () => {
    const circle = Float64Array.from({ length: 400 }, (_, i) => {
      const angle = (Math.PI * (i - (i % 2))) / 200;
      return i % 2 === 0 ? 2 * Math.cos(angle) : 2 * Math.sin(angle);
    });
    for (const loop of [square, circle]) expect(withoutSpikes(loop)).toEqual(loop);
  });

  it('are no spikes that a tip can follow', () => {
    const spiked = Float64Array.of(0, 0, 10, 0, 10, 10, 0, 10, 0, 6, -6, 5, 0, 4);
    expect(withoutSpikes(spiked)).toEqual(spiked);
  });
});
