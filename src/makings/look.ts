import type { Rectification } from '../settings/rectification.js';
import { pageOf, readCopy } from '../pipeline/pipeline.js';
import type { Job } from '../settings/job.js';
import type { LayersMade } from './paint-layers.js';
import type {
  Advised,
  Screen,
  Screened,
  Sketch,
  Sketched,
  AdviceValues,
} from '../output/screen.js';

export type { Advised, Screen, Sketch };

/** A set of layers as a screen shows it, in the order of painting. Paths are SVG path data in mm on the sheet. */
export interface LayersLook {
  readonly sheet: { readonly widthMm: number; readonly heightMm: number };
  readonly layers: readonly LayerLook[];
}

interface LayerLook {
  readonly openings: string;
  readonly paint: string;
  /** In percent of full lightness; none of a sheet without a picture. */
  readonly level?: number;
  readonly pieces: number;
  readonly bridges: number;
  /** Of the hand alone: the tool is warmed up once for all of them. */
  readonly cuttingMinutes: number;
  readonly good: boolean;
}

/** A picture as a screen shows it, and what it is. */
export interface PictureLook {
  /** A JPEG of the whole picture, upright. */
  readonly jpeg: Uint8Array;
  readonly width: number;
  readonly height: number;
  /** The picture itself: size in px once upright, and the kind of file. */
  readonly source: { readonly width: number; readonly height: number; readonly format: string };
}

/**
 * A picture for a screen.
 *
 * @param longest px of the longer side at most
 * @param mostPixels what the picture may have
 * @param rectification how it is to be turned, straightened or laid flat
 * @throws Problem when it can't be read, or is larger than that
 */
export async function showPicture(
  bytes: Uint8Array,
  longest: number,
  mostPixels: number,
  rectification?: Rectification,
): Promise<PictureLook> {
  const { copyJpeg } = await import('../output/images/copy.js');
  const copy = await readCopy(bytes, longest, mostPixels, rectification);
  const { width, height, source } = copy;
  return { jpeg: await copyJpeg(copy), width, height, source };
}

/** The corners of the page that a picture shows, as the setting `page` has them; null where there is none. */
export const showPage = (bytes: Uint8Array): Promise<string | null> => pageOf(bytes);

/** The stages that a sketch is shown from. */
export const stagesToSketch = ['read', 'tone', 'strokes', 'fold', 'frame', 'packet'] as const;

/** The same, for sketches that are ranked by how like the picture they are. */
export const stagesToRank = [...stagesToSketch, 'likeness'] as const;

/** The stages that a stencil is shown from. */
export const stagesToShow = [
  ...stagesToSketch,
  'faces',
  'subject',
  'repeat',
  'widen',
  'ease',
  'plan',
  'likeness',
  'survival',
  'measure',
] as const;

/** The stages that what would help is told from. */
export const stagesToAdvise = ['advice', 'features', 'strokeAdvice', 'check'] as const;

/** What a screen shows of a run: pictures of its stages, paths in mm, findings. */
export async function showStencil(values: Screened, job: Pick<Job, 'as'>): Promise<Screen> {
  const { screenOf } = await import('../output/screen.js');
  return screenOf(values, job);
}

/** What is told of a stencil once somebody has looked for what would help. */
export async function tellAdvice(values: AdviceValues): Promise<Advised> {
  const { advisedOf } = await import('../output/screen.js');
  return advisedOf(values);
}

/** What a screen shows of a run that went as far as its bridges. */
export async function showSketch(values: Sketched, job: Pick<Job, 'as'>): Promise<Sketch> {
  const { sketchOf } = await import('../output/screen.js');
  return sketchOf(values, job);
}

/** What a screen shows of a set of layers. */
export async function showLayers({ layers }: LayersMade): Promise<LayersLook> {
  const [{ shapePath }, { withoutRegisterMarks }] = await Promise.all([
    import('../output/svg/path-data.js'),
    import('../geometry/register-marks.js'),
  ]);
  const { sheet } = layers[0].made.run.values.read;
  return {
    sheet: { widthMm: sheet.widthMm, heightMm: sheet.heightMm },
    layers: layers.map(({ made, paint, level }) => {
      const { frame, plan } = made.run.values;
      return {
        // Register marks are for a pencil, not for paint.
        openings: shapePath(withoutRegisterMarks(frame.openings, sheet, made.job)),
        paint,
        ...(level !== undefined && { level }),
        pieces: frame.openings.length,
        bridges: frame.bridges.length,
        cuttingMinutes: plan.minutes - plan.warmUpMinutes,
        good: made.good,
      };
    }),
  };
}
