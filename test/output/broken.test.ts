import { join } from 'node:path';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { makeStencil } from '../../src/makings/stencil.js';
import { brokenIn } from '../../src/output/broken.js';
import { ring } from '../cli/pictures.js';
import { scratch } from '../cli/run.js';
import { readPdf } from '../support/pdf.js';

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

  it('says so on its template and its plan, with a ring where', async () => {
    const picture = readFileSync(await ring(join(scratch(), 'ring.png')));
    const small = { card: '60x60mm', fineness: 3, paper: 'a4' } as const;
    const make = (more: object) =>
      makeStencil(picture, completeJob({ ...small, ...more }), {
        name: 'ring',
        outputs: ['template', 'plan'],
      });
    const good = await make({});
    const bridgeEdits = good.run.values.frame.bridges.map(({ from, to }) => ({
      do: 'remove',
      at: [(from.x + to.x) / 2, (from.y + to.y) / 2],
    }));
    const broken = await make({ bridgeEdits });
    expect([good.good, broken.good]).toEqual([true, false]);
    for (const file of ['template.pdf', 'plan.pdf']) {
      const [before, after] = await Promise.all(
        [good, broken].map(async ({ files }) => {
          const [page] = await readPdf(files.get(file) as Uint8Array);
          return page;
        }),
      );
      expect(before.text).not.toContain('Look before you begin');
      expect(after.text.replaceAll('\n', ' ')).toContain('Look before you begin, where the red');
      const red = (page: typeof after) => page.drawn.filter(({ colour }) => colour === '#b3261e');
      expect(red(before)).toHaveLength(0);
      expect(red(after).length).toBeGreaterThan(0);
    }
  });
});
