import { withoutRegisterMarks } from '../geometry/register-marks.js';
import { rasterise } from '../geometry/rasterise.js';
import type { Shape } from '../geometry/shape.js';
import { sheetOf, type Job } from '../settings/job.js';
import type { LayerPlace, LayersJob } from '../settings/layer-settings.js';
import { makeStencil, provenanceOf, type Made, type MakeOptions } from './stencil.js';
import { openLayers, type LayerGround } from '../pipeline/pipeline.js';
import { namingThe, Problem } from '../settings/problem.js';
import { registerPlaces, registerSide } from '../settings/register-marks.js';
import { layersPng } from '../output/images/layers-preview.js';
import { layersJson, type LayersReported } from '../output/report/layers-report.js';
import { looksOf, marksOf, type Provenance } from '../disk/made-from.js';
import { writeResult, type WriteOptions } from '../disk/result.js';
import type { ResultFile } from '../disk/write.js';

/** One layer: a whole stencil, and its place among the others. */
export interface Layer {
  /** Its folder in the set's folder. */
  readonly folder: string;
  readonly made: Made;
  /** Of a picture: what is darker than this belongs to it or to a darker one, in percent of full lightness. */
  readonly level?: number;
  /** The colour of its paint. */
  readonly paint: string;
  /** Share of what it paints that lies on the paint of the layer before it, 0 to 1; null for the first. */
  readonly onLayerBefore: number | null;
}

/** A layer of a picture's tones. */
export interface ToneLayer extends Layer {
  readonly level: number;
}

/** A picture or words as a set of layers, in the order of painting: the lightest first. */
export interface LayersMade<One extends Layer = Layer> {
  readonly name: string;
  readonly layers: readonly One[];
  /** All of them painted, and the report of the set. */
  readonly files: ReadonlyMap<string, string | Uint8Array>;
  readonly good: boolean;
}

export interface LayersOptions extends Pick<
  MakeOptions,
  'name' | 'outputs' | 'locale' | 'draw' | 'of'
> {
  /** Called when a layer begins: its place from 0 in the order of painting, and how many there are. */
  readonly onLayer?: (layer: number, count: number) => void;
}

/**
 * Makes a set of stencils of one picture, one for each layer of tone. Nothing is written.
 *
 * The darkest layer is made first: the lighter ones are told what its finished openings cover.
 *
 * @param source a path, or the bytes of a picture file
 * @throws Problem when the picture can't be read, has too few tones, or has a layer with nothing to cut
 */
export async function makeLayers(
  source: string | Uint8Array,
  job: Job,
  layersJob: LayersJob,
  options: LayersOptions,
): Promise<LayersMade<ToneLayer>> {
  if (job.fold !== 'none') {
    throw new Problem(
      'Layers of paint are cut from flat sheets, one each',
      '`fold`',
      'Make the layers without a fold, or one stencil of the folded sheet',
    );
  }
  const ground = await openGround(source, job, layersJob);
  const of = options.of ?? (await provenanceOf(source, 'layers'));
  const count = ground.levels.length;
  const paints = layersJob.paints ?? paintSteps(job, count);
  const sheet = sheetOf(job);
  const layers: ToneLayer[] = [];
  let painted: Shape[] = [];
  let darker: readonly Shape[] = [];
  for (let k = count - 1; k >= 0; k--) {
    options.onLayer?.(k, count);
    const about = { place: layerPlace(layersJob, k, count), job: { ...job, paint: paints[k] }, of };
    const made = await makeLayer(ground.toned(k, painted), about, options);
    const own = withoutRegisterMarks(made.run.values.frame.openings, sheet, job);
    const next = layers.at(0);
    if (next) layers[0] = { ...next, onLayerBefore: shareOn(darker, own, made) };
    layers.unshift({
      folder: `layer-${k + 1}`,
      made,
      level: ground.levels[k],
      paint: paints[k],
      onLayerBefore: null,
    });
    painted = [...painted, ...own];
    darker = own;
  }
  const { levels, laid, overlap, paints: given } = layersJob;
  return assembleLayers(layers, job, {
    name: options.name,
    of,
    laid,
    overlapMm: overlap,
    set: { count: layersJob.count, levels, laid, overlap, paints: given },
  });
}

