import { describe, expect, it } from 'vitest';
import { inOptions } from '../../cli/options.js';
import { summaryText } from '../../cli/summary.js';
import { completeJob, makeStencil, type JobInput } from '../../src/index.js';
import { overlay } from '../../src/settings/job.js';
import { labelled, spelt } from '../../src/settings/words/spelling.js';
import { unusedSettings } from '../../src/pipeline/unused-settings.js';

const idle = (given: JobInput): string[] =>
  unusedSettings(completeJob(given)).map(({ message }) => message);

describe('a setting that is for one tone alone', () => {
  it('means that tone when it is given by itself, wherever it is given', () => {
    expect(completeJob({ level: 40 }).tone).toBe('level');
    expect(completeJob({ masses: 30 }).tone).toBe('mixed');
    expect(completeJob({ detail: 30, masses: 20 }).tone).toBe('mixed');
    expect(completeJob({}).tone).toBe('best');
    // A whole job, as in a report, has a tone of its own; what is laid over it goes before it.
    const report = completeJob({ tone: 'edges' });
    expect(completeJob(report).tone).toBe('edges');
    expect(completeJob(overlay(report, { level: 40 }))).toMatchObject({ tone: 'level', level: 40 });
    expect(completeJob(overlay({ level: 40 }, { tone: 'edges' })).tone).toBe('edges');
  });

  it('means none when another is asked for, or two are meant; that is told', () => {
    expect(completeJob({ level: 40, masses: 30 }).tone).toBe('best');
    expect(idle({ level: 40, masses: 30 })).toEqual([
      '`level` changes nothing here: that is for `tone` level alone.',
      '`masses` changes nothing here: that is for `tone` mixed alone.',
    ]);
    expect(idle({ tone: 'edges', masses: 30, detail: 20 })).toEqual([
      '`masses` and `detail` change nothing here: that is for `tone` mixed alone.',
    ]);
  });
});

describe('settings that change nothing', () => {
  it.each<[JobInput, RegExp]>([
    [{ tone: 'local', level: 40 }, /^`level` changes nothing here: .*`tone` level/],
    [{ tone: 'auto', finer: [[[0, 0], [9, 0], [9, 9]]] }, /^`finer` changes nothing/], // prettier-ignore
    [{ motifSize: 26 }, /^`motifSize` changes nothing here: nothing is repeated; `repeat`/],
    [{ motifGap: 1, motifEdge: 'bled' }, /^`motifGap` and `motifEdge` change nothing/],
    [{ background: 'opening' }, /^`background` changes nothing here: no subject/],
    [{ silhouette: 'soft' }, /^`silhouette` changes nothing here: no subject/],
    [{ repeat: 'brick', fit: 'fill' }, /^`fit` changes nothing here: a motif/],
    [{ as: 'mask', sizeAdvice: true }, /^`sizeAdvice` changes nothing/],
    [{ strands: 'never', strandGap: 4 }, /^`strandGap` changes nothing/],
  ])('%j is told', (given, says) => {
    expect(idle(given)).toHaveLength(1);
    expect(idle(given)[0]).toMatch(says);
  });

  it.each<JobInput>([
    {},
    { level: 40 },
    { masses: 30, detail: 20 },
    { repeat: 'brick', motifSize: 26, motifGap: 1 },
    { subject: '10,10,50,50', background: 'opening', silhouette: 'soft' },
    { marks: [{ do: 'box', from: [0, 0], to: [50, 50] }], background: 'plain' },
    { card: '9x12in' },
    // A whole job names all settings; those at their usual values were not set.
    completeJob({ card: '9x12in', tone: 'edges' }),
  ])('%j has none', (given) => {
    expect(idle(given)).toEqual([]);
  });

  it('are all that a tone is made of, for a layer', () => {
    const [told] = unusedSettings(completeJob({ level: 40 }), true);
    expect(told.message).toMatch(/^`tone` and `level` change nothing here: layers/);
  });

  it('stand in the report and the summary, by what the person calls them', async () => {
    const bar = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="30" height="30"><path d="M9 9h12v12H9z"/></svg>',
    );
    const job = completeJob({ card: '30x30mm', margin: 4, motifSize: 9 });
    const made = await makeStencil(bar, job, { name: 'bar', outputs: ['report'] });
    const report = JSON.parse(String(made.files.get('report.json'))) as { findings: object[] };
    expect(report.findings).toContainEqual({
      level: 'note',
      code: 'unused-setting',
      message: '`motifSize` changes nothing here: nothing is repeated; `repeat` says how.',
    });
    expect(made.good).toBe(true);
    const text = summaryText(
      { picture: 'bar.svg', made, folder: 'stencils/bar', notes: [] },
      process.stderr,
    );
    expect(text).toContain('· --motif-size changes nothing here: nothing is repeated; --repeat');
    expect(text).toContain('1 piece to cut away');
    const nasty = { picture: '\u001b[31mbar.svg', made, folder: '\u001b]0;\u0007', notes: [] };
    // eslint-disable-next-line no-control-regex
    expect(summaryText(nasty, process.stderr)).not.toMatch(/[\u001b\u0007]/);
  });
});

describe('names of settings', () => {
  it('are options at a terminal, and what stands beside the field on the page', () => {
    const says = '`motifSize` and `bridgeEdits`, `levels`, but not `a`.jpg';
    expect(inOptions(says)).toBe('--motif-size and bridgeEdits, --levels, but not `a`.jpg');
    expect(spelt(says, labelled)).toBe(
      '“Motif size” and “Bridges by hand”, “Levels”, but not `a`.jpg',
    );
  });
});
