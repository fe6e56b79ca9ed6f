import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import {
  LETTERING_TYPEFACES,
  letteringFiles,
  letteringPlace,
} from '../../src/built-in/lettering-typefaces.js';
import { FAMILIES, fontFileOf, fontPathOf } from '../../src/built-in/typefaces.js';
import { completeLettering, type LetteringTold } from '../../src/settings/lettering-settings.js';
import { completeJob } from '../../src/settings/job.js';
import { makeWords } from '../../src/makings/words.js';
import { shapePath } from '../../src/output/svg/path-data.js';
import { openFont } from '../../src/lettering/font.js';
import { openTypeface } from '../../src/lettering/open-typeface.js';
import { leastCapHeight } from '../../src/lettering/least-size.js';
import { setLine } from '../../src/lettering/typeset.js';
import { pointToSegment } from '../../src/geometry/segment.js';
import { components } from '../support/opencv.js';
import { loopsOf } from '../support/path-data.js';
import { paintedBy } from '../support/resvg.js';
import { countersOf, PAIRS, shareNear } from '../support/letter-pairs.js';

/*
 * Words against others: shaping against fontkit, an independent engine; bridges against published stencil faces; the
 * outlines that are cut against the font's own, as fontkit has them.
 */

/** What is used of fontkit, which reads and shapes fonts: lengths in units of the font, y up. */
interface Fontkit {
  create(font: Uint8Array): FontkitFont;
}
interface FontkitFont {
  readonly unitsPerEm: number;
  layout(
    text: string,
    features?: readonly string[],
  ): {
    readonly glyphs: readonly { readonly id: number; readonly path: FontkitPath }[];
    readonly positions: readonly { readonly xAdvance: number; readonly xOffset: number }[];
  };
}
interface FontkitPath {
  readonly commands: readonly { readonly command: string; readonly args: readonly number[] }[];
}

const fontkit = createRequire(import.meta.url)('fontkit') as Fontkit;

const builtIn = (kind: string): string => {
  const typeface = LETTERING_TYPEFACES.find((one) => one.kind === kind)!;
  return letteringPlace(typeface, letteringFiles(typeface)[0]);
};

const noto = (name: string, part: string): string => {
  const family = FAMILIES.find((one) => one.name === name)!;
  return fontPathOf(family, fontFileOf(family, part, 400));
};

describe('shaping: glyphs and advances are those of fontkit', () => {
  it.each([
    ['kerning pairs', builtIn('sans'), 'AVATAR To Ty LT. “Wo”', false],
    ['kerning of a slab', builtIn('slab'), 'AVOWAL Tower Yes', false],
    ['ligatures', noto('noto-sans', 'latin'), 'office fluffy ffi', false],
    ['a script that joins', builtIn('script'), 'Margarethe 1987', false],
    ['an Arabic word', noto('noto-sans-arabic', 'arabic'), 'ذاكرة', true],
    ['a Devanagari word', noto('noto-sans', 'devanagari'), 'स्मृति', false],
  ])('%s', async (_, file, text, leftward) => {
    const bytes = readFileSync(file);
    const face = await openFont(bytes, 'font');
    const theirs = fontkit.create(bytes);
    const { glyphs, positions } = theirs.layout(text);
    const ours = face.shape(text, { start: 0, end: text.length, leftward });
    expect(ours.map(({ id }) => id)).toEqual(glyphs.map(({ id }) => id));
    ours.forEach(({ advance, right }, i) => {
      expect(advance).toBeCloseTo(positions[i].xAdvance / theirs.unitsPerEm, 3);
      expect(right).toBeCloseTo(positions[i].xOffset / theirs.unitsPerEm, 3);
    });
  });
});

describe('bridges: where type designers have them', () => {
  it.each(PAIRS)('%s as %s', async (...pair) => {
    const counters = await countersOf(pair, 'alone');
    expect(counters.length).toBeGreaterThan(20);
    const near = shareNear(counters, 'ours');
    expect(near).toBeGreaterThanOrEqual(0.85);
    expect(near).toBeGreaterThan(shareNear(counters, 'random') + 0.2);
    for (const { letter, ours } of counters) {
      expect(ours.length, letter).toBeGreaterThan(0);
      expect(ours.length, letter).toBeLessThanOrEqual(3);
    }
  });
});

/** Nearer need not be looked for. */
const ENOUGH_MM = 0.004;

/** How far a place lies off the nearest of some polygons, in mm. */
function off(polygons: readonly Float64Array[], x: number, y: number): number {
  let least = Infinity;
  for (const points of polygons) {
    for (let i = 0; i < points.length; i += 2) {
      const j = (i + 2) % points.length;
      const [a, b] = [
        { x: points[i], y: points[i + 1] },
        { x: points[j], y: points[j + 1] },
      ];
      least = Math.min(least, pointToSegment({ x, y }, a, b));
      if (least < ENOUGH_MM) return least;
    }
  }
  return least;
}

