import type { WriteStream } from 'node:tty';
import { visible } from '../src/index.js';

/** What can be written to: a terminal, a pipe or a file. */
export type Stream = NodeJS.WritableStream & Partial<Pick<WriteStream, 'isTTY' | 'columns'>>;

/** Where a command says what it has to say: `process` itself, or what a test listens to. */
export interface OutputStreams {
  /** What was made, for a person or a program to read. */
  readonly stdout: Stream;
  /** How far it is, and what went wrong. */
  readonly stderr: Stream;
}

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

/** ECMA-48: to the beginning of the line before, and nothing from there on, not even the ^C that a terminal shows. */
const TAKE_BACK = '\u001b[F\u001b[J';

/**
 * Each line is ended as soon as it is written, and taken back for the next: whenever the process is ended from outside,
 * the terminal stands at the beginning of a line, and the one before says what was being done.
 */
export function progressOn(stream: Stream): Progress {
  if (!stream.isTTY) return { show: () => undefined, clear: () => undefined };
  let isShown = false;
  const takeBack = (): string => {
    const back = isShown ? TAKE_BACK : '';
    isShown = false;
    return back;
  };
  return {
    show: (text) => {
      stream.write(`${takeBack()}${visible(text).slice(0, columnsOf(stream) - 1)}\n`);
      isShown = true;
    },
    clear: () => stream.write(takeBack()),
  };
}
