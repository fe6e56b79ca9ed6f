import { relative } from 'node:path';
import {
  completeJob,
  completeLayers,
  layerSettings,
  makeLayers,
  overlay,
  Problem,
  prepareDrawing,
  readSettingsFile,
  writeLayers,
  type Job,
  type Layer,
  type LayersMade,
  type Setting,
} from '../src/index.js';
import { textOf, wordsOf, type Command, type Given } from './command.js';
import { settingsOfHand } from './hand-given.js';
import { layersText } from './help-layers.js';
import { uninterrupted } from './interrupts.js';
import { localeOf, readOutputs, stencilName } from './make.js';
import {
  commandLine,
  settingOptions,
  settingsGiven,
  switchOption,
  valueOption,
} from './options.js';
import { findingLines } from './summary.js';
import { painter, progressOn } from './terminal.js';

const DEFAULT_OUT = 'stencils';
const own = Object.entries(layerSettings) as readonly (readonly [string, Setting])[];

/** `stencilwright layers PICTURE` */
export const layers: Command = {
  command: 'layers',
  takes: 'PICTURE',
  describe: 'a set of stencils, one for each paint',
  help: layersText,
  builder: {
    ...settingOptions(),
    ...settingOptions(own),
    out: valueOption,
    outputs: valueOption,
    settings: valueOption,
    hand: valueOption,
    json: switchOption,
  },
  handler: async (given) => {
    process.exitCode = await makeSet(given);
  },
};

/** Gives the exit status: 0 all layers good, 1 one breaks a promise. */
async function makeSet(given: Given): Promise<number> {
  const picture = readPicture(wordsOf(given));
  const job = await readJob(given);
  const layersJob = completeLayers(settingsGiven(given, own), commandLine);
  const outputs = readOutputs(textOf(given, 'outputs'));
  const progress = progressOn(process.stderr);
  const drawing = prepareDrawing(outputs.filter((output) => output !== 'report'));
  try {
    const made = await makeLayers(picture, job, layersJob, {
      name: stencilName(picture),
      outputs,
      draw: drawing.draw,
      ...localeOf(process.env),
      onLayer: (layer, count) => progress.show(`${picture}: layer ${layer + 1} of ${count} …`),
    });
    const folder = await uninterrupted(() =>
      writeLayers(made, textOf(given, 'out') ?? DEFAULT_OUT),
    );
    progress.clear();
    const told =
      given.json === true ? inJson(picture, made, folder) : inWords(picture, made, folder);
    process.stdout.write(`${told}\n`);
    return made.good ? 0 : 1;
  } finally {
    progress.clear();
    await drawing.close();
  }
}

function readPicture(words: readonly string[]): string {
  if (words.length === 1) return words[0];
  throw new Problem(
    words.length === 0 ? 'No picture is named' : `Several pictures are named: ${words.join(', ')}`,
    commandLine.where,
    'Give one, as in: stencilwright layers nana.jpg',
  );
}

/** The settings of the file, if any, and over them those of the command line; with register marks unless denied. */
async function readJob(options: Given): Promise<Job> {
  const given = { registerMarks: true, ...(await settingsOfHand(options)) };
  const file = textOf(options, 'settings');
  if (file === undefined) return completeJob(given, commandLine);
  const under = await readSettingsFile(file);
  return completeJob(overlay(under, given), { ...commandLine, where: file });
}

function inWords(picture: string, made: LayersMade, folder: string): string {
  const paint = painter(process.stdout);
  const near = relative('', folder);
  const count = made.layers.length;
  return [
    paint('bold', picture),
    `${count} layers, to be painted in this order:`,
    ...made.layers.flatMap((layer, k) => [
      layerLine(layer, k),
      ...findingLines(layer.made, process.stdout),
    ]),
    `Files      ${near === '' || near.startsWith('..') ? folder : near}: layer-1 to layer-${count}, ${[...made.files.keys()].join(', ')}`,
    made.good
      ? paint('green', 'Good: every layer stays in one piece, holds, and can be cut.')
      : paint('red', 'Look before you cut: a layer breaks a promise.'),
  ].join('\n');
}

function layerLine({ folder, level, paint, made }: Layer, k: number): string {
  const { check, bridge, plan } = made.run.values;
  const length = check.openings.reduce((sum, { lengthMm }) => sum + lengthMm, 0) / 1000;
  const pieces = `${check.openings.length} pieces, ${length.toFixed(1)} m of cutting, ${bridge.bridges.length} bridges`;
  return `  ${k + 1}  ${paint}  ${folder}, from ${level} % on: ${pieces}, about ${Math.ceil(plan.minutes)} minutes`;
}

function inJson(picture: string, made: LayersMade, folder: string): string {
  return JSON.stringify({
    picture,
    status: made.good ? 0 : 1,
    name: made.name,
    folder,
    files: [...made.files.keys()],
    layers: made.layers.map((layer) => ({
      folder: layer.folder,
      level: layer.level,
      paint: layer.paint,
      onLayerBefore: layer.onLayerBefore,
      good: layer.made.good,
      files: [...layer.made.files.keys()],
      findings: layer.made.run.values.check.findings,
    })),
  });
}
