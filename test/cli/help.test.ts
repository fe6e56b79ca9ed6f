import { PassThrough } from 'node:stream';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { runCommandLine } from '../../cli/run.js';
import { optionName, optionSettings } from '../../cli/setting-option.js';
import { said, stencilwright } from './run.js';

const COMMANDS = ['make', 'layers', 'tones', 'batch', 'sheets', 'practice', 'hand', 'view'];

/** Everything in one line, as a person reads it. */
const read = (text: string): string => text.replace(/\s+/g, ' ');

/** What a command line says on a terminal of so many columns. */
async function onTerminal(columns: number, ...words: string[]): Promise<string> {
  const stdout = Object.assign(new PassThrough(), { isTTY: true, columns });
  expect(await runCommandLine(words, { stdout, stderr: new PassThrough() })).toBe(0);
  return String(stdout.read());
}

/** ECMA-48, select graphic rendition. */
const STYLES = /\u001b\[\d+m/g; // eslint-disable-line no-control-regex

afterEach(() => vi.unstubAllEnvs());

describe('stencilwright --help', () => {
  it('names every command, by a process of its own too', async () => {
    const { status, stdout, stderr } = await said(['--help']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    for (const name of COMMANDS)
      expect(stdout).toMatch(new RegExp(`^  stencilwright ${name}\\b`, 'm'));
    expect(stdout).toMatch(/^ {2}stencilwright make PICTURE… +make a stencil of each picture$/m);
    expect(stencilwright(['--help'])).toEqual({ status: 0, stdout, stderr: '' });
    for (const words of [[], ['-h'], ['--help', 'none']])
      expect((await said(words)).stdout).toBe(stdout);
  });

  it('after a command is of that, wherever the word stands; after -- it is a picture', async () => {
    const { stdout } = await said(['make', '--help']);
    expect(stdout).toMatch(/^stencilwright make PICTURE…\n/);
    for (const words of [
      ['--help', 'make'],
      ['make', 'a.jpg', '--name', '-h'],
    ]) {
      expect((await said(words)).stdout).toBe(stdout);
    }
    expect((await said(['make', '--', '--help'])).stderr).toContain('no such file (--help)');
  });
});

describe('the help of make', () => {
  it('has every setting under its heading, with its value, its choices and what holds unless it is set', async () => {
    const { stdout } = await said(['make', '--help']);
    const blocks = new Map(
      stdout.split('\n\n').map((block) => [block.split('\n')[0], read(block)] as const),
    );
    for (const [name, setting] of optionSettings()) {
      const block = blocks.get(setting.group);
      expect(block).toContain(` --${optionName(name)} `);
      expect(block).toContain(setting.says);
      if (setting.kind === 'choice')
        expect(block).toContain(`One of ${setting.choices.join(', ')}.`);
    }
    expect(stdout).toMatch(/^ {2}--margin MM {2,}The frame of film/m);
    expect(read(stdout)).toContain('Unless set: 6 mm, or 12 mm on cards with a side over 6 in;');
    expect(read(stdout)).toContain('Unless set: hot-tip 1.5, craft-knife 1, scissors 2.1 mm.');
    expect(read(stdout)).toContain('On, unless you write --no-spare-features.');
    for (const told of [
      'A picture is a JPEG, PNG, WebP, TIFF, GIF, BMP, AVIF, SVG or HEIC file',
      '--out DIR The folder that the stencils’ folders go in. Unless set: ./stencils.',
      'Write lengths as 6, 6mm, 0.6cm or 0.25in',
      'A hot tip and hot glue burn',
      'stencilwright make nana.jpg --card postcard --turn portrait --fit fill',
      '1 a stencil was written, but it breaks a promise',
    ]) {
      expect(read(stdout)).toContain(told);
    }
  });
});

describe.each(COMMANDS)('the help of %s', (name) => {
  it('shows each option that it has of its own, and takes it', async () => {
    const { stdout } = await said([name, '--help']);
    const shown = [...stdout.matchAll(/^ {2}--([a-z-]+)/gm)].map(([, option]) => option);
    expect(shown).toContain('help');
    for (const option of shown.filter((each) => each !== 'help')) {
      // What is not taken is refused as no option; one more that is none is refused in the end.
      const words = stdout.includes(`  --${option}  `) ? [`--${option}`] : [`--${option}`, '1'];
      const { stderr } = await said([name, ...words, '--none']);
      expect(stderr).toMatch(/There is no option called --none /);
    }
  });

  it('is as wide as the terminal, its headings bold there, and no words of others in it', async () => {
    vi.stubEnv('NO_COLOR', '');
    vi.stubEnv('TERM', 'xterm');
    const { stdout: plain } = await said([name, '--help']);
    expect(await onTerminal(300, name, '--help').then((text) => text.replace(STYLES, ''))).toBe(
      plain,
    );
    expect(plain).not.toMatch(
      /\[(string|boolean|number|choices|default)|Positionals|Options:|undefined/,
    );
    for (const columns of [40, 80]) {
      const text = await onTerminal(columns, name, '--help');
      expect(text).toContain(`\u001b[1mstencilwright ${name}`);
      const lines = text.replace(STYLES, '').split('\n');
      expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(columns);
    }
  });

  it('is the same in every language', async () => {
    const { stdout } = await said([name, '--help']);
    vi.stubEnv('LC_ALL', 'de_DE.UTF-8');
    expect((await said([name, '--help'])).stdout).toBe(stdout);
  });
});
