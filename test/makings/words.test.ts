import { describe, expect, it } from 'vitest';
import { rasterise } from '../../src/geometry/rasterise.js';
import { components } from '../support/opencv.js';
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

describe('a mask of words and a picture', () => {
  it('is one piece, the letters held to the picture', async () => {
    const picture = new URL('../../samples/leaf.svg', import.meta.url).pathname;
    const words = { words: ['Il'], set: { ...set, capHeight: 14, picture } };
    const job = completeJob({ as: 'mask', card: '80x100mm', fineness: 5 });
    const { run, good } = await makeWords(words, job, { name: 'il', outputs: [] });
    expect(good).toBe(true);
    const { frame, bridge, tone } = run.values;
    const { data } = rasterise(frame.openings, tone.bitmap.width, tone.bitmap.height, 5);
    const film = { ...tone.bitmap, data: data.map((value) => 1 - value) };
    expect(components(film, 4).count).toBe(1);
    // What was dark in the tone, of the picture and of the words, is film.
    const dark = tone.bitmap.data.reduce((sum, value) => sum + value, 0);
    const kept = tone.bitmap.data.reduce((sum, value, i) => sum + (value & film.data[i]), 0);
    expect(kept / dark).toBeGreaterThan(0.97);
    expect(bridge.islandsDear).toBe(0);
  });
});

describe('a motif of words and a picture', () => {
  const picture = new URL('../../samples/leaf.svg', import.meta.url).pathname;
  const job = completeJob({
    card: '110x60mm',
    repeat: 'straight',
    motifSize: 45,
    fineness: 5,
    motifEdge: 'whole',
  });

  it('is cut as often as it has room, each time the same, in one piece', async () => {
    const words = { words: ['Il'], set: { ...set, capHeight: 12, picture } };
    const { run, good } = await makeWords(words, job, { name: 'il', outputs: [] });
    expect(good).toBe(true);
    const { frame, tone, read } = run.values;
    const { width, height } = tone.bitmap;
    const openings = rasterise(frame.openings, width, height, read.pixelsPerMm);
    const film = { width, height, data: openings.data.map((value) => 1 - value) };
    expect(components(film, 4).count).toBe(1);
    // The motifs as they were cut, part by part from the left: as many on either side, of the same area (OpenCV's count).
    const areas = components(openings, 8).areas;
    expect(areas.length).toBeGreaterThan(6);
    const [first, second] = [0, 1].map((motif) => {
      const half = openings.data.map((value, i) =>
        Math.floor((2 * (i % width)) / width) === motif ? value : 0,
      );
      return components({ width, height, data: half }, 8).areas.toSorted((a, b) => a - b);
    });
    expect(first.length).toBe(second.length);
    first.forEach((area, i) => expect(Math.abs(area - second[i])).toBeLessThan(0.02 * area + 10));
    // What is dark in the tone, which has picture and words once, is cut in two rows of two.
    const sum = (data: Uint8Array): number => data.reduce((all, value) => all + value, 0);
    expect(sum(openings.data) / (4 * sum(tone.bitmap.data))).toBeGreaterThan(0.9);
    expect(sum(openings.data) / (4 * sum(tone.bitmap.data))).toBeLessThan(1.02);
  });
});

describe('a letter at the smallest size', () => {
  it('is not cut where pixels alone show it, or its film, as too narrow', async () => {
    const words = { words: ['e'], set: { ...set, face: 'display', capHeight: 10 } };
    const { run } = await makeWords(words, completeJob({ card: '60x60mm' }), {
      name: 'e',
      outputs: [],
    });
    // Before, a strip severed its bar.
    expect(run.values.bridge.bridges.length).toBe(1);
    const slab = { words: ['e'], set: { ...set, face: 'slab', capHeight: 9 } };
    const knife = completeJob({ card: '60x60mm', tool: 'craft-knife' });
    const other = await makeWords(slab, knife, { name: 'e', outputs: [] });
    expect(other.run.values.bridge.bridges.length).toBe(1);
  });

  it.each([
    ['hot-tip', 'display', 'e', 9.4],
    ['craft-knife', 'display', 'e', 6.4],
    ['hot-tip', 'slab', 'a', 13.5],
    ['craft-knife', 'slab', 'a', 9],
    ['craft-knife', 'slab', 'e', 9],
  ] as const)(
    '%s, %s %s: its bridge opens its inside and bites into nothing else',
    async (tool, face, word, capHeight) => {
      const job = completeJob({ card: '60x60mm', tool });
      const words = { words: [word], set: { ...set, face, capHeight } };
      const { run } = await makeWords(words, job, { name: word, outputs: [] });
      const { bridge, ease, tone, read } = run.values;
      expect(bridge.bridges.length).toBe(1);
      // What is cut away of the letter is the bridge, and no more: it has the length of one stroke.
      const [{ from, to, widthMm }] = bridge.bridges;
      const px = read.pixelsPerMm;
      const inkOf = (shapes: typeof ease.shapes) =>
        rasterise(shapes, tone.bitmap.width, tone.bitmap.height, px).data;
      const cut = inkOf(bridge.openings);
      const gone = inkOf(ease.shapes).reduce((sum, value, i) => sum + (value & (1 - cut[i])), 0);
      expect(gone / px ** 2).toBeLessThan(
        1.15 * widthMm * Math.hypot(to.x - from.x, to.y - from.y),
      );
      // In one piece, with nothing inside: as the letter is, once its inside is open (OpenCV's count).
      expect(components({ ...tone.bitmap, data: cut }, 8).count).toBe(1);
      const film = { ...tone.bitmap, data: cut.map((value) => 1 - value) };
      expect(components(film, 4).count).toBe(1);
    },
  );
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
