import { basename, extname, resolve } from 'node:path';
import {
  LARGEST_MM,
  didYouMean,
  keptInWords,
  makeFor,
  makeLayerAgain,
  makeStencil,
  nameKey,
  namedCards,
  outputNames,
  outputsIn,
  pictureAt,
  Problem,
  prepareDrawing,
  takenInWords,
  usualOutputs,
  withEarlier,
  writeMade,
  unusedByOutputs,
  type DrawingThread,
  type Job,
  type LayersTold,
  type Made,
  type MakeOptions,
  type OutputName,
  type ResultFolder,
  type Provenance,
  type FolderRequest,
} from '../src/index.js';
import { textOf, positionalArguments, type Command, type CommandArguments } from './command.js';
import { stoppable } from './interrupts.js';
import { failedLine, madeLine } from './json-line.js';
import { jobOptions, readJob, readLayers, refuseWordsReport } from './job-given.js';
import { commandLine, nameOption, outDirOf, outOption, outputOptions } from './options.js';
import { noteLines, summaryText } from './summary.js';
import { progressOn, type OutputStreams } from './terminal.js';
import { tell } from './trouble.js';

/** One picture to make a stencil of, and the name of its stencil. */
interface MakeRequest {
  readonly picture: string;
  readonly name: string;
  /** The name is the person's own word. */
  readonly isChosen: boolean;
  /** What other pictures of this command are to be called. */
  readonly reserved: ReadonlySet<string>;
}

interface Plan {
  readonly job: Job;
  /** The set and the layer that the settings are of, where they are a layer's. */
  readonly layers: LayersTold | undefined;
  readonly outputs: readonly OutputName[];
  readonly outDir: string;
  readonly json: boolean;
  readonly output: OutputStreams;
}

const ALL = 'all';

/** `stencilwright make PICTURE…` */
export const make: Command = {
  command: 'make',
  takes: 'PICTURE…',
  describe: 'make a stencil of each picture',
  builder: {
    ...jobOptions,
    out: outOption('Files', 'the stencils’ folders go'),
    name: nameOption(
      'Files',
      'What the stencil and its folder are called, for one picture. Unless set: like the picture; with a number, nana-2, where another picture’s stencil or a folder of your own has that name. An earlier stencil of the same picture is replaced; what you put into its folder stays.',
    ),
    ...outputOptions,
  },
  help: {
    says: [
      'Turns each picture into a stencil. What is dark in the picture becomes an opening that you cut away and paint through; what is light stays film. Islands that would fall out get bridges, and nothing is left too thin to cut or to hold.',
      'A picture is a JPEG, PNG, WebP, TIFF, GIF, BMP, AVIF, SVG or HEIC file: a family photo, a scanned sketch, a drawing. Each one gets a folder of its own, named like the picture, with stencil.svg (what is cut), template.pdf (print it, lay clear film over it, follow the lines), plan.pdf (in which order to cut, how long it takes, and cautions), preview.png (what the paint leaves on the card) and report.json (sizes, bridges, remarks, and the settings to make it again).',
    ],
    examples: [
      'make nana.jpg',
      'make nana.jpg --card postcard --turn portrait --fit fill',
      'make page.jpg --tone local --tool craft-knife --out ~/stencils',
      'make moth.png --card 10x15cm --margin 8mm --swap',
      'make nana.jpg --settings stencils/nana/report.json --card a6',
    ],
    notes: {
      Measures: [
        `Write lengths as 6, 6mm, 0.6cm or 0.25in; a number alone is millimetres. A resolution is 300, 300dpi or 300px/in. A card is a name (${namedCards.map(({ name }) => name).join(', ')}) or two numbers and a unit: 4x4in, 105x148mm, 10x15cm, 4,5x4,5in; or one side of a square, 10cm; up to ${LARGEST_MM} mm a side.`,
      ],
      'With care': [
        'A hot tip and hot glue burn, film gives off fumes when it melts, and blades are sharp: work in moving air, on a surface that bears heat, with the tool on its stand, and follow your tool’s manual and your local rules.',
      ],
      'Ends with': [
        '0  \tevery stencil is good',
        '1  \ta stencil was written, but it breaks a promise: the report says which, and where',
        '2  \ta stencil was not written: the picture could not be read, or a setting is wrong',
      ],
    },
  },
  handler: makeAll,
};

