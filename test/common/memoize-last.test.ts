import { describe, expect, it, vi } from 'vitest';
import { memoizeLast } from '../../src/common/memoize-last.js';

describe('what is remembered of a thing', () => {
  const make = vi.fn((of: { readonly n: number }, box: { readonly x: number }, by: number) => ({
    sum: of.n + box.x + by,
  }));
  const sum = memoizeLast(make);
  const thing = { n: 1 };

  it('is made once for the same settings, which are told by value', () => {
    expect(sum(thing, { x: 2 }, 3)).toEqual({ sum: 6 });
    expect(sum(thing, { x: 2 }, 3)).toBe(sum(thing, { x: 2 }, 3));
    expect(make).toHaveBeenCalledTimes(1);
  });

  it('is made anew for other settings, and for another thing that looks the same', () => {
    expect(sum(thing, { x: 5 }, 3)).toEqual({ sum: 9 });
    expect(sum({ n: 1 }, { x: 5 }, 3)).toEqual({ sum: 9 });
    expect(make).toHaveBeenCalledTimes(3);
  });

  it('is only the last', () => {
    expect(sum(thing, { x: 2 }, 3)).toEqual({ sum: 6 });
    expect(make).toHaveBeenCalledTimes(4);
  });
});
