import { bilateral } from '../../raster/bilateral.js';
import { gaussianBlur } from '../../raster/blur.js';
import { linesOf, softThreshold } from '../../raster/difference.js';
import { blurAlong, flowOf } from '../../raster/flow.js';
import { histogramOf, otsu } from '../../raster/histogram.js';
import { levelSurface } from '../../raster/level-surface.js';
import type { Field } from '../../raster/field.js';
import type { Bitmap } from '../../raster/raster.js';
import { unfounded } from '../../raster/unfounded.js';
import { contoursIn, GRID_MM, type PictureContours } from './ground.js';
import { finerShare } from './finer.js';
import { stretched } from './stretch.js';
import { viewOf, type Decision, type Framed, type ToneJob } from './view.js';

// Scales are in narrowest openings. Where no paper is named, the figure was found by the likeness of the finished
// stencils over the open photographs and samples (`npm run likeness`).

/** How much is drawn, and how: shares from 0 to 1. */
export interface Mix {
  /** 0 lines alone, 1 masses alone. */
  readonly masses: number;
  /** 0 the large shapes alone, 1 all that can be cut. */
  readonly detail: number;
}

type Range = readonly [none: number, all: number];

/** The simplification's reach: texture under it goes. */
const SIMPLIFIED: Range = [0.9, 0.2];
/** Levels within which values are alike to it. */
const ALIKE = 25;
/** Levels are found in neighbourhoods from the widest down, each so much narrower, to the narrowest for the detail. */
const WIDEST = 10;
const NARROWER = 2.2;
const NARROWEST: Range = [6, 1];
/** The last smoothing, of the contours. */
const CONTOUR: Range = [0.45, 0.25];
/** The σ of the lines' difference, smoothing aside. */
const LINE = 0.34;
/** How much lines are raised over masses where there are no masses. */
const STRENGTH = 12;
/** Smoothing along a line (σ) and of its direction. */
const ALONG = 0.9;
const DIRECTION = 0.65;
/** Differences of one level in 255 are grain. */
const GRAIN = 1;
/** Levels over which the soft threshold passes from dark to light. */
const SOFTNESS = 30;
/** Contours' levels are read from the picture calmed so much, in mm. */
const CALM_MM = 0.5;
/** A shape stays when so much of its outline lies within so many mm of a contour. */
const FOUNDED = 0.45;
const FOUNDED_MM = 1;
/** A small one, under so many smallest openings, stays on contours of at least this weight alone. */
const SMALL = 4;
const PLAIN = 0.5;
/** How softly an area that an artist wants finer ends (σ). */
const FINER_EDGE = 0.5;
/** Lines alone: a ground without lines is light by so many levels. */
const BARE = 4;

/**
 * Lines that run on and masses that read, worked out at the scale that the limits allow.
 *
 * Masses: the picture without its texture (`bilateral`) against a level that follows its contours (`levelSurface`).
 * Lines: a difference of Gaussians smoothed along the picture's flow (H. Kang, S. Lee & C. K. Chui, Coherent line
 * drawing, 2007; H. Winnemöller, J. E. Kyprianidis & S. C. Olsen, XDoG, 2012, which adds the two as here).
 */
export function mixedTone(picture: Framed, job: ToneJob, mix: Mix): Decision {
  return mixer(picture, job)(mix);
}

/** `mixedTone` for several mixes of one picture: what they share is worked out once. */
export function mixer(picture: Framed, job: ToneJob): (mix: Mix) => Decision {
  const opening = job.narrowestOpening;
  const view = viewOf(picture, GRID_MM * Math.min(1, opening), 1);
  const scale = opening * view.pixelsPerMm;
  const contours = contoursIn(view);
  const full = stretched(view.field);
  const calm = gaussianBlur(full, CALM_MM * view.pixelsPerMm);
  const usual = otsu(histogramOf(full)).level + 0.5;
  const sigma = Math.hypot(LINE * opening, job.smoothing) * view.pixelsPerMm;
  const flow = flowOf(full, DIRECTION * scale, 2);

  const drawn = ({ masses, detail }: Mix, small: number): Field => {
    const simple = bilateral(full, between(SIMPLIFIED, detail) * scale, ALIKE);
    const levels = levelSurface(calm, contours, neighbourhoods(detail, scale), usual);
    const { near, lines } = linesOf(simple, sigma, GRAIN);
    const strength = STRENGTH * (1 - masses);
    const share = Math.min(1, 2 * masses);
    const data = lines.data.map(
      (line, i) => share * (near.data[i] - levels.data[i]) + (1 - share) * BARE + strength * line,
    );
    const along = blurAlong({ ...full, data }, flow, ALONG * scale);
    const soft = softThreshold(along, 0, SOFTNESS);
    return founded(
      gaussianBlur(soft, between(CONTOUR, detail) * scale),
      contours,
      small,
      share === 1,
    );
  };

  const { finer } = job;
  const small = SMALL * job.smallestOpening * view.pixelsPerMm ** 2;
  if (finer.length === 0) {
    return (mix) => ({ lightness: drawn(mix, small), factor: view.factor });
  }
  const share = finerShare(finer, picture.shows, full, FINER_EDGE * scale);
  return (mix) => {
    const [coarse, fine] = [drawn(mix, small), drawn({ ...mix, detail: 1 }, 0)];
    for (let i = 0; i < coarse.data.length; i++) {
      coarse.data[i] += share.data[i] * (fine.data[i] - coarse.data[i]);
    }
    return { lightness: coarse, factor: view.factor };
  };
}

/**
 * The decision without the shapes that the picture does not have: dark ones first, then light ones. A small one must
 * lie on contours that stand out. What is light within a line is light in its own right where there are no masses.
 */
function founded(
  lightness: Field,
  { weight, pixelsPerMm }: PictureContours,
  small: number,
  hasMasses: boolean,
): Field {
  const { width, height, data } = lightness;
  const over = (least: number) => ({
    width,
    height,
    data: Uint8Array.from(weight, (value) => (value > least ? 1 : 0)),
  });
  const [all, plain] = [over(0), over(PLAIN)];
  const flip = (value: 0 | 1, contours: Bitmap, smallerThan: number): void => {
    const dark = { width, height, data: Uint8Array.from(data, (v) => (v < 0 ? 1 : 0)) };
    const reach = FOUNDED_MM * pixelsPerMm;
    const flipped = unfounded(dark, value, contours, reach, FOUNDED, smallerThan);
    for (let i = 0; i < data.length; i++) if (flipped[i] === 1) data[i] = -data[i];
  };
  flip(1, all, Infinity);
  if (hasMasses) flip(0, all, Infinity);
  flip(1, plain, small);
  return lightness;
}

const between = ([none, all]: Range, share: number): number => none + (all - none) * share;

function neighbourhoods(detail: number, scale: number): number[] {
  const narrowest = NARROWEST[0] * (NARROWEST[1] / NARROWEST[0]) ** detail;
  const sigmas: number[] = [];
  for (let sigma = WIDEST; sigma > narrowest * Math.sqrt(NARROWER); sigma /= NARROWER) {
    sigmas.push(sigma * scale);
  }
  return [...sigmas, narrowest * scale];
}
