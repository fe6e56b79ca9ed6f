import { namedCards, outputNames, toolLimits, usualOutputs, type Setting } from '../src/index.js';
import type { Command } from './command.js';
import { optionName, optionSettings } from './options.js';
import { wrap, type Paint } from './terminal.js';

const LEFT = 30;
const LARGEST_MM = 1000;

/** `stencilwright --help`: what it is, and where to go on. */
export function overviewText(
  commands: readonly Pick<Command, 'command' | 'takes' | 'describe'>[],
  paint: Paint,
  columns: number,
): string {
  return [
    wrap(
      'stencilwright turns a picture into a stencil that you can cut by hand: sized to your card or journal page, all in one piece, and true to size.',
      columns,
    ),
    '',
    paint('bold', 'Use'),
    ...commands.flatMap(({ command, takes, describe }) => [
      use(`${command} ${takes}`, describe),
      use(`${command} --help`, 'everything that you can set'),
    ]),
    use('--version', ''),
    '',
    paint('bold', 'To begin'),
    '  stencilwright make nana.jpg',
    '',
  ].join('\n');
}

function use(words: string, text: string): string {
  return `  ${`stencilwright ${words}`.padEnd(LEFT)}  ${text}`.trimEnd();
}

/** `stencilwright make --help`. */
export function makeText(paint: Paint, columns: number): string {
  const groups = [...new Set(optionSettings().map(([, { group }]) => group))];
  return [
    `${paint('bold', 'stencilwright make PICTURE…')}\n`,
    wrap(
      'Turns each picture into a stencil. What is dark in the picture becomes an opening that you cut away and paint through; what is light stays film. Islands that would fall out get bridges, and nothing is left too thin to cut or to hold.',
      columns,
    ),
    '',
    wrap(
      'A picture is a JPEG, PNG, WebP, TIFF, GIF, BMP, AVIF, SVG or HEIC file: a family photo, a scanned sketch, a drawing. Each one gets a folder of its own, named like the picture, with stencil.svg (what is cut), template.pdf (print it, lay clear film over it, follow the lines), plan.pdf (in which order to cut, how long it takes, and cautions), preview.png (what the paint leaves on the card) and report.json (sizes, bridges, remarks, and the settings to make it again).',
      columns,
    ),
    '',
    paint('bold', 'Examples'),
    '  stencilwright make nana.jpg',
    '  stencilwright make nana.jpg --card postcard --turn portrait --fit fill',
    '  stencilwright make sketch.jpg --tone local --tool craft-knife --out ~/stencils',
    '  stencilwright make moth.png --card 10x15cm --margin 8mm --swap',
    '  stencilwright make nana.jpg --settings stencils/nana/report.json --card 5x7in',
    ...groups.flatMap((group) => ['', paint('bold', group), ...groupLines(group, columns)]),
    '',
    paint('bold', 'Files'),
    entry(
      '--out DIR',
      'The folder that the stencils’ folders go in. Unless set: ./stencils.',
      columns,
    ),
    entry(
      '--name NAME',
      'What the stencil and its folder are called, for one picture. Unless set: like the picture; with a number, nana-2, where another picture’s stencil or a folder of your own has that name. An earlier stencil of the same picture is replaced; what you put into its folder stays.',
      columns,
    ),
    entry(
      '--outputs LIST',
      `What to write, with commas between: ${outputNames.filter((name) => name !== 'report').join(', ')}, report alone, or all. Unless set: ${usualOutputs.join(', ')}. The report is always written.`,
      columns,
    ),
    entry(
      '--settings FILE',
      'Takes settings from a JSON file, {"card": "4x4in", "narrowestOpening": 2}, or from the report.json of a stencil. What you set on the command line goes before it.',
      columns,
    ),
    entry(
      '--hand NAME',
      'Takes the limits of your own hand, as saved with stencilwright hand, in place of the tool’s.',
      columns,
    ),
    entry(
      '--json',
      'Prints one line of JSON for each picture, for another program to read.',
      columns,
    ),
    entry('--help', 'Shows this.', columns),
    '',
    paint('bold', 'Measures'),
    wrap(
      `Write lengths as 6, 6mm, 0.6cm or 0.25in; a number alone is millimetres. A resolution is 300, 300dpi or 300px/in. A card is a name (${namedCards.map(({ name }) => name).join(', ')}) two numbers and a unit: 4x4in, 105x148mm, 10x15cm, 4,5x4,5in; or one side of a square, 10cm; up to ${LARGEST_MM} mm a side.`,
      columns,
      '  ',
    ),
    '',
    paint('bold', 'With care'),
    wrap(
      'A hot tip and hot glue burn, film gives off fumes when it melts, and blades are sharp: work in moving air, on a surface that bears heat, with the tool on its stand, and follow your tool’s manual and your local rules.',
      columns,
      '  ',
    ),
    '',
    paint('bold', 'Ends with'),
    '  0  every stencil is good',
    '  1  a stencil was written, but it breaks a promise: the report says which, and where',
    '  2  a stencil was not written: the picture could not be read, or a setting is wrong',
    '',
  ].join('\n');
}

