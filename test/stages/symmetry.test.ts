import { describe, expect, it } from 'vitest';
import { halfCovered } from '../../src/geometry/coverage.js';
import { completeJob, createPipeline, type JobInput, type StencilValues } from '../../src/index.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { wedgesAbout } from '../../src/geometry/fold-pattern.js';
import { lineDrawings } from '../support/line-drawings.js';
import { symmetryOf } from '../../src/stages/fold/symmetry.js';
import { evenWidths } from '../../src/stages/fold/symmetric-bitmap.js';

const SIDE = 300;
const drawing = (inside: string): Buffer =>
  Buffer.from(
    `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}" height="${SIDE}"><rect width="${SIDE}" height="${SIDE}" fill="#fff"/>${inside}</svg>`,
  );
const around = (n: number, inside: string): string =>
  Array.from(
    { length: n },
    (_, k) => `<g transform="rotate(${(360 * k) / n} 150 150)">${inside}</g>`,
  ).join('');

const USUAL: JobInput = {
  tone: 'level',
  smoothing: 0,
  strands: 'never',
  fineness: 5,
  faces: 'none',
};
async function made(inside: string, given: JobInput = {}): Promise<StencilValues> {
  const job = completeJob({ ...USUAL, ...given });
  return (await createPipeline().run(drawing(inside), job)).values;
}
const errors = ({ check }: StencilValues): readonly string[] =>
  check.findings.filter(({ level }) => level === 'error').map(({ message }) => message);

/** The share of the openings that is other than its image, left and right of the sheet's middle. */
function offMirror({ read, frame }: StencilValues): number {
  const [width, height] = [read.sheet.widthMm, read.sheet.heightMm].map((mm) =>
    Math.round(mm * 10),
  );
  const { data } = halfCovered(frame.openings, width, height, 10);
  let [all, other] = [0, 0];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      all += data[y * width + x];
      other += data[y * width + x] ^ data[y * width + width - 1 - x];
    }
  }
  return other / (2 * all);
}

const RING = '<circle cx="150" cy="150" r="130" fill="none" stroke="#000" stroke-width="10"/>';
const PETAL = '<path d="M150 40Q185 75 150 120Q115 75 150 40Z"/>';

/** A drawing as a bitmap, 1 where a rule says so. */
function drawn(side: number, isDark: (x: number, y: number) => boolean): Bitmap {
  const data = new Uint8Array(side * side);
  for (let i = 0; i < data.length; i++) {
    const [x, y] = [(i % side) + 0.5 - side / 2, Math.floor(i / side) + 0.5 - side / 2];
    data[i] = isDark(x, y) ? 1 : 0;
  }
  return { width: side, height: side, data };
}