function openGround(
  source: string | Uint8Array,
  job: Job,
  { levels, count, laid, overlap }: Omit<LayersJob, 'paints'>,
): Promise<LayerGround> {
  return namingThe(source, () =>
    openLayers(source, job, {
      parts: levels ?? count,
      separate: laid === 'separate',
      overlapMm: overlap,
    }),
  );
}

const layerPlace = (
  { levels, laid, overlap }: LayersJob,
  k: number,
  count: number,
): LayerPlace => ({
  number: k + 1,
  count,
  levels,
  laid,
  overlap,
});

/**
 * Makes one layer again, as it is made in its set: the darker ones are made first, as far as it has to know of them.
 *
 * @param job with the layer's own paint, as the layer's report has it
 * @param options `name`: the layer's own, as in its report
 * @throws Problem as `makeLayers`
 */
export async function makeLayerAgain(
  source: string | Uint8Array,
  job: Job,
  place: LayerPlace,
  options: LayersOptions,
): Promise<Made> {
  const { number, count } = place;
  const ground = await openGround(source, job, place);
  const of = options.of ?? (await provenanceOf(source, 'layers'));
  let painted: Shape[] = [];
  for (let k = count - 1; ; k--) {
    options.onLayer?.(k, count);
    const isAsked = k + 1 === number;
    const about = { place: { ...place, number: k + 1 }, job, of };
    const made = await makeLayer(ground.toned(k, painted), about, {
      ...options,
      ...(!isAsked && { outputs: [] }),
    });
    if (isAsked) return made;
    const { openings } = made.run.values.frame;
    painted = [...painted, ...withoutRegisterMarks(openings, sheetOf(job), job)];
  }
}

async function makeLayer(
  toned: Parameters<typeof makeStencil>[0],
  { place, job, of }: { readonly place: LayerPlace; readonly job: Job; readonly of: Provenance },
  { name, outputs, locale, draw }: LayersOptions,
): Promise<Made> {
  const { number, count } = place;
  const says = `, layer ${number} of ${count}`;
  return sayingLayer(number, count, () =>
    makeStencil(toned, job, {
      name: name.endsWith(says) ? name.slice(0, -says.length) : name,
      says,
      layer: place,
      of: { ...of, made: `layer ${number} of ${count}` },
      // So that it can be made again to the last byte.
      timeless: true,
      ...(outputs && { outputs }),
      ...(locale !== undefined && { locale }),
      ...(draw && { draw }),
    }),
  );
}

/** Makes a layer, or says which one can't be made. */
export async function sayingLayer<T>(
  number: number,
  count: number,
  make: () => Promise<T>,
): Promise<T> {
  try {
    return await make();
  } catch (error) {
    if (!(error instanceof Problem)) throw error;
    throw new Problem(
      `Layer ${number} of ${count} can't be made: ${error.what}`,
      error.where,
      'Make fewer layers, give other levels, or take a larger card',
      { cause: error },
    );
  }
}

/** What the report of a set says of it as a whole. */
type AboutSet = Pick<LayersReported, 'name' | 'laid' | 'overlapMm' | 'set' | 'words'> & {
  readonly of: Provenance;
};

