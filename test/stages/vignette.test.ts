import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { completeJob, createPipeline, type JobInput } from '../../src/index.js';
import type { Bitmap } from '../../src/raster/raster.js';
import type { Tone } from '../../src/stages/tone/tone.js';
import { vignette } from '../../src/stages/tone/vignette.js';
import {
  contours,
  pictureBox,
  PX_PER_MM as PX,
  sheetOf,
  SHEET_PX as SIZE,
  type Rule,
} from '../support/framed-sheet.js';
import { components } from '../support/opencv.js';
import { photographFile } from '../support/photographs.js';

/** What becomes of a tone; grey by a rule in mm, in half the lightness unless given. */
function vignetted(
  rule: Rule,
  settings: JobInput = { vignette: 'soft' },
  grey: (x: number, y: number) => number = () => 128,
  isPhotograph = true,
  faces: readonly {
    readonly landmarks: readonly { readonly x: number; readonly y: number }[];
  }[] = [],
): Tone {
  const data = new Uint8Array(SIZE * SIZE).fill(255);
  for (let y = 0; y < pictureBox.height; y++) {
    for (let x = 0; x < pictureBox.width; x++) {
      data[(y + pictureBox.y) * SIZE + x + pictureBox.x] = grey((x + 0.5) / PX, (y + 0.5) / PX);
    }
  }
  const told: Tone = { bitmap: sheetOf(rule), mode: 'auto', why: 'One level.', contours };
  const gray = { width: SIZE, height: SIZE, data };
  return vignette(
    told,
    { gray, pictureBox, pixelsPerMm: PX },
    faces,
    completeJob(settings),
    () => isPhotograph,
  );
}

const at = ({ bitmap }: Tone, x: number, y: number): number =>
  bitmap.data[Math.floor(pictureBox.y + y * PX) * SIZE + Math.floor(pictureBox.x + x * PX)];

/** The longest straight stretch, in mm, of the outline of what is dark, along a row or a column. */
function longestStraight({ width, height, data }: Bitmap): number {
  let longest = 0;
  const along = (length: number, lines: number, pixel: (k: number, line: number) => number): void => {
    for (let line = 1; line < lines; line++) {
      let run = 0;
      for (let k = 0; k < length; k++) {
        run = data[pixel(k, line)] !== data[pixel(k, line - 1)] ? run + 1 : 0;
        longest = Math.max(longest, run);
      }
    }
  }; // prettier-ignore
  along(width, height, (x, y) => y * width + x);
  along(height, width, (y, x) => y * width + x);
  return longest / PX;
}

const all: Rule = () => true;

/** How many pixels are others than a rule's. */
const changes = ({ bitmap }: Tone, rule: Rule): number => {
  const { data } = sheetOf(rule);
  return bitmap.data.reduce((sum, value, i) => sum + (value === data[i] ? 0 : 1), 0);
};

