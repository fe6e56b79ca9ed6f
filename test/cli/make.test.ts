import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Job } from '../../src/index.js';
import { stages } from '../../src/pipeline/pipeline.js';
import { ring } from './pictures.js';
import { contents, home, said, scratch, stencilwright } from './run.js';

type Place = readonly [number, number];

interface Report {
  readonly sheet: { readonly widthMm: number; readonly heightMm: number };
  readonly islands: number;
  readonly bridges: readonly unknown[];
  readonly openings: readonly unknown[];
  readonly timingsMs: Readonly<Record<string, number>>;
  readonly job: Job;
}

function report(folder: string): Report {
  return JSON.parse(readFileSync(join(folder, 'report.json'), 'utf8')) as Report;
}

/** Where the size does not matter. */
const SMALL = ['--card', '40x40mm', '--margin', '4'];

describe('make', () => {
  it('writes the five files of a stencil, and says what was made', async () => {
    const folder = scratch();
    await ring(join(folder, 'ring.png'));
    const ended = stencilwright(['make', 'ring.png'], { cwd: folder });
    expect(ended.stderr).toBe('');
    expect(ended.status).toBe(0);
    expect(readdirSync(join(folder, 'stencils'))).toEqual(['ring']);
    expect(readdirSync(join(folder, 'stencils/ring')).sort()).toEqual([
      'plan.pdf',
      'preview.png',
      'report.json',
      'stencil.svg',
      'template.pdf',
    ]);
    expect(ended.stdout).toMatch(/^ring\.png\nStencil .*101\.6 × 101\.6 mm \(4 × 4 in\).*hot tip/);
    expect(ended.stdout).toMatch(/Islands +1 held by \d bridges? of 2\.4 mm/);
    expect(ended.stdout).toMatch(/Time +about \d+ minutes, 20 of them to warm up; easy: /);
    expect(ended.stdout).toContain('stencils/ring: ');
    expect(ended.stdout).toContain('Good:');
    expect(ended.stdout).not.toContain('\u001b');
    for (const line of ended.stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(100);
    const made = report(join(folder, 'stencils/ring'));
    expect(made.sheet).toEqual({ widthMm: 101.6, heightMm: 101.6 });
    expect(made.islands).toBe(1);
    expect(made.bridges.length).toBeGreaterThanOrEqual(1);
    expect(Object.keys(made.timingsMs)).toEqual([...stages.map(({ name }) => name), 'sheets']);
  });

  it('says what is broken and where: in mm, as settings files have it, and in inches of a card in inches', async () => {
    const folder = scratch();
    await ring(join(folder, 'ring.png'));
    const run = (words: readonly string[]) => said(['make', 'ring.png', ...words], { cwd: folder });
    for (const [card, inInches] of [
      ['2x2in', true],
      ['50x50mm', false],
    ] as const) {
      const about = ['--card', card, '--margin', '4', '--fineness', '4', '--out', card];
      await run(about);
      const { bridges } = report(join(folder, card, 'ring'));
      const bridgeEdits = (bridges as readonly { readonly from: Place; readonly to: Place }[]).map(
        ({ from, to }) => ({ do: 'remove', at: [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2] }),
      );
      writeFileSync(join(folder, 'less.json'), JSON.stringify({ bridgeEdits }));
      const ended = await run([...about, '--settings', 'less.json']);
      expect(ended.status).toBe(1);
      const told = ended.stdout.replaceAll(/\s+/g, ' ');
      expect(told).toContain('Look before you cut');
      const place = /\(([\d.]+) mm from the left, ([\d.]+) mm from the top(?:: ([\d.]+) and ([\d.]+) in)?\)/; // prettier-ignore
      const [, left, top, across, down] = place.exec(told) ?? [];
      expect(Number(left) + Number(top)).toBeGreaterThan(0);
      if (inInches) {
        // NIST Special Publication 811, appendix B: an inch is 25.4 mm.
        expect(Number(across)).toBeCloseTo(Number(left) / 25.4, 1);
        expect(Number(down)).toBeCloseTo(Number(top) / 25.4, 1);
      } else expect(across).toBe(undefined);
    }
  });

  it('does not call good what nobody would know again', async () => {
    const sketch = join(home, 'samples/boathouse-sketch.jpg');
    const words = ['make', sketch, '--card', '30x30mm', '--fineness', '4', '--out', scratch()];
    const { status, stdout } = await said(words);
    expect(status).toBe(0);
    expect(stdout).toContain('It stays in one piece, and it can be cut; but little of the picture is left.'); // prettier-ignore
    expect(stdout).not.toContain('Good:');
  });

  it('makes a result again from its report, and the command line goes before it', async () => {
    const folder = scratch();
    await ring(join(folder, 'ring.png'));
    const run = (words: string[]) => said(['make', 'ring.png', ...words], { cwd: folder });
    const first = ['--card', 'a7', '--turn', 'landscape', '--margin', '0.3in', '--out', 'one'];
    expect((await run(first)).status).toBe(0);
    const settings = ['--settings', 'one/ring/report.json'];
    expect((await run([...settings, '--out', 'two'])).status).toBe(0);
    for (const file of ['stencil.svg', 'preview.png', 'template.pdf']) {
      const [one, two] = ['one', 'two'].map((out) => readFileSync(join(folder, out, 'ring', file)));
      expect(two.equals(one), file).toBe(true);
    }
    expect(report(join(folder, 'two/ring')).job).toEqual(report(join(folder, 'one/ring')).job);
    expect(report(join(folder, 'one/ring')).job).toMatchObject({ margin: 7.62, turn: 'landscape' });

    expect((await run([...settings, '--tool', 'craft-knife', '--out', 'three'])).status).toBe(0);
    expect(report(join(folder, 'three/ring')).job).toMatchObject({
      card: 'a7',
      margin: 7.62,
      tool: 'craft-knife',
      bridgeWidth: 2,
    });
  });

  it('takes a settings file written by hand', async () => {
    const folder = scratch();
    await ring(join(folder, 'ring.png'));
    writeFileSync(join(folder, 'mine.json'), '\uFEFF{"card": "50x60mm", "swap": true}');
    const words = ['make', 'ring.png', '--settings', 'mine.json', '--no-swap'];
    expect((await said(words, { cwd: folder })).status).toBe(0);
    expect(report(join(folder, 'stencils/ring')).job).toMatchObject({
      card: '50x60mm',
      swap: false,
    });
  });

  it('writes the outputs that are asked for, and always the report', async () => {
    const folder = scratch();
    await ring(join(folder, 'ring.png'));
    const words = ['make', 'ring.png', ...SMALL, '--outputs', 'preview', '--outputs', 'stencil, report']; // prettier-ignore
    expect((await said(words, { cwd: folder })).status).toBe(0);
    expect(readdirSync(join(folder, 'stencils/ring')).sort()).toEqual([
      'report.json',
      'stencil.svg',
    ]);
  });

  it('gives a program one line of JSON for each picture', async () => {
    const folder = scratch();
    await ring(join(folder, '1.png'));
    await ring(join(folder, 'two.three.png'));
    const ended = await said(['make', '1.png', 'two.three.png', ...SMALL, '--json'], {
      cwd: folder,
    });
    expect(ended.status).toBe(0);
    const told = ended.stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(told).toHaveLength(2);
    expect(told[0]).toMatchObject({
      picture: '1.png',
      status: 0,
      islands: 1,
      folder: 'stencils/1',
    });
    expect(told[1]).toMatchObject({ name: 'two.three', folder: 'stencils/two.three' });
  });

  it('replaces an earlier result whole', async () => {
    const folder = scratch();
    await ring(join(folder, 'ring.png'));
    expect((await said(['make', 'ring.png', ...SMALL], { cwd: folder })).status).toBe(0);
    const before = contents(join(folder, 'stencils'));
    expect((await said(['make', 'ring.png', ...SMALL, '--swap'], { cwd: folder })).status).toBe(0);
    const after = contents(join(folder, 'stencils'));
    expect([...after.keys()]).toEqual([...before.keys()]);
    const svg = join(folder, 'stencils/ring/stencil.svg');
    expect(after.get(svg)).not.toEqual(before.get(svg));
  });
});

/** Prints which native libraries a process has loaded, on its way out (process.report of Node.js). */
const LIBRARIES =
  'data:text/javascript,process.on("exit",()=>console.error(process.report.getReport().sharedObjects.join("\\n")))';

describe('help', () => {
  it('fits in 100 columns and names every option', async () => {
    const { stdout, status } = await said(['make', '--help']);
    expect(status).toBe(0);
    for (const line of stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(100);
    for (const option of 'card turn margin fit crop tone level swap tool bridge-width out outputs settings json'.split(
      ' ',
    )) {
      expect(stdout).toMatch(new RegExp(`^  --${option}\\b`, 'm'));
    }
    expect(stdout).toMatch(/hot-tip 1\.5, craft-knife 1, scissors 2\.1 mm/);
    expect(stdout).toMatch(/fumes/);
  });

  it('loads no picture library', async () => {
    const folder = scratch();
    await ring(join(folder, 'ring.png'));
    const probe = { cwd: folder, node: ['--import', LIBRARIES] };
    expect(stencilwright(['make', 'ring.png', ...SMALL], probe).stderr).toMatch(/vips/);
    expect(stencilwright(['make', '--help'], probe).stderr).not.toMatch(/vips/);
  });

  it('is what comes without a word, and the version is that of the package', async () => {
    expect((await said([])).stdout).toContain('stencilwright make --help');
    const { version } = JSON.parse(readFileSync(join(home, 'package.json'), 'utf8')) as {
      version: string;
    };
    expect(stencilwright(['--version']).stdout).toBe(`${version}\n`);
  });
});

describe('a fault of ours', () => {
  const FAULT =
    'data:text/javascript,Object.defineProperty(globalThis,"performance",{get(){throw new TypeError("broken clock")}})';

  it('is told in one sentence, with details on request', async () => {
    const folder = scratch();
    await ring(join(folder, 'ring.png'));
    const about = { cwd: folder, node: ['--import', FAULT] };
    const plain = stencilwright(['make', 'ring.png'], about);
    expect(plain.status).toBe(2);
    expect(plain.stderr).toMatch(
      /^✗ This is a fault of stencilwright, not of yours: broken clock .*STENCILWRIGHT_DEBUG=1[^\n]*\n$/,
    );
    const full = stencilwright(['make', 'ring.png'], {
      ...about,
      env: { STENCILWRIGHT_DEBUG: '1' },
    });
    expect(full.stderr).toMatch(/TypeError: broken clock\n +at /);
  });
});
