import { describe, expect, it } from 'vitest';
import { rasterise } from '../../src/geometry/rasterise.js';
import type { Shape } from '../../src/geometry/shape.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { pixelsPerMm } from '../../src/settings/card.js';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import { bridge } from '../../src/stages/bridge/bridge.js';
import {
  bridgeHeuristics,
  forSketch,
  type BridgeHeuristics,
} from '../../src/stages/bridge/heuristics.js';
import { ease, type EaseHeuristics } from '../../src/stages/ease/ease.js';
import { trace } from '../../src/stages/trace/trace.js';
import { keepWidthsAt } from '../../src/stages/widen/widen.js';
import { painted } from '../support/bitmaps.js';
import { bridgeFigures, type BridgeFigures, type BridgeGround } from '../support/bridge-figures.js';
import { easeFigures, type EaseFigures, type EaseGround } from '../support/ease-figures.js';
import { leaveOut, noBridgeHeuristics, noEaseHeuristics } from '../support/left-out.js';
import { circle, polygonOutline, rectangle, ring } from '../support/openings.js';
import { randomPicture, type RandomKind } from '../support/random-pictures.js';

/*
 * A small case for each heuristic of the bridges and of the outlines: with it a figure is as wanted, and without it, all
 * others in place, it is not. What they earn on whole pictures is in ablation.test.ts.
 */

const SIDE_MM = 60;
const PIXELS_PER_MM = 10;
const FEW: JobInput = { bridgeAmount: 'fewer', flare: 0 };

/** Openings on a card of 60 mm, of a picture that is dark where they are. */
function drawn(shapes: readonly Shape[], given: JobInput = {}): BridgeGround {
  const side = SIDE_MM * PIXELS_PER_MM;
  const bitmap = rasterise(shapes, side, side, PIXELS_PER_MM);
  const gray: Bitmap = { ...bitmap, data: bitmap.data.map((opening) => 255 - 255 * opening) };
  const pictureBox = { x: 0, y: 0, width: side, height: side };
  const on = {
    sheet: { widthMm: SIDE_MM, heightMm: SIDE_MM },
    pixelsPerMm: PIXELS_PER_MM,
    ...(given.spareFeatures === true && { gray, pictureBox }),
  };
  return { shapes, on, job: completeJob({ card: `${SIDE_MM}x${SIDE_MM}mm`, ...given }) };
}

/** A drawing, traced as it is, on a card of so many mm. */
function unwidened(bitmap: Bitmap, sideMm: number, given: JobInput = {}): EaseGround {
  const sheet = { widthMm: sideMm, heightMm: sideMm };
  const job = completeJob({ card: `${sideMm}x${sideMm}mm`, margin: 4, ...given });
  const scale = bitmap.width / sideMm;
  return { traced: trace(bitmap, scale), sheet, pixelsPerMm: scale, job };
}

/** A random picture, its parts as wide as they must be. */
function random(kind: RandomKind, seed: number, sideMm: number, given: JobInput = {}): EaseGround {
  const sheet = { widthMm: sideMm, heightMm: sideMm };
  const scale = pixelsPerMm(sheet);
  const picture = randomPicture(kind, seed, Math.round(sideMm * scale), Math.round(4 * scale));
  const job = completeJob({ card: `${sideMm}x${sideMm}mm`, margin: 4, ...given });
  return unwidened(keepWidthsAt(picture, scale, { ...job, sheet }), sideMm, given);
}

function eased({ traced, sheet, pixelsPerMm, job }: EaseGround): BridgeGround {
  return { shapes: ease(traced, pixelsPerMm, job).shapes, on: { sheet, pixelsPerMm }, job };
}

const row = (count: number, x: number, y: number, apart: number, wide: number, high: number) =>
  Array.from({ length: count }, (_, i) => rectangle(x + apart * i, y, wide, high));

/** An opening with a turn of radius 0.4 mm, which is no corner, round a disc. */
function tightlyTurned(): Shape {
  const square = polygonOutline([49.6, 10, 50, 10.4, 50, 50, 10, 50, 10, 10]);
  square.coords.set([49.82, 10, 50, 10.18], 2);
  const outer = {
    ...square,
    straight: Uint8Array.of(0, 1, 1, 1, 1),
    corner: Uint8Array.of(0, 0, 1, 1, 1),
  };
  return { outer, holes: [circle(28, 30, 12)] };
}

/** A ladder of lines 1.8 mm wide, its rungs 7 mm long. */
const LADDER: Shape = {
  outer: rectangle(20, 10, 10.6, 40),
  holes: [11.8, 24.53, 37.26].map((y) => rectangle(21.8, y, 7, 10.93)),
};
/** A bridge that a person lays over a rung of a wider one, 1.4 mm from where it meets the other line. */
const NEAR_RAIL: JobInput = { bridgeEdits: [{ do: 'add', from: [31.2, 22], to: [31.2, 25] }] };

