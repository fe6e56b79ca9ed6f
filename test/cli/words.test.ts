import { describe, expect, it } from 'vitest';
import { positionalArguments, type Command, type CommandArguments } from '../../cli/command.js';
import { make } from '../../cli/make.js';
import { runCommand } from '../../cli/parser.js';
import { Problem } from '../../src/index.js';

/** What the command `make` would get of these words. */
async function givenOf(...words: string[]) {
  let got: CommandArguments | undefined;
  const command: Command = {
    ...make,
    handler: (given) => {
      got = given;
      return 0;
    },
  };
  await runCommand(['make', ...words], [command], process);
  if (got === undefined) throw new Error('The command was not run');
  const options = Object.entries(got).filter(([name]) => name in make.builder);
  return { options: Object.fromEntries(options), words: positionalArguments(got) };
}

describe('words after a command', () => {
  it('are options and pictures, in any order; after -- all are pictures', async () => {
    expect(
      await givenOf('1.jpg', '--margin=6', '--no-swap', '--json', 'b.png', '--', '--card', '--'),
    ).toEqual({
      options: { margin: '6', swap: false, json: true },
      words: ['1.jpg', 'b.png', '--card', '--'],
    });
  });

  it('stay as they are written, numbers too', async () => {
    const { options, words } = await givenOf('007', '1e3', '--card=a=b', '--margin', '-3', 'make');
    expect(options).toEqual({ card: 'a=b', margin: '-3' });
    expect(words).toEqual(['007', '1e3', 'make']);
  });

  it('of an option given again, the last holds', async () => {
    const again = ['--margin', '3', '--swap', '--margin', '4', '--no-swap', '--json', '--json'];
    expect((await givenOf(...again)).options).toEqual({ margin: '4', swap: false, json: true });
  });

  it('a switch does not take the word after it', async () => {
    expect(await givenOf('--json', 'true', '--swap', 'false')).toEqual({
      options: { json: true, swap: true },
      words: ['true', 'false'],
    });
  });

  it.each<[string[], RegExp]>([
    [['--colour', 'red'], /^There is no option called --colour /],
    [['--narrowest-stirp', '2'], /--narrowest-stirp .*Did you mean --narrowest-strip\? /],
    [['--strip', '2'], /--strip .*Did you mean --narrowest-strip\? /],
    [['--no-swop'], /--no-swop .*Did you mean --swap\? /],
    [['--bridge-edits', '[]'], /--bridge-edits .*A settings file holds that, as "bridgeEdits"/],
    [['--no-colour'], /^There is no option called --no-colour /],
    [['--no-margin'], /^There is no option called --no-margin /],
    [['--meltWidth', '1'], /^There is no option called --meltWidth /],
    [['--card.size', 'a6'], /^There is no option called --card.size /],
    [['-x'], /^There is no option called -x /],
    [['--constructor', 'x'], /^There is no option called --constructor /],
    [['--_', 'x'], /^There is no option called --_ /],
    [['--$0', 'x'], /^There is no option called --\$0 /],
    [['--help-me'], /^There is no option called --help-me /],
    [['--no-swap=1'], /^There is no option called --no-swap /],
    [['--out', '-x'], /^--out needs a value after it /],
    [['--margin'], /^--margin needs a value after it /],
    [['--margin', '--swap'], /^--margin needs a value after it /],
    [['--margin', '--', '3'], /^--margin needs a value after it /],
    [['--json=yes'], /^--json takes no value /],
  ])('%j is refused, and help is named', async (words, says) => {
    const refusal = givenOf('a.jpg', ...words);
    await expect(refusal).rejects.toThrow(Problem);
    await expect(refusal).rejects.toThrow(says);
    await expect(refusal).rejects.toThrow(/See stencilwright make --help/);
  });
});

describe('the word of a command', () => {
  const other: Command = { ...make, command: 'other', builder: {}, handler: () => 1 };

  it.each([[['nana.jpg', '--swap']], [['--swap', 'make', 'nana.jpg']], [['--', 'make']]])(
    '%j has none that there is',
    async (words) => {
      await expect(runCommand(words, [make, other], process)).rejects.toThrow(
        `There is no command called "${words[0]}"`,
      );
    },
  );

  it('that is nearly one is told which; not all of them stand for it', async () => {
    await expect(runCommand(['mkae', 'nana.jpg'], [make, other], process)).rejects.toThrow(
      'Did you mean stencilwright make nana.jpg?',
    );
    // A picture's name is no command that was mistyped.
    await expect(runCommand(['make.jpg'], [make, other], process)).rejects.toThrow(
      'write: stencilwright make make.jpg',
    );
  });

  it('chooses the options; its status comes back', async () => {
    expect(await runCommand(['other'], [make, other], process)).toBe(1);
    const refusal = runCommand(['other', '--swap'], [make, other], process);
    await expect(refusal).rejects.toThrow(/no option called --swap .*stencilwright other --help/);
  });

  it('what the command throws comes through', async () => {
    const fault = new TypeError('of ours');
    const faulty: Command = { ...other, handler: () => Promise.reject(fault) };
    await expect(runCommand(['other'], [faulty], process)).rejects.toBe(fault);
  });
});
