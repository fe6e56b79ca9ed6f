import { join } from 'node:path';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  completeJob,
  completeLayers,
  makeLayers,
  makeStencil,
  type JobInput,
  type Made,
} from '../../src/index.js';
import { brokenIn } from '../../src/output/broken.js';
import { home } from '../cli/run.js';
import { readPdf } from '../support/pdf.js';

const sample = (name: string): Buffer => readFileSync(join(home, 'samples', name));
const svg = (inside: string): Buffer =>
  Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300"><rect width="300" height="300" fill="#fff"/>${inside}</svg>`); // prettier-ignore

/* What is on paper is read by an independent reader of PDF (pdfjs-dist). */
describe('a stencil that breaks a promise', () => {
  it('is told of in one line, with every place', () => {
    expect(brokenIn([{ level: 'warning', code: 'detail-lost', message: 'Too fine.' }])).toBe(
      undefined,
    );
    const island = { level: 'error', code: 'loose-island', at: [3, 4] } as const;
    expect(
      brokenIn([
        { ...island, message: 'An island would fall out. Add a bridge.' },
        { ...island, message: 'Another.', at: [5, 6] },
      ]),
    ).toEqual({
      says: 'Look before you begin, where the red rings are: An island would fall out (and 1 more place)',
      at: [
        { x: 3, y: 4 },
        { x: 5, y: 6 },
      ],
    });
  });

  const small: JobInput = { card: '60x60mm', fineness: 3, paper: 'a4' };
  const outputs = ['template', 'plan'] as const;

  /** All pages of a paper, read by pdfjs-dist: their text, the red that is drawn, and whether any text leaves the paper. */
  async function readPaper(files: Made['files'], paper: string) {
    const pages = await readPdf(files.get(`${paper}.pdf`) as Uint8Array);
    const written = pages.flatMap((page) => page.written.map((each) => ({ ...each, page })));
    return {
      text: written
        .map(({ text }) => text)
        .join(' ')
        .replaceAll('\n', ' '),
      isWithin: written.every(({ left, right, page }) => left > 0 && right < page.widthMm),
      red: pages.flatMap(({ drawn }) => drawn.filter(({ colour }) => colour === '#b3261e')),
    };
  }

  /** That of two stencils one says what is broken, in full and with rings, and the other nothing. */
  async function expectTold(good: Made, broken: Made): Promise<void> {
    expect([good.good, broken.good]).toEqual([true, false]);
    const { says } = brokenIn(broken.run.values.check.findings)!;
    expect(says).toContain('where the red rings are');
    for (const paper of outputs) {
      const [before, after] = [await readPaper(good.files, paper), await readPaper(broken.files, paper)]; // prettier-ignore
      expect(before.text, paper).not.toContain('Look before you begin');
      expect(before.red, paper).toHaveLength(0);
      expect(after.text, paper).toContain(`${says}.`);
      expect(after.isWithin, paper).toBe(true);
      expect(after.red.length, paper).toBeGreaterThan(0);
    }
  }

  const withoutBridges = ({ run }: Made): JobInput => ({
    bridgeEdits: run.values.frame.bridges.map(({ from, to }) => ({
      do: 'remove',
      at: [(from.x + to.x) / 2, (from.y + to.y) / 2],
    })),
  });
  const withoutJoins = ({ run }: Made): JobInput => ({
    strokeEdits: run.values.strokes!.drawn.joins.map(({ from, to }) => ({
      do: 'remove',
      at: [(from.x + to.x) / 2, (from.y + to.y) / 2],
    })),
  });

  const rings = sample('doodles/two-rings.svg');
  const square = svg('<path fill-rule="evenodd" d="M20 20H280V280H20ZM90 90V210H210V90Z"/>');
  it.each([
    ['a stencil', square, {}, withoutBridges],
    ['a mask', rings, { as: 'mask' }, withoutBridges],
    [
      'a folded sheet',
      square,
      { fold: 'quarter', foldPicture: 'whole', card: '100x100mm' },
      withoutBridges,
    ],
    ['lines of glue', rings, { as: 'glue-line', bridgeAmount: 'fewer' }, withoutJoins],
    [
      'lines of glue to print with',
      rings,
      { as: 'glue-line', glueUse: 'print-with' },
      withoutJoins,
    ],
    ['a sheet on several papers', square, { card: '400x300mm', fineness: 2 }, withoutBridges],
    [
      'a sheet as wide as its paper',
      square,
      { card: '200x280mm', fineness: 2, margin: 9 },
      withoutBridges,
    ],
  ] as const)(
    'is told of on the template and the plan of %s, with rings where',
    async (_, picture, given: JobInput, less) => {
      const make = (more: JobInput) =>
        makeStencil(picture, completeJob({ ...small, ...given, ...more }), {
          name: 'it',
          outputs,
        });
      const good = await make({});
      await expectTold(good, await make(less(good)));
    },
  );

  it('is told of on the papers of its own layer alone', async () => {
    const hole = 'M20 20H280V280H20ZM110 110V190H190V110Z';
    const tones = svg(`<path fill="#999" fill-rule="evenodd" d="${hole}"/><rect x="40" y="40" width="50" height="220" fill="#222"/>`); // prettier-ignore
    const two = completeLayers({ count: '2' }, { where: 'test', spell: (name) => name });
    const make = async (more: JobInput) =>
      (await makeLayers(tones, completeJob({ ...small, ...more }), two, { name: 'it', outputs })).layers.map(({ made }) => made); // prettier-ignore
    const [first, second] = await make({});
    const [broken, still] = await make(withoutBridges(first));
    await expectTold(first, broken);
    expect([second.good, still.good]).toEqual([true, true]);
    for (const paper of outputs) expect((await readPaper(still.files, paper)).text).not.toContain('Look before'); // prettier-ignore
  });

  it('has its rings where the packet shows the place, and on the opened sheet', async () => {
    const given: JobInput = { ...small, tone: 'level', fold: 'quarter', foldPicture: 'whole', card: '100x100mm' }; // prettier-ignore
    const make = (more: JobInput) => makeStencil(square, completeJob({ ...given, ...more }), { name: 'it', outputs }); // prettier-ignore
    const broken = await make(withoutBridges(await make({})));
    const { red } = await readPaper(broken.files, 'template');
    // A quarter of a sheet of 100 mm in the middle of an A4 page (ISO 216: 210 mm) lies right of its middle, 55 to 155 mm.
    for (const { left, widthMm } of red) {
      expect(left + widthMm / 2).toBeGreaterThanOrEqual(105 - 0.5);
      expect(left + widthMm / 2).toBeLessThanOrEqual(155);
    }
  });
});
