import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bands } from './pictures.js';
import { contents, said, stencilwright, type Ended } from './run.js';

const leaf = join(import.meta.dirname, '../../samples/leaf.svg');
let base: string;
beforeAll(() => {
  base = mkdtempSync(join(tmpdir(), 'sheets-'));
});
afterAll(() => {
  rmSync(base, { recursive: true });
});

const run = (...words: string[]): Promise<Ended> => said(words, { cwd: base });

/** The report of a stencil, as if it broke a promise. */
function broken(folder: string): string {
  const report = JSON.parse(readFileSync(join(folder, 'report.json'), 'utf8')) as object;
  const findings = [{ level: 'error', code: 'island', message: 'An island' }];
  return JSON.stringify({ ...report, findings });
}

describe('stencilwright sheets', () => {
  it('lays made stencils and pictures, and again in the place of what it wrote', async () => {
    await run('make', leaf, '--outputs', 'stencil');
    const words = ['stencils/leaf', leaf, '--copies', '5,1', '--card', 'trading-card'];
    const made = stencilwright(['sheets', ...words], { cwd: base });
    expect(made).toMatchObject({ status: 0, stderr: '' });
    // Four art cards a sheet with gaps, six without.
    expect(made.stdout).toMatch(/2 sheets of 228.6 × 304.8 mm for 6 stencils, 3 mm between them/);
    expect(made.stdout).toMatch(/With --gap 0, edge to edge, 1 sheet would do/);
    const folder = join(base, 'stencils/film');
    const files = (count: number): string[] =>
      Array.from({ length: count }, (_, i) =>
        ['-plan.pdf', '.pdf', '.svg'].map((ending) => `sheet-${i + 1}${ending}`),
      ).flat();
    expect(readdirSync(folder).toSorted()).toEqual(['film.json', ...files(2)]);
    writeFileSync(join(folder, 'notes.txt'), 'mine');
    await run('sheets', 'stencils/leaf');
    expect(readdirSync(folder).toSorted()).toEqual(['film.json', 'notes.txt', ...files(1)]);
  }, 60_000);

  it("leaves sheets of other stencils and a person's own folder alone", async () => {
    const film = contents(join(base, 'stencils/film'));
    await run('make', leaf, '--name', 'other', '--outputs', 'stencil', '--card', 'trading-card');
    const { status, stdout } = await run('sheets', 'stencils/other');
    expect(status).toBe(0);
    expect(stdout).toMatch(/"film" holds the sheets of leaf and was left alone/);
    expect(stdout).toMatch(/Files +stencils\/film-2:/);
    expect(contents(join(base, 'stencils/film'))).toEqual(film);
    const chosen = await run('sheets', 'stencils/other', '--name', 'film');
    expect(chosen.status).toBe(2);
    expect(chosen.stderr).toMatch(/holds the sheets of leaf.*choose another name/);
    mkdirSync(join(base, 'mine/film'), { recursive: true });
    writeFileSync(join(base, 'mine/film/sheet-1.svg'), 'mine');
    expect((await run('sheets', 'stencils/other', '--out', 'mine')).stdout).toContain(
      'mine/film-2',
    );
    expect(readFileSync(join(base, 'mine/film/sheet-1.svg'), 'utf8')).toBe('mine');
  }, 60_000);

  it('takes all that lies in a folder of results: layers too, and names what it leaves out', async () => {
    await bands(join(base, 'bands.png'));
    await run('layers', 'bands.png', '--count', '2', '--card', '50x50mm', '--outputs', 'stencil');
    await run('practice');
    writeFileSync(join(base, 'stencils/summary.html'), 'a page');
    writeFileSync(join(base, 'stencils/other/report.json'), broken(join(base, 'stencils/other')));
    const names = readdirSync(join(base, 'stencils')).toSorted();
    const laid = await run('sheets', ...names.map((name) => `stencils/${name}`), '--name', 'all');
    expect(laid).toMatchObject({ status: 1, stderr: '' });
    expect(laid.stdout).toContain('1 sheet of 228.6 × 304.8 mm for 4 stencils');
    expect(laid.stdout).toContain(
      'Left out: stencils/film (the sheets of leaf), stencils/film-2 (the sheets of other), stencils/practice (the practice strip), stencils/summary.html (no picture).',
    );
    expect(laid.stdout).toContain(
      'Look before you cut other: 1 promise could not be kept; its report says which, and where.',
    );
    const { sheets } = JSON.parse(readFileSync(join(base, 'stencils/all/film.json'), 'utf8')) as {
      sheets: { stencils: { name: string }[] }[];
    };
    expect(sheets[0].stencils.map(({ name }) => name).toSorted()).toEqual([
      'bands, layer 1 of 2',
      'bands, layer 2 of 2',
      'leaf',
      'other',
    ]);
  }, 60_000);

  it('says which settings change nothing where no stencil is made', async () => {
    const picture = ['--tone', 'edges', '--no-swap', '--card', 'a6'];
    const idle = / {2}· --card, --tone and --swap change nothing here: no stencil is made/;
    const laid = await run(
      'sheets',
      'stencils/leaf',
      '--name',
      'idle',
      ...picture,
      '--paper',
      'a4',
    );
    expect(laid).toMatchObject({ status: 0, stderr: '' });
    expect(laid.stdout).toMatch(idle);
    expect(laid.stdout).not.toContain('--paper');
    const plain = await run('sheets', 'stencils/leaf', '--name', 'idle', '--cutting-speed', '90');
    expect(plain.stdout).not.toContain('nothing here');
    const made = await run('sheets', leaf, 'stencils/leaf', '--name', 'mixed', '--tone', 'edges');
    expect(made.stdout).not.toContain('nothing here');
  }, 60_000);

  it('tells stencils of one name apart by where they are', async () => {
    await run('make', leaf, '--outputs', 'stencil', '--card', 'trading-card', '--out', 'there');
    rmSync(join(base, 'there/leaf/report.json'));
    const laid = await run(
      'sheets',
      'stencils/leaf',
      'there/leaf',
      '--copies',
      '1,2',
      '--name',
      'both',
    );
    expect(laid.stdout).toContain('leaf (there) has no report');
    const text = readFileSync(join(base, 'stencils/both/film.json'), 'utf8');
    expect(text.match(/leaf \((there|stencils)\)/g)).toHaveLength(3);
  }, 60_000);

  it.each([
    [[], /No stencil is named/],
    [['stencils/nothing'], /There is no such file or folder/],
    [['stencils'], /There is no stencil in this folder/],
    [['stencils/leaf', '--copies', '0'], /--copies can't be "0"/],
    [['stencils/leaf', '--copies', '2,3'], /--copies can't be "2,3" for one stencil/],
    [['stencils/leaf', '--gap', 'wide'], /--gap can't be "wide"/],
    [['stencils/leaf', '--film', '9'], /"9" is not a film size/],
    [['stencils/leaf', '--film', '3x3in'], /The stencil is larger than the film/],
  ])('%j is refused in words', async (words, says) => {
    const there = words.map((word) => (word.startsWith('stencils') ? join(base, word) : word));
    const { status, stdout, stderr } = await said(['sheets', ...there]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(says);
  });
});
