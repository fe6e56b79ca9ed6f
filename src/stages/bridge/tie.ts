import type { Point } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import { coreAt, coreRadiusMm, type ErodedFilm } from './eroded-film.js';
import type { LineSegment } from './lines.js';
import { measureGivenStrip, measureStrip, type MeasuredStrip } from './strip.js';

/** Where a strip came from. */
export type TieOrigin = 'proposed' | 'added' | 'pinned' | 'moved';

/**
 * A straight strip of film from one core to another: a candidate edge of the graph of cores, and, once it is chosen, a strip
 * that is laid.
 */
export interface Tie {
  /** The numbers of the two cores. */
  readonly from: number;
  readonly to: number;
  /** The strip's ends, inside the cores, in mm. */
  readonly start: Point;
  readonly end: Point;
  readonly widthMm: number;
  /**
   * It follows a neck of film that is too narrow, and only makes it wider: its middle line crosses no opening, nor a
   * corner at which two openings touch.
   */
  readonly followsNeck: boolean;
  /** What is seen of it: from where to where its middle line crosses openings, in mm. */
  readonly gapStart: Point;
  readonly gapEnd: Point;
  /** What it costs: the mm² of opening that become film, each as it matters, less where the strip looks at home. */
  readonly cost: number;
  readonly origin: TieOrigin;
  /** Its ends do not flare: there is no room for it. */
  readonly plain?: boolean;
  /** Its four corners, where its ends are not square, its long sides first and third: x, y pairs in mm. */
  readonly corners?: Float64Array;
  /** Two ties that mirror each other have the same number. */
  readonly pair?: number;
}

/** What ties are measured by. */
export type TieLimits = Pick<Job, 'bridgeWidth' | 'narrowestStrip' | 'narrowestOpening'>;

/** A part of a line: from the last pixel of one core to the first of the next. */
export interface CandidateEdge extends LineSegment {
  readonly from: number;
  readonly to: number;
}

/** Step along a line, in px: half a pixel, so that at the most a pixel is missed of which the line only cuts a corner. */
const STEP_PX = 0.5;

/** The edges of a line: one for each two cores that follow each other on it. */
export function edgesAlong(
  { bitmap, cores }: ErodedFilm,
  { x0, y0, x1, y1 }: LineSegment,
): CandidateEdge[] {
  const edges: CandidateEdge[] = [];
  const steps = Math.max(1, Math.ceil(Math.hypot(x1 - x0, y1 - y0) / STEP_PX));
  let from = 0;
  let fromX = x0;
  let fromY = y0;
  for (let i = 0; i <= steps; i++) {
    const x = x0 + ((x1 - x0) * i) / steps;
    const y = y0 + ((y1 - y0) * i) / steps;
    const core = cores[Math.floor(y) * bitmap.width + Math.floor(x)];
    if (core === 0) continue;
    if (from !== 0 && core !== from) {
      edges.push({ from, to: core, x0: fromX, y0: fromY, x1: x, y1: y });
    }
    from = core;
    fromX = x;
    fromY = y;
  }
  return edges;
}

/**
 * A strip along a neck of film crosses no opening, so that no bridge is seen: it only widens the neck to the narrowest strip
 * and so much more, in mm (two pixels of the raster), which rounding to pixels can't take back.
 */
const NECK_SLACK_MM = 0.2;

/** The ties that edges make: their ends moved into the film so that they hold, and what they cost. */
export function tiesOf(
  film: ErodedFilm,
  edges: readonly CandidateEdge[],
  limits: TieLimits,
): Tie[] {
  const { pixelsPerMm } = film;
  const { bridgeWidth, narrowestStrip, narrowestOpening } = limits;
  const widths = {
    bridgeWidthMm: bridgeWidth,
    neckWidthMm: Math.min(bridgeWidth, narrowestStrip + NECK_SLACK_MM),
    radius: coreRadiusMm(narrowestStrip) * pixelsPerMm,
    narrow: 2 * coreRadiusMm(narrowestOpening) * pixelsPerMm,
  };
  return edges.map((edge) => {
    const measured = inMm(measureStrip(film, edge, widths), pixelsPerMm);
    return { from: edge.from, to: edge.to, ...measured, origin: 'proposed' };
  });
}

type MeasuredTie = Pick<
  Tie,
  'start' | 'end' | 'gapStart' | 'gapEnd' | 'widthMm' | 'followsNeck' | 'cost'
>;

function inMm(
  { line, seen, widthMm, followsNeck, cost }: MeasuredStrip,
  pixelsPerMm: number,
): MeasuredTie {
  const { x0, y0, x1, y1 } = line;
  const place = (share: number): Point => ({
    x: (x0 + share * (x1 - x0)) / pixelsPerMm,
    y: (y0 + share * (y1 - y0)) / pixelsPerMm,
  });
  return {
    start: place(0),
    end: place(1),
    widthMm,
    followsNeck,
    gapStart: place(seen.first),
    gapEnd: place(seen.last),
    cost: cost / pixelsPerMm ** 2,
  };
}

/**
 * A strip that a person has placed is lengthened by up to this much, in mm, at an end that no longer meets film: an
 * opening may have grown there since.
 */
const GROWN_MM = 3;

/** The tie that a person gave: from one place to another in mm, and on until its ends hold in the film. */
export function tieBetween(
  film: ErodedFilm,
  from: Point,
  to: Point,
  widthMm: number,
  origin: TieOrigin,
  { narrowestStrip }: Pick<Job, 'narrowestStrip'>,
): Tie {
  const { pixelsPerMm } = film;
  const given = {
    x0: from.x * pixelsPerMm,
    y0: from.y * pixelsPerMm,
    x1: to.x * pixelsPerMm,
    y1: to.y * pixelsPerMm,
  };
  const radius = coreRadiusMm(narrowestStrip) * pixelsPerMm;
  const strip = measureGivenStrip(film, given, widthMm, radius, GROWN_MM * pixelsPerMm);
  const measured = inMm(strip, pixelsPerMm);
  return {
    from: coreAt(film, measured.start),
    to: coreAt(film, measured.end),
    ...measured,
    origin,
  };
}
