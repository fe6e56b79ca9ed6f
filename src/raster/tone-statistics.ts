import type { Field } from './field.js';
import { histogramOf, otsu, quantile } from './histogram.js';
import { blockMaxima, flattened, paperOf } from './paper.js';

/** What a picture is like, in numbers that a choice of tone can be explained by. Shares go from 0 to 1. */
export interface ToneStatistics {
  /** Otsu's η of the best single level. */
  readonly separability: number;
  /** Share of the pixels that is plainly dark or plainly light: near one of the two classes' means. */
  readonly plain: number;
  /** Share that is dark at the best single level. */
  readonly dark: number;
  readonly page: PageStatistics;
}

/** What a picture is like once it is divided by an estimate of bare paper. */
interface PageStatistics {
  /** How much darker the paper is where it is darkest than where it is lightest. */
  readonly drift: number;
  /** How much darker the marks are than the paper round them. */
  readonly contrast: number;
  /** Share of the pixels that is bare paper. */
  readonly bare: number;
  /** Share of the blocks of 2 mm in which bare paper shows somewhere: 1 when there are thin strokes only. */
  readonly shows: number;
}

/** A pixel is plainly of a class within this share of the distance between the two means. */
const PLAIN = 0.15;
/** A pixel is bare paper when it lies less than this share of the way from the paper to the marks. */
const BARE = 0.25;
/** Wider than strokes of a pen at card size, narrower than the dark masses of photographs. */
const BLOCK_MM = 2;
/** Dark marks up to 16 mm wide are closed over: light from a lamp drifts more slowly than that. */
const CLOSING_BLOCKS = 4;
/** The lightest and darkest share of the paper that its drift leaves out. */
const TAIL = 0.02;

/** @param pixelsPerMm of the field; 2 or more, or thin strokes are lost in it */
export function toneStatistics(field: Field, pixelsPerMm: number): ToneStatistics {
  const { separability, darkMean, lightMean, darkShare } = otsu(histogramOf(field));
  const near = PLAIN * (lightMean - darkMean);
  const plain = shareOf(
    field,
    (value) => Math.abs(value - darkMean) <= near || Math.abs(value - lightMean) <= near,
  );
  return { separability, plain, dark: darkShare, page: pageCharacterOf(field, pixelsPerMm) };
}

function pageCharacterOf(field: Field, pixelsPerMm: number): PageStatistics {
  const paper = paperAt(field, pixelsPerMm);
  const lightness = histogramOf(paper);
  const lightest = quantile(lightness, 1 - TAIL);
  const flat = flattened(field, paper);
  const { darkMean, lightMean } = otsu(histogramOf(flat));
  const bare = lightMean - BARE * (lightMean - darkMean);
  return {
    drift: lightest > 0 ? (lightest - quantile(lightness, TAIL)) / lightest : 0,
    contrast: contrastOf(flat),
    bare: shareOf(flat, (value) => value >= bare),
    shows: shareOf(blockMaxima(flat, blockSize(pixelsPerMm)), (value) => value >= bare),
  };
}

/** The estimate of bare paper that the statistics of a page are measured with. */
export function paperAt(field: Field, pixelsPerMm: number): Field {
  return paperOf(field, blockSize(pixelsPerMm), CLOSING_BLOCKS);
}

/** How much darker than the paper the marks on a flattened page are: the distance of Otsu's means, 0 to 1. */
export function contrastOf(flat: Field): number {
  const { darkMean, lightMean } = otsu(histogramOf(flat));
  return (lightMean - darkMean) / 255;
}

function blockSize(pixelsPerMm: number): number {
  return Math.max(1, Math.round(BLOCK_MM * pixelsPerMm));
}

function shareOf({ data }: Field, holds: (value: number) => boolean): number {
  let count = 0;
  for (let i = 0; i < data.length; i++) if (holds(data[i])) count++;
  return count / data.length;
}