describe('the symmetry of a drawing', () => {
  const sheet = { widthMm: 40, heightMm: 40 };
  const all = { x: 0, y: 0, width: 200, height: 200 };
  const found = (isDark: (x: number, y: number) => boolean) =>
    symmetryOf(drawn(200, isDark), all, sheet, 5)?.pattern;
  /** A flower of so many petals, one of them upright. */
  const flower = (n: number) => (x: number, y: number) =>
    Math.hypot(x, y) < 60 + 25 * Math.cos(n * Math.atan2(x, -y));

  it.each([2, 3, 4, 5, 6, 8, 12])('of a flower of %i petals has as many turns', (n) => {
    expect(found(flower(n))?.layers).toBe(2 * n);
  });

  it('is left and right alone where turned it is another', () => {
    const heart = found((x, y) => Math.hypot(Math.abs(x) - 30, y + Math.abs(x) - 10) < 35);
    expect(heart?.layers).toBe(2);
  });

  /** Turned clockwise, by so many degrees, about the middle, and moved. */
  const laid =
    (isDark: (x: number, y: number) => boolean, degrees: number, dx: number, dy: number) =>
    (x: number, y: number) => {
      const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
      const [u, v] = [x - dx, y - dy];
      return isDark(cos * u + sin * v, cos * v - sin * u);
    };
  const leaf = (x: number, y: number) => Math.abs(x) < 0.4 * (y + 60) && Math.hypot(x, y) < 55;
  /** Blades that are bent one way, and a dot, so that the box round it has another middle. */
  const pinwheel = (n: number) => (x: number, y: number) => {
    const away = Math.hypot(x, y);
    return away < 70 && away > 8 && Math.cos(n * (Math.atan2(x, -y) - away / 40)) > 0.3;
  };

  it.each([-63, -20, 7.3, 30, 45, 90])('has an axis that leans by %d degrees', (degrees) => {
    const leaning = found(laid(leaf, degrees, 9, -6))!;
    expect([leaning.layers, leaning.beside]).toEqual([2, 'mirrored']);
    const off = (((leaning.tilt - degrees) % 180) + 180) % 180;
    expect(Math.min(off, 180 - off)).toBeLessThan(0.3);
    // The axis goes through the place that all was turned about, in mm on the sheet.
    const { x, y } = leaning.centre!;
    const angle = (degrees * Math.PI) / 180;
    const aside = (x - 20 - 9 / 5) * Math.cos(angle) + (y - 20 + 6 / 5) * Math.sin(angle);
    expect(Math.abs(aside)).toBeLessThan(0.1);
  });

  it.each([7, 13, 61])(
    'has an axis at %d degrees that is not the one most agreed on',
    (degrees) => {
      // Radii of 15.5, 15.1 and 15.8 mm lie in one ring of the votes; it is symmetric about the first arc alone.
      const radii = [77.5, 75.5, 79, 75.5, 75.5, 79, 75.5];
      const arcs = (x: number, y: number): boolean => {
        const sevenths = ((Math.atan2(x, -y) / (2 * Math.PI) + 1) % 1) * radii.length;
        const nearest = Math.round(sevenths);
        const isNear = Math.abs(sevenths - nearest) < 0.23;
        return isNear && Math.abs(Math.hypot(x, y) - radii[nearest % radii.length]) < 1;
      };
      const pattern = found(laid(arcs, degrees, 0, 0))!;
      expect(pattern.layers).toBe(2);
      expect(pattern.tilt).toBeCloseTo(degrees, 0);
    },
  );

  it.each([2, 3, 4, 5, 7])('is turned without a mirror: a pinwheel of %i', (n) => {
    const turned = found(laid(pinwheel(n), 17, 11, 8))!;
    expect([turned.layers, turned.beside]).toEqual([n, 'turned']);
    expect(Math.hypot(turned.centre!.x - 20 - 11 / 5, turned.centre!.y - 20 - 8 / 5)).toBeLessThan(0.1); // prettier-ignore
  });

  it('is cut from part to part between blades, not through them', () => {
    const blades = laid((x, y) => {
      const away = Math.hypot(x, y);
      return away < 70 && away > 8 && Math.cos(3 * (Math.atan2(x, -y) - away / 300)) > 0.3;
    }, 3, 0, 0); // prettier-ignore
    const { tilt, beside } = found(blades)!;
    expect(beside).toBe('turned');
    const angle = (tilt * Math.PI) / 180;
    const along = Array.from({ length: 80 }, (_, away) => away);
    expect(along.some((away) => blades(away * Math.sin(angle), -away * Math.cos(angle)))).toBe(false); // prettier-ignore
  });

  it('has turns about its own middle, which is not that of the box round it', () => {
    const star = found(laid(flower(5), 5, 3, 9))!;
    expect([star.layers, star.beside]).toEqual([10, 'mirrored']);
    const off = ((star.tilt % 36) + 36) % 36;
    expect(Math.abs(off - 5)).toBeLessThan(0.3);
  });

  it('is upright, and on the grid, where it nearly is', () => {
    // The right side is drawn a little wider from the middle down.
    const byHand = (x: number, y: number) => leaf(x > 0 && y > 0 ? x - 0.8 : x, y);
    const { tilt, centre } = found(laid(byHand, 0, 9, -6))!;
    expect(Math.abs(tilt)).toBe(0);
    expect((centre!.x * 5 * 2) % 1).toBe(0);
    const turnedByHand = (x: number, y: number) => pinwheel(4)(y > 0 ? x - 0.8 : x, y);
    const four = found(laid(turnedByHand, 17, 11, 8))!;
    for (const mm of [four.centre!.x, four.centre!.y]) expect(mm * 10).toBeCloseTo(Math.round(mm * 10), 9); // prettier-ignore
  });

  it('is that of two halves and a mirror where it is all round: a ring is held by two', () => {
    expect(found((x, y) => Math.hypot(x - 4, y + 7) < 60)?.layers).toBe(4);
  });

  describe('of a photograph', () => {
    const shade = (at: (x: number, y: number) => number) => ({
      ...drawn(200, () => false),
      data: Uint8Array.from({ length: 200 * 200 }, (_, i) => at((i % 200) - 99.5, Math.floor(i / 200) - 99.5)), // prettier-ignore
    });
    /** A shade that is so shallow that its dark part is a little larger on the right. */
    const lopsided = (x: number, y: number) => flower(4)(x, y) && Math.hypot(x + 1.5, y) > 30;
    const even = (x: number, y: number) => (Math.hypot(x, y) < 85 ? 60 + Math.hypot(x, y) : 240);
    const byGrey = (gray: ReturnType<typeof shade>) =>
      symmetryOf(drawn(200, lopsided), all, sheet, 5, gray);

    it('is that of its grey, where dark and light are only nearly so', () => {
      expect(found(lopsided)?.layers).toBe(2);
      const { pattern, isByGrey } = byGrey(shade(even))!;
      expect([pattern.layers, isByGrey]).toEqual([8, true]);
    });

    it('is not where more than a shade is dark on one side only', () => {
      const half = (x: number, y: number) => lopsided(x, y) && !(x > y && y > 0);
      const found = symmetryOf(drawn(200, half), all, sheet, 5, shade(even));
      expect(found?.pattern.layers ?? 1).toBeLessThanOrEqual(2);
    });

    it('is not where the grey has a line on one side only', () => {
      const line = (x: number, y: number) => x > 40 && x < 44 && y > 5 && y < 30;
      expect(byGrey(shade((x, y) => (line(x, y) ? 230 : even(x, y))))?.isByGrey ?? false).toBe(false); // prettier-ignore
    });
  });

  it.each<[string, (x: number, y: number) => boolean]>([
    ['with a dark spot on one side', (x, y) => flower(4)(x, y) || Math.hypot(x - 85, y - 65) < 8],
    [
      'with a light line on one side',
      (x, y) => flower(4)(x, y) && !(Math.abs(x - 30) < 3 && Math.abs(y - 15) < 20),
    ],
    ['that leans', (x, y) => Math.abs(x - y / 2) < 50 - y / 2 && Math.abs(y) < 80],
  ])('is none of one %s', (_, isDark) => {
    expect(found(isDark)).toBeUndefined();
  });
});