describe('a vignette', () => {
  it('ends a mass before the frame that cuts it, in a line that is straight nowhere', () => {
    expect(longestStraight(sheetOf(all))).toBe(60);
    const round = vignetted(all);
    // |u|³ + |v|³ = r³ falls by two pixels, 0.4 mm, within 9.5 mm to either side of its top where 2 r is 54 mm.
    expect(longestStraight(round.bitmap)).toBeLessThan(19);
    expect(components(round.bitmap, 4).count).toBe(1);
    expect(at(round, 30, 30)).toBe(1);
    for (const [x, y] of [[1, 1], [59, 1], [1, 59], [59, 59]] as const) expect(at(round, x, y)).toBe(0); // prettier-ignore
    expect(round.why).toContain('along 100 % of it');
    // Contours that are not drawn on purpose are not missed; the others are.
    expect(round.contours.weight[0]).toBe(0);
    expect(round.contours.weight[30 * 60 + 30]).toBe(1);
  });

  it('comes the nearer to the frame the darker the mass is, and the other way round where they are swapped', () => {
    const halves = (x: number): number => (x < 30 ? 40 : 140);
    /** Mm of film along the middle, left and right. */
    const ends = (settings: JobInput): number[] => {
      const tone = vignetted(all, { vignette: 'soft', ...settings }, halves);
      const row = Array.from({ length: 300 }, (_, k) => at(tone, k / PX + 0.1, 30));
      return [row.indexOf(1) / PX, (299 - row.lastIndexOf(1)) / PX];
    };
    const [dark, light] = ends({});
    expect(light - dark).toBeGreaterThan(3);
    const [swappedDark, swappedLight] = ends({ swap: true });
    expect(swappedDark - swappedLight).toBeGreaterThan(3);
  });

  it.each<[string, Rule]>([
    ['a mass within the picture', (x, y) => Math.hypot(x - 30, y - 30) < 25],
    ['a branch that leads out of it', (x, y) => Math.abs(y - 30) < 4 || Math.hypot(x - 30, y - 30) < 20],
    ['a line drawn along its edge', (x, y) => Math.min(x, y, 60 - x, 60 - y) < 2],
  ])('leaves %s as it is', (_, rule) => {
    const told = vignetted(rule);
    expect(changes(told, rule)).toBe(0);
    expect(told.why).toBe('One level.');
  }); // prettier-ignore

  it('leaves a head whole that lies in a corner, and no more than that', () => {
    const landmarks = [{ x: 1, y: 8 }, { x: 11, y: 8 }, { x: 6, y: 18 }]; // prettier-ignore
    const told = vignetted(all, { vignette: 'soft' }, undefined, true, [{ landmarks }]);
    for (const [x, y] of [[1, 8], [10, 8], [6, 17], [6, 3]] as const) expect(at(told, x, y)).toBe(1); // prettier-ignore
    expect(at(told, 0.5, 0.5)).toBe(0);
    expect(at(told, 59, 1)).toBe(0);
    expect(at(vignetted(all), 1, 8)).toBe(0);
  });

  it('by itself takes the edge off a photograph that the frame cuts much of, and nothing else', () => {
    const high: Rule = (_, y) => y < 20;
    const changed = (rule: Rule, settings: JobInput, isPhotograph = true): boolean =>
      changes(vignetted(rule, settings, undefined, isPhotograph), rule) > 0;
    expect(changed(all, {})).toBe(true);
    // Along the upper side and a third of two others: 0.42 of the frame; then along that side alone, 0.25, and most of it, 0.17.
    expect(changed(high, {})).toBe(true);
    expect(changed((_, y) => y < 10, {})).toBe(false);
    expect(changed((x, y) => high(x, y) && x > 10 && x < 50, {})).toBe(false);
    // The ground of a landscape, as much of the frame.
    expect(changed((_, y) => y > 40, {})).toBe(false);
    expect(changed(all, {}, false)).toBe(false);
    for (const settings of [{ vignette: 'none' }, { fit: 'fill' }, { repeat: 'brick' }, { fold: 'half' }] as const) {
      expect(changed(all, settings)).toBe(false);
    } // prettier-ignore
    for (const settings of [{ fit: 'fill' }, { repeat: 'brick' }] as const) {
      expect(changed(all, { ...settings, vignette: 'soft' })).toBe(true);
    }
  });

  it('is laid on the photograph of a card, and a drawing has none', async () => {
    const plane = readFileSync(photographFile('airplane-from-above'));
    const whyOf = async (source: Uint8Array, settings: JobInput = {}): Promise<string> => {
      const job = completeJob({ fineness: 5, ...settings });
      return (await createPipeline().runFor(['tone'], source, job)).tone.why;
    };
    expect(await whyOf(plane)).toContain('a vignette');
    expect(await whyOf(plane, { vignette: 'none' })).not.toContain('a vignette');
    expect(
      await whyOf(readFileSync(new URL('../../samples/moth.png', import.meta.url))),
    ).not.toContain('a vignette');
  });
});
