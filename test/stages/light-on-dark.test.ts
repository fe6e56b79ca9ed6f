import { describe, expect, it } from 'vitest';
import { completeJob, createPipeline } from '../../src/index.js';
import {
  figuresTied,
  isLightOnDark,
  lightLinesTold,
} from '../../src/stages/check/light-on-dark.js';
import { painted } from '../support/bitmaps.js';
import { scenes } from '../support/scenes.js';

const [SIZE, PX] = [400, 5];
const pictureBox = { x: 0, y: 0, width: SIZE, height: SIZE };

type Rule = (x: number, y: number) => boolean;

/** A picture of 80 × 80 mm that is light by a rule in mm, and the tone that cuts what is dark. */
function drawn(isLight: Rule) {
  const bitmap = painted(SIZE, SIZE, (x, y) => !isLight(x / PX, y / PX));
  const data = bitmap.data.map((value) => (value === 1 ? 40 : 220));
  return [{ gray: { ...bitmap, data }, pictureBox, pixelsPerMm: PX }, { bitmap }] as const;
}

const away = (x: number, y: number): number => Math.hypot(x - 40, y - 40);
const ring: Rule = (x, y) => Math.abs(away(x, y) - 20) < 0.6;

type Ends = Parameters<typeof figuresTied>[1];
const toldOf = (isLight: Rule, bridges: Ends, swap = false) => {
  const [picture, tone] = drawn(isLight);
  const numbered = bridges.map((ends) => ({ ...ends, number: 1, widthMm: 2, origin: 'proposed' as const })); // prettier-ignore
  return lightLinesTold(picture, tone, tone, { bridges: numbered }, { swap });
};
const bridge = (x: number, y: number, dx: number, dy: number) => ({
  from: { x, y },
  to: { x: x + dx, y: y + dy },
});

describe('a picture in light lines on a dark ground', () => {
  it('is seen', () => {
    expect(isLightOnDark(...drawn(ring))).toBe(true);
    const [{ level, code, message }, ...more] = toldOf(ring, []);
    expect(more).toEqual([]);
    expect([level, code]).toEqual(['warning', 'light-on-dark']);
    expect(message).toContain('With `swap` the lines are cut');
  });

  it.each<readonly [string, Rule]>([
    ['dark lines on light', (x, y) => !ring(x, y)],
    ['light lines on dark, within light', (x, y) => ring(x, y) || Math.max(Math.abs(x - 40), Math.abs(y - 40)) > 38],
    ['a broad light figure', (x, y) => Math.abs(away(x, y) - 20) < 4],
    ['stars', (x, y) => Math.hypot((x % 10) - 5, (y % 10) - 5) < 0.6],
    ['lines that take half of it', (x, y) => away(x, y) < 39 && away(x, y) % 2 < 1.5],
    ['nothing light', () => false],
  ])('is not taken for one: %s', (_, isLight) => {
    expect(isLightOnDark(...drawn(isLight))).toBe(false);
  }); // prettier-ignore

  it('is told as one whose figures are tied to each other, from three bridges between them on', () => {
    /** Upright strokes of 1 mm, 20 mm long, in a ring; and a bridge from each to the next. */
    const strokes: Rule = (x, y) =>
      Math.abs(away(x, y) - 36) < 0.6 || (x % 10 < 1 && x > 15 && x < 60 && y > 30 && y < 50);
    const ties = [20, 30, 40].map((x) => bridge(x + 1, 40, 9, 0));
    const codes = (bridges: Ends): string[] => toldOf(strokes, bridges).map(({ code }) => code);
    expect(codes(ties)).toEqual(['light-on-dark', 'light-lines-tied']);
    expect(codes(ties.map(({ from, to }) => ({ from: to, to: from })))).toHaveLength(2);
    expect(codes(ties.slice(1))).toEqual(['light-on-dark']);
    const [, { message }] = toldOf(strokes, ties);
    expect(message).toContain('3 bridges tie');
    expect(message).toContain('`swap`');
  });

  it('has no figures tied where a bridge holds what lies within another, film outside, or one figure alone', () => {
    const both: Rule = (x, y) => ring(x, y) || (x > 35 && x < 45 && Math.abs(y - 40) < 0.6);
    const tied = (...bridges: Ends): number => figuresTied(drawn(both)[1].bitmap, bridges, PX);
    // From the stroke within to the ring, from the ring to the margin of film, and across the ring.
    expect(tied(bridge(45, 40, 14.4, 0), bridge(59.4, 40, -14.4, 0))).toBe(0);
    // One end lies on an opening.
    expect(tied(bridge(50, 40, 9.4, 0))).toBe(0);
    const rim: Rule = (x, y) => both(x, y) || Math.max(Math.abs(x - 40), Math.abs(y - 40)) > 38;
    expect(figuresTied(drawn(rim)[1].bitmap, [bridge(60.6, 40, 17.4, 0)], PX)).toBe(0);
    expect(tied(bridge(20.6, 40, 38.8, 0))).toBe(0);
  });

  it('is told nothing once it is swapped', () => {
    expect(toldOf(ring, [], true)).toEqual([]);
  });

  it('is told by the pipeline of a face in chalk, and of no face in pencil', async () => {
    const toldInAll = async (name: string): Promise<readonly string[]> => {
      const scene = scenes.find((one) => one.name === name)!;
      const job = completeJob({ fineness: 5 });
      const { measure } = await createPipeline().runFor(['measure'], await scene.png(), job);
      return measure.findings.map(({ code }) => code);
    };
    expect(await toldInAll('a face in chalk')).toEqual(
      expect.arrayContaining(['light-on-dark', 'light-lines-tied']),
    );
    expect(await toldInAll('a face in pencil')).not.toContain('light-on-dark');
  });
});
