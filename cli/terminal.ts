import type { WriteStream } from 'node:tty';
import { visible } from '../src/index.js';

/** What can be written to: a terminal, a pipe or a file. */
export type Stream = NodeJS.WritableStream & Partial<Pick<WriteStream, 'isTTY' | 'columns'>>;

type Style = 'bold' | 'dim' | 'green' | 'yellow' | 'red';

/** ECMA-48, select graphic rendition. */
const CODES: Readonly<Record<Style, readonly [number, number]>> = {
  bold: [1, 22],
  dim: [2, 22],
  green: [32, 39],
  yellow: [33, 39],
  red: [31, 39],
};

export type Paint = (style: Style, text: string) => string;

/** Colours on a terminal, none in a pipe or where NO_COLOR is set (https://no-color.org). */
export function painter(stream: Stream, environment: NodeJS.ProcessEnv = process.env): Paint {
  const plain = !stream.isTTY || Boolean(environment.NO_COLOR) || environment.TERM === 'dumb';
  if (plain) return (_style, text) => text;
  return (style, text) => `\u001b[${CODES[style][0]}m${text}\u001b[${CODES[style][1]}m`;
}

/** Columns to write in: the terminal's, at most 100. */
export function columnsOf(stream: Stream): number {
  return Math.max(40, Math.min(100, stream.columns ?? 100));
}

/** Breaks text into lines that are at most a width long; every line is indented. */
export function wrap(text: string, width: number, indent = ''): string {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && indent.length + line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  return [...lines, line].map((each) => indent + each).join('\n');
}

/** One line that is written over and over on a terminal; silent elsewhere. */
export interface Progress {
  show(text: string): void;
  clear(): void;
}

const CLEAR_LINE = '\r\u001b[K';

export function progressOn(stream: Stream): Progress {
  if (!stream.isTTY) return { show: () => undefined, clear: () => undefined };
  return {
    show: (text) => stream.write(`${CLEAR_LINE}${visible(text).slice(0, columnsOf(stream) - 1)}`),
    clear: () => stream.write(CLEAR_LINE),
  };
}