const KNIFE: JobInput = { tool: 'craft-knife' };
const TONGUE = [10, 20, 50, 20, 50, 34, 10, 34, 10, 28.5, 40, 28.5, 40, 25.5, 10, 25.5];

describe('a case for each heuristic of the bridges', () => {
  it.each<
    [keyof BridgeHeuristics, string, () => BridgeGround, keyof BridgeFigures, number, number]
  >([
    [
      'spacingOf',
      'small islands in a row do not crowd their bridges',
      () => drawn([{ outer: rectangle(10, 10, 40, 24), holes: row(3, 22, 14, 5, 3, 3) }]),
      'crowded',
      1,
      3,
    ],
    [
      'holdTwice',
      'three islands in a row hang on more than one bridge',
      () =>
        drawn([{ outer: rectangle(13, 15, 34, 30), holes: row(3, 16.5, 26, 9, 7, 8) }], {
          twoTiesFrom: 60,
        }),
      'onlyHolds',
      0,
      2,
    ],
    [
      'holdOnSides',
      'a disc is held on two sides',
      () => drawn([ring(30, 30, 20, 14)]),
      'lacking',
      0,
      1,
    ],
    [
      'holdNearer',
      'of five islands in a row none hangs behind more than two',
      () =>
        drawn([{ outer: rectangle(6, 6, 48, 48), holes: row(5, 9.2, 27.5, 8, 5, 5) }], {
          twoTiesFrom: 2000,
          tongueFrom: 60,
        }),
      'deep',
      0,
      2,
    ],
    [
      'exchange',
      'a disc that two bridges hold has no third',
      () => drawn([ring(30, 30, 20, 14)]),
      'bridges',
      2,
      3,
    ],
    [
      'findMirrorAxis',
      'an island on the axis is held on the axis',
      () =>
        drawn([{ outer: rectangle(20, 15, 20, 30), holes: [rectangle(25, 20.4, 10, 16.6)] }], {
          ...FEW,
          spareFeatures: true,
        }),
      'lopsided',
      0,
      1,
    ],
    [
      'sideEffectOf',
      'no bridge leaves a neck that another must close',
      () => eased(random('rings', 22, 50)),
      'bridges',
      2,
      3,
    ],
    [
      'dearer',
      'where one would, another place is chosen',
      () => eased(random('rings', 22, 50)),
      'bridges',
      2,
      3,
    ],
    [
      'dearIslands',
      'a star far from all other film hangs on no long bridges',
      () => drawn([{ outer: rectangle(8, 8, 44, 44), holes: [circle(30, 30, 2)] }]),
      'bridges',
      0,
      1,
    ],
    [
      'atJunctions',
      'bridges over the rungs of a ladder lie along its rails',
      () => drawn([LADDER], { ...FEW, spareFeatures: true }),
      'stubs',
      0,
      4,
    ],
    [
      'stubFills',
      'where one can not be moved nothing is left between it and the other line',
      () =>
        drawn(
          [
            {
              outer: rectangle(20, 10, 15.6, 40),
              holes: [rectangle(21.8, 11.8, 12, 11), rectangle(21.8, 24.6, 12, 23.6)],
            },
          ],
          { ...FEW, ...NEAR_RAIL },
        ),
      'stubs',
      0,
      1,
    ],
    [
      'tongueTies',
      'a long tongue is tied',
      () => drawn([{ outer: polygonOutline(TONGUE), holes: [] }]),
      'tongues',
      0,
      1,
    ],
    [
      'mend',
      'a strip of 1.5 mm is made wide enough',
      () => drawn([-1, 1].map((side) => ({ outer: circle(30 + 7.75 * side, 30, 7), holes: [] }))),
      'broken',
      0,
      1,
    ],
    [
      'overNeck',
      'a neck that can not be made wider is closed',
      () => eased(random('rings', 7, 60, KNIFE)),
      'broken',
      0,
      1,
    ],
    [
      'withTightTurnsMarked',
      'a turn too tight is no curve any more beside a bridge',
      () => drawn([tightlyTurned()], FEW),
      'broken',
      0,
      1,
    ],
  ])('%s: %s', (name, _, ground, figure, wanted, without) => {
    expect(bridgeFigures(ground())[figure]).toBe(wanted);
    const left = bridgeFigures(ground(), leaveOut(noBridgeHeuristics, name));
    expect(left[figure]).toBe(without);
  });

  it('straightenOverGaps: bridges go straight over their gaps', () => {
    const stair = Array.from({ length: 5 }, (_, i) => rectangle(12 + 7 * i, 22 - 1.4 * i, 5, 5));
    const ground = drawn([{ outer: rectangle(9, 9, 42, 40), holes: stair }]);
    expect(bridgeFigures(ground).slantMm).toBeLessThan(0.01);
    const left = bridgeFigures(ground, leaveOut(noBridgeHeuristics, 'straightenOverGaps'));
    expect(left.slantMm).toBeGreaterThan(0.08);
  });

  it('squeezes: a channel that is too narrow is closed before outlines are moved for it; a sketch leaves it', () => {
    const rooms = [12, 20, 22, 20, 22, 26, 30, 26, 30, 20, 40, 20];
    const below = [40, 33, 30, 33, 30, 27, 22, 27, 22, 33, 12, 33];
    const { shapes, on, job } = drawn(
      [{ outer: polygonOutline([...rooms, ...below]), holes: [] }],
      FEW,
    );
    const unmended = { ...bridgeHeuristics, ...leaveOut(noBridgeHeuristics, 'mend') };
    const laid = (without: Partial<BridgeHeuristics> = {}): number =>
      bridge({ shapes }, on, job, { ...unmended, ...without }).openings.length;
    expect(laid()).toBe(2);
    expect(laid(leaveOut(noBridgeHeuristics, 'squeezes'))).toBe(1);
    // In its coarse pixels many a channel looks too narrow that is not.
    expect(bridge({ shapes }, on, job, forSketch(bridgeHeuristics)).openings).toHaveLength(1);
  });

  it('withoutSpikes: where two cuts run beside each other no hair of an opening is left', () => {
    const ground = eased(random('blobs', 3, 40));
    const whole = bridgeFigures(ground);
    const left = bridgeFigures(ground, leaveOut(noBridgeHeuristics, 'withoutSpikes'));
    expect(left.outlinesMm - whole.outlinesMm).toBeGreaterThan(0.1);
    expect(left.corners).toBeGreaterThanOrEqual(whole.corners);
  });
});

