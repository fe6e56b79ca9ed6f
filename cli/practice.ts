import {
  completeJob,
  checkSettings,
  makePractice,
  practiceRows,
  visible,
  writePractice,
} from '../src/index.js';
import { refuseWords, textOf, type Command, type CommandArguments } from './command.js';
import { practiceText } from './help-hands.js';
import { stoppable } from './interrupts.js';
import { localeOf } from './make.js';
import { commandLine, outDirOf, valueOption } from './options.js';

/** `stencilwright practice` */
export const practice: Command = {
  command: 'practice',
  takes: '',
  describe: 'a strip to try your hand on',
  help: practiceText,
  builder: { out: valueOption, name: valueOption, paper: valueOption },
  handler: async (given) => {
    process.stdout.write(await makeStrip(given));
  },
};

async function makeStrip(given: CommandArguments): Promise<string> {
  refuseWords(given);
  const asked = checkSettings({ paper: textOf(given, 'paper') }, commandLine);
  const { paper } = completeJob(asked, commandLine);
  const locale = localeOf(process.env).locale ?? Intl.DateTimeFormat().resolvedOptions().locale;
  const chosen = textOf(given, 'name');
  const named = chosen === undefined ? {} : { name: chosen };
  const made = await makePractice({ paper, locale, ...named });
  const folder = await stoppable((signal) =>
    writePractice(made, outDirOf(given), { signal, ...named }),
  );
  return [
    `Practice strip  ${visible(folder)}: ${[...made.keys()].join(', ')}`,
    'Print it at 100 %, lay an offcut of film over it, cut all of it, and note the minutes. Then save',
    'the smallest of each row that came out clean; leave out a row where none did:',
    '',
    `  stencilwright hand NAME ${Object.entries(practiceRows)
      .map(([skill, { sizes }]) => `--${skill} ${sizes[3]}`)
      .join(' ')} --minutes 12`,
    '',
  ].join('\n');
}
