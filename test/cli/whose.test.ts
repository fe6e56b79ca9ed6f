import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { ring } from './pictures.js';
import { contents, home, said, scratch, type Ended } from './run.js';

/* Whose folder it is: what `make` replaces, what it leaves alone, and what it says. */

const CARD = ['--card', '40x40mm', '--margin', '4'];

function at(cwd: string) {
  const stencils = join(cwd, 'stencils');
  return {
    run: (...words: string[]): Promise<Ended> => said([...words, ...CARD], { cwd }),
    inside: (name: string) => contents(join(stencils, name)),
    names: (name = '.') => readdirSync(join(stencils, name)).sort(),
    stencils,
  };
}

describe('a stencil', () => {
  it('of another picture with the same name gets a folder of its own, each time the same', async () => {
    const cwd = scratch();
    const { run, inside, names } = at(cwd);
    await ring(join(cwd, 'fern.png'));
    await ring(join(cwd, 'fern.webp'), 300);
    await run('make', 'fern.png', '--outputs', 'stencil');
    const first = inside('fern');
    for (let time = 0; time < 2; time++) {
      const made = await run('make', 'fern.webp', '--outputs', 'stencil');
      expect(made).toMatchObject({ status: 0, stderr: '' });
      expect(made.stdout).toMatch(/Files +stencils\/fern-2: stencil\.svg, report\.json/);
      expect(made.stdout.replace(/\s+/g, ' ')).toContain(
        '"fern" holds the stencil of fern.png and was left alone, so this has a name of its own.',
      );
    }
    expect(names()).toEqual(['fern', 'fern-2']);
    expect(inside('fern')).toEqual(first);
    await run('make', 'fern.webp', '--outputs', 'stencil', '--name', 'my fern');
    expect(names()).toEqual(['fern', 'fern-2', 'my fern']);
  });

  it('of a picture that was touched up takes the place of the earlier one, and says so', async () => {
    const cwd = scratch();
    const { run, names } = at(cwd);
    await ring(join(cwd, 'fern.png'));
    expect((await run('make', 'fern.png')).stdout).not.toMatch(/changed/);
    await ring(join(cwd, 'fern.png'), 300);
    expect((await run('make', 'fern.png')).stdout).toMatch(/The picture has changed since/);
    expect(names()).toEqual(['fern']);
  });

  it('of another picture of the same name, from another folder, gets a folder of its own, each time the same', async () => {
    const cwd = scratch();
    const { run, inside, names } = at(cwd);
    for (const folder of ['ours', 'theirs']) mkdirSync(join(cwd, folder));
    await ring(join(cwd, 'ours/fern.png'));
    await sharp(join(home, 'samples/leaf.svg')).png().toFile(join(cwd, 'theirs/fern.png'));
    await run('make', 'ours/fern.png', '--outputs', 'stencil');
    const first = inside('fern');
    for (let time = 0; time < 2; time++) {
      const made = await run('make', 'theirs/fern.png', '--outputs', 'stencil');
      expect(made).toMatchObject({ status: 0, stderr: '' });
      expect(made.stdout.replace(/\s+/g, ' ')).toContain(
        '"fern" holds the stencil of another fern.png and was left alone, so this has a name of its own.',
      );
    }
    expect(names()).toEqual(['fern', 'fern-2']);
    expect(inside('fern')).toEqual(first);
    expect((await run('make', 'ours/fern.png', '--outputs', 'stencil')).stdout).not.toContain(
      'fern-2',
    );
    const again = inside('fern');
    const chosen = await run('make', 'theirs/fern.png', '--outputs', 'stencil', '--name', 'fern');
    expect(chosen.status).toBe(2);
    expect(inside('fern')).toEqual(again);
    const batch = (): Promise<Ended> => run('batch', 'theirs', '--outputs', 'stencil');
    expect((await batch()).stdout).toContain('so this has a name of its own');
    expect((await batch()).stdout).toContain('as before');
    expect(names()).toEqual(['fern', 'fern-2', 'summary.csv', 'summary.html']);
  });

  it('is made whole: other files that were there are of the same stencil, and a word says so', async () => {
    const cwd = scratch();
    const { run, names, stencils } = at(cwd);
    await ring(join(cwd, 'fern.png'));
    await run('make', 'fern.png', '--outputs', 'stencil,dxf,png');
    const before = readFileSync(join(stencils, 'fern/stencil.dxf'), 'utf8');
    writeFileSync(join(stencils, 'fern/notes.txt'), 'mine');
    const made = await run('make', 'fern.png', '--outputs', 'template', '--bridge-width', '3');
    const files = ['stencil.dxf', 'stencil.png', 'stencil.svg', 'template.pdf'];
    expect(names('fern')).toEqual(['notes.txt', 'report.json', ...files]);
    expect(made.stdout.replace(/\s+/g, ' ')).toContain(
      'There from before and made anew, so that all files belong together: stencil, dxf, png.',
    );
    expect(readFileSync(join(stencils, 'fern/stencil.dxf'), 'utf8')).not.toBe(before);
    expect(readFileSync(join(stencils, 'fern/notes.txt'), 'utf8')).toBe('mine');
  });

  it("never goes into a person's own folder", async () => {
    const cwd = scratch();
    const { run, names, stencils, inside } = at(cwd);
    await ring(join(cwd, 'fern.png'));
    mkdirSync(join(stencils, 'fern'), { recursive: true });
    writeFileSync(join(stencils, 'fern/stencil.svg'), 'mine');
    const made = await run('make', 'fern.png', '--outputs', 'stencil', '--json');
    expect(JSON.parse(made.stdout)).toMatchObject({
      name: 'fern-2',
      folder: 'stencils/fern-2',
      notes: [expect.stringMatching(/^"fern" holds something else/)],
    });
    expect(names()).toEqual(['fern', 'fern-2']);
    expect([...inside('fern').values()]).toEqual(['mine']);
    const title = JSON.parse(readFileSync(join(stencils, 'fern-2/report.json'), 'utf8')) as object;
    expect(title).toMatchObject({ name: 'fern-2' });
  });
});

describe('the practice strip', () => {
  it('leaves the stencil of a picture of that name alone', async () => {
    const cwd = scratch();
    const { run, names, inside, stencils } = at(cwd);
    await ring(join(cwd, 'practice.png'));
    await run('make', 'practice.png', '--outputs', 'stencil');
    const before = inside('practice');
    for (let time = 0; time < 2; time++) {
      const { stdout } = await said(['practice'], { cwd });
      expect(stdout).toMatch(/stencils\/practice-2: practice\.pdf, practice\.svg/);
    }
    expect(inside('practice')).toEqual(before);
    const refused = await said(['practice', '--name', 'practice'], { cwd });
    expect(refused.status).toBe(2);
    expect(refused.stderr).toMatch(/holds the stencil of practice\.png.*choose another name/);
    const named = await said(['practice', '--name', 'offcuts'], { cwd });
    expect(named.stdout).toMatch(/stencils\/offcuts: practice\.pdf, practice\.svg/);
    const report = JSON.parse(
      readFileSync(join(stencils, 'offcuts/report.json'), 'utf8'),
    ) as object;
    expect(report).toMatchObject({ name: 'offcuts' });
    rmSync(join(stencils, 'offcuts'), { recursive: true });
    rmSync(join(stencils, 'practice'), { recursive: true });
    expect(names()).toEqual(['practice-2']);
  });
});
