import { describe, expect, it } from 'vitest';
import { smoothCurvature, type SmoothedChain } from '../../src/geometry/curvature-smoothing.js';
import type { Clearance } from '../../src/geometry/clearance.js';
import { sampleByArcLength } from '../../src/geometry/arc-length-samples.js';

const STEP = 0.25;

/** A ring of places at a distance from the middle that depends on the angle, with the same room all round. */
function bentRing(
  radius: (angle: number) => number,
  roomMm: number,
  tightestMm: number,
): SmoothedChain {
  const n = 2000;
  const angle = (i: number): number => (2 * Math.PI * i) / n;
  const x = Float64Array.from({ length: n }, (_, i) => radius(angle(i)) * Math.cos(angle(i)));
  const y = Float64Array.from({ length: n }, (_, i) => radius(angle(i)) * Math.sin(angle(i)));
  const stations = sampleByArcLength({ x, y }, [], STEP);
  const all = new Float64Array(stations.x.length).fill(roomMm);
  const room: Clearance = { film: all, opening: all };
  return smoothCurvature(stations, room, tightestMm);
}

/** The tightest turn of a closed chain in 1/mm, away from its corners. */
function tightest({ x, y, corner }: SmoothedChain): number {
  const n = x.length;
  let most = 0;
  for (let i = 0; i < n; i++) {
    if (corner[i]) continue;
    const [b, d] = [(i + n - 1) % n, (i + 1) % n];
    const [ux, uy] = [x[i] - x[b], y[i] - y[b]];
    const [vx, vy] = [x[d] - x[i], y[d] - y[i]];
    const turn = Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
    most = Math.max(most, (2 * turn) / (Math.hypot(ux, uy) + Math.hypot(vx, vy)));
  }
  return most;
}

const corners = ({ corner }: SmoothedChain): number => corner.reduce((sum, flag) => sum + flag, 0);

describe('bend', () => {
  it('leaves a wide ring where it is', () => {
    const ring = bentRing(() => 5, 0.2, 1);
    expect(corners(ring)).toBe(0);
    ring.x.forEach((x, i) => expect(Math.hypot(x, ring.y[i])).toBeCloseTo(5, 1));
  });

  it('irons waves out that fit into the room', () => {
    const wave = (angle: number): number => 6 + 0.12 * Math.sin(30 * angle);
    expect(tightest(bentRing(wave, 0, 1e-3))).toBeGreaterThan(1.5);
    const ironed = bentRing(wave, 0.2, 1);
    expect(corners(ironed)).toBe(0);
    expect(tightest(ironed)).toBeLessThan(1.1);
  });

  it('sets corners where there is no room for the turn, and bends no tighter elsewhere', () => {
    const petals = (angle: number): number => 5 + 1.5 * Math.cos(5 * angle);
    const free = bentRing(petals, 0.2, 0.3);
    expect(corners(free)).toBe(0);
    const parted = bentRing(petals, 0.05, 1.5);
    expect(corners(parted)).toBeGreaterThanOrEqual(5);
    expect(corners(parted)).toBeLessThanOrEqual(10);
    expect(tightest(parted)).toBeLessThan(1.25 / 1.5);
  });
});