/** Gives the exit status, the worst of the pictures'. */
async function makeAll(given: CommandArguments, output: OutputStreams): Promise<number> {
  await refuseWordsReport(given);
  const requests = readRequests(positionalArguments(given), textOf(given, 'name'));
  const plan: Plan = {
    job: await readJob(given),
    layers: await readLayers(given),
    outputs: readOutputs(textOf(given, 'outputs')),
    outDir: outDirOf(given),
    json: given.json === true,
    output,
  };
  const drawing = prepareDrawing(plan.outputs.filter((output) => output !== 'report'));
  let worst = 0;
  for (const request of requests) worst = Math.max(worst, await makeOne(request, plan, drawing));
  await drawing.close();
  if (!plan.json) output.stdout.write(noteLines(unusedByOutputs(plan.job, plan.outputs)));
  return worst;
}

async function makeOne(request: MakeRequest, plan: Plan, drawing: DrawingThread): Promise<number> {
  const { picture } = request;
  const { stdout, stderr } = plan.output;
  const progress = progressOn(stderr);
  try {
    const wish = await wishFor(request, plan);
    const { made, place } = await makeFor(plan.outDir, wish, (place) =>
      makeAt(place, { picture, of: wish.of, plan, drawing }, (text) => {
        progress.show(`${picture}: ${text} …`);
      }),
    );
    const notes = notesOf(wish, place, plan.outputs);
    const folder = await stoppable((signal) =>
      writeMade(made, plan.outDir, {
        signal,
        name: place.name,
        onKept: (kept) => void notes.push(keptInWords(kept)),
      }),
    );
    progress.clear();
    const fate = { picture, made, folder, notes };
    stdout.write(
      `${plan.json ? madeLine(picture, made, folder, notes) : summaryText(fate, stdout)}\n`,
    );
    return made.good ? 0 : 1;
  } catch (error) {
    progress.clear();
    if (plan.json) stdout.write(`${failedLine(picture, error)}\n`);
    return tell(error, picture, stderr);
  }
}

/** Where a picture's stencil wants to go; one that is a layer of a set is called after that. */
async function wishFor(
  { picture, isChosen, name, reserved }: MakeRequest,
  plan: Plan,
): Promise<FolderRequest> {
  const layer = plan.layers?.place;
  if (!layer) return { name, isChosen, reserved, of: await pictureAt(picture) };
  const of = await pictureAt(picture, `layer ${layer.number} of ${layer.count}`);
  return {
    name: isChosen ? name : `${setName(picture, plan.layers)}-layer-${layer.number}`,
    isChosen,
    reserved,
    of,
  };
}

/** What the set of a layer is called: as its report has it, when that is of this picture. */
function setName(picture: string, told: LayersTold | undefined): string {
  const [, named] = /^(.*), layer \d+ of \d+$/s.exec(told?.name ?? '') ?? [];
  return told?.picture === basename(resolve(picture)) && named ? named : nameWithoutEnding(picture);
}

function makeAt(
  { name, earlier }: ResultFolder,
  {
    picture,
    of,
    plan,
    drawing,
  }: { picture: string; of: Provenance; plan: Plan; drawing: DrawingThread },
  say: (text: string) => void,
): Promise<Made> {
  const about: Omit<MakeOptions, 'name'> = {
    outputs: withEarlier(plan.outputs, earlier),
    of,
    draw: drawing.draw,
    ...localeOf(process.env),
  };
  const { layers, job } = plan;
  if (layers?.place) {
    const { number, count } = layers.place;
    return makeLayerAgain(picture, job, layers.place, {
      ...about,
      name: `${setName(picture, layers)}, layer ${number} of ${count}`,
      onLayer: (layer) => {
        drawing.warm();
        say(`layer ${layer + 1} of ${count}`);
      },
    });
  }
  return makeStencil(picture, job, {
    ...about,
    name,
    onStage: (stage, place, count) => {
      // Not before: until then the second processor is busy with the picture.
      if (stage === 'widen') drawing.warm();
      say(`${doing[stage]} (${place + 1} of ${count})`);
    },
  });
}

