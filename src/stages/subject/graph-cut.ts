import { coarserColours, type Colours } from '../../raster/colours.js';
import { FORWARD, leastCut } from '../../graphs/max-flow.js';
import {
  mixtureOf,
  relearned,
  negativeLogLikelihood,
  type GaussianMixture,
} from '../../raster/gaussian-mixture.js';

/** What is known of a cell before the cut: nothing, that it is the subject, or the background. */
export const UNKNOWN = 0;
export const SUBJECT = 1;
export const BACKGROUND = 2;

/** A grid with one byte a cell. */
export interface Cells {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** What is known on a grid, and what a colour of the subject is first learned from. */
export interface Known extends Cells {
  /** Whether the unknown counts as subject at first, as it does inside a box; else only what is marked does. */
  readonly startsFull: boolean;
}

/** The colours of the subject and of its background. */
interface Models {
  readonly subject: GaussianMixture;
  readonly background: GaussianMixture;
}

/** How dear an edge of the cut is against colours that do not fit: γ of the source, 50 there, less for fewer and larger cells. */
const EDGE_PRICE = 20;
/** Costs are whole numbers of this share. */
const SCALE = 64;
/** No colour costs more than this, so that a single odd one can't break a contour. */
const MOST_UNLIKELY = 40;
/** More than all that can flow through one cell otherwise. */
const CERTAIN = SCALE * (8 * EDGE_PRICE + 2 * MOST_UNLIKELY);
/** The rim of a picture, in cells. */
const RIM = 2;
/** A colour is odd for the background when it is unlikelier there than this share of the background's own pixels … */
const ODD = 0.995;
/** … but no less than this share of what is to be told. */
const FEWEST_ODD = 0.25;
/** A bound on rounds of learning and cutting, which settle long before. */
const MOST_ROUNDS = 8;
/** Settled when fewer than this share of the cells change sides. */
const SETTLED = 0.0005;

/**
 * Tells a subject from its background by colour and contour, on one grid.
 *
 * Y. Boykov & M.-P. Jolly, Interactive graph cuts for optimal boundary & region segmentation of objects in N-D images,
 * ICCV 2001, for the cut; C. Rother, V. Kolmogorov & A. Blake, "GrabCut": interactive foreground extraction using
 * iterated graph cuts, ACM Transactions on Graphics 23(3), 2004, for learning the colours and cutting in turn.
 */
function tellApart(colours: Colours, known: Known): { side: Uint8Array; models: Models } {
  const links = linksOf(colours);
  const background = backgroundOf(colours, known);
  let side: Uint8Array = firstGuess(colours, known, background);
  let models: Models = { subject: mixtureOf(colours, side, 1), background };
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const before = side;
    side = cutOf(colours, known.data, models, links);
    if (changed(before, side) <= SETTLED * side.length) break;
    models = {
      subject: relearned(models.subject, colours, side, 1),
      background: relearned(models.background, colours, side, 0),
    };
  }
  return { side, models };
}

/** The background's first colours: what surely is background; where nothing is, the picture's rim. */
function backgroundOf(colours: Colours, { data, width, height }: Known): GaussianMixture {
  if (data.includes(BACKGROUND)) return mixtureOf(colours, data, BACKGROUND);
  const rim = data.map((what, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    const isRim = x < RIM || y < RIM || x >= width - RIM || y >= height - RIM;
    return isRim && what === UNKNOWN ? 1 : 0;
  });
  return mixtureOf(
    colours,
    rim.includes(1) ? rim : data.map((what) => (what === SUBJECT ? 0 : 1)),
    1,
  );
}

/**
 * What the subject's colours are first learned from: what is marked, and inside a box what is odd for the background.
 * The source takes all of the box, whose share of background then counts as subject's colours, too.
 */
function firstGuess(colours: Colours, known: Known, background: GaussianMixture): Uint8Array {
  const { data } = known;
  const marked = data.map((what) => (what === SUBJECT ? 1 : 0));
  if (!known.startsFull) return marked;
  const odd = new Float32Array(data.length);
  for (let i = 0; i < odd.length; i++) {
    odd[i] = negativeLogLikelihood(background, colours.data, 3 * i);
  }
  const usual = odd.filter((_, i) => data[i] === BACKGROUND).sort();
  const inside = odd.filter((_, i) => data[i] === UNKNOWN).sort();
  const level = Math.min(
    usual[Math.floor(ODD * usual.length)] ?? -Infinity,
    inside[Math.floor((1 - FEWEST_ODD) * inside.length)] ?? -Infinity,
  );
  return data.map((what, i) => (marked[i] === 1 || (what === UNKNOWN && odd[i] >= level) ? 1 : 0));
}

function cutOf(
  { width, height, data }: Colours,
  known: Uint8Array,
  { subject, background }: Models,
  links: Int32Array,
): Uint8Array {
  const terminal = new Int32Array(known.length);
  for (let i = 0; i < known.length; i++) {
    terminal[i] =
      known[i] === SUBJECT
        ? CERTAIN
        : known[i] === BACKGROUND
          ? -CERTAIN
          : SCALE *
            bounded(
              negativeLogLikelihood(background, data, 3 * i) -
                negativeLogLikelihood(subject, data, 3 * i),
            );
  }
  return leastCut({ width, height, terminal, links }).source;
}

