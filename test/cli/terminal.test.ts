import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { columnsOf, painter, progressOn, wrap, type Stream } from '../../cli/terminal.js';

function terminal(columns = 80): Stream & PassThrough {
  return Object.assign(new PassThrough(), { isTTY: true, columns });
}

describe('colours', () => {
  it('are there on a terminal', () => {
    expect(painter(terminal(), {})('red', 'no')).toBe('\u001b[31mno\u001b[39m');
  });

  it.each([{ NO_COLOR: '1' }, { TERM: 'dumb' }])('are not there with %j', (environment) => {
    expect(painter(terminal(), environment)('red', 'no')).toBe('no');
  });

  it('are not there in a pipe', () => {
    expect(painter(new PassThrough(), {})('red', 'no')).toBe('no');
  });
});

describe('progress', () => {
  it('rewrites one line on a terminal, never longer than it', () => {
    const stream = terminal(50);
    const progress = progressOn(stream);
    progress.show('a'.repeat(200));
    progress.show('second');
    progress.clear();
    const written = String(stream.read());
    expect(written).toBe(`${'a'.repeat(49)}\n\u001b[F\u001b[Jsecond\n\u001b[F\u001b[J`);
  });

  it('stands at the beginning of a line at any time, and takes nothing back that is not its own', () => {
    const stream = terminal();
    const progress = progressOn(stream);
    progress.clear();
    progress.show('easing the curves …');
    expect(String(stream.read())).toBe('easing the curves …\n');
    progress.clear();
    progress.clear();
    expect(String(stream.read())).toBe('\u001b[F\u001b[J');
  });

  it('is silent in a pipe', () => {
    const stream = new PassThrough();
    const progress = progressOn(stream);
    progress.show('first');
    progress.clear();
    expect(stream.read()).toBeNull();
  });
});

describe('text', () => {
  it('is as wide as the terminal, from 40 to 100 columns', () => {
    expect([10, 72, 300].map((columns) => columnsOf(terminal(columns)))).toEqual([40, 72, 100]);
    expect(columnsOf(new PassThrough())).toBe(100);
  });

  it('breaks between words and is indented', () => {
    expect(wrap('one two three four', 9, '  ')).toBe('  one two\n  three\n  four');
    expect(wrap('unbreakable', 4)).toBe('unbreakable');
    expect(wrap('', 10)).toBe('');
  });
});
