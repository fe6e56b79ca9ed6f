import type { Argv, Options } from 'yargs';
import type { Command, OptionsByName } from './command.js';
import { parserOf } from './parser.js';
import type { Paint } from './terminal.js';

/** Columns for an option and its value; what it does stands to the right of them. */
const LEFT = 22;

/**
 * The help of the command that the words name, or of the program as a whole.
 *
 * @param columns to write in
 */
export async function helpText(
  words: readonly string[],
  commands: readonly Command[],
  paint: Paint,
  columns: number,
): Promise<string> {
  const asked = commands.filter(({ command }) => words.includes(command)).slice(0, 1);
  const parser = parserOf(asked.map(({ command }) => command))
    .wrap(columns)
    .updateStrings({
      'Commands:': paint('bold', 'Commands'),
      'Examples:': paint('bold', 'Examples'),
    })
    .usage(OVERVIEW)
    .options(helpOptions(OVERVIEW_OPTIONS, paint))
    .example('$0 make nana.jpg', '')
    .epilogue(OVERVIEW_END);
  for (const about of commands) {
    parser.command(`${about.command} ${about.takes}`.trim(), about.describe, (inner) =>
      described(inner, about, paint),
    );
  }
  return `${await parser.getHelp()}\n`;
}

const OVERVIEW =
  'stencilwright turns a picture into a stencil that you can cut by hand: sized to your card or journal page, all in one piece, and true to size.';

const OVERVIEW_OPTIONS: OptionsByName = {
  help: {
    type: 'boolean',
    group: 'Options',
    describe: 'Shows this; after a command, everything that you can set with it.',
  },
  version: { type: 'boolean', group: 'Options', describe: 'Shows which version this is.' },
};

const OVERVIEW_END =
  'Everything that you can set when you make a stencil:\n  stencilwright make --help';

/** A command for its help. */
function described(parser: Argv, { command, takes, builder, help }: Command, paint: Paint): Argv {
  const { says, examples = [], notes = {} } = help;
  const groups = Object.values(builder).map(({ group }) => group);
  const group = groups.findLast((each) => each !== undefined) ?? 'Options';
  const title = paint('bold', `stencilwright ${command} ${takes}`.trim());
  parser
    .usage([title, ...says].join('\n\n'))
    .options(
      helpOptions({ ...builder, help: { type: 'boolean', group, describe: 'Shows this.' } }, paint),
    );
  for (const example of examples) parser.example(`$0 ${example}`, '');
  const parts = Object.entries(notes).map(([heading, lines]) =>
    [paint('bold', heading), ...lines.map((line) => `  ${line}`)].join('\n'),
  );
  return parts.length === 0 ? parser : parser.epilogue(parts.join('\n\n'));
}

/**
 * Options as the help shows them. yargs writes an option by its name alone, so here that has its value behind it, and
 * room to stand in one column with those under other headings.
 */
function helpOptions(options: OptionsByName, paint: Paint): Record<string, Options> {
  const all: Record<string, Options> = {};
  for (const [name, { value, denied, group, describe }] of Object.entries(options)) {
    if (group === undefined) continue;
    const written = `${denied ? 'no-' : ''}${name} ${value ?? ''}`.padEnd(LEFT);
    all[written] = { group: paint('bold', group), describe, global: false };
  }
  return all;
}