describe('a symmetric drawing', () => {
  it('has a symmetric print, its bridges too, where every ring hangs by two', async () => {
    const values = await made(RING + around(5, PETAL) + '<circle cx="150" cy="150" r="12"/>');
    expect(values.fold.symmetry?.layers).toBe(10);
    expect(errors(values)).toEqual([]);
    expect(values.bridge.bridges.length).toBeGreaterThanOrEqual(2);
    expect(offMirror(values)).toBeLessThan(0.01);
  });

  it('holds what lies in its rings on two sides, as that of any drawing: a badge of two rings', async () => {
    const badge = lineDrawings.find(({ name }) => name === 'a badge')!;
    const job = completeJob({ fineness: 5 });
    const { values } = await createPipeline().run(Buffer.from(badge.svg), job);
    expect(values.fold.symmetry?.layers).toBe(10);
    const [width, height] = [values.read.sheet.widthMm, values.read.sheet.heightMm];
    const away = values.bridge.bridges.map(({ from, to }) =>
      Math.hypot((from.x + to.x - width) / 2, (from.y + to.y - height) / 2),
    );
    const between = (Math.min(...away) + Math.max(...away)) / 2;
    for (const isOuter of [true, false]) {
      expect(away.filter((mm) => mm > between === isOuter).length).toBeGreaterThanOrEqual(2);
    }
  });

  it('obeys a person at one place alone: her edits are made on the bridges that lie there', async () => {
    const inside = RING + around(4, PETAL);
    const before = await made(inside);
    const [first, ...others] = before.bridge.bridges;
    const at = [(first.from.x + first.to.x) / 2, (first.from.y + first.to.y) / 2] as const;
    const after = await made(inside, { bridgeEdits: [{ do: 'remove', at }] });
    expect(after.bridge.bridges).toHaveLength(others.length);
    const middles = (values: StencilValues) =>
      values.bridge.bridges.map(({ from, to }) => [(from.x + to.x) / 2, (from.y + to.y) / 2]);
    for (const [x, y] of middles(after)) {
      expect(middles(before).some(([u, v]) => Math.hypot(u - x, v - y) < 0.5)).toBe(true);
    }
    // What she drops is dropped where it is, and nothing else.
    const dropped = await made(inside, { regionEdits: [{ do: 'drop', at: [50.8, 23] }] });
    expect(dropped.fold.symmetry).toBeUndefined();
    expect(dropped.frame.openings.length).toBe(before.frame.openings.length - 1);
  });
});

describe('the widths of a symmetric drawing', () => {
  const SIDE_PX = 40;
  const bitmap = (isDark: (x: number, y: number) => boolean) => drawn(SIDE_PX, isDark);
  const pattern = wedgesAbout({ x: 10, y: 10 }, 1, { widthMm: 20, heightMm: 20 });
  const wanted = bitmap((x) => Math.abs(Math.abs(x) - 10) < 2);
  const right = bitmap((x) => Math.abs(x - 10) < 5);

  it('are those of the side on which less is lost, though more is changed there', () => {
    // On the left the line is gone; on the right it is two and a half times as wide.
    const even = evenWidths(pattern, 2, wanted, right);
    const both = bitmap((x) => Math.abs(Math.abs(x) - 10) < 5);
    expect(even.data).toEqual(both.data);
  });

  it('stay as they are beyond the frame of a mask, and where they would come from there', () => {
    const [x, y, width, height] = [0, 5, 30, 30];
    const even = evenWidths(pattern, 2, wanted, right, { x, y, width, height });
    const differs = (a: Bitmap, b: Bitmap, isIn: (column: number, row: number) => boolean) =>
      a.data.filter((value, i) => isIn(i % SIDE_PX, Math.floor(i / SIDE_PX)) && value !== b.data[i])
        .length;
    const both = bitmap((across) => Math.abs(Math.abs(across) - 10) < 5);
    // What lies from 10 to 30 px across has its image there, too.
    const isInner = (column: number, row: number) =>
      column >= 10 && column < 30 && row >= 5 && row < 35;
    expect(differs(even, both, isInner)).toBe(0);
    expect(differs(even, right, (column, row) => !isInner(column, row))).toBe(0);
  });
});
