import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { planCuts, type CutPlan } from '../../src/stages/plan/plan.js';
import type { Shape } from '../../src/geometry/shape.js';
import { circle, polygonOutline, rectangle } from '../support/openings.js';
import { seeded } from '../bench/numbers.js';
import { leastTravelMm } from '../support/bounds/least-travel.js';

const sheet = { widthMm: 228.6, heightMm: 304.8 };
const job = completeJob({});
const solid = (outer: Shape['outer']): Shape => ({ outer, holes: [] });
const openingsOf = ({ pieces }: CutPlan): number[] => pieces.map(({ opening }) => opening);

/** Openings of all sizes on a grid, some of them closer to each other than film should be heated. */
function scattered(count: number, seed: number): Shape[] {
  const random = seeded(seed);
  const columns = Math.ceil(Math.sqrt((count * 205) / 281));
  const cell = 205 / columns;
  return Array.from({ length: count }, (_, i) => {
    const x = 12 + (0.5 + (i % columns)) * cell;
    const y = 12 + (0.5 + Math.floor(i / columns)) * cell;
    const size = cell * (0.15 + 0.31 * random());
    return random() < 0.5
      ? solid(circle(x, y, size))
      : solid(rectangle(x - size, y - size, 2 * size, 1.5 * size));
  });
}

/** The least travel of all orders that keep the rules; the rounds and the thin places are told by the test. */
function leastTravel(
  plan: CutPlan,
  round: (opening: number) => number,
  isThin: (a: number, b: number) => boolean,
): number {
  const stops = plan.pieces;
  let best = Infinity;
  const visit = (way: readonly number[], sum: number): void => {
    if (sum >= best) return;
    if (way.length === stops.length) best = sum;
    stops.forEach(({ start, opening }, next) => {
      if (way.includes(next)) return;
      if (stops.some((other, k) => !way.includes(k) && round(other.opening) < round(opening)))
        return;
      const last = way.length > 0 ? stops[way[way.length - 1]] : undefined;
      if (last && isThin(last.opening, opening)) return;
      const step = last ? Math.hypot(last.start.x - start.x, last.start.y - start.y) : 0;
      visit([...way, next], sum + step);
    });
  };
  visit([], 0);
  return best;
}

describe('the order of cutting', () => {
  it('numbers every opening once', () => {
    const plan = planCuts(scattered(40, 3), sheet, job);
    expect(openingsOf(plan).sort((a, b) => a - b)).toEqual([...Array(40).keys()]);
    expect(plan.pieces.map(({ number }) => number)).toEqual(plan.pieces.map((_, i) => i + 1));
  });

  it('cuts smallest first', () => {
    const { pieces } = planCuts(scattered(60, 4), sheet, job);
    const rank = { small: 0, middling: 1, large: 2 };
    const ranks = pieces.map(({ size }) => rank[size]);
    expect(ranks).toEqual(ranks.toSorted((a, b) => a - b));
    expect(new Set(ranks).size).toBeGreaterThan(1);
    // A pea is 8 mm across, a coin 24 mm.
    for (const { areaMm2, size } of pieces)
      expect(size).toBe(areaMm2 < 50 ? 'small' : areaMm2 < 450 ? 'middling' : 'large');
  });

  it('cuts what is enclosed before what encloses it, of one size too', () => {
    // A bracket of 1,056 mm² round a tablet of 1,200 mm², and one that stands outside of it.
    const bracket = polygonOutline(
      [0, 0, 44, 0, 44, 8, 8, 8, 8, 52, 44, 52, 44, 60, 0, 60].map((v) => 50 + v),
    );
    const tablets = [rectangle(60, 65, 30, 40), rectangle(60, 140, 30, 40)];
    const plan = planCuts([bracket, ...tablets].map(solid), sheet, job);
    expect(plan.pieces.map(({ size }) => size)).toEqual(['large', 'large', 'large']);
    const order = openingsOf(plan);
    expect(order.indexOf(1)).toBeLessThan(order.indexOf(0));
    const turned = planCuts([...tablets, bracket].map(solid), sheet, job);
    expect(openingsOf(turned).indexOf(0)).toBeLessThan(openingsOf(turned).indexOf(2));
  });

  it('does not cut two sides of a thin strip of film one right after the other', () => {
    // Two pairs; each pair has 2 mm of film between its squares. The shortest way would go through each pair.
    const openings = [0, 22, 100, 122].map((x) => solid(rectangle(20 + x, 50, 20, 20)));
    const plan = planCuts(openings, sheet, job);
    expect(plan.thinPlaces).toBe(2);
    expect(plan.thinInARow).toBe(0);
    const order = openingsOf(plan);
    for (let i = 1; i < 4; i++)
      expect(Math.floor(order[i] / 2)).not.toBe(Math.floor(order[i - 1] / 2));
    expect(
      planCuts(openings, sheet, { ...job, bridgeWidth: 1, narrowestStrip: 1 }).thinPlaces,
    ).toBe(0);
  });

  it('says when it could not be helped', () => {
    const openings = [0, 22].map((x) => solid(rectangle(20 + x, 50, 20, 20)));
    expect(planCuts(openings, sheet, job).thinInARow).toBe(1);
  });

  it.each([1, 2, 3, 4, 5, 6])('has within 1.15 of the least travel there is (set %i)', (seed) => {
    const random = seeded(seed);
    const openings = Array.from({ length: 7 }, (_, i) => {
      const radius = 2 + 14 * random();
      return solid(circle(30 + (i % 3) * 36 + 6 * random(), 40 + Math.floor(i / 3) * 36, radius));
    });
    const plan = planCuts(openings, sheet, job);
    const pieceOf = (opening: number) => plan.pieces.find((piece) => piece.opening === opening)!;
    const gap = (a: number, b: number): number => {
      const [p, q] = [pieceOf(a), pieceOf(b)];
      const middles = Math.hypot(p.middle.x - q.middle.x, p.middle.y - q.middle.y);
      return middles - p.widthMm / 2 - q.widthMm / 2;
    };
    const rank = { small: 0, middling: 1, large: 2 };
    const least = leastTravel(
      plan,
      (opening) => rank[pieceOf(opening).size],
      (a, b) => gap(a, b) < 2.5,
    );
    expect(least).toBeLessThan(Infinity);
    expect(plan.travelMm).toBeGreaterThanOrEqual(least - 1e-6);
    expect(plan.travelMm).toBeLessThanOrEqual(1.15 * least);
    expect(leastTravelMm(openings, sheet, job)).toBeLessThanOrEqual(least + 1e-6);
  });

  it.each([50, 150, 300])('has within 1.15 of the lower bound with %i pieces', (count) => {
    const openings = scattered(count, count);
    const plan = planCuts(openings, sheet, job);
    const least = leastTravelMm(openings, sheet, job);
    expect(plan.travelMm).toBeGreaterThanOrEqual(least);
    expect(plan.travelMm).toBeLessThanOrEqual(1.15 * least);
    expect(plan.thinInARow).toBe(0);
    expect(plan.thinPlaces > 0).toBe(count > 50);
  });

  it('is empty for no openings', () => {
    const plan = planCuts([], sheet, job);
    expect(plan).toMatchObject({ pieces: [], cuttingMm: 0, travelMm: 0, minutes: job.warmUp });
  });
});

