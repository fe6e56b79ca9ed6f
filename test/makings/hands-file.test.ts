import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkHand, type SavedHand } from '../../src/makings/practice/hands.js';
import {
  findHand,
  forgetHand,
  readHands,
  saveHand,
} from '../../src/makings/practice/hands-file.js';
import { Problem } from '../../src/settings/problem.js';

const hand = (name: string, slot: number): SavedHand =>
  checkHand({ name, tool: 'hot-tip', clean: { slot } }, 'test');

let base: string;
let folder: string;
beforeEach(async () => {
  base = await mkdtemp(join(tmpdir(), 'hands-'));
  folder = join(base, 'config', 'stencilwright');
});
afterEach(() => rm(base, { recursive: true }));

describe('saved hands', () => {
  it('are none before the first, then come back as they were saved', async () => {
    expect(await readHands(folder)).toEqual([]);
    await saveHand(folder, hand('ida', 1.8));
    await saveHand(folder, hand('joe', 3));
    expect(await readHands(folder)).toEqual([hand('ida', 1.8), hand('joe', 3)]);
    expect(findHand(await readHands(folder), ' ida ')).toEqual(hand('ida', 1.8));
  });

  it('take the place of those of the same name, and nothing is left beside the file', async () => {
    await saveHand(folder, hand('ida', 1.8));
    await saveHand(folder, hand('ida', 1.2));
    expect(await readHands(folder)).toEqual([hand('ida', 1.2)]);
    expect(await readdir(folder)).toEqual(['hands.json']);
  });

  it('can be forgotten, one by one', async () => {
    await saveHand(folder, hand('ida', 1.8));
    await saveHand(folder, hand('joe', 3));
    await forgetHand(folder, 'ida');
    expect(await readHands(folder)).toEqual([hand('joe', 3)]);
    await expect(forgetHand(folder, 'ida')).rejects.toThrow(/no hand called "ida".*joe/);
  });

  it('are found by name only: the words say which there are, or how to begin', async () => {
    expect(() => findHand([], 'ida')).toThrow(/None was saved yet/);
    await saveHand(folder, hand('joe', 3));
    const hands = await readHands(folder);
    expect(() => findHand(hands, 'toString')).toThrow(/The hands that were saved are: joe/);
  });

  it.each(['', '{', 'null', '[]', '{"hands": 3}', '{"hands": [null]}'])(
    'in a damaged file (%s) are told, and the file is left alone',
    async (text) => {
      await mkdir(folder, { recursive: true });
      const path = join(folder, 'hands.json');
      await writeFile(path, text);
      await expect(readHands(folder)).rejects.toThrow(Problem);
      await expect(saveHand(folder, hand('ida', 1.8))).rejects.toThrow(
        /damaged, so it was left alone/,
      );
      expect(await readFile(path, 'utf8')).toBe(text);
    },
  );

  it('that make no sense are told with the file', async () => {
    await mkdir(folder, { recursive: true });
    const hands = [{ name: 'ida', tool: 'hot-tip', clean: { slot: 40 } }];
    await writeFile(join(folder, 'hands.json'), JSON.stringify({ hands }));
    await expect(readHands(folder)).rejects.toThrow(/Slots of 40 mm wide.*hands\.json/);
  });

  it('can not be saved where a file stands for the folder', async () => {
    await mkdir(join(base, 'config'));
    await writeFile(folder, 'mine');
    await expect(saveHand(folder, hand('ida', 1.8))).rejects.toThrow(Problem);
    expect(await readFile(folder, 'utf8')).toBe('mine');
  });
});
