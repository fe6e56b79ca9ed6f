import { readFile } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { labelRegions } from '../../src/raster/labels.js';
import type { Bitmap, Gray } from '../../src/raster/raster.js';
import { readPicture, type Picture } from '../../src/stages/read/read.js';
import { rankAll, tone, type Tone } from '../../src/stages/tone/tone.js';
import { seeded } from '../support/bitmaps.js';
import { photographFile, photographs, type Photograph } from '../support/photographs.js';

type Rule = (x: number, y: number) => number;

const MARGIN_MM = 6;
const SIDE_MM = 60;

/** A picture of `SIDE_MM` inside its margin, by a rule in mm from its own top left corner. */
function pictureOf(rule: Rule, pixelsPerMm = 10): Picture {
  const sheet = { widthMm: SIDE_MM + 2 * MARGIN_MM, heightMm: SIDE_MM + 2 * MARGIN_MM };
  const [size, margin] = [sheet.widthMm * pixelsPerMm, MARGIN_MM * pixelsPerMm];
  const side = SIDE_MM * pixelsPerMm;
  const gray: Gray = { width: size, height: size, data: new Uint8Array(size * size).fill(255) };
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      const value = rule((x + 0.5) / pixelsPerMm, (y + 0.5) / pixelsPerMm);
      gray.data[(y + margin) * size + x + margin] = Math.min(255, Math.max(0, Math.round(value)));
    }
  }
  const pictureBox = { x: margin, y: margin, width: side, height: side };
  return {
    gray,
    greyWhy: '',
    pictureBox,
    sheet,
    pixelsPerMm,
    colours: { width: side, height: side, data: new Uint8Array(3 * side * side) },
    shows: { x: 0, y: 0, width: 1, height: 1 },
    source: { width: side, height: side, format: 'png' },
  };
}

const job = (given: Record<string, unknown> = {}) => completeJob(given);

/** 1 where it is dark at a place given in mm from the picture's top left corner. */
const at = ({ bitmap }: Tone, x: number, y: number, pixelsPerMm = 10): number =>
  bitmap.data[
    Math.floor((y + MARGIN_MM) * pixelsPerMm) * bitmap.width +
      Math.floor((x + MARGIN_MM) * pixelsPerMm)
  ];

const dark = ({ data }: Bitmap): number => data.reduce((sum, value) => sum + value, 0);

function insideAndOutside({ gray, pictureBox }: Picture, bitmap: Bitmap) {
  const inside = new Uint8Array(pictureBox.width * pictureBox.height);
  const outside = bitmap.data.slice();
  for (let row = 0; row < pictureBox.height; row++) {
    const start = (pictureBox.y + row) * gray.width + pictureBox.x;
    inside.set(bitmap.data.subarray(start, start + pictureBox.width), row * pictureBox.width);
    outside.fill(0, start, start + pictureBox.width);
  }
  return { inside, outside };
}

const grain = (seed: number, spread: number): Rule => {
  const random = seeded(seed);
  return () => spread * (random() + random() + random() - 1.5);
};

const within = (x: number, y: number, cx: number, cy: number, rx: number, ry = rx): boolean =>
  ((x - cx) / rx) ** 2 + ((y - cy) / ry) ** 2 <= 1;

/** Short strokes in rows, as wide as a pen's: 0.5 mm. */
const isStroke = (x: number, y: number): boolean =>
  x > 4 && x < 56 && y > 4 && y < 56 && x % 4 < 3 && (y + 0.4 * x) % 5 < 0.5;

const OFFSETS = [-1.2, -0.8, -0.4, 0, 0.4, 0.8, 1.2];
const nearStroke = (x: number, y: number): boolean =>
  OFFSETS.some((dx) => OFFSETS.some((dy) => isStroke(x + dx, y + dy)));

/** A lamp at the top left; the far corner has a quarter of its light. */
const lamp: Rule = (x, y) => 250 * Math.exp(-(x + y) / 85);

const page = (contrast: number, spread: number): Rule => {
  const noise = grain(3, spread);
  return (x, y) => lamp(x, y) * (isStroke(x, y) ? 1 - contrast : 1) + noise(x, y);
};