/** What a person should know of where the files went. */
export function notesOf(
  { name, of }: FolderRequest,
  { earlier, taken }: ResultFolder,
  asked: readonly OutputName[],
): string[] {
  const more =
    earlier === undefined ? [] : outputsIn(earlier).filter((one) => !asked.includes(one));
  const hasChanged =
    earlier?.sha256 !== undefined && of.sha256 !== undefined && earlier.sha256 !== of.sha256;
  return [
    taken !== undefined && takenInWords(name, taken),
    hasChanged &&
      `The picture has changed since it was last made, so the earlier result was replaced`,
    more.length > 0 &&
      `There from before and made anew, so that all files belong together: ${more.join(', ')}`,
  ].filter((note) => note !== false);
}

/** Where the person is, from the environment: POSIX.1-2017, section 8.2, and LC_PAPER of the GNU C library. */
export function localeOf({ LC_ALL, LC_PAPER, LANG }: NodeJS.ProcessEnv): { locale?: string } {
  const locale = [LC_ALL, LC_PAPER, LANG].find((value) => value !== undefined && value !== '');
  return locale === undefined ? {} : { locale };
}

export const doing = {
  read: 'reading the picture',
  subject: 'telling the subject apart',
  faces: 'looking for faces',
  tone: 'telling dark from light',
  strands: 'following strands over and under',
  repeat: 'laying the motifs',
  lines: 'finding the lines',
  strokes: 'putting the strokes in order',
  fold: 'folding the sheet',
  role: 'parting film from openings',
  reach: 'bringing every opening to a fold',
  widen: 'widening what is too thin',
  trace: 'tracing the outlines',
  ease: 'easing the curves',
  bridge: 'holding the islands',
  frame: 'finishing the frame',
  packet: 'laying the cuts into the packet',
  likeness: 'comparing with the picture',
  plan: 'planning the cuts',
  survival: 'counting what is kept',
  measure: 'checking the promises',
  advice: 'looking for what would help',
  features: 'looking at the faces',
  strokeAdvice: 'looking for fewer strokes',
  check: 'summing up',
} as const;

export function readOutputs(list: string | undefined): readonly OutputName[] {
  if (list === undefined) return usualOutputs;
  if (list.trim().toLowerCase() === ALL) return outputNames;
  return list.split(',').map((word) => {
    const known = outputNames.find((name) => name === word.trim().toLowerCase());
    if (known !== undefined) return known;
    throw new Problem(
      `There is no output called "${word.trim()}"`,
      '--outputs',
      didYouMean(
        word.trim(),
        outputNames,
        `Choose among ${outputNames.join(', ')}, with commas between, or all`,
      ),
    );
  });
}

/** Names the stencils; refuses two pictures whose stencils would take one folder. */
function readRequests(
  pictures: readonly string[],
  chosen: string | undefined,
): readonly MakeRequest[] {
  if (pictures.length === 0) {
    throw new Problem(
      'No picture is named',
      'on the command line',
      'Write its file name, as in: stencilwright make nana.jpg',
    );
  }
  if (chosen !== undefined && pictures.length > 1) {
    throw new Problem(
      `One name for ${pictures.length} pictures`,
      commandLine.spell('name'),
      'Make them one at a time, or leave the name out',
    );
  }
  const requests = pictures.map((picture) => ({
    picture,
    name: chosen ?? nameWithoutEnding(picture),
  }));
  const taken = new Map<string, string>();
  for (const { picture, name } of requests) {
    const other = taken.get(nameKey(name));
    if (other !== undefined) {
      throw new Problem(
        `Two pictures would make one stencil, "${name}": ${other} and ${picture}`,
        'on the command line',
        'Make them one at a time, the second with a --name of its own, or rename one',
      );
    }
    taken.set(nameKey(name), picture);
  }
  return requests.map((request) => ({
    ...request,
    isChosen: chosen !== undefined,
    reserved: new Set([...taken.keys()].filter((key) => key !== nameKey(request.name))),
  }));
}

/** The picture's file name without its ending. */
export function nameWithoutEnding(picture: string): string {
  const file = basename(resolve(picture));
  return basename(file, extname(file));
}
