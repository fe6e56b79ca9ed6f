import * as kernels from '../../kernels/generated.js';
import { bilateral } from '../../raster/bilateral.js';
import { gaussianBlur } from '../../raster/blur.js';
import { lineResponse, softThreshold } from '../../raster/difference-of-gaussians.js';
import { squaredDistance } from '../../raster/distance.js';
import type { Field } from '../../raster/field.js';
import { blurBothAlong, edgeTangentFlow } from '../../raster/edge-tangent-flow.js';
import { histogramOf, otsu } from '../../raster/histogram.js';
import { levelSurfaces } from '../../raster/level-surface.js';
import { pointwise, turned, belowThreshold } from '../../raster/pointwise.js';
import type { Box } from '../../raster/raster.js';
import { unsupportedRegions } from '../../raster/unsupported-regions.js';
import { finerShare } from './finer.js';
import type { ToneGround, PictureContours } from './ground.js';
import { stretched } from './stretch.js';
import type { Decision, ToneJob } from './view.js';

// Scales are in narrowest openings. Where no paper is named, the figure was found by the likeness of the finished
// stencils over the open photographs and samples (`npm run likeness`).

/** How much is drawn, and how: shares from 0 to 1. */
export interface LinesAndMasses {
  /** 0 lines alone, 1 masses alone. */
  readonly masses: number;
  /** 0 the large shapes alone, 1 all that can be cut. */
  readonly detail: number;
}

/** The mix that settings in percent ask for. */
export function mixOf({ masses, detail }: LinesAndMasses): LinesAndMasses {
  return { masses: masses / 100, detail: detail / 100 };
}

type Range = readonly [none: number, all: number];

/** The simplification's reach: texture under it goes. */
const SIMPLIFIED: Range = [0.9, 0.2];
/** Levels within which values are alike to it. */
const ALIKE = 25;
/**
 * Levels are found in neighbourhoods of several σ: from the widest down, each so many times narrower, to one that
 * depends on the mix's detail.
 */
const WIDEST = 10;
const NARROWER = 2.2;
const NARROWEST: Range = [6, 1];
/** The last smoothing, of the contours. */
const CONTOUR: Range = [0.45, 0.25];
/** The σ of the lines' difference of Gaussians, before the job's smoothing is added to it. */
const LINE = 0.34;
/** How much lines are raised over masses where there are no masses. */
const STRENGTH = 12;
/** From this share of masses on, masses are whole; under it they fade. */
const MASSES_WHOLE = 0.5;
/** Smoothing along a line (σ) and of its direction. */
const ALONG = 0.9;
const DIRECTION = 0.65;
/** Differences of one level in 255 are grain. */
const GRAIN = 1;
/** Levels over which the soft threshold passes from dark to light. */
const SOFTNESS = 30;
/** σ of the blur that the picture is read through where a contour's level is taken from it, in mm. */
const CALM_MM = 0.5;
/** A shape stays when this share of its outline lies on a contour, and how near that is, in mm. */
const FOUNDED = 0.5;
const FOUNDED_MM = 1;
/** A small one, under so many smallest openings, stays on contours of at least this weight alone. */
const SMALL = 4;
/**
 * Shapes are looked at from the small ones up, under so many mm²: a light in a dark ground must go first, or the ground
 * is judged by the lights' outlines.
 */
const SIZES_MM2 = [50, 400, Infinity] as const;
const PLAIN = 0.7;
/** How softly an area that an artist wants finer ends (σ). */
const FINER_EDGE = 0.5;
/**
 * Lines alone: a ground without lines is made lighter than its level by so many levels, so that it is light for sure.
 */
const BARE = 4;

/**
 * Lines that run on and masses that read, worked out at the scale that the limits allow, in several mixes: what they
 * share is worked out once.
 *
 * Masses: the picture without its texture (`bilateral`) against a level that follows its contours (`levelSurfaces`).
 * Lines: a difference of Gaussians smoothed along the picture's flow (H. Kang, S. Lee & C. K. Chui, Coherent line
 * drawing, 2007; H. Winnemöller, J. E. Kyprianidis & S. C. Olsen, XDoG, 2012, which adds the two as here).
 *
 * @param shows the part of the picture that the ground holds, in shares of the whole
 */
export function mixedTones(
  ground: ToneGround,
  shows: Box,
  job: ToneJob,
  mixes: readonly LinesAndMasses[],
): Decision[] {
  const { field, factor, pixelsPerMm } = ground.view;
  const small = SMALL * job.smallestOpening * pixelsPerMm ** 2;
  const { finer } = job;
  if (finer.length === 0) {
    return drawnAll(ground, job, mixes, small).map((lightness) => ({ lightness, factor }));
  }
  const scale = job.narrowestOpening * pixelsPerMm;
  const share = finerShare(finer, shows, field, FINER_EDGE * scale);
  const coarse = drawnAll(ground, job, mixes, small);
  const fine = drawnAll(
    ground,
    job,
    mixes.map(({ masses }) => ({ masses, detail: 1 })),
    0,
  );
  return coarse.map((lightness, k) => ({ lightness: blended(lightness, fine[k], share), factor }));
}

