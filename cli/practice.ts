import {
  completeJob,
  checkSettings,
  makePractice,
  practiceRows,
  SNIP_LAYERS,
  SNIPS,
  visible,
  writePractice,
} from '../src/index.js';
import { refuseArguments, textOf, type Command, type CommandArguments } from './command.js';
import { stoppable } from './interrupts.js';
import { localeOf } from './make.js';
import { commandLine, nameOption, outDirOf, outOption } from './options.js';

/** `stencilwright practice` */
export const practice: Command = {
  command: 'practice',
  takes: '',
  describe: 'a strip to try your hand on',
  builder: {
    out: outOption('Options', 'the strip’s folder goes'),
    name: nameOption(
      'Options',
      'What its folder is called. Unless set: practice; with a number, practice-2, where something else has that name.',
    ),
    paper: {
      type: 'string',
      value: 'WHICH',
      group: 'Options',
      describe: 'The paper in your printer: auto, letter or a4. Unless set: auto.',
    },
  },
  help: {
    says: [
      'Makes a strip to try your hand on: slots, dots, corners, turns, strips and bridges, each in seven sizes from easy to hard, true to size. Print practice.pdf at 100 %, lay an offcut of film over it and cut all of it. Then save what came out clean with stencilwright hand, and every stencil can be made for your own hand. glue.pdf is the same for lines of glue: widths at three speeds, gaps, turns and starts; save what you measure with stencilwright hand NAME --bead-width 3.5 --bead-gap 2.',
    ],
  },
  handler: async (given, { stdout }) => {
    stdout.write(await makeStrip(given));
    return 0;
  },
};

async function makeStrip(given: CommandArguments): Promise<string> {
  refuseArguments(given);
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
    `The row at the lower edge is for scissors, in one layer and in ${SNIP_LAYERS}; for folded sheets save`,
    'the narrowest slot that came out clean in each:',
    '',
    `  stencilwright hand NAME --snip ${SNIPS[4]} --folded-snip ${SNIPS[3]}`,
    '',
    'Of glue.pdf, drawn with your glue gun, save what you measure:',
    '',
    '  stencilwright hand NAME --bead-width 3.5 --bead-gap 2 --bead-bend 2',
    '',
  ].join('\n');
}