describe('a piece', () => {
  const square = solid(rectangle(20, 30, 40, 20));
  const [piece] = planCuts([square], sheet, job).pieces;

  it('is measured', () => {
    expect(piece.areaMm2).toBeCloseTo(800, 6);
    expect(piece.lengthMm).toBeCloseTo(120, 6);
    expect(piece).toMatchObject({
      corners: 4,
      widthMm: 40,
      heightMm: 20,
      middle: { x: 40, y: 40 },
    });
  });

  it('starts at a corner that points outward', () => {
    expect([20, 60]).toContain(piece.start.x);
    expect([30, 50]).toContain(piece.start.y);
    // The notch of a heart points inward: the hand starts at the tip.
    const dart = solid(polygonOutline([20, 20, 30, 24, 40, 20, 30, 60]));
    const { start } = planCuts([dart], sheet, job).pieces[0];
    expect(start).not.toEqual({ x: 30, y: 24 });
  });

  it('has its straight runs, of 15 mm and more', () => {
    expect(piece.runs.map(({ lengthMm }) => Math.round(lengthMm)).sort()).toEqual([20, 20, 40, 40]);
    expect(planCuts([solid(rectangle(0, 0, 14, 14))], sheet, job).straightRuns).toBe(0);
    expect(planCuts([solid(circle(60, 60, 30))], sheet, job).straightRuns).toBe(0);
  });

  it('takes its length at the hand’s speed, and a pause for itself and for each corner', () => {
    expect(piece.minutes).toBeCloseTo(120 / 150 + 0.2 + 4 * 0.05, 9);
    const slow = planCuts([square], sheet, { ...job, cuttingSpeed: 60, warmUp: 5 });
    expect(slow.minutes).toBeCloseTo(5 + 2 + 0.4, 9);
  });

  it('is kept as a mask from a size on', () => {
    expect(piece.keep).toBe(true);
    expect(planCuts([square], sheet, { ...job, smallestMask: 801 }).pieces[0].keep).toBe(false);
  });
});

describe('difficulty', () => {
  const level = (openings: readonly Shape[]) => planCuts(openings, sheet, job).difficulty;

  it('is easy for a few large pieces, with the reason', () => {
    expect(level([solid(circle(60, 60, 20)), solid(circle(120, 60, 20))])).toEqual({
      level: 'easy',
      because: ['2 pieces, none smaller than a pea'],
    });
  });

  it('counts the pieces smaller than a pea', () => {
    const dots = Array.from({ length: 14 }, (_, i) => solid(circle(20 + 12 * i, 60, 2)));
    expect(level(dots)).toEqual({ level: 'fiddly', because: ['14 pieces smaller than a pea'] });
  });
});