/** `stencilwright tones --help`. */
export function tonesText(paint: Paint, columns: number): string {
  return [
    `${paint('bold', 'stencilwright tones PICTURE')}\n`,
    wrap(
      'Shows a picture in many tones, each as a small print of its finished stencil with what there is to cut, so that you can choose by looking. Writes a sheet of them all, as a picture, nana-tones.png, and as a page, nana-tones.html.',
      columns,
    ),
    '',
    paint('bold', 'Examples'),
    '  stencilwright tones nana.jpg',
    '  stencilwright tones nana.jpg --card 5x7in --crop 20,5,60,70',
    '',
    paint('bold', 'Options'),
    entry('--out DIR', 'The folder that they go in. Unless set: ./stencils.', columns),
    entry('--name NAME', 'What they are called. Unless set: like the picture.', columns),
    entry(
      '--settings FILE, and every setting',
      'As for stencilwright make; see its --help.',
      columns,
    ),
    entry('--help', 'Shows this.', columns),
    '',
    paint('bold', 'Ends with'),
    '  0  the sheet is written',
    '  2  nothing was written',
    '',
  ].join('\n');
}

/** `stencilwright batch --help`. */
export function batchText(paint: Paint, columns: number): string {
  return [
    `${paint('bold', 'stencilwright batch FOLDER')}\n`,
    wrap(
      'Makes a stencil of every picture in a folder, as many at the same time as your computer has cores, and a summary of them all: summary.html to look at, summary.csv for a spreadsheet. A picture that can’t be made does not stop the others; the summary says why.',
      columns,
    ),
    '',
    wrap(
      'Stop it with Ctrl-C when you like. Given again, the same command goes on where it was, and makes anew only what changed: a picture, or its settings.',
      columns,
    ),
    '',
    wrap(
      'A picture can have settings of its own: a file beside it with the same name and the ending .json, nana.json for nana.jpg. They go before those of the command line.',
      columns,
    ),
    '',
    paint('bold', 'Examples'),
    '  stencilwright batch ~/Pictures/cards',
    '  stencilwright batch ~/Pictures/cards --below --card postcard --out ~/stencils',
    '',
    paint('bold', 'Options'),
    entry(
      '--out DIR',
      'The folder that the stencils’ folders and the summary go in. Unless set: ./stencils.',
      columns,
    ),
    entry('--below', 'Takes the pictures in the folders below as well.', columns),
    entry(
      '--threads NUMBER',
      'How many stencils are made at the same time. Unless set: as many as the computer has cores.',
      columns,
    ),
    entry(
      '--outputs LIST, --settings FILE, --hand NAME, --json, and every setting',
      'As for stencilwright make; see its --help.',
      columns,
    ),
    entry('--help', 'Shows this.', columns),
    '',
    paint('bold', 'Ends with'),
    '  0  every stencil is good',
    '  1  a picture could not be made, or a stencil breaks a promise: the summary says which',
    '  2  nothing was made',
    '',
  ].join('\n');
}

function groupLines(group: Setting['group'], columns: number): string[] {
  return optionSettings()
    .filter(([, setting]) => setting.group === group)
    .map(([name, setting]) => settingEntry(name, setting, columns));
}

/** A setting as an option, and what it does. */
export function settingEntry(name: string, setting: Setting, columns: number): string {
  return entry(`--${optionName(name)}${argument(setting)}`, describe(name, setting), columns);
}

function argument(setting: Setting): string {
  switch (setting.kind) {
    case 'number':
      return ` ${unitWords[setting.unit]}`;
    case 'choice':
      return ' WHICH';
    case 'text':
      return ` ${setting.form}`;
    case 'switch':
    case 'data':
      return '';
  }
}

const unitWords: Readonly<Record<Extract<Setting, { kind: 'number' }>['unit'], string>> = {
  mm: 'MM',
  'mm²': 'MM²',
  '%': 'PERCENT',
  'mm/min': 'MM/MIN',
  min: 'MINUTES',
  'px/mm': 'PX/MM',
  'px/in': 'PX/IN',
};

function describe(name: string, setting: Setting): string {
  const choices = setting.kind === 'choice' ? ` One of ${setting.choices.join(', ')}.` : '';
  const unset = unsetValue(name, setting);
  return `${setting.says}${choices}${unset === '' ? '' : ` Unless set: ${unset}.`}`;
}

function unsetValue(name: string, setting: Setting): string {
  if (setting.kind === 'switch' || setting.kind === 'data') return '';
  const unit = setting.kind === 'number' ? ` ${setting.unit}` : '';
  if (setting.default !== null) return `${setting.default}${unit}`;
  const byTool = Object.entries(toolLimits).filter(([, limits]) => name in limits);
  if (byTool.length === 0) return setting.follows ?? '';
  return byTool
    .map(([tool, limits]) => `${tool} ${limits[name as keyof typeof limits]}`)
    .join(', ')
    .concat(unit);
}

/** An option and what it does, in two columns. */
export function entry(option: string, text: string, columns: number): string {
  const right = wrap(text, columns, ' '.repeat(LEFT));
  const left = `  ${option}`;
  return left.length < LEFT ? left + right.slice(left.length) : `${left}\n${right}`;
}