const logo: Rule = (x, y) =>
  (within(x, y, 30, 30, 25) && !within(x, y, 30, 30, 15)) || Math.abs(x - 30) < 3 ? 20 : 240;

/** Dark hair, a face lit from the left, mid-tone eyes, brows and mouth, a soft ground. */
const portrait: Rule = (x, y) => {
  if (isEye(x, y) || isMouth(x, y)) return skin(x, y) - 70;
  if (within(x, y, 30, 32, 14, 18)) return skin(x, y);
  if (within(x, y, 30, 26, 18, 20)) return 35 + 0.3 * y;
  return 190 - 0.6 * x - 0.4 * y;
};
const skin: Rule = (x, y) => 235 - 2 * (x - 16) - 0.3 * (y - 14);
const isEye = (x: number, y: number) =>
  within(x, y, 24, 29, 2, 1.2) || within(x, y, 36, 29, 2, 1.2);
const isMouth = (x: number, y: number) => within(x, y, 30, 41, 5, 1);

const faded =
  (rule: Rule): Rule =>
  (x, y) =>
    120 + 0.17 * (rule(x, y) - 128);

const whiteLine: Rule = (x, y) => (Math.abs(Math.hypot(x - 30, y - 30) - 20) < 1 ? 245 : 15);

/** What several tests look at is made once; `tone` leaves its input as it is, see below. */
function once<Key, T>(make: (key: Key) => T): (key: Key) => T {
  const made = new Map<Key, T>();
  return (key) => {
    const known = made.get(key) ?? make(key);
    made.set(key, known);
    return known;
  };
}

const photograph = once((name: Photograph) => readPicture(photographFile(name), job()));
const photographTone = once(async (name: Photograph) => tone(await photograph(name), job()));
const portraitAt = once((pixelsPerMm: number) => pictureOf(portrait, pixelsPerMm));

const sample = async (name: string): Promise<Picture> =>
  readPicture(await readFile(new URL(`../../samples/${name}`, import.meta.url)), job());

