import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { bands, ring } from './pictures.js';
import { contents, said, scratch, stencilwright } from './run.js';

const CARD = ['--card', '60x60mm'];

describe('layers', () => {
  it('writes a folder for each layer and the preview of all, and says the order of painting', async () => {
    const cwd = scratch();
    await bands(join(cwd, 'bands.png'));
    const ended = stencilwright(['layers', 'bands.png', ...CARD], { cwd });
    expect(ended).toMatchObject({ status: 0, stderr: '' });
    expect(ended.stdout).toMatch(
      /3 layers, to be painted in this order:\n {2}1 .*layer-1, from \d/,
    );
    const set = join(cwd, 'stencils/bands');
    expect(readdirSync(set).sort()).toEqual(
      ['layer-1', 'layer-2', 'layer-3', 'preview.png', 'report.json'].sort(),
    );
    for (const layer of ['layer-1', 'layer-2', 'layer-3']) {
      expect(readdirSync(join(set, layer)).sort()).toEqual(
        ['plan.pdf', 'preview.png', 'report.json', 'stencil.svg', 'template.pdf'].sort(),
      );
    }
    const { width, height, density } = await sharp(join(set, 'preview.png')).metadata();
    expect([width, height, density]).toEqual([600, 600, 254]);
    const report = JSON.parse(readFileSync(join(set, 'report.json'), 'utf8')) as {
      layers: { level: number; paint: string; good: boolean }[];
      registerMarks: { at: number[]; sideMm: number }[];
    };
    expect(report.registerMarks.map(({ at }) => at)).toEqual([[3, 3], [57, 3], [3, 57]]); // prettier-ignore
    const levels = report.layers.map(({ level }) => level);
    expect(levels).toEqual([...levels].sort((a, b) => b - a));

    // In the middle of each band the preview has the colour of the paint that lies uppermost there.
    const { data, info } = await sharp(join(set, 'preview.png'))
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    const px = 48 / 400;
    [100, 180, 260].forEach((y, k) => {
      const at = 3 * (Math.round((6 + y * px) * 10) * info.width + 300);
      const paint = [1, 3, 5].map((c) => parseInt(report.layers[k].paint.slice(c, c + 2), 16));
      for (const channel of [0, 1, 2]) {
        expect(Math.abs(data[at + channel] - paint[channel]), `band ${k + 1}`).toBeLessThan(25);
      }
    });
  });

  it('replaces an earlier set of the picture, but for what a person put there', async () => {
    const cwd = scratch();
    await bands(join(cwd, 'bands.png'));
    const again = (count: string, ...words: string[]) =>
      said(['layers', 'bands.png', ...CARD, '--count', count, ...words], { cwd });
    expect((await again('3')).status).toBe(0);
    const set = join(cwd, 'stencils/bands');
    writeFileSync(join(set, 'layer-1/mine.txt'), 'x');
    writeFileSync(join(set, 'layer-3/mine.txt'), 'x');
    expect((await again('2')).status).toBe(0);
    expect(readdirSync(join(cwd, 'stencils'))).toEqual(['bands']);
    expect(readFileSync(join(set, 'layer-1/mine.txt'), 'utf8')).toBe('x');
    expect(readdirSync(join(set, 'layer-3'))).toEqual(['mine.txt']);
  });

  it('leave a stencil of the picture alone, as make leaves them', async () => {
    const cwd = scratch();
    await bands(join(cwd, 'bands.png'));
    const run = (command: string, ...words: string[]) =>
      said([command, 'bands.png', ...CARD, '--outputs', 'stencil', ...words], { cwd });
    expect((await run('layers', '--count', '2')).status).toBe(0);
    const set = contents(join(cwd, 'stencils/bands'));
    const made = await run('make');
    expect(made.status).toBe(0);
    expect(made.stdout).toMatch(/"bands" holds the layers of bands\.png and was left alone/);
    expect(contents(join(cwd, 'stencils/bands'))).toEqual(set);
    const one = contents(join(cwd, 'stencils/bands-2'));
    expect((await run('layers', '--count', '2')).stdout).toMatch(/Files +stencils\/bands: layer-1/);
    expect((await run('layers', '--name', 'bands-2')).stderr).toMatch(
      /holds the stencil of bands\.png/,
    );
    expect(contents(join(cwd, 'stencils/bands-2'))).toEqual(one);
  });

  it("makes a layer again from its report, to the last byte, and a set from the set's", async () => {
    const cwd = scratch();
    await bands(join(cwd, 'bands.png'));
    const laid = ['--count', '3', '--laid', 'separate', '--paints', '#d9a441,#a4542c,#3b2418'];
    const first = await said(['layers', 'bands.png', ...CARD, ...laid], { cwd });
    expect(first.status).toBe(0);
    const report = 'stencils/bands/layer-2/report.json';
    const again = await said(['make', 'bands.png', '--settings', report], { cwd });
    expect(again).toMatchObject({ status: 0, stderr: '' });
    const inside = (folder: string) =>
      [...contents(join(cwd, folder))].map(([path, held]) => [basename(path), held]);
    expect(inside('stencils/bands-layer-2')).toEqual(inside('stencils/bands/layer-2'));
    const whole = ['--settings', 'stencils/bands/report.json', '--out', 'there'];
    expect((await said(['layers', 'bands.png', ...whole], { cwd })).status).toBe(0);
    expect(inside('there/bands')).toEqual(inside('stencils/bands'));
  });

  it.each<[string[], RegExp]>([
    [['--count', '6'], /--count can't be "6".*Choose one of: 2, 3, 4, 5/],
    [['--count', '3', '--levels', '70,30'], /There are 2 levels for 3 layers.*Give one for each/],
    [['--levels', '70,70'], /can't part the picture/],
    [['--paints', '#ffffff,white'], /--paints can't be/],
    [['--margin', '4'], /A margin of 4 mm has no room for register marks.*6 mm or more/],
    [['other.png'], /Several pictures are named/],
  ])('refuses %j in words', async (words, says) => {
    const cwd = scratch();
    await bands(join(cwd, 'bands.png'));
    const ended = await said(['layers', 'bands.png', ...CARD, ...words], { cwd });
    expect(ended.status).toBe(2);
    expect(ended.stderr).toMatch(says);
    expect(existsSync(join(cwd, 'stencils'))).toBe(false);
  });

  it('says which layer can not be made', async () => {
    const cwd = scratch();
    await ring(join(cwd, 'ring.png'));
    const ended = await said(['layers', 'ring.png', ...CARD, '--levels', '60,2'], { cwd });
    expect(ended.status).toBe(2);
    expect(ended.stderr).toMatch(/Layer 2 of 2 can't be made: Nothing to cut.*Make fewer layers/);
  });
});