/** A set of finished layers, in the order of painting, with the preview of all and its report. */
export async function assembleLayers<One extends Layer>(
  layers: readonly One[],
  job: Job,
  { of, ...about }: AboutSet,
): Promise<LayersMade<One>> {
  const sheet = sheetOf(job);
  const coats = layers.map(({ made, paint }) => ({
    openings: withoutRegisterMarks(made.run.values.frame.openings, sheet, job),
    paint,
  }));
  const good = layers.every(({ made }) => made.good);
  const { gray, pictureBox } = layers[0].made.run.values.read;
  const preview = await layersPng(coats, sheet, job.ground);
  const report = layersJson({
    ...about,
    sheet,
    job,
    register: { places: registerPlaces(sheet, job), sideMm: registerSide(job) },
    layers: layers.map(({ made, folder, level, paint, onLayerBefore }) => ({
      folder,
      ...(level !== undefined && { level }),
      paint,
      onLayerBefore,
      openings: made.run.values.frame.openings.length,
      bridges: made.run.values.frame.bridges.length,
      minutes: made.run.values.plan.minutes,
      good: made.good,
    })),
    madeFrom: {
      ...of,
      looks: looksOf(gray, pictureBox),
      files: marksOf([...inFolders(layers), ['preview.png', preview]]),
    },
  });
  const files = new Map<string, string | Uint8Array>([
    ['preview.png', preview],
    ['report.json', report],
  ]);
  return { name: about.name, layers, files, good };
}

/** All files of the layers, by their ways from the set's folder. */
function inFolders(layers: readonly Layer[]): [string, string | Uint8Array][] {
  return layers.flatMap(({ folder, made: { files } }) =>
    [...files].map(([name, bytes]): [string, string | Uint8Array] => [`${folder}/${name}`, bytes]),
  );
}

/** All files of a set, by their ways from its folder. */
export function filesOfLayers({ layers, files }: LayersMade): readonly ResultFile[] {
  return [...inFolders(layers), ...files].map(([name, bytes]) => ({ name, bytes }));
}

/**
 * Writes a set of layers to a folder of its own in `outDir`, whole or not at all: a folder for each layer, as that of a
 * single stencil, and beside them the preview of all and the report.
 *
 * @param onKept called for each file that a person had changed, when it was put beside the new one
 * @returns the folder
 * @throws Problem when it can't be written, or when the folder holds anything but an earlier set of the same picture;
 *   what was there is there still
 */
export async function writeLayers(
  made: LayersMade,
  outDir: string,
  how: WriteOptions = {},
): Promise<string> {
  return writeResult(outDir, made.name, filesOfLayers(made), how);
}

/**
 * How far from the ground towards the paint the first layer is, as a share: less would hardly be told from the card.
 * The others follow in even steps.
 */
const FIRST_STEP = 0.3;

/** Paints from a light one, near the ground's colour, to the job's own. */
export function paintSteps(
  { ground, paint }: Pick<Job, 'ground' | 'paint'>,
  count: number,
): string[] {
  return Array.from({ length: count }, (_, k) => {
    const share = FIRST_STEP + ((1 - FIRST_STEP) * k) / Math.max(1, count - 1);
    const mixed = [1, 3, 5].map((at) => {
      const [from, to] = [ground, paint].map((colour) => parseInt(colour.slice(at, at + 2), 16));
      return Math.round(from + (to - from) * share)
        .toString(16)
        .padStart(2, '0');
    });
    return `#${mixed.join('')}`;
  });
}

/** A coarse raster, px a mm: a share that is told in whole percent needs no finer one. */
const SHARE_PIXELS_PER_MM = 5;

/** Share of what `upper` paints that lies on what `lower` paints. */
export function shareOn(upper: readonly Shape[], lower: readonly Shape[], made: Made): number {
  const { widthMm, heightMm } = made.run.values.read.sheet;
  const [above, below] = [upper, lower].map(
    (shapes) =>
      rasterise(
        shapes,
        Math.ceil(widthMm * SHARE_PIXELS_PER_MM),
        Math.ceil(heightMm * SHARE_PIXELS_PER_MM),
        SHARE_PIXELS_PER_MM,
      ).data,
  );
  let [all, on] = [0, 0];
  for (let i = 0; i < above.length; i++) {
    all += above[i];
    on += above[i] & below[i];
  }
  return all === 0 ? 1 : on / all;
}
