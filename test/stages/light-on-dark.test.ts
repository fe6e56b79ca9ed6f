import { describe, expect, it } from 'vitest';
import { completeJob, createPipeline } from '../../src/index.js';
import { isLightOnDark, lightLinesTold } from '../../src/stages/check/light-on-dark.js';
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

describe('a picture in light lines on a dark ground', () => {
  it('is seen', () => {
    expect(isLightOnDark(...drawn(ring))).toBe(true);
    const [{ level, code, message }] = lightLinesTold(...drawn(ring), { swap: false });
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

  it('is told nothing once it is swapped', () => {
    expect(lightLinesTold(...drawn(ring), { swap: true })).toEqual([]);
  });

  it('is told by the pipeline of a face in chalk, and of no face in pencil', async () => {
    const toldOf = async (name: string): Promise<readonly string[]> => {
      const scene = scenes.find((one) => one.name === name)!;
      const job = completeJob({ fineness: 5 });
      const { measure } = await createPipeline().runFor(['measure'], await scene.png(), job);
      return measure.findings.map(({ code }) => code);
    };
    expect(await toldOf('a face in chalk')).toContain('light-on-dark');
    expect(await toldOf('a face in pencil')).not.toContain('light-on-dark');
  });
});
