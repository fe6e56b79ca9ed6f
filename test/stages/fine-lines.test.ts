import { describe, expect, it } from 'vitest';
import { fineLines, fineLinesLost } from '../../src/stages/check/fine-lines.js';
import { seeded } from '../support/bitmaps.js';
import { drawn, PIXELS_PER_MM, SIDE, type Rectangles } from '../support/rectangles.js';

const limits = { narrowestOpening: 1.5, tool: 'hot-tip' } as const;

const compared = (picture: Rectangles, print: Rectangles, [dark, light] = [30, 220]) =>
  fineLines(
    {
      gray: { width: SIDE, height: SIDE, data: drawn(picture, [dark, light]) },
      pictureBox: { x: 0, y: 0, width: SIDE, height: SIDE },
      pixelsPerMm: PIXELS_PER_MM,
    },
    { width: SIDE, height: SIDE, data: drawn(print, [1, 0]) },
    limits,
  );

/** Upright lines of 8 mm, 4 mm apart, in rows of 12; so wide, in mm, and some of them alone. */
const lines = (count: number, wide: number): Rectangles =>
  Array.from({ length: count }, (_, k) => [
    6 + 4 * (k % 12) - wide / 2,
    5 + 13 * Math.floor(k / 12),
    wide,
    8,
  ]);

const told = (forms: ReturnType<typeof compared>): string[] =>
  fineLinesLost(forms, limits).map(({ code }) => code);

describe('the fine lines of a drawing', () => {
  it('are counted by their length and by their free ends', () => {
    const found = compared(lines(24, 0.4), lines(24, 1.6))!;
    expect(found.ends).toBe(48);
    expect(found.endsKept).toBe(48);
    // By the drawing: 24 lines of 8 mm; thinning takes half a line's width off either end.
    expect(found.drawnMm / 24).toBeCloseTo(7.6, -0.5);
    expect(found.printMm / 24).toBeCloseTo(6.4, -0.5);
  });

  it('are told as lost where most run to blots or go, and not where they are only made wider', () => {
    const rows: Rectangles = [0, 13].map((y) => [5, 5 + y, 46, 8]);
    const [finding] = fineLinesLost(compared(lines(24, 0.4), rows), limits);
    expect(finding.code).toBe('fine-lines-lost');
    expect(finding.level).toBe('warning');
    expect(finding.message).toContain('of 48 places where a line ends');
    expect(finding.message).toContain('0 are left');
    expect(finding.message).toContain('or a knife (`tool`)');
    expect(told(compared(lines(24, 0.4), lines(24, 1.6)))).toEqual([]);
    const knife = { ...limits, tool: 'craft-knife' } as const;
    expect(fineLinesLost(compared(lines(24, 0.4), rows), knife)[0].message).not.toContain('knife');
  });

  it('are told of where little of their length and few of their ends are left, and there are many', () => {
    const loss = { drawnMm: 100, printMm: 34, ends: 40, endsKept: 11 };
    expect(fineLinesLost(loss, limits)).toHaveLength(1);
    expect(fineLinesLost({ ...loss, printMm: 36 }, limits)).toEqual([]);
    expect(fineLinesLost({ ...loss, endsKept: 12 }, limits)).toEqual([]);
    expect(fineLinesLost({ ...loss, ends: 39, endsKept: 0 }, limits)).toEqual([]);
  });

  it('end once where several end within a millimetre and a half, as a tuft does', () => {
    const pairs = lines(24, 0.4).flatMap(([x, y, wide, high]) => [
      [x, y, wide, high] as const,
      [x + 1, y, wide, high] as const,
    ]);
    expect(compared(pairs, [])!.ends).toBe(48);
  });

  it('are no specks, and end nowhere where they run into what is wide', () => {
    const specks: Rectangles = lines(24, 0.4).map(([x, y]) => [x, y, 0.6, 0.6]);
    expect(compared(specks, [])!.ends).toBe(0);
    const comb: Rectangles = [...lines(12, 0.4), [4, 11, 48, 4]];
    expect(compared(comb, [])!.ends).toBe(12);
  });

  it('each have an end of their own in the print, near where they end', () => {
    const some = lines(24, 1.6).filter((_, k) => k % 12 === 0);
    expect(compared(lines(24, 0.4), some)!.endsKept).toBe(4);
    // 3.8 mm below the upper end, 0.2 mm below the lower one.
    const lower: Rectangles = lines(24, 1.6).map(([x, y, wide]) => [x, y + 3, wide, 6]);
    expect(compared(lines(24, 0.4), lower)!.endsKept).toBe(24);
  });

  it('are kept once by one line of the print: of two beside each other that became one, half of the ends', () => {
    const twice = lines(24, 0.4).flatMap(([x, y, wide, high]) => [
      [x, y, wide, high] as const,
      [x + 1.8, y, wide, high] as const,
    ]);
    const { ends, endsKept } = compared(twice, lines(24, 1.6))!;
    expect([ends, endsKept]).toEqual([96, 48]);
  });

  it('are not looked for where nothing is plainly darker than its paper', () => {
    const random = seeded(7);
    const data = Uint8Array.from(
      { length: SIDE * SIDE },
      () => 200 + 15 * (random() + random() + random() - 1.5),
    );
    const picture = {
      gray: { width: SIDE, height: SIDE, data },
      pictureBox: { x: 0, y: 0, width: SIDE, height: SIDE },
      pixelsPerMm: PIXELS_PER_MM,
    };
    const print = { width: SIDE, height: SIDE, data: new Uint8Array(SIDE * SIDE) };
    expect(fineLines(picture, print, limits)).toBe(undefined);
  });
});
