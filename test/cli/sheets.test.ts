import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { stencilwright, type Ended } from './run.js';

const leaf = join(import.meta.dirname, '../../samples/leaf.svg');
let base: string;
beforeAll(() => {
  base = mkdtempSync(join(tmpdir(), 'sheets-'));
});
afterAll(() => {
  rmSync(base, { recursive: true });
});

const run = (...words: string[]): Ended => stencilwright(words, { cwd: base });

describe('stencilwright sheets', () => {
  it('lays made stencils and pictures, and again in the place of what it wrote', () => {
    run('make', leaf, '--outputs', 'stencil');
    const made = run('sheets', 'stencils/leaf', leaf, '--copies', '5,1', '--card', 'trading-card');
    expect(made).toMatchObject({ status: 0, stderr: '' });
    // Four art cards a sheet with gaps, six without.
    expect(made.stdout).toMatch(/2 sheets of 228.6 × 304.8 mm for 6 stencils, 3 mm between them/);
    expect(made.stdout).toMatch(/With --gap 0, edge to edge, 1 sheet would do/);
    const folder = join(base, 'stencils/film');
    const files = ['film.json', 'sheet-1.pdf', 'sheet-1.svg', 'sheet-2.pdf', 'sheet-2.svg'];
    expect(readdirSync(folder).toSorted()).toEqual(files);
    run('sheets', 'stencils/leaf');
    expect(readdirSync(folder).toSorted()).toEqual(['film.json', 'sheet-1.pdf', 'sheet-1.svg']);
  }, 60_000);

  it('leaves a folder alone that holds something else', () => {
    const folder = join(base, 'stencils/film');
    writeFileSync(join(folder, 'notes.txt'), 'mine');
    const { status, stderr } = run('sheets', 'stencils/leaf');
    expect(status).toBe(2);
    expect(stderr).toMatch(/holds something else \(notes.txt\)/);
    expect(readFileSync(join(folder, 'notes.txt'), 'utf8')).toBe('mine');
  });

  it.each([
    [[], /No stencil is named/],
    [['stencils/nothing'], /There is no such file or folder/],
    [['stencils'], /There is no stencil in this folder/],
    [['stencils/leaf', '--copies', '0'], /--copies can't be "0"/],
    [['stencils/leaf', '--copies', '2,3'], /--copies can't be "2,3" for one stencil/],
    [['stencils/leaf', '--gap', 'wide'], /--gap can't be "wide"/],
    [['stencils/leaf', '--film', '9'], /"9" is not a film size/],
    [['stencils/leaf', '--film', '3x3in'], /The stencil is larger than the film/],
  ])('%j is refused in words', (words, says) => {
    const { status, stdout, stderr } = run('sheets', ...words);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(says);
  });
});
