import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { parse as parseHtml } from 'parse5';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  completeJob,
  makeStencil,
  overlay,
  Problem,
  tryTones,
  writeTones,
  type TriedTone,
} from '../../src/index.js';
import { flat } from '../cli/pictures.js';
import { said } from '../cli/run.js';

const JOB = { card: '50x40mm', margin: 4, smoothing: 0, fineness: 5 } as const;
/** Five stripes from dark to light, each a fifth of the picture. */
const STRIPES = [20, 70, 120, 180, 240];

let home: string;
let picture: string;
let tones: readonly TriedTone[];

beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), 'stencilwright-tones-'));
  picture = join(home, 'a "b" & c.png');
  const stripes = STRIPES.map(
    (grey, i) =>
      `<rect x="${i * 80}" width="80" height="320" fill="rgb(${grey},${grey},${grey})"/>`,
  );
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="400" height="320">${stripes.join('')}</svg>`;
  await sharp(Buffer.from(svg)).toFile(picture);
  tones = await tryTones(picture, JOB);
});

afterAll(() => rm(home, { recursive: true, force: true }));

describe('tones to choose from', () => {
  it('are every way that finds its own level, and levels between all greys of the picture', () => {
    const ways = tones.map(({ settings }) => settings.tone).filter((tone) => tone !== 'level');
    expect(ways[0]).toBe('best');
    expect(new Set(ways)).toEqual(new Set(['best', 'auto', 'local', 'edges', 'mixed']));
    const levels = tones.flatMap(({ settings: { level } }) => (level ? [level] : []));
    const darkStripes = levels.map(
      (level) => STRIPES.filter((grey) => grey < (level / 100) * 255).length,
    );
    expect([...new Set(darkStripes)]).toEqual([1, 2, 3, 4]);
    expect(new Set(levels).size).toBe(levels.length);
  });

  it('have the figures of the stencils that they make', async () => {
    for (const tried of tones) {
      if (tried.fate === 'failed') continue;
      const { run, good } = await makeStencil(picture, completeJob(overlay(JOB, tried.settings)), {
        name: 'alone',
        outputs: ['report'],
      });
      const { bridge, tone, check } = run.values;
      expect(tried.fate).toBe(good ? 'good' : 'broken');
      expect(tried.figures).toMatchObject({
        tone: tone.mode,
        openings: check.openings.length,
        bridges: bridge.bridges.length,
        islands: bridge.islands,
      });
    }
    expect(tones.filter(({ fate }) => fate !== 'failed').length).toBeGreaterThan(5);
  });

  it('fill a sheet, as a picture and as a page', async () => {
    const files = await writeTones(tones, { name: 'stripes', picture: 'a "b" & c.png' }, home);
    expect(files).toEqual([join(home, 'stripes-tones.png'), join(home, 'stripes-tones.html')]);
    const { data, info } = await sharp(files[0])
      .greyscale()
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([1640, 40 + Math.ceil(tones.length / 4) * 484]);
    // Where a print is, there is paint.
    const darkest = (i: number): number => {
      const [left, top] = [40 + (i % 4) * 400, 40 + Math.floor(i / 4) * 484];
      let least = 255;
      for (let y = top; y < top + 360; y++) {
        for (let x = left; x < left + 360; x++) least = Math.min(least, data[y * info.width + x]);
      }
      return least;
    };
    for (const [i, { fate }] of tones.entries()) {
      if (fate !== 'failed') expect(darkest(i), `tile ${i}`).toBeLessThan(90);
    }
    const page = await readFile(files[1], 'utf8');
    const faults: string[] = [];
    parseHtml(page, { onParseError: ({ code }) => faults.push(code) });
    expect(faults).toEqual([]);
    expect(page).toContain('Tones of a &#34;b&#34; &#38; c.png');
    expect(page).not.toMatch(/<script|https?:/);
    const prints = tones.filter(({ fate }) => fate !== 'failed').length;
    expect(page.match(/<img /g)).toHaveLength(prints);
    expect(page.match(/<code>--tone /g)).toHaveLength(prints);
  });

  it("fill a sheet of their own beside another picture's, and one that a person changed", async () => {
    const there = join(home, 'sheets');
    const write = async (picture: string) =>
      (await writeTones(tones, { name: 'stripes', picture }, there)).map((file) => basename(file));
    const plain = ['stripes-tones.png', 'stripes-tones.html'];
    const second = ['stripes-tones-2.png', 'stripes-tones-2.html'];
    expect(await write('stripes.png')).toEqual(plain);
    const page = await readFile(join(there, plain[1]), 'utf8');
    expect(await write('stripes.jpg')).toEqual(second);
    expect(await readFile(join(there, plain[1]), 'utf8')).toBe(page);
    expect(await write('stripes.png')).toEqual(plain);
    await writeFile(join(there, plain[1]), page.replace('Choose one', 'I took the third'));
    expect(await write('stripes.png')).toEqual(['stripes-tones-3.png', 'stripes-tones-3.html']);
    expect(await readFile(join(there, plain[1]), 'utf8')).toContain('I took the third');
  });

  it('can not be tried on an even picture or on none', async () => {
    const even = await flat(join(home, 'even.png'), '#888');
    await expect(tryTones(even, JOB)).rejects.toThrow(/^Nothing to cut/);
    await expect(tryTones(join(home, 'none.png'), JOB)).rejects.toBeInstanceOf(Problem);
  });

  it('are shown on the command line, with the options that make each', async () => {
    const { status, stdout, stderr } = await said(
      ['tones', 'a "b" & c.png', '--card', '50x40mm', '--margin', '4', '--smoothing', '0'],
      { cwd: home },
    );
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout).toMatch(/^ 1 {2}--tone best .*\d pieces?, \d+ bridges?, [\d.]+ m to cut/);
    expect(stdout).toContain('then: stencilwright make \'a "b" & c.png\' --tone best');
    expect(stdout).toContain('stencils/a "b" & c-tones.png or stencils/a "b" & c-tones.html');
    const none = await said(['tones', 'even.png'], { cwd: home });
    expect(none.status).toBe(2);
    expect(none.stderr).toMatch(/^✗ Nothing to cut/);
  });
});
