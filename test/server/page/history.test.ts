import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { begin, redo, step, undo, type History } from '../../../server/page/history.js';

describe('history', () => {
  it('goes back and forth, and forgets what was taken back once something else is done', () => {
    const there = step(step(begin('a'), 'b'), 'c');
    expect(undo(undo(there))).toEqual({ past: [], now: 'a', future: ['b', 'c'] });
    expect(redo(undo(there))).toEqual(there);
    expect(step(undo(there), 'd')).toEqual({ past: ['a', 'b'], now: 'd', future: [] });
  });

  it('does nothing at its ends, and for the same again', () => {
    const history = step(begin({ margin: 6 }), { margin: 7 });
    expect(redo(history)).toEqual(history);
    expect(undo(begin('a'))).toEqual(begin('a'));
    expect(step(history, { margin: 7 })).toBe(history);
  });

  it('always undoes all that was done', () => {
    fc.assert(
      fc.property(fc.array(fc.integer(), { maxLength: 40 }), (values) => {
        let history: History<number> = begin(-1);
        for (const value of values) history = step(history, value);
        const last = history.now;
        for (let i = 0; i < values.length; i++) history = undo(history);
        expect(history.now).toBe(-1);
        for (let i = 0; i < values.length; i++) history = redo(history);
        expect(history.now).toBe(last);
      }),
    );
  });
});