describe('the choice', () => {
  it.each([
    ['a flat drawing', logo, 'auto'],
    ['a pen drawing in even light', (x, y) => (isStroke(x, y) ? 10 : 250), 'local'],
    ['a faded flat drawing', faded(logo), 'auto'],
    ['a white drawing on black', whiteLine, 'auto'],
    ['a page under a lamp', page(0.7, 6), 'local'],
    ['a faint page under a lamp', page(0.25, 3), 'local'],
    ['an empty page under a lamp', page(0, 6), 'local'],
    ['a portrait', portrait, 'mixed'],
    ['a faded portrait', faded(portrait), 'mixed'],
  ] satisfies [string, Rule, Tone['mode']][])('is right for %s', (_, rule, mode) => {
    const chosen = tone(pictureOf(rule), job());
    expect(chosen.mode).toBe(mode);
    expect(chosen.why).toContain(mode);
  });

  it('keeps a bold motif in uneven light solid, be it a disk or a ring', () => {
    const edge = (inside: number) => Math.min(1, Math.max(0, inside + 0.5));
    const lamp = (x: number, y: number) => 240 - 1.3 * (x + y);
    const lit =
      (solid: (r: number) => number): Rule =>
      (x, y) =>
        lamp(x, y) * (1 - 0.8 * solid(Math.hypot(x - 30, y - 30)));
    const disk = tone(pictureOf(lit((r) => edge(22 - r))), job());
    const ring = tone(pictureOf(lit((r) => edge(22 - r) * edge(r - 10))), job());
    expect([disk.mode, ring.mode]).toEqual(['mixed', 'mixed']);
    const share = ({ bitmap }: Tone) => dark(bitmap) / (100 * Math.PI);
    expect(share(disk) / 22 ** 2).toBeCloseTo(1, 1);
    expect(share(ring) / (22 ** 2 - 10 ** 2)).toBeCloseTo(1, 1);
    expect([at(disk, 30, 30), at(ring, 30, 30), at(ring, 30, 14)]).toEqual([1, 0, 1]);
  });

  it.each(photographs)('takes %s for a photograph', async (name) => {
    const chosen = await photographTone(name);
    expect(chosen.mode).toBe('mixed');
    expect(chosen.why).toMatch(
      /^This looks like a photograph \(\d+ % .*: mixed, (masses \d+ %, detail \d+ %|part by part)\.$/,
    );
  });

  it.each([
    ['nana.jpg', 'mixed'],
    ['hen.jpg', 'mixed'],
    ['boathouse-sketch.jpg', 'local'],
    ['moth.png', 'auto'],
    ['fern-border.svg', 'auto'],
  ])('is right for our %s', async (name, mode) => {
    expect(tone(await sample(name), job()).mode).toBe(mode);
  });

  it('says when the light parts may be the drawing', () => {
    expect(tone(pictureOf(whiteLine), job()).why).toContain('swap');
    expect(tone(pictureOf(logo), job()).why).not.toContain('swap');
  });

  it('gives way to what was asked', () => {
    for (const mode of ['auto', 'level', 'local', 'edges', 'mixed'] as const) {
      const asked = tone(portraitAt(10), job({ tone: mode }));
      expect(asked.mode).toBe(mode);
      expect(asked.why).toContain('As asked');
    }
  });
});

const MODES = ['best', 'auto', 'level', 'local', 'edges', 'mixed'] as const;

describe.each(MODES)('every picture, tone %s', (mode) => {
  const toneOf = once((swap: boolean) => tone(portraitAt(10), job({ tone: mode, swap })));

  it('leaves everything outside the frame film, swapped or not', () => {
    for (const swap of [false, true]) {
      const { outside } = insideAndOutside(portraitAt(10), toneOf(swap).bitmap);
      expect(outside.every((value) => value === 0)).toBe(true);
    }
  });

  it('is exactly exchanged inside the frame when swapped', () => {
    const [plain, swapped] = [false, true].map(
      (swap) => insideAndOutside(portraitAt(10), toneOf(swap).bitmap).inside,
    );
    expect(plain.some((value) => value === 1)).toBe(true);
    expect(swapped).toEqual(plain.map((value) => 1 - value));
  });

  it('finds nothing in white, and in an even grey with grain', () => {
    expect(
      dark(
        tone(
          pictureOf(() => 255),
          job({ tone: mode }),
        ).bitmap,
      ),
    ).toBe(0);
    const noise = grain(5, 12);
    const grey = tone(
      pictureOf((x, y) => 150 + noise(x, y)),
      job({ tone: mode }),
    );
    expect(dark(grey.bitmap)).toBe(0);
  });

  it('takes all of a black picture', () => {
    const picture = pictureOf(() => 0);
    const { inside } = insideAndOutside(picture, tone(picture, job({ tone: mode })).bitmap);
    expect(inside.every((value) => value === 1)).toBe(true);
  });

  it('does not change its input', () => {
    const picture = pictureOf(portrait);
    const before = picture.gray.data.slice();
    tone(picture, job({ tone: mode }));
    expect(picture.gray.data).toEqual(before);
  });

  it('decides by millimetres: nearly the same at half the pixels', () => {
    const fine =
      mode === 'local' ? tone(pictureOf(page(0.7, 3)), job({ tone: mode })) : toneOf(false);
    const coarse = tone(
      mode === 'local' ? pictureOf(page(0.7, 3), 5) : portraitAt(5),
      job({ tone: mode }),
    );
    let differ = 0;
    for (let y = 0.25; y < SIDE_MM; y += 0.5) {
      for (let x = 0.25; x < SIDE_MM; x += 0.5) {
        if (at(fine, x, y) !== at(coarse, x, y, 5)) differ++;
      }
    }
    expect(differ / (2 * SIDE_MM) ** 2).toBeLessThan(0.03);
  });
});

describe('level', () => {
  it('makes more dark, and nothing light again, the higher it is', () => {
    const picture = portraitAt(10);
    let before: Bitmap | undefined;
    for (const level of [5, 20, 45, 50, 70, 99]) {
      const { bitmap } = tone(picture, job({ tone: 'level', level }));
      before?.data.forEach((value, i) => {
        if (value === 1 && bitmap.data[i] === 0) throw new Error(`pixel ${i} got light again`);
      });
      if (before) expect(dark(bitmap)).toBeGreaterThan(dark(before));
      before = bitmap;
    }
  });

  it('is in percent of full lightness', () => {
    const ramp = tone(
      pictureOf((x) => (255 * x) / SIDE_MM),
      job({ tone: 'level', level: 25 }),
    );
    expect([at(ramp, 14.5, 30), at(ramp, 15.5, 30)]).toEqual([1, 0]);
  });
});

describe('auto', () => {
  it('gives a flat drawing back to 0.1 mm', () => {
    const result = tone(pictureOf(logo), job());
    for (let y = 0.55; y < SIDE_MM; y += 0.7) {
      for (let x = 0.55; x < SIDE_MM; x += 0.7) {
        const near = [-0.1, 0, 0.1].flatMap((dx) =>
          [-0.1, 0, 0.1].map((dy) => logo(x + dx, y + dy)),
        );
        if (new Set(near).size === 1) expect(at(result, x, y)).toBe(near[0] < 128 ? 1 : 0);
      }
    }
  });

  it.each([0.3, 0.5, 0.7])('keeps a line of %f mm beside a dark mass whole', (width) => {
    const drawing: Rule = (x, y) => (Math.abs(x - 10.05) < width / 2 || y > 45 ? 0 : 255);
    const result = tone(pictureOf(drawing), job());
    expect(result.mode).toBe('auto');
    for (let y = 1; y < 44; y += 0.5) {
      expect([9.85, 9.95, 10.05, 10.15, 10.25].some((x) => at(result, x, y) === 1)).toBe(true);
    }
  });
});

describe('local', () => {
  it('finds the strokes and leaves the grain, in the light and in the shade', () => {
    const result = tone(pictureOf(page(0.7, 6)), job());
    let [strokes, found, specks, paper] = [0, 0, 0, 0];
    for (let y = 0.05; y < SIDE_MM; y += 0.1) {
      for (let x = 0.05; x < SIDE_MM; x += 0.1) {
        const isDark = at(result, x, y) === 1;
        if (isStroke(x, y)) {
          strokes++;
          if (isDark) found++;
        } else if (!nearStroke(x, y)) {
          paper++;
          if (isDark) specks++;
        }
      }
    }
    expect(found / strokes).toBeGreaterThan(0.97);
    expect(specks / paper).toBeLessThan(0.002);
  });

  it('finds nothing on an empty page under a lamp', () => {
    for (const spread of [0, 3, 8]) {
      expect(dark(tone(pictureOf(page(0, spread)), job({ tone: 'local' })).bitmap)).toBe(0);
    }
  });

  it('keeps a filled shape of 12 mm solid', () => {
    const drawing: Rule = (x, y) => lamp(x, y) * (within(x, y, 40, 40, 6) ? 0.2 : 1);
    const result = tone(pictureOf(drawing), job({ tone: 'local' }));
    for (let x = 34.5; x < 45.6; x += 0.25) expect(at(result, x, 40)).toBe(1);
  });
});

describe('edges', () => {
  it('keeps hair and face, and the eyes and mouth that one level loses', () => {
    const picture = portraitAt(10);
    const [edges, auto] = (['edges', 'auto'] as const).map((mode) =>
      tone(picture, job({ tone: mode })),
    );
    const features: [number, number][] = [
      [24, 29],
      [36, 29],
      [30, 41],
    ];
    expect(features.map(([x, y]) => at(edges, x, y))).toEqual([1, 1, 1]);
    expect(features.map(([x, y]) => at(auto, x, y))).not.toEqual([1, 1, 1]);
    expect([at(edges, 30, 9), at(edges, 14, 22)]).toEqual([1, 1]);
    const cheeks: [number, number][] = [
      [21, 36],
      [38, 36],
      [30, 20],
    ];
    expect(cheeks.map(([x, y]) => at(edges, x, y))).toEqual([0, 0, 0]);
  });

  it.each([
    ['hot-tip', 0.2],
    ['craft-knife', 0.2],
    ['hot-tip', 0.6],
  ])('draws a fine dark line as wide as the narrowest opening (%s, %f mm)', (tool, width) => {
    const limits = job({ tone: 'edges', tool });
    const line: Rule = (x, y) => (Math.abs(x - 30) < width / 2 ? 40 : 150 + y);
    const result = tone(pictureOf(line), limits);
    for (let y = 8; y < 52; y += 4) {
      let count = 0;
      for (let x = 25.05; x < 35; x += 0.1) count += at(result, x, y);
      expect(count / 10).toBeGreaterThanOrEqual(limits.narrowestOpening - 0.1);
      expect(count / 10).toBeLessThanOrEqual(limits.narrowestOpening + 1);
    }
  });

  it('leaves a ground whole that slowly gets darker', () => {
    const animal: Rule = (x, y) => (within(x, y, 30, 32, 14, 9) ? 45 : 185 - 1.4 * y);
    const result = tone(pictureOf(animal), job({ tone: 'edges' }));
    expect(at(result, 30, 32)).toBe(1);
    for (let y = 1; y < SIDE_MM; y += 2) expect(at(result, 5, y)).toBe(0);
  });

  it.each(photographs)('makes few crumbs of %s', async (name) => {
    expect(crumbs(tone(await photograph(name), job({ tone: 'edges' })))).toBeLessThanOrEqual(15);
  });
});

/** Openings that the width rules would drop: few, on photographs with grass, fur, stones and cloth. */
const crumbs = ({ bitmap }: Tone): number =>
  labelRegions(bitmap, 1, 8)
    .areas.slice(1)
    .filter((area) => area < job().smallestOpening * 100).length;

describe('mixed', () => {
  it('keeps hair and face, eyes and mouth', () => {
    const result = tone(portraitAt(10), job({ tone: 'mixed' }));
    const places = (list: [number, number][]) => list.map(([x, y]) => at(result, x, y));
    const features: [number, number][] = [
      [24, 29],
      [36, 29],
      [30, 41],
    ];
    expect(places(features)).toEqual([1, 1, 1]);
    const hair: [number, number][] = [
      [30, 9],
      [14, 22],
    ];
    expect(places(hair)).toEqual([1, 1]);
    const skin: [number, number][] = [
      [21, 36],
      [38, 36],
      [30, 20],
    ];
    expect(places(skin)).toEqual([0, 0, 0]);
  });

  it('draws the outline where the contour is, whatever the light there', () => {
    // A disk on a ground, both of which get darker to the right: at the right the ground is darker than the disk
    // is at the left, so no one level parts them.
    const disk: Rule = (x, y) => 245 - 2.6 * x - (within(x, y, 30, 30, 16) ? 60 : 0);
    const result = tone(pictureOf(disk), job({ tone: 'mixed', masses: 90 }));
    for (let turn = 0; turn < 360; turn += 15) {
      const [dx, dy] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
      expect(at(result, 30 + 15 * dx, 30 + 15 * dy)).toBe(1);
      expect(at(result, 30 + 17 * dx, 30 + 17 * dy)).toBe(0);
    }
  });

  it('draws lines alone where masses are 0, masses alone where they are 100', () => {
    const mass: Rule = (x, y) =>
      within(x, y, 40, 40, 12) ? 30 : Math.abs(y - 15) < 0.3 ? 150 : 235;
    const lines = tone(pictureOf(mass), job({ tone: 'mixed', masses: 0 }));
    const masses = tone(pictureOf(mass), job({ tone: 'mixed', masses: 100 }));
    expect([at(lines, 30, 15), at(lines, 40, 40)]).toEqual([1, 0]);
    expect(at(masses, 40, 40)).toBe(1);
  });

  it('keeps more with more detail, and lets grain go with any', () => {
    const noise = grain(9, 12);
    const ticks: Rule = (x, y) =>
      200 +
      noise(x, y) -
      (x % 8 < 2 && y % 8 < 2 && y < 40 ? 70 : within(x, y, 30, 50, 8) ? 120 : 0);
    const count = (detail: number) => {
      const { bitmap } = tone(pictureOf(ticks), job({ tone: 'mixed', detail }));
      return labelRegions(bitmap, 1, 8).count;
    };
    expect(count(100)).toBeGreaterThan(30);
    expect(count(0)).toBeLessThanOrEqual(count(100));
  });

  it.each(photographs)('makes few crumbs of %s', async (name) => {
    const picture = await photograph(name);
    const result = await photographTone(name);
    expect(crumbs(result)).toBeLessThanOrEqual(15);
    const share = dark(result.bitmap) / (picture.pictureBox.width * picture.pictureBox.height);
    expect(share).toBeGreaterThan(0.08);
    expect(share).toBeLessThan(0.85);
  });
});

describe('finer', () => {
  const mix = { tone: 'mixed', masses: 50, detail: 0 };
  const rightHalf = [
    [50, 0],
    [100, 0],
    [100, 100],
    [50, 100],
  ];
  const CLEAR_MM = 4;

  /** Share of the pixels in which two tones differ: left and right of the middle of the frame, clear of it. */
  function differing(a: Tone, b: Tone, { pictureBox, pixelsPerMm }: Picture): [number, number] {
    const counts: [number, number] = [0, 0];
    const middle = pictureBox.x + pictureBox.width / 2;
    for (let i = 0; i < a.bitmap.data.length; i++) {
      const x = i % a.bitmap.width;
      if (Math.abs(x - middle) < CLEAR_MM * pixelsPerMm) continue;
      counts[x < middle ? 0 : 1] += a.bitmap.data[i] ^ b.bitmap.data[i];
    }
    return counts;
  }

  it('keeps all that can be cut inside its areas, and leaves the rest as it is', async () => {
    const picture = await sample('nana.jpg');
    const [plain, fine] = [0, 100].map((detail) => tone(picture, job({ ...mix, detail })));
    const finer = tone(picture, job({ ...mix, finer: [rightHalf] }));
    const [left, right] = differing(finer, plain, picture);
    expect(left).toBe(0);
    expect(right).toBeGreaterThan(0.5 * differing(fine, plain, picture)[1]);
    expect(differing(finer, fine, picture)[1]).toBeLessThan(0.2 * right);
  });

  it('follows the part of the picture that is shown', async () => {
    const picture = await sample('nana.jpg');
    // The left half alone is shown, so 25 to 50 % of the picture is the right half of the card.
    const shown = { ...picture, shows: { x: 0, y: 0, width: 0.5, height: 1 } };
    const quarter = rightHalf.map(([x, y]) => [x / 2, y]);
    const finer = tone(shown, job({ ...mix, finer: [quarter] }));
    expect(finer.bitmap).toEqual(tone(picture, job({ ...mix, finer: [rightHalf] })).bitmap);
  });

  it.each([
    [[[1, 2]]],
    [
      [
        [
          [0, 0],
          [10, 0],
        ],
      ],
    ],
    ['a face'],
    [
      [
        [
          [0, 0],
          [10, 0],
          [10, 'low'],
        ],
      ],
    ],
  ])('is refused in words when it is %j', (finer) => {
    expect(() => job({ finer })).toThrow(/`finer` can't be/);
  });
});

describe('the ranking', () => {
  it('is by what is left once the widths are kept', () => {
    const thin: Rule = (x, y) => (within(x, y, 30, 30, 14) ? 60 : x % 3 < 1 ? 190 : 225);
    const picture = pictureOf(thin);
    const asIs = rankAll(picture, job(), { faces: [], finish: (bitmap) => bitmap });
    const emptied = rankAll(picture, job(), {
      faces: [],
      finish: ({ width, height }) => ({ width, height, data: new Uint8Array(width * height) }),
    });
    expect(asIs.map(({ score }) => score)).toEqual(
      asIs.map(({ score }) => score).sort((a, b) => b - a),
    );
    expect(asIs[0].likeness.f).toBeGreaterThan(0.5);
    expect(emptied.every(({ likeness, lengthMm }) => likeness.recall === 0 && lengthMm === 0)).toBe(
      true,
    );
  });

  it('gives settings that make the same tone when they are laid over the job', async () => {
    const picture = await sample('nana.jpg');
    const chosen = tone(picture, job());
    const again = tone(picture, job({ ...chosen.chosen }));
    expect(again.bitmap).toEqual(chosen.bitmap);
  });
});