function blended(from: Field, to: Field, share: Field): Field {
  const data = from.data.map((value, i) => value + share.data[i] * (to.data[i] - value));
  return { width: from.width, height: from.height, data };
}

/** The mixes' soft decisions: below 0 where it is dark. */
function drawnAll(
  { view, contours }: ToneGround,
  job: ToneJob,
  mixes: readonly LinesAndMasses[],
  small: number,
): Field[] {
  const { pixelsPerMm } = view;
  const scale = job.narrowestOpening * pixelsPerMm;
  const full = stretched(view.field);
  const sigma = Math.hypot(LINE * job.narrowestOpening, job.smoothing) * pixelsPerMm;
  const details = [...new Set(mixes.map(({ detail }) => detail))];
  const surfaces = surfacesOf(full, contours, details, scale);
  const flow = edgeTangentFlow(full, DIRECTION * scale, 2);
  const parts = new Map(
    details.map((detail, k) => {
      const sharp = partsOf(full, surfaces[k], detail, scale, sigma);
      // A mix is a sum of its parts, and so is its blur.
      const [masses, lines] = blurBothAlong(sharp.masses, sharp.lines, flow, ALONG * scale);
      return [detail, { masses, lines }] as const;
    }),
  );
  const near = [0, PLAIN].map((least) => nearContours(contours, least));
  return mixes.map((mix) => {
    const soft = softThreshold(mixed(parts.get(mix.detail)!, mix), 0, SOFTNESS);
    const calm = gaussianBlur(soft, interpolatedRange(CONTOUR, mix.detail) * scale);
    return founded(calm, near, pixelsPerMm, small, mix.masses >= MASSES_WHOLE);
  });
}

/** What a mix is made of: how much lighter each pixel is than its level, and the lines. */
interface MixLayers {
  readonly masses: Field;
  readonly lines: Field;
}

/** The levels that the masses are told by, for each detail. */
function surfacesOf(
  full: Field,
  contours: PictureContours,
  details: readonly number[],
  scale: number,
): Field[] {
  const calm = gaussianBlur(full, CALM_MM * contours.pixelsPerMm);
  const usual = otsu(histogramOf(full)).level + 0.5;
  const sigmas = details.map((detail) => neighbourhoods(detail, scale));
  return levelSurfaces(calm, contours, sigmas, usual);
}

function partsOf(
  full: Field,
  levels: Field,
  detail: number,
  scale: number,
  sigma: number,
): MixLayers {
  const simple = bilateral(full, interpolatedRange(SIMPLIFIED, detail) * scale, ALIKE);
  const { near, lines } = lineResponse(simple, sigma, GRAIN);
  const masses = pointwise(near.data, [levels.data], (values, [off], n) =>
    kernels.subtract(values, off, n),
  );
  return { masses: { ...near, data: masses }, lines };
}

function mixed({ masses, lines }: MixLayers, mix: LinesAndMasses): Field {
  const strength = STRENGTH * (1 - mix.masses);
  const share = Math.min(1, mix.masses / MASSES_WHOLE);
  const bare = (1 - share) * BARE;
  const data = pointwise(masses.data, [lines.data], (values, [drawn], n) =>
    kernels.mixParts(values, drawn, n, share, bare, strength),
  );
  return { width: lines.width, height: lines.height, data };
}

/** 1 within `FOUNDED_MM` of the contours that have more than a weight. */
function nearContours({ width, height, weight, pixelsPerMm }: PictureContours, least: number) {
  const data = new Uint8Array(weight.length);
  for (let i = 0; i < data.length; i++) data[i] = weight[i] > least ? 1 : 0;
  const reach = FOUNDED_MM * pixelsPerMm;
  const away = squaredDistance({ width, height, data }, 1, reach);
  for (let i = 0; i < data.length; i++) data[i] = away[i] <= reach * reach ? 1 : 0;
  return data;
}

/**
 * The decision without the shapes that the picture does not have: dark ones first, then light ones. A small one must
 * lie on contours that stand out. What is light within a line is light in its own right where there are no masses.
 */
function founded(
  lightness: Field,
  [near, nearPlain]: readonly Uint8Array[],
  pixelsPerMm: number,
  small: number,
  hasMasses: boolean,
): Field {
  const { width, height } = lightness;
  let { data } = lightness;
  const flip = (value: 0 | 1, by: Uint8Array, smallerThan: number): void => {
    const dark = { width, height, data: belowThreshold(data, 0, 1) };
    data = turned(data, unsupportedRegions(dark, value, by, FOUNDED, smallerThan));
  };
  for (const size of SIZES_MM2) {
    flip(1, near, size * pixelsPerMm ** 2);
    if (hasMasses) flip(0, near, size * pixelsPerMm ** 2);
  }
  flip(1, nearPlain, small);
  return { width, height, data };
}

const interpolatedRange = ([none, all]: Range, share: number): number =>
  none + (all - none) * share;

function neighbourhoods(detail: number, scale: number): number[] {
  const narrowest = NARROWEST[0] * (NARROWEST[1] / NARROWEST[0]) ** detail;
  const sigmas: number[] = [];
  for (let sigma = WIDEST; sigma > narrowest * Math.sqrt(NARROWER); sigma /= NARROWER) {
    sigmas.push(sigma * scale);
  }
  return [...sigmas, narrowest * scale];
}
