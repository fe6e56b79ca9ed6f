import {
  checkHand,
  findHand,
  glueMeasures,
  glueSettings,
  forgetHand,
  handSettings,
  practiceRows,
  Problem,
  readHands,
  saveHand,
  scissorsSettings,
  SNIP_LAYERS,
  SNIPS,
  settings,
  type SavedHand,
  type SettingName,
} from '../src/index.js';
import {
  textOf,
  positionalArguments,
  type Command,
  type CommandArguments,
  type Option,
} from './command.js';
import { configFolder } from './config-folder.js';
import { stoppable } from './interrupts.js';
import { commandLine, readNumber } from './options.js';
import { optionName } from './setting-option.js';

const SKILLS = Object.keys(practiceRows) as readonly (keyof typeof practiceRows)[];

/** What is measured of lines of glue, its option, and what it is. */
const MEASURES = Object.entries({
  width: { option: 'bead-width', says: 'How wide your line of glue is' },
  gap: { option: 'bead-gap', says: 'The narrowest gap between two lines of glue that stayed open' },
  bend: { option: 'bead-bend', says: 'The radius of the tightest turn of a line of glue' },
} as const satisfies Readonly<Record<keyof typeof glueMeasures, unknown>>) as readonly [
  keyof typeof glueMeasures,
  { readonly option: string; readonly says: string },
][];

/** The practice strip's row for scissors: what is entered of what came out clean, its option, and what it is. */
const SNIPPED = [
  ['layer', { option: 'snip', says: 'in one layer' }],
  ['packet', { option: 'folded-snip', says: `in a packet of ${SNIP_LAYERS} layers` }],
] as const;

/** `stencilwright hand [NAME]` */
export const hand: Command = {
  command: 'hand',
  takes: '[NAME]',
  describe: 'save what your hand can do, or see it',
  builder: {
    ...Object.fromEntries(SKILLS.map((skill) => [skill, skillOption(skill)])),
    minutes: {
      type: 'string',
      value: 'MINUTES',
      group: 'Options',
      describe: 'How long the whole strip took, without the warm-up.',
    },
    'warm-up': {
      type: 'string',
      value: 'MINUTES',
      group: 'Options',
      describe: 'How long the tool took to be ready.',
    },
    tool: {
      type: 'string',
      value: 'WHICH',
      group: 'Options',
      describe:
        'What you cut the rows inside the strip with: hot-tip or craft-knife. Unless set: hot-tip.',
    },
    ...Object.fromEntries(
      MEASURES.map(([what, { option, says }]) => [option, measureOption(what, says)]),
    ),
    ...Object.fromEntries(SNIPPED.map(([, { option, says }]) => [option, snipOption(says)])),
    forget: { type: 'boolean', group: 'Options', describe: 'Forgets the hand of that name.' },
  },
  help: {
    says: [
      'Saves what your hand can do, from the practice strip: for each row the smallest that came out clean, and the minutes that the strip took. Leave out a row in which none came out clean: the tool’s own limit stays. From the practice page for glue it saves how wide your line is, the gap and the turn; they are for lines of glue alone, and the rest is for what you cut. The row for scissors is for sheets that are folded, or cut with scissors. What you enter later for the same name goes over what was there. A name alone shows that hand; no name shows all.',
    ],
    examples: [
      'hand ida --slot 1.5 --dot 2.5 --strip 2 --minutes 12',
      'hand "ida, knife" --tool craft-knife --turn 1.5',
      'hand ida --bead-width 3.5 --bead-gap 2',
      'hand ida --snip 2.5 --folded-snip 3.5',
      'make nana.jpg --hand ida',
      'make nana.jpg --as glue-line --hand ida',
    ],
  },
  handler: async (given, { stdout }) => {
    stdout.write(await answer(given));
    return 0;
  },
};

function skillOption(skill: (typeof SKILLS)[number]): Option {
  const { title, measure, sizes } = practiceRows[skill];
  const describe = `The smallest of the row “${title}” that came out clean, in ${measure}: one of ${sizes.join(', ')}.`;
  return { type: 'string', value: 'MM', group: 'Options', describe };
}

function measureOption(what: keyof typeof glueMeasures, says: string): Option {
  const { min, max } = settings[glueMeasures[what]];
  const describe = `${says}, in mm: what you measured on the practice page, ${min} to ${max}.`;
  return { type: 'string', value: 'MM', group: 'Options', describe };
}

function snipOption(says: string): Option {
  const describe = `The narrowest slot of the row for scissors that came out clean ${says}, in mm: one of ${SNIPS.join(', ')}.`;
  return { type: 'string', value: 'MM', group: 'Options', describe };
}

