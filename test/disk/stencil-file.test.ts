import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { completeJob, makeStencil, readStencil, writeMade, type Made } from '../../src/index.js';
import { Problem } from '../../src/settings/problem.js';
import { stencilSvg } from '../../src/output/svg/svg.js';
import { parseStencil } from '../../src/disk/stencil-svg.js';

let base: string;
let made: Made;
beforeAll(async () => {
  base = await mkdtemp(join(tmpdir(), 'stencil-'));
  const moth = await readFile(new URL('../../samples/moth.png', import.meta.url));
  made = await makeStencil(moth, completeJob({}), { name: 'moth', outputs: ['stencil'] });
  await writeMade(made, base);
}, 30_000);
afterAll(() => rm(base, { recursive: true }));

describe('a stencil read back', () => {
  it('is what was made: written again, it is the same to the last digit', async () => {
    const stencil = await readStencil(join(base, 'moth'));
    expect(stencil?.name).toBe('moth');
    expect(stencilSvg(stencil!.openings, stencil!.sheet)).toBe(made.files.get('stencil.svg'));
    expect(stencil?.openings).toHaveLength(made.run.values.bridge.openings.length);
  });

  it('marks its corners again, but for some slight ones', async () => {
    const corners = (shapes: Made['run']['values']['bridge']['openings']): number =>
      shapes.reduce(
        (sum, { outer, holes }) =>
          sum +
          [outer, ...holes].reduce((all, { corner }) => all + corner.reduce((a, b) => a + b, 0), 0),
        0,
      );
    const stencil = await readStencil(join(base, 'moth', 'stencil.svg'));
    expect(stencil?.name).toBe('moth');
    const [found, marked] = [corners(stencil!.openings), corners(made.run.values.bridge.openings)];
    expect(marked).toBeGreaterThan(50);
    expect(Math.abs(found - marked) / marked).toBeLessThan(0.1);
  });

  it('is not taken for one when it is a picture', async () => {
    const picture = join(base, 'picture.svg');
    await writeFile(picture, '<svg xmlns="http://www.w3.org/2000/svg" width="4" height="4"/>');
    expect(await readStencil(picture)).toBeUndefined();
    await writeFile(join(base, 'picture.png'), 'x');
    expect(await readStencil(join(base, 'picture.png'))).toBeUndefined();
  });

  it('is missed in words', async () => {
    await mkdir(join(base, 'empty'));
    await expect(readStencil(join(base, 'empty'))).rejects.toThrow(
      /There is no stencil in this folder/,
    );
    await expect(readStencil(join(base, 'nothing'))).rejects.toThrow(
      /There is no such file or folder/,
    );
  });

  it.each([
    ['scaled', (svg: string) => svg.replace('<path', '<path transform="scale(2)"')],
    ['in other units', (svg: string) => svg.replace(/width="[\d.]+mm"/, 'width="4in"')],
    ['with relative lines', (svg: string) => svg.replace(/C/, 'c')],
    ['cut short', (svg: string) => svg.replace(/Z"/, '"')],
    ['with a word for a number', (svg: string) => svg.replace(/ d="M\S+/, ' d="Mx')],
    ['without openings', (svg: string) => svg.replace('id="openings"', '')],
  ])('%s is refused', (_what, change) => {
    const svg = change(String(made.files.get('stencil.svg')));
    expect(() => parseStencil(svg, 'moth')).toThrow(Problem);
    expect(() => parseStencil(svg, 'moth')).toThrow(/changed by another program/);
  });
});
