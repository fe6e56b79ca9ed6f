import { describe, expect, it } from 'vitest';
import { heldAsAbove, underneath } from '../../src/stages/lettering/underneath.js';
import type { Bitmap } from '../../src/raster/raster.js';

const SIZE = 60;
const draw = (isIn: (x: number, y: number) => boolean): Bitmap => ({
  width: SIZE,
  height: SIZE,
  data: Uint8Array.from({ length: SIZE * SIZE }, (_, i) =>
    Number(isIn(i % SIZE, Math.floor(i / SIZE))),
  ),
});
const at = ({ data }: Bitmap, x: number, y: number): number | undefined => data[y * SIZE + x];
const job = { underBy: 6, narrowestStrip: 0 } as const;

const ring = draw((x, y) => {
  const far = Math.hypot(x - 30, y - 30);
  return far > 10 && far < 18;
});

describe('what is painted under letters', () => {
  it('is, of a shadow, all that they pass over on their way to the lower right', () => {
    const letters = draw((x, y) => x >= 10 && x < 14 && y >= 10 && y < 30);
    const shadow = underneath(letters, { ...job, under: 'shadow' }, 1);
    const passed = draw((x, y) =>
      Array.from({ length: 7 }, (_, by) => at(letters, x - by, y - by)).includes(1),
    );
    expect(shadow.data).toEqual(passed.data);
  });

  it('is, of an outline, all that lies so near', () => {
    const letters = draw((x, y) => x === 30 && y === 30);
    const outline = underneath(letters, { ...job, under: 'outline' }, 1);
    expect(outline.data).toEqual(draw((x, y) => Math.hypot(x - 30, y - 30) <= 6).data);
  });

  it('has no film in it that is narrower than a strip', () => {
    const letters = draw((x) => (x >= 10 && x < 20) || (x >= 24 && x < 34));
    const wide = { ...job, underBy: 1, narrowestStrip: 4 };
    expect(at(underneath(letters, { ...wide, under: 'outline' }, 1), 22, 30)).toBe(1);
    expect(
      at(underneath(letters, { ...wide, narrowestStrip: 1, under: 'outline' }, 1), 22, 30),
    ).toBe(0);
  });
});

describe('its bridges', () => {
  const top = { from: { x: 30, y: 14 }, to: { x: 30, y: 19 } };

  it('are those of the letters, drawn out to the film at either side', () => {
    const held = heldAsAbove(ring, [top], 3, 1);
    expect(held.below.data).toEqual(ring.data);
    const [{ from, to }] = held.bridges;
    expect([from.x, to.x]).toEqual([30, 30]);
    expect([at(ring, 30, Math.floor(from.y)), at(ring, 30, Math.floor(to.y))]).toEqual([0, 0]);
    expect(to.y - from.y).toBeGreaterThan(7);
  });

  it('leave no inside that none of them holds: it is painted', () => {
    const across = { from: { x: 5, y: 10 }, to: { x: 5, y: 20 } };
    const held = heldAsAbove(ring, [across], 3, 1);
    expect(held.bridges).toEqual([]);
    expect(held.below.data).toEqual(draw((x, y) => Math.hypot(x - 30, y - 30) < 18).data);
  });
});
