import { cpSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { usualOutputs } from '../../src/index.js';
import {
  contents,
  home,
  said,
  scratchForAll,
  stencilwright,
  type Circumstances,
  type Ended,
} from '../cli/run.js';

/* The same pictures and settings give the same bytes, whoever makes them, where and when. */

let scratch: string;
let pictures: string;
let once: ReadonlyMap<string, string>;

function tree(folder: string): ReadonlyMap<string, string> {
  return new Map([...contents(folder)].map(([path, held]) => [path.slice(folder.length), held]));
}

// The paper is chosen: by itself it follows the place, and is a part of the job.
const JOB = ['--card', '40x40mm', '--margin', '4', '--paper', 'a4'];

const words = (name: string): string[] => ['batch', pictures, '--out', join(scratch, name), ...JOB];

function made(name: string, { status, stderr }: Ended): ReadonlyMap<string, string> {
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  return tree(join(scratch, name));
}

beforeAll(async () => {
  scratch = scratchForAll();
  pictures = join(scratch, 'pictures');
  mkdirSync(pictures);
  for (const name of ['moth.png', 'fern-border.svg']) {
    cpSync(join(home, 'samples', name), join(pictures, name));
  }
  once = made('once', await said(words('once')));
  expect(once.size).toBe(2 * (1 + usualOutputs.length) + 2);
});

describe('a batch gives the same bytes', () => {
  it.each<[string, string[], Circumstances]>([
    [
      'in a process of its own, in the plainest surroundings',
      ['--threads', '1'],
      { env: { TZ: 'UTC', LC_ALL: 'C', LANG: 'C' } },
    ],
    [
      'in many threads, from another folder, in another time zone and language',
      ['--threads', '2'],
      { cwd: '/', env: { TZ: 'Pacific/Auckland', LC_ALL: 'tr_TR.UTF-8', LANG: 'tr_TR.UTF-8' } },
    ],
  ])('%s', (what, threads, about) => {
    const again = made(what, stencilwright([...words(what), ...threads], about));
    expect([...again.keys()]).toEqual([...once.keys()]);
    for (const [path, held] of once) expect(again.get(path) === held, path).toBe(true);
  });
});

describe('make gives the bytes of a batch', () => {
  it('save for the report, which has the times it took', () => {
    const out = join(scratch, 'alone');
    const picture = join(pictures, 'moth.png');
    const env = { TZ: 'America/Lima', LC_ALL: 'de_DE.UTF-8' };
    expect(stencilwright(['make', picture, '--out', out, ...JOB], { env }).status).toBe(0);
    const alone = tree(out);
    for (const [path, held] of alone) {
      if (!path.endsWith('report.json')) expect(once.get(path) === held, path).toBe(true);
    }
    const rest = (text = '') => {
      const { timingsMs, madeFrom, ...same } = JSON.parse(text) as Record<string, unknown>;
      return { same, times: Object.keys(timingsMs as object).length, madeFrom };
    };
    const [ours, theirs] = [alone, once].map((each) => rest(each.get('/moth/report.json')));
    expect(ours.same).toEqual(theirs.same);
    expect(ours.times).toBeGreaterThan(5);
    expect(theirs.times).toBe(0);
  });
});
