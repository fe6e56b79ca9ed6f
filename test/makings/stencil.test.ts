import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { completeJob, createPipeline, makeStencil, outputNames, Problem } from '../../src/index.js';

const RING = Buffer.from(
  '<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300"><rect width="300" height="300" fill="#fff"/><circle cx="150" cy="150" r="90" fill="none" stroke="#111" stroke-width="40"/></svg>',
);
const job = completeJob({ card: '60x60mm' });

const MAGIC = {
  'stencil.svg': '<?xml',
  'template.pdf': '%PDF-',
  'plan.pdf': '%PDF-',
  'preview.png': '\u0089PNG',
};

describe('makeStencil', () => {
  it('makes every file in memory, and writes none', async () => {
    const made = await makeStencil(RING, job, { name: 'ring' });
    expect([...made.files.keys()]).toEqual([...Object.keys(MAGIC), 'report.json']);
    for (const [file, magic] of Object.entries(MAGIC)) {
      const begins = Buffer.from(made.files.get(file) ?? '').subarray(0, magic.length);
      expect(begins.toString('latin1'), file).toBe(magic);
    }
    expect(made.good).toBe(true);
    expect(existsSync('ring')).toBe(false);
    const report = JSON.parse(String(made.files.get('report.json'))) as Record<string, unknown>;
    expect(report).toMatchObject({ name: 'ring', islands: 1, job });
    expect(Object.keys(report.timingsMs as object)).toEqual(Object.keys(made.timingsMs));
  });

  it.each(outputNames)('makes the %s alone, with the report', async (output) => {
    // Of a sheet that is not folded there is no packet, and only what is drawn with glue has strokes.
    const own =
      output === 'packet'
        ? completeJob({ fold: 'half', card: '60x60mm' })
        : output === 'strokes'
          ? completeJob({ card: '60x60mm', as: 'glue-line' })
          : job;
    const { files } = await makeStencil(RING, own, { name: 'ring', outputs: [output] });
    expect(files.has('report.json')).toBe(true);
    expect(files.size).toBe(output === 'report' ? 1 : 2);
    expect([...files.keys()][0]).toMatch(new RegExp(`\\b${output}\\b`));
  });

  it('runs again only what changed when it is given its pipeline', async () => {
    const pipeline = createPipeline();
    const options = { name: 'ring', outputs: ['preview'] as const, pipeline };
    const first = await makeStencil(RING, job, options);
    const repainted = await makeStencil(RING, completeJob({ ...job, paint: '#aa0000' }), options);
    expect(repainted.run.ran).toEqual([]);
    expect(repainted.files.get('preview.png')).not.toEqual(first.files.get('preview.png'));
    expect(repainted.run.values.bridge).toBe(first.run.values.bridge);
  });

  it('passes on a problem with the picture', async () => {
    const bytes = Buffer.from('Dear Nana');
    await expect(makeStencil(bytes, job, { name: 'letter' })).rejects.toThrow(Problem);
  });
});
