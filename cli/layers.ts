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
  type FolderRequest,
  type Layer,
  type LayersMade,
  type LayersOptions,
  type OutputName,
  type Setting,
} from '../src/index.js';
import { textOf, type Command, type CommandArguments } from './command.js';
import { stoppable } from './interrupts.js';
import { jobOptions, onePicture, readJob, readLayers, refuseWordsReport } from './job-given.js';
import { withRoundedLength } from './json-line.js';
import { localeOf, notesOf, readOutputs, nameWithoutEnding } from './make.js';
import {
  commandLine,
  nameOption,
  outDirOf,
  outOption,
  outputOptions,
  settingsGiven,
  unshown,
} from './options.js';
import { settingOptions } from './setting-option.js';
import { findingLines } from './summary.js';
import { painter, progressOn, type OutputStreams, type Stream } from './terminal.js';

const own = Object.entries(layerSettings) as readonly (readonly [string, Setting])[];

/** `stencilwright layers PICTURE` */
export const layers: Command = {
  command: 'layers',
  takes: 'PICTURE',
  describe: 'a set of stencils, one for each paint',
  builder: {
    ...settingOptions(own, 'Layers'),
    ...unshown({ ...jobOptions, ...outputOptions }),
    'register-marks': {
      type: 'boolean',
      denied: true,
      group: 'Options',
      describe: 'Cuts no squares in the margin.',
    },
    out: outOption('Options', 'the set’s folder goes'),
    name: nameOption(
      'Options',
      'What the set and its folder are called. Unless set: like the picture; with a number where something else has that name.',
    ),
  },
  help: {
    says: [
      'Makes 2 to 5 stencils of one picture, one for each paint: the first paints all that is not the lightest, the last only the darkest. Each is a whole stencil that keeps every promise, in a folder of its own with its template and its plan: nana/layer-1, nana/layer-2 and so on, in the order of painting, the lightest paint first. Beside them, preview.png shows all of them painted.',
      'Three small squares in the margin stand at the same places on every sheet: lay the first sheet, mark the card through them with a pencil, paint; lay the next sheet so that the marks show in its squares. The corner without one, at the lower right, tells when a sheet lies turned or wrong side up.',
    ],
    examples: [
      'layers nana.jpg',
      'layers nana.jpg --count 4 --card 5x7in --turn portrait',
      "layers hen.jpg --subject find --paints '#d9a441,#3b2418'",
      'layers fern.jpg --levels 70,40 --laid separate',
    ],
    notes: {
      'And as for stencilwright make': [
        '--outputs, --settings, --hand, --json and every setting: see stencilwright make --help. The tone and its level have no say here.',
      ],
      'Ends with': [
        '0  \tevery layer is good',
        '1  \tthe set was written, but a layer breaks a promise: its report says which, and where',
        '2  \tnothing was written: the picture could not be read, or a setting is wrong',
      ],
    },
  },
  handler: makeSet,
};

/** Gives the exit status: 0 all layers good, 1 one breaks a promise. */
async function makeSet(given: CommandArguments, output: OutputStreams): Promise<number> {
  await refuseWordsReport(given);
  const picture = onePicture(given, 'Give one, as in: stencilwright layers nana.jpg');
  // With register marks unless denied.
  const job = await readJob(given, { registerMarks: true });
  const layersJob = completeLayers(await layersGiven(given), commandLine);
  const outputs = readOutputs(textOf(given, 'outputs'));
  const chosen = textOf(given, 'name');
  return writeSet(given, output, {
    title: picture,
    outputs,
    doing: `${picture}: layer`,
    request: async () => ({
      name: chosen ?? nameWithoutEnding(picture),
      isChosen: chosen !== undefined,
      of: await pictureAt(picture, 'layers'),
    }),
    make: (options) => makeLayers(picture, job, layersJob, options),
  });
}

/** A set of layers that is to be made and written. */
interface SetWanted {
  /** The picture's path, or the words. */
  readonly title: string;
  readonly outputs: readonly OutputName[];
  /** What stands before a layer's number while it is made. */
  readonly doing: string;
  readonly request: () => Promise<FolderRequest>;
  readonly make: (options: LayersOptions) => Promise<LayersMade>;
}

/** Makes a set of layers, writes it and tells of it. Gives the exit status: 0 all layers good, 1 one breaks a promise. */
export async function writeSet(
  given: CommandArguments,
  { stdout, stderr }: OutputStreams,
  { title, outputs, doing, request, make }: SetWanted,
): Promise<number> {
  const progress = progressOn(stderr);
  const drawing = prepareDrawing(outputs.filter((output) => output !== 'report'));
  try {
    const wish = await request();
    const { made, place } = await makeInPlace(outDirOf(given), wish, async (place) => {
      const made = await make({
        name: place.name,
        of: wish.of,
        outputs: withEarlier(outputs, place.earlier),
        draw: drawing.draw,
        ...localeOf(process.env),
        onLayer: (layer, count) => progress.show(`${doing} ${layer + 1} of ${count} …`),
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
        ? layersInJson(title, made, folder, notes)
        : layersInWords(title, made, { folder, notes, stdout });
    stdout.write(`${told}\n`);
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

function layersInWords(
  picture: string,
  made: LayersMade,
  { folder, notes, stdout }: { folder: string; notes: readonly string[]; stdout: Stream },
): string {
  const paint = painter(stdout);
  const near = relative('', folder);
  const count = made.layers.length;
  return [
    paint('bold', visible(picture)),
    `${count} layers, to be painted in this order:`,
    ...made.layers.flatMap((layer, k) => [
      layerLine(layer, k),
      ...findingLines(layer.made, stdout),
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
  return `  ${k + 1}  ${paint}  ${folder}${level === undefined ? '' : `, from ${level} % on`}: ${pieces}, about ${counted(Math.ceil(plan.minutes), 'minute')}`;
}

function layersInJson(
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
      ...withRoundedLength(figuresOf(layer.made)),
    })),
  });
}