/** A bay of a radius in px in the edge of an opening, so that its outline lies on the frame beside a turn. */
function bay(radius: number, inside: number): Bitmap {
  const middle = 25 + Math.sqrt(radius * radius - inside * inside);
  return painted(240, 240, (x, y) => {
    const isInside = x > 20 && x < 130 && y > 20 && y < 140;
    return isInside && Math.hypot(x - 20 - inside, y - middle) > radius;
  });
}

/** Two squares that stand on a corner, each corner rounded, and 1.62 mm of film between the two nearest. */
function tipToTip(): Bitmap {
  const [half, round, between] = [34, 4, 16.2];
  const reach = half + round;
  return painted(240, 240, (x, y) => {
    const [u, v] = [Math.abs(x - 120), Math.abs(y - 120)];
    // From the middle of a square to a place, in the quarter where all is alike; then how far that is from its side.
    const [p, q] = [Math.abs(u - between / 2 - reach), v];
    const along = Math.min(half, Math.max(0, (p - q + half) / 2));
    const outside = p + q > half;
    return !outside || Math.hypot(p - along, q - (half - along)) < round;
  });
}

describe('a case for each heuristic of the outlines', () => {
  it.each<[keyof EaseHeuristics, string, () => EaseGround, keyof EaseFigures, number, number]>([
    [
      'trueCorners',
      'what has corners needs few curves',
      () => random('blobs', 3, 40),
      'curves',
      75,
      84,
    ],
    [
      'cornersWithClearance',
      'no corner is drawn sharp into film that has no room for it',
      () => unwidened(tipToTip(), 24),
      'narrow',
      0,
      1,
    ],
    [
      'smoothCurvature',
      'the trace of pixels is no corner',
      () => random('blobs', 3, 40),
      'corners',
      31,
      100,
    ],
    [
      'roundTrip',
      'the seam of an outline costs no curve',
      () => random('blobs', 3, 40),
      'curves',
      75,
      76,
    ],
    [
      'clampedToBox',
      'no curve bulges over the margin',
      () => unwidened(bay(10, 4), 24, KNIFE),
      'beyondMm',
      0.0401,
      0.08,
    ],
    [
      'bluntFilm',
      'film does not run out in slivers',
      () => random('blobs', 4, 60, KNIFE),
      'sharpTips',
      1,
      4,
    ],
    [
      'withTightTurnsMarked',
      'where all else leaves a turn too tight it is a corner',
      () => unwidened(bay(10, 4), 24, KNIFE),
      'tight',
      0,
      1,
    ],
  ])('%s: %s', (name, _, ground, figure, atMost, without) => {
    expect(easeFigures(ground())[figure]).toBeLessThanOrEqual(atMost);
    const left = easeFigures(ground(), leaveOut(noEaseHeuristics, name));
    expect(left[figure]).toBeGreaterThanOrEqual(without);
  });
});
