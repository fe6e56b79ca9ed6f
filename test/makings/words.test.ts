import { describe, expect, it } from 'vitest';
import { completeJob, completeLettering, makeWords, type JobInput } from '../../src/index.js';

const set = completeLettering({ capHeight: 22 }, { where: 'here', spell: (name) => name });

const made = async (bridgeEdits: NonNullable<JobInput['bridgeEdits']>) => {
  const { run } = await makeWords(
    { words: ['o'], set },
    completeJob({ bridgeEdits, fineness: 5 }),
    {
      name: 'o',
      outputs: [],
    },
  );
  const { frame, check } = run.values;
  return { bridges: frame.bridges, codes: check.findings.map(({ code }) => code) };
};

describe('bridges of letters', () => {
  it('give way to those that a person pins or moves, and are not laid twice', async () => {
    const [first, second] = (await made([])).bridges;
    const [from, to] = [first.from, first.to].map(({ x, y }) => [x, y] as const);
    const pinned = await made([{ do: 'pin', from, to, widthMm: first.widthMm }]);
    expect(pinned.bridges.map(({ origin }) => origin).sort()).toEqual(['pinned', 'proposed']);
    const at = [second.from.x, (second.from.y + second.to.y) / 2] as const;
    const aside = ({ x, y }: typeof first.from) => [x + 2, y] as const;
    const moved = await made([{ do: 'move', at, from: aside(second.from), to: aside(second.to) }]);
    expect(moved.bridges.map(({ origin }) => origin).sort()).toEqual(['moved', 'proposed']);
    expect([...pinned.codes, ...moved.codes]).toEqual([]);
  });
});

describe('the film within letters', () => {
  it('is not bitten into where it ends in a pocket between two strokes', async () => {
    const words = { words: ['rnm'], set: { ...set, face: 'script', capHeight: 23 } };
    const { run } = await makeWords(words, completeJob({}), { name: 'rnm', outputs: [] });
    const { bridge, check } = run.values;
    expect(check.findings.map(({ level }) => level)).not.toContain('error');
    // No strip is cut: the outlines are those that were drawn.
    expect(bridge.openings).toEqual(bridge.laidOver);
  });
});