async function answer(given: CommandArguments): Promise<string> {
  const folder = configFolder();
  const name = readName(positionalArguments(given));
  const hands = await readHands(folder);
  const entries = entriesOf(given);
  if (name === undefined) {
    if (given.forget === true || Object.keys(entries).length > 0) throw noName();
    return hands.length === 0 ? NONE_YET : hands.map(handLines).join('\n');
  }
  if (given.forget === true) {
    await stoppable(() => forgetHand(folder, name));
    return `The hand "${name}" is forgotten.\n`;
  }
  const known = hands.find((one) => one.name === name);
  if (Object.keys(entries).length === 0) return handLines(findHand(hands, name));
  const saved = checkHand({ ...merged(known, entries), name }, commandLine.where);
  await stoppable(() => saveHand(folder, saved));
  return `${handLines(saved)}\nSaved. Use it with: stencilwright make PICTURE --hand ${quoted(name)}\n`;
}

const NONE_YET =
  'No hand was saved yet. Cut a practice strip (stencilwright practice), then save what came out:\nstencilwright hand NAME --slot 1.5 --strip 2 --minutes 12\n';

function readName(words: readonly string[]): string | undefined {
  if (words.length <= 1) return words[0];
  throw new Problem(
    `Several names are given: ${words.join(', ')}`,
    commandLine.where,
    'Give one; a name of several words wants quotes round it',
  );
}

function noName(): Problem {
  return new Problem(
    'The hand has no name',
    commandLine.where,
    'Write it after the command, as in: stencilwright hand ida --slot 1.5',
  );
}

/** What was entered, by its option; numbers as numbers where they are. */
function entriesOf(given: CommandArguments): Readonly<Record<string, unknown>> {
  const units = [
    ...SKILLS.map((skill) => [skill, 'mm'] as const),
    ['minutes', 'min'] as const,
    ['warm-up', 'min'] as const,
    ...[...MEASURES, ...SNIPPED].map(([, { option }]) => [option, 'mm'] as const),
  ];
  const entries: Record<string, unknown> = {};
  for (const [option, unit] of units) {
    const text = textOf(given, option);
    if (text !== undefined) entries[option] = readNumber(text, unit) ?? text;
  }
  const tool = textOf(given, 'tool');
  return tool === undefined ? entries : { ...entries, tool };
}

/** New entries over those of an earlier save; with another tool, what was saved of the old one no longer holds. */
function merged(
  known: SavedHand | undefined,
  entries: Readonly<Record<string, unknown>>,
): Parameters<typeof checkHand>[0] {
  const tool = entries.tool ?? known?.tool ?? settings.tool.default;
  const earlier = known?.tool === tool ? known : undefined;
  const clean = Object.fromEntries(SKILLS.map((skill) => [skill, entries[skill]]));
  const entered = Object.entries(clean).filter(([, size]) => size !== undefined);
  const entriesFor = (measures: readonly (readonly [string, { readonly option: string }])[]) =>
    Object.fromEntries(
      measures.flatMap(([what, { option }]) =>
        entries[option] === undefined ? [] : [[what, entries[option]]],
      ),
    );
  return {
    tool,
    clean: { ...earlier?.clean, ...Object.fromEntries(entered) },
    minutes: entries.minutes ?? earlier?.minutes,
    warmUpMinutes: entries['warm-up'] ?? earlier?.warmUpMinutes,
    // No tool's: they hold whatever is cut with.
    glue: { ...known?.glue, ...entriesFor(MEASURES) },
    scissors: { ...known?.scissors, ...entriesFor(SNIPPED) },
  };
}

/** A hand, and the settings that it stands for. */
function handLines(one: SavedHand): string {
  const { tool, ...limits } = handSettings(one);
  const glue = glueSettings(one);
  const { scissors } = one;
  const hasCut = Object.keys(limits).length > 0;
  const isElse = one.glue !== undefined || scissors !== undefined;
  return [
    ...(hasCut || !isElse ? [`${one.name}, with the tool ${tool}`, ...valuesOf(limits)] : []),
    ...(one.glue === undefined ? [] : [`${one.name}, with glue`, ...valuesOf(glue)]),
    ...(scissors === undefined ? [] : [`${one.name}, with scissors`, ...slotsOf(one)]),
    '',
  ].join('\n');
}

/** The slot for scissors in one layer and in the packets that are folded most. */
function slotsOf(one: SavedHand): string[] {
  return LAYERS.map((layers) => {
    const { narrowestOpening } = scissorsSettings(one, layers);
    const of = `${layers} layer${layers === 1 ? '' : 's'}`;
    return `  ${optionName('narrowestOpening').padEnd(20)} ${narrowestOpening} mm in ${of}`;
  });
}

/** One layer, and those of a sheet folded in halves, quarters and eighths. */
const LAYERS = [1, 2, 4, 8] as const;

function valuesOf(values: Readonly<Record<string, unknown>>): string[] {
  return Object.entries(values).map(
    ([name, value]) =>
      `  ${optionName(name).padEnd(20)} ${JSON.stringify(value)} ${unitOf(name as SettingName)}`,
  );
}

function unitOf(name: SettingName): string {
  const setting = settings[name];
  return setting.kind === 'number' ? setting.unit : '';
}

function quoted(name: string): string {
  return name.includes(' ') ? `"${name}"` : name;
}