function bounded(cost: number): number {
  return Math.min(Math.max(cost, -MOST_UNLIKELY), MOST_UNLIKELY);
}

/** Cutting between two cells costs less the more their colours differ, against what is usual in this picture. */
function linksOf({ width, height, data }: Colours): Int32Array {
  const squares = new Float32Array(4 * width * height);
  let [sum, count] = [0, 0];
  eachLink(width, height, (i, other, at) => {
    const red = data[3 * i] - data[3 * other];
    const green = data[3 * i + 1] - data[3 * other + 1];
    const blue = data[3 * i + 2] - data[3 * other + 2];
    squares[at] = red * red + green * green + blue * blue;
    sum += squares[at];
    count++;
  });
  const beta = sum > 0 ? count / (2 * sum) : 0;
  const links = new Int32Array(squares.length);
  eachLink(width, height, (_i, _other, at) => {
    const apart = at % 4 === 1 || at % 4 === 3 ? Math.SQRT2 : 1;
    links[at] = Math.round(((SCALE * EDGE_PRICE) / apart) * Math.exp(-beta * squares[at]));
  });
  return links;
}

function eachLink(
  width: number,
  height: number,
  take: (i: number, other: number, at: number) => void,
): void {
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      for (let k = 0; k < FORWARD.length; k++) {
        const [dx, dy] = FORWARD[k];
        if (x + dx < 0 || x + dx >= width || y + dy >= height) continue;
        take(i, i + dy * width + dx, 4 * i + k);
      }
    }
  }
}

function changed(a: Uint8Array, b: Uint8Array): number {
  let count = 0;
  for (let i = 0; i < a.length; i++) count += a[i] ^ b[i];
  return count;
}

/**
 * Cells of the fine grid for one of the coarse grid, each way: the cut of the coarse grid takes a ninth of the time.
 */
const FINER = 3;
/** Coarse cells round the coarse contour in which the fine one is looked for: what the coarse one may be off by. */
const BAND = 2;

/** A cut on a coarse grid, and what it was made from. */
export interface CoarseCut extends Cells {
  readonly models: Models;
}

/**
 * Tells a subject from its background on a coarse grid.
 *
 * @param colours on the fine grid
 * @param known on the fine grid; where a coarse cell holds any mark, the mark is the coarse cell's
 */
export function coarseCut(colours: Colours, known: Known): CoarseCut {
  const coarse = coarserColours(colours, FINER);
  const { width, height } = coarse;
  const cells = { ...coarserKnown(known, coarse), startsFull: known.startsFull };
  const { side, models } = tellApart(coarse, cells);
  return { width, height, data: side, models };
}

/**
 * Follows the contour of a coarse cut again on the fine grid, in a band along it: H. Lombaert, Y. Sun, L. Grady &
 * C. Xu, A multilevel banded graph cuts method for fast image segmentation, ICCV 2005.
 *
 * @returns 1 for subject, on the fine grid
 */
export function fineCut(colours: Colours, known: Known, coarse: CoarseCut): Cells {
  const { width, height } = colours;
  const told = coarse.data.map(
    (_, at) => settled(coarse, at % coarse.width, Math.floor(at / coarse.width)) ?? UNKNOWN,
  );
  const band = known.data.slice();
  for (let y = 0, i = 0; y < height; y++) {
    const row = Math.floor(y / FINER) * coarse.width;
    for (let x = 0; x < width; x++, i++) {
      if (band[i] === UNKNOWN) band[i] = told[row + Math.floor(x / FINER)];
    }
  }
  return { width, height, data: cutOf(colours, band, coarse.models, linksOf(colours)) };
}

function coarserKnown({ width, height, data }: Known, coarse: Colours): Cells {
  const cells = new Uint8Array(coarse.width * coarse.height);
  const unknown = new Uint8Array(cells.length);
  for (let y = 0, i = 0; y < height; y++) {
    const row = Math.floor(y / FINER) * coarse.width;
    for (let x = 0; x < width; x++, i++) {
      const at = row + Math.floor(x / FINER);
      if (data[i] === UNKNOWN) unknown[at] = 1;
      else if (cells[at] !== SUBJECT) cells[at] = data[i];
    }
  }
  // Where the outside of a box and its inside share a cell, the cell is still to be told.
  for (let at = 0; at < cells.length; at++) {
    if (cells[at] === BACKGROUND && unknown[at] === 1) cells[at] = UNKNOWN;
  }
  return { width: coarse.width, height: coarse.height, data: cells };
}

/** What a coarse cell is when all cells round it are on its side; undefined near the contour. */
function settled({ width, height, data }: Cells, x: number, y: number) {
  const here = data[y * width + x];
  for (let v = Math.max(0, y - BAND); v <= Math.min(height - 1, y + BAND); v++) {
    for (let u = Math.max(0, x - BAND); u <= Math.min(width - 1, x + BAND); u++) {
      if (data[v * width + u] !== here) return undefined;
    }
  }
  return here === 1 ? SUBJECT : BACKGROUND;
}