/** A glyph's contours by fontkit at a place, as fine polygons in mm. */
function theirContours(path: FontkitPath, scale: number, x: number, y: number): Float64Array[] {
  const loops: number[][] = [];
  let pen = [0, 0];
  const add = (px: number, py: number): void => {
    loops.at(-1)!.push(x + px * scale, y - py * scale);
  };
  for (const { command, args } of path.commands) {
    if (command === 'moveTo') loops.push([]);
    const control = [
      pen,
      ...Array.from({ length: args.length / 2 }, (_, k) => args.slice(2 * k, 2 * k + 2)),
    ];
    if (command === 'closePath') continue;
    const steps = command === 'lineTo' || command === 'moveTo' ? 1 : 40;
    for (let s = 1; s <= steps; s++) {
      let points = control;
      if (steps === 1) points = [control.at(-1)!];
      while (points.length > 1) {
        points = points.slice(1).map((to, k) => {
          const from = points[k];
          return [
            from[0] + (to[0] - from[0]) * (s / steps),
            from[1] + (to[1] - from[1]) * (s / steps),
          ];
        });
      }
      add(points[0][0], points[0][1]);
    }
    pen = args.slice(-2);
  }
  return loops.map((loop) => Float64Array.from(loop));
}

describe('what is cut is what the font draws', () => {
  it.each([
    ['sans', 'HOb'],
    ['typewriter', 'HO'],
  ])(
    '%s: straight stems and round bowls within 0.01 mm of the font’s outline',
    async (face, word) => {
      // With a blade's limits, and letters so large that nothing is too thin, nor a turn too tight.
      const job = completeJob({
        card: '130x60mm',
        tightestTurn: 0.2,
        tool: 'craft-knife',
        fineness: 5,
      });
      const set = completeLettering(
        { face, capHeight: 28 },
        { where: 'here', spell: (name) => name },
      );
      const made = await makeWords({ words: [word], set }, job, {
        name: 'word',
        outputs: ['stencil'],
      });
      expect(made.good).toBe(true);
      const { letters } = (
        JSON.parse(String(made.files.get('report.json'))) as { words: LetteringTold }
      ).words;
      const theirs = fontkit.create(readFileSync(builtIn(face)));
      const contours = letters.flatMap(({ x, y, scale, text }) =>
        theirContours(theirs.layout(text).glyphs[0].path, scale / theirs.unitsPerEm, x, y),
      );
      const { frame } = made.run.values;
      expect(frame.bridges.length).toBeGreaterThan(1);
      const strips = frame.bridges.map(({ from, to, widthMm }) => ({
        from,
        to,
        reach: widthMm / 2 + 0.05,
      }));
      let [seen, most] = [0, 0];
      // As the file has them, curves and straight sides in many places each.
      for (const loop of loopsOf(String(made.files.get('stencil.svg')))) {
        for (const [x, y] of loop) {
          const isBridge = strips.some(
            ({ from, to, reach }) => pointToSegment({ x, y }, from, to) < reach + 1,
          );
          if (isBridge) continue;
          seen++;
          most = Math.max(most, off(contours, x, y));
        }
      }
      expect(seen).toBeGreaterThan(60);
      expect(most).toBeLessThan(0.01);
    },
  );
});

describe('at the smallest cap height that is told', () => {
  /** Parts of a letter and insides of it, as resvg draws it and OpenCV counts them. */
  const topology = (path: string, rule: 'nonzero' | 'evenodd') => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="160mm" height="60mm" viewBox="0 0 160 60"><path fill-rule="${rule}" d="${path}"/></svg>`;
    const ink = paintedBy(svg, 300);
    const film = { ...ink, data: ink.data.map((value) => 1 - value) };
    return { parts: components(ink, 8).count, insides: components(film, 4).count - 1 };
  };

  it.each([
    ['hot-tip', 'sans', 'GSae69'],
    ['hot-tip', 'slab', 'HUmv'],
    ['hot-tip', 'script', 'k'],
    ['hot-tip', 'hand', 'BSers9'],
    ['craft-knife', 'hand', 'ctdr'],
    ['craft-knife', 'typewriter', 'ces'],
  ] as const)(
    '%s, %s: each letter has the parts and insides that the font draws',
    async (tool, face, letters) => {
      const job = completeJob({ card: '160x60mm', fineness: 5, tool });
      const capHeight = leastCapHeight([setLine(letters, await openTypeface(face, letters))], job);
      const set = completeLettering(
        { face, capHeight, letterSpacing: 30 },
        { where: 'here', spell: (name) => name },
      );
      const { run, files } = await makeWords({ words: [letters], set }, job, {
        name: 'word',
        outputs: ['report'],
      });
      const told = JSON.parse(String(files.get('report.json'))) as { words: LetteringTold };
      const theirs = fontkit.create(readFileSync(builtIn(face)));
      const contours = told.words.letters.flatMap(({ x, y, scale, text }) =>
        theirContours(theirs.layout(text).glyphs[0].path, scale / theirs.unitsPerEm, x, y),
      );
      const drawn = contours.map((loop) => `M${loop.join(' ')}Z`).join('');
      const wanted = topology(drawn, 'nonzero');
      expect(wanted.parts).toBe(letters.length);
      // Before its insides are bridged.
      expect(topology(shapePath(run.values.ease.shapes), 'evenodd')).toEqual(wanted);
    },
  );
});
