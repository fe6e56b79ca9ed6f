import { describe, expect, it } from 'vitest';
import type { Shape } from '../../src/geometry/shape.js';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import { bridge, type Bridged } from '../../src/stages/bridge/bridge.js';
import { circle, rectangle } from '../support/openings.js';

const sheet = { widthMm: 60, heightMm: 60 };
const night = (...stars: readonly (readonly [number, number, number])[]): Shape => ({
  outer: rectangle(8, 8, 44, 44),
  holes: stars.map(([x, y, radius]) => circle(x, y, radius)),
});
const lay = (shape: Shape, given: JobInput = {}): Bridged =>
  bridge(
    { shapes: [shape] },
    { sheet, pixelsPerMm: 10 },
    completeJob({ card: '60x60mm', ...given }),
  );

const STAR = [30, 30, 2] as const;

describe('islands that are not worth their bridges', () => {
  it('are cut away, and counted: one that would hang on twenty millimetres of film', () => {
    const { bridges, islands, islandsDear, openings } = lay(night(STAR));
    expect({ bridges: bridges.length, islands, islandsDear }).toEqual({
      bridges: 0,
      islands: 1,
      islandsDear: 1,
    });
    expect(openings[0].holes).toEqual([]);
  });

  it('are none near other film, or so large that their bridges are little beside them', () => {
    expect(lay(night([30, 12, 2])).islandsDear).toBe(0);
    expect(lay(night([30, 30, 12])).islandsDear).toBe(0);
  });

  it('are none that are compact, with one short bridge of two: a head, but no mast', () => {
    // Its bridges of 8 and 11 mm are longer than half of its outline, 36 mm.
    const head = lay(night([30, 22, 5.8]), { tieEvery: 10 });
    expect([head.islandsDear, head.bridges.length]).toEqual([0, 2]);
    const mast = { outer: rectangle(8, 8, 44, 44), holes: [rectangle(28.5, 22, 3, 16)] };
    expect(lay(mast).islandsDear).toBe(1);
  });

  it('are held when a person keeps them, or has tied them', () => {
    const kept = lay(night(STAR), { regionEdits: [{ do: 'keep', at: [30, 30] }] });
    expect(kept.islandsDear).toBe(0);
    expect(kept.bridges.length).toBeGreaterThan(0);
    const tied = lay(night(STAR), { bridgeEdits: [{ do: 'add', from: [30, 30], to: [30, 7] }] });
    expect(tied.islandsDear).toBe(0);
  });

  it('are looked at with what hangs on them', () => {
    // Two stars beside each other go together; a large moon beside a star holds it.
    const pair = lay(night(STAR, [35.5, 30, 2]));
    expect({ dear: pair.islandsDear, bridges: pair.bridges.length }).toEqual({
      dear: 2,
      bridges: 0,
    });
    expect(lay(night(STAR, [38, 20, 9])).islandsDear).toBe(0);
  });

  it('go alone: what hangs elsewhere stays', () => {
    const { islandsDear, openings } = lay(night(STAR, [30, 12, 2]));
    expect(islandsDear).toBe(1);
    expect(openings.every(({ holes }) => holes.length === 0)).toBe(true);
  });
});
