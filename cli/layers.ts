import { relative } from 'node:path';
import {
  completeLayers,
  counted,
  figuresOf,
  filesOfLayers,
  keptInWords,
  layerSettings,
  makeInPlace,
  makeLayers,
  pictureAt,
  prepareDrawing,
  visible,
  visibleJson,
  withEarlier,
  writeLayers,
  type Layer,
  type LayersMade,
  type Setting,
} from '../src/index.js';
import { textOf, type Command, type CommandArguments } from './command.js';
import { layersText } from './help-layers.js';
import { stoppable } from './interrupts.js';
import { jobOptions, onePicture, readJob, readLayers } from './job-given.js';
import { rounded } from './json-line.js';
import { localeOf, notesOf, readOutputs, stencilName } from './make.js';
import {
  commandLine,
  outDirOf,
  settingOptions,
  settingsGiven,
  switchOption,
  valueOption,
} from './options.js';
import { findingLines } from './summary.js';
import { painter, progressOn } from './terminal.js';

const own = Object.entries(layerSettings) as readonly (readonly [string, Setting])[];

/** `stencilwright layers PICTURE` */
export const layers: Command = {
  command: 'layers',
  takes: 'PICTURE',
  describe: 'a set of stencils, one for each paint',
  help: layersText,
  builder: {
    ...jobOptions(),
    ...settingOptions(own),
    out: valueOption,
    name: valueOption,
    outputs: valueOption,
    json: switchOption,
  },
  handler: async (given) => {
    process.exitCode = await makeSet(given);
  },
};

/** Gives the exit status: 0 all layers good, 1 one breaks a promise. */
async function makeSet(given: CommandArguments): Promise<number> {
  const picture = onePicture(given, 'Give one, as in: stencilwright layers nana.jpg');
  // With register marks unless denied.
  const job = await readJob(given, { registerMarks: true });
  const layersJob = completeLayers(await layersGiven(given), commandLine);
  const outputs = readOutputs(textOf(given, 'outputs'));
  const progress = progressOn(process.stderr);
  const drawing = prepareDrawing(outputs.filter((output) => output !== 'report'));
  try {
    const chosen = textOf(given, 'name');
    const of = await pictureAt(picture, 'layers');
    const name = chosen ?? stencilName(picture);
    const wish = { name, isChosen: chosen !== undefined, of };
    const { made, place } = await makeInPlace(outDirOf(given), wish, async (place) => {
      const made = await makeLayers(picture, job, layersJob, {
        name: place.name,
        of,
        outputs: withEarlier(outputs, place.earlier),
        draw: drawing.draw,
        ...localeOf(process.env),
        onLayer: (layer, count) => progress.show(`${picture}: layer ${layer + 1} of ${count} …`),
      });
      return { made, files: await filesOfLayers(made) };
    });
    const notes = notesOf(wish, place, outputs);
    const folder = await stoppable((signal) =>
      writeLayers(made, outDirOf(given), {
        signal,
        onKept: (kept) => void notes.push(keptInWords(kept)),
      }),
    );
    progress.clear();
    const told =
      given.json === true
        ? inJson(picture, made, folder, notes)
        : inWords(picture, made, folder, notes);
    process.stdout.write(`${told}\n`);
    return made.good ? 0 : 1;
  } finally {
    progress.clear();
    await drawing.close();
  }
}

/** What is set of the layers: on the command line, and where that says nothing of it, in a report that is given. */
async function layersGiven(given: CommandArguments): Promise<Readonly<Record<string, unknown>>> {
  const said = settingsGiven(given, own);
  const told = await readLayers(given);
  if (!told) return said;
  const { count, levels, laid, overlap, paints } = told.set;
  const parts = ['count', 'levels', 'paints'].some((name) => said[name] !== undefined)
    ? {}
    : { count: String(count), levels: levels?.join(','), paints: paints?.join(',') };
  return { laid, overlap, ...parts, ...said };
}

function inWords(
  picture: string,
  made: LayersMade,
  folder: string,
  notes: readonly string[],
): string {
  const paint = painter(process.stdout);
  const near = relative('', folder);
  const count = made.layers.length;
  return [
    paint('bold', visible(picture)),
    `${count} layers, to be painted in this order:`,
    ...made.layers.flatMap((layer, k) => [
      layerLine(layer, k),
      ...findingLines(layer.made, process.stdout),
    ]),
    `Files      ${visible(near === '' || near.startsWith('..') ? folder : near)}: layer-1 to layer-${count}, ${[...made.files.keys()].join(', ')}`,
    ...notes.map((note) => `           ${note}.`),
    made.good
      ? paint('green', 'Good: every layer stays in one piece, holds, and can be cut.')
      : paint('red', 'Look before you cut: a layer breaks a promise.'),
  ].join('\n');
}

function layerLine({ folder, level, paint, made }: Layer, k: number): string {
  const { check, frame, plan } = made.run.values;
  const length = check.openings.reduce((sum, { lengthMm }) => sum + lengthMm, 0) / 1000;
  const pieces = `${counted(check.openings.length, 'piece')}, ${length.toFixed(1)} m of cutting, ${counted(frame.bridges.length, 'bridge')}`;
  return `  ${k + 1}  ${paint}  ${folder}, from ${level} % on: ${pieces}, about ${counted(Math.ceil(plan.minutes), 'minute')}`;
}

function inJson(
  picture: string,
  made: LayersMade,
  folder: string,
  notes: readonly string[],
): string {
  return visibleJson({
    picture,
    status: made.good ? 0 : 1,
    name: made.name,
    folder,
    files: [...made.files.keys()],
    ...(notes.length > 0 && { notes }),
    layers: made.layers.map((layer) => ({
      folder: layer.folder,
      level: layer.level,
      paint: layer.paint,
      onLayerBefore: layer.onLayerBefore && Number(layer.onLayerBefore.toFixed(3)),
      good: layer.made.good,
      files: [...layer.made.files.keys()],
      ...rounded(figuresOf(layer.made)),
    })),
  });
}
