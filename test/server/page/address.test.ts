import { describe, expect, it } from 'vitest';
import { fromHash, readJobFile, toHash } from '../../../server/page/address.js';
import type { JobInput } from '../../../src/index.js';

const id = '0123456789abcdef0123456789abcdef';

describe('the address', () => {
  it('gives back the picture and the settings', () => {
    const job: JobInput = {
      card: '5x7in',
      paint: '#aa00ff',
      crop: '1,2,30,40',
      bridgeEdits: [{ do: 'remove', at: [1.5, 2] }],
    };
    expect(fromHash(`#${toHash({ picture: id, job })}`)).toEqual({ picture: id, job });
    expect(toHash({ picture: undefined, job: {} })).toBe('');
  });

  it.each([
    '',
    '#',
    '#picture=../../etc/passwd',
    '#job=%7B',
    '#job={"margin":-3}',
    '#job=3',
    '#job=null',
  ])('begins anew at %s', (hash) => {
    expect(fromHash(hash)).toEqual({ picture: undefined, job: {} });
  });
});

describe('a job file', () => {
  it('holds settings, or is a report that does', () => {
    expect(readJobFile('\uFEFF{"margin": 8}')).toEqual({ margin: 8 });
    expect(readJobFile('{"name": "nana", "job": {"margin": 8}}')).toEqual({ margin: 8 });
  });

  it('holds words, too, without what lies on another computer', () => {
    const set = { face: 'slab', capHeight: null, picture: '/home/nana.jpg' };
    const letters = [{ text: 'B', line: 0, x: 1, y: 2, angle: 0, scale: 3 }];
    expect(readJobFile(JSON.stringify({ job: {}, words: { lines: ['B'], set, letters } }))).toEqual(
      {
        words: { lines: ['B'], set: { face: 'slab' }, before: letters },
      },
    );
    const words = { lines: ['B'], set: {}, before: letters };
    const hash = toHash({ picture: undefined, job: { margin: 8, words } });
    expect(fromHash(`#${hash}`).job).toEqual({ margin: 8, words });
  });

  it.each(['', '3', '[]', '{', '"margin"'])('is not %j', (text) => {
    expect(() => readJobFile(text)).toThrow(SyntaxError);
  });

  it('with a wrong setting says which', () => {
    expect(() => readJobFile('{"margin": "wide"}')).toThrow(/`margin` can't be "wide"/);
  });
});
