import { isDeepStrictEqual } from 'node:util';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { completeJob, createPipeline, Problem, type JobInput } from '../../src/index.js';

const drawing = (inside: string): Buffer =>
  Buffer.from(
    `<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300"><rect width="300" height="300" fill="#fff"/>${inside}</svg>`,
  );

const RING = drawing(
  '<circle cx="150" cy="150" r="90" fill="none" stroke="#111" stroke-width="40"/>',
);
const CARD: JobInput = { card: '60x60mm', tone: 'auto' };

/** Every stage, in order. */
const ALL = [
  'read',
  'faces',
  'subject',
  'tone',
  'strands',
  'repeat',
  'lines',
  'strokes',
  'fold',
  'role',
  'reach',
  'widen',
  'trace',
  'ease',
  'bridge',
  'frame',
  'packet',
  'likeness',
  'plan',
  'survival',
  'measure',
  'advice',
  'features',
  'strokeAdvice',
  'check',
];
/** No line is drawn with glue, so that the strokes are the same nothing as before. */
const FROM_TONE = ALL.slice(ALL.indexOf('tone')).filter((name) => name !== 'strokes');

describe('pipeline', () => {
  it('takes a picture through every stage', async () => {
    const { values, ran, timingsMs } = await createPipeline().run(RING, completeJob(CARD));
    expect(ran).toEqual(ALL);
    expect(Object.keys(timingsMs)).toEqual(ran);
    expect(values.read.sheet).toEqual({ widthMm: 60, heightMm: 60 });
    expect(values.bridge.islands).toBe(1);
    expect(values.bridge.bridges.length).toBeGreaterThanOrEqual(1);
    expect(values.check.findings.filter(({ level }) => level === 'error')).toEqual([]);
    expect(values.check.openings).toHaveLength(values.bridge.openings.length);
  });

  it.each<[JobInput, string[]]>([
    [{}, []],
    [{ paint: '#ff0000', paper: 'a4' }, []],
    [{ cuttingSpeed: 90 }, ['plan']],
    [{ sizeAdvice: true }, ['survival', 'measure', 'advice', 'check']],
    [
      { bridgeWidth: 3 },
      ['bridge', 'frame', 'packet', 'likeness', 'plan', 'measure', 'features', 'check'],
    ],
    [
      { tightestTurn: 1.5 },
      ['ease', 'bridge', 'frame', 'packet', 'likeness', 'plan', 'measure', 'features', 'check'],
    ],
    [{ smallestIsland: 12 }, FROM_TONE],
    [{ tone: 'level' }, FROM_TONE],
    [{ silhouette: 'hard' }, FROM_TONE],
    [{ fit: 'fill' }, ALL],
  ])(
    'after a change of %j it runs %j, and the result is that of a new run',
    async (change, runs) => {
      const pipeline = createPipeline();
      await pipeline.run(RING, completeJob(CARD));
      const job = completeJob({ ...CARD, ...change });
      const again = await pipeline.run(RING, job);
      expect(again.ran).toEqual(runs);
      const anew = await createPipeline().run(RING, job);
      // Not by serialized bytes: these tell whether the engine holds a whole number as one or as a fraction.
      expect(isDeepStrictEqual(again.values, anew.values)).toBe(true);
    },
  );
});

describe('nothing to cut', () => {
  const flat: Record<string, Uint8Array> = {};

  beforeAll(async () => {
    for (const [name, background] of Object.entries({
      white: '#ffffff',
      black: '#000000',
      grey: '#777777',
    })) {
      const create = { width: 200, height: 200, channels: 3 as const, background };
      flat[name] = await sharp({ create }).png().toBuffer();
    }
  });

  it.each([
    ['white', /^Nothing to cut: the picture is light all over/],
    ['black', /^Nothing to cut: the picture is dark all over/],
    ['grey', /^Nothing to cut: the picture is one even grey all over/],
  ])('%s, in every tone, swapped or not', async (name, words) => {
    for (const tone of ['best', 'auto', 'level', 'local', 'edges'] as const) {
      for (const swap of [false, true]) {
        const run = createPipeline().run(flat[name], completeJob({ ...CARD, tone, swap }));
        await expect(run).rejects.toThrow(Problem);
        await expect(run).rejects.toThrow(words);
      }
    }
  });

  it.each<[string, Buffer, JobInput, RegExp]>([
    [
      'no part under the level',
      drawing('<circle cx="150" cy="150" r="90" fill="#ccc"/>'),
      { tone: 'level', level: 20 },
      /at this tone no part of the picture is dark/,
    ],
    [
      'all of it under the level',
      Buffer.from(
        drawing('<circle cx="150" cy="150" r="90" fill="#444"/>')
          .toString()
          .replace('#fff', '#222'),
      ),
      { tone: 'level', level: 90 },
      /dark all over/,
    ],
    [
      'only a speck',
      drawing('<circle cx="150" cy="150" r="6" fill="#000"/>'),
      { tone: 'level', smallestOpening: 50 },
      /every dark part of the picture is smaller than you can cut/,
    ],
  ])('%s', async (_what, picture, change, words) => {
    const run = createPipeline().run(picture, completeJob({ ...CARD, ...change }));
    await expect(run).rejects.toThrow(Problem);
    await expect(run).rejects.toThrow(words);
  });
});
