import { describe, expect, it } from 'vitest';
import { turnsAbout, wedgesAbout } from '../../src/geometry/fold-pattern.js';
import { turnedBack } from '../../src/geometry/outline.js';
import type { Shape } from '../../src/geometry/shape.js';
import { completeJob } from '../../src/settings/job.js';
import type { Bridge, Bridged } from '../../src/stages/bridge/bridge.js';
import { fewestOrbits, mixedOrbits, unevenMm2 } from '../../src/stages/fold/bridge-orbits.js';
import { partedByPlaces } from '../../src/stages/fold/clean-parts.js';
import { shareOffImages } from '../../src/stages/fold/off-images.js';
import { bridgedBySymmetry } from '../../src/stages/fold/symmetric-bridges.js';
import { circle, polygonOutline } from '../support/openings.js';

const sheet = { widthMm: 60, heightMm: 60 };
const middle = { x: 30, y: 30 };
const OPENING_MM = 1.5;

const ringOf = (x: number, y: number, outer: number, inner: number): Shape => ({
  outer: circle(x, y, outer),
  holes: [turnedBack(circle(x, y, inner))],
});
/** Across a ring about a place, so many degrees clockwise from straight up. */
const across = (
  degrees: number,
  [from, to]: readonly [number, number],
  { x, y } = middle,
): Bridge => {
  const [sin, cos] = [Math.sin((degrees * Math.PI) / 180), Math.cos((degrees * Math.PI) / 180)];
  const at = (away: number) => ({ x: x + away * sin, y: y - away * cos });
  return { number: 1, from: at(from), to: at(to), widthMm: 2.4, origin: 'proposed' };
};
/** Their directions from a place, in whole degrees clockwise from straight up, in order. */
const directions = (bridges: readonly Bridge[], { x, y } = middle): number[] =>
  bridges
    .map(({ from, to }) => Math.atan2((from.x + to.x) / 2 - x, y - (from.y + to.y) / 2))
    .map((angle) => (Math.round((angle * 180) / Math.PI) + 360) % 360)
    .sort((a, b) => a - b);

describe('the fewest bridges that are all images of one another', () => {
  const ring = ringOf(30, 30, 20, 17);
  const WAY = [17, 20] as const;
  const d1 = wedgesAbout(middle, 1, sheet);
  const d4 = wedgesAbout(middle, 4, sheet);

  it('are of two at unlike places the cheaper one in all parts', () => {
    const dear = across(20, [16.5, 20]);
    const chosen = fewestOrbits([dear, across(200, WAY)], [ring], turnsAbout(middle, 3, sheet), OPENING_MM); // prettier-ignore
    expect(directions(chosen)).toEqual([80, 200, 320]);
  });

  it('are on a mirror where one beside it and its image would leave no opening between them', () => {
    expect(directions(fewestOrbits([across(4, WAY)], [ring], d4, OPENING_MM))).toEqual([0, 90, 180, 270]); // prettier-ignore
    expect(fewestOrbits([across(20, WAY)], [ring], d4, OPENING_MM)).toHaveLength(8);
  });

  it('stay beside it where there two hold what one on the mirror would let swing', () => {
    const two = [across(3, WAY), across(357, WAY)];
    expect(directions(fewestOrbits(two, [ring], d1, OPENING_MM))).toEqual([3, 357]);
  });

  it('hold a ring as far apart as it was held', () => {
    // On either ring the two towards the other one are cheaper, and would do for their number.
    const rings = [15, 45].map((x) => ringOf(x, 30, 10, 7));
    const [left, right] = [15, 45].map((x) => ({ x, y: 30 }));
    const near = [across(75, [7, 10], left), across(285, [7, 10], right)];
    const far = [across(270, [6, 12.5], left), across(90, [6, 12.5], right)];
    const d2 = wedgesAbout(middle, 2, sheet);
    const chosen = fewestOrbits([...near, ...far], rings, d2, OPENING_MM);
    const ofLeft = chosen.filter(({ from }) => from.x < 30);
    expect(directions(ofLeft, left)).toEqual([75, 105, 270]);
  });

  it('are with a mirror alone as many as there were: one region may be several behind necks', () => {
    const four = [60, 120, 240, 300].map((degrees) => across(degrees, WAY));
    expect(directions(fewestOrbits(four, [ring], d1, OPENING_MM))).toEqual([60, 120, 240, 300]);
  });

  it('are without those that nothing hangs on, once others have their images', () => {
    // Four islands in a disc: every second one hung on the film round it, the others on those.
    const islands = [0, 90, 180, 270].map((degrees) => across(degrees, [10, 10]).from);
    const disc: Shape = {
      outer: circle(30, 30, 20),
      holes: islands.map(({ x, y }) => turnedBack(circle(x, y, 6))),
    };
    const between = (k: number): Bridge => across(135 + 90 * k, [6, 8.14], islands[k]);
    const first = [across(0, [16, 20]), between(0), across(180, [16, 20]), between(2)];
    expect(directions(fewestOrbits(first, [disc], d4, OPENING_MM))).toEqual([0, 90, 180, 270]);
  });

  it('are uneven by the area of those that have no image', () => {
    const pair = [across(30, WAY), across(330, WAY)];
    expect(unevenMm2(pair, d1)).toBe(0);
    expect(unevenMm2([...pair, across(100, WAY)], d1)).toBeCloseTo(2.4 * 3, 6);
  });
});

describe('bridges of which some are even by a part of the symmetry', () => {
  // Two rings about one place, each on two bridges: those of the inner one have ten images, of the outer one's five would do.
  const rings = [ringOf(30, 30, 25, 22), ringOf(30, 30, 12, 9)];
  const [OUTER, INNER] = [
    [22, 25],
    [9, 12],
  ] as const;
  const d5 = wedgesAbout(middle, 5, sheet);
  const d1 = wedgesAbout(middle, 1, sheet);
  const laid = [across(0, OUTER), across(180, OUTER), across(20, INNER), across(340, INNER)];
  const mixed = (mostMm2: number) => mixedOrbits(laid, rings, d5, [d1], OPENING_MM, mostMm2);
  const inner = (bridges: readonly Bridge[]): Bridge[] =>
    bridges.filter(({ to }) => Math.hypot(to.x - 30, to.y - 30) < 15);

  it('are those of the ring where it saves most, and the other ring keeps all five', () => {
    const { bridges, within } = mixed(2 * 2.4 * 3)!;
    expect(within).toBe(d1);
    expect(directions(inner(bridges))).toEqual([20, 340]);
    expect(bridges).toHaveLength(2 + 5);
  });

  it('are none where that would make too much of the print uneven', () => {
    expect(mixed(2 * 2.4 * 3 - 0.1)).toBeUndefined();
  });

  it('lie in openings that are not alike; what lies in no image of those is', () => {
    const parted = partedByPlaces(rings, rings, [across(20, INNER), across(340, INNER)].map(({ from, to }) => ({ x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 })), d5); // prettier-ignore
    expect(parted).toEqual({ alike: [rings[0]], unlike: [rings[1]] });
  });

  it('make the image of an opening that they lie in unlike, too', () => {
    const pair = [18, 42].map((x): Shape => ({ outer: circle(x, 30, 5), holes: [] }));
    expect(partedByPlaces(pair, pair, [{ x: 18, y: 30 }], d1).unlike).toEqual(pair);
  });

  it('are measured by what lies off any image', () => {
    const square = (x: number): Shape => ({ outer: polygonOutline([x, 28, x, 32, x + 4, 32, x + 4, 28]), holes: [] }); // prettier-ignore
    expect(shareOffImages([square(20), square(36)], d1)).toBe(0);
    expect(shareOffImages([square(20), square(36), square(10)], d1)).toBeCloseTo(1 / 3, 2);
  });
});

describe('bridges of a symmetric print', () => {
  const job = {
    ...completeJob({ card: '60x60mm', margin: 3 }),
    bridgeEdits: [],
    bridgeFree: [],
    moat: [],
  };
  const [OUTER, INNER] = [20, 17];
  /** A ring cut through where bridges lie. */
  function cutRing(
    bridges: readonly Bridge[],
    [inner, outer]: readonly [number, number] = [INNER, OUTER],
  ): Shape[] {
    const at = directions(bridges);
    const half = (1.2 / inner) * (180 / Math.PI);
    return at.map((from, k) => {
      const [start, end] = [from + half, (at[k + 1] ?? at[0] + 360) - half];
      const steps = Array.from({ length: 61 }, (_, i) => start + ((end - start) * i) / 60);
      const places = [
        ...steps.map((degrees) => across(degrees, [outer, outer]).from),
        ...steps.toReversed().map((degrees) => across(degrees, [inner, inner]).from),
      ];
      return { outer: polygonOutline(places.flatMap(({ x, y }) => [x, y])), holes: [] };
    });
  }
  const laid = (bridges: readonly Bridge[]): Bridged => ({
    openings: cutRing(bridges),
    bridges,
    islands: 1,
    openingsDropped: 0,
    islandsDropped: 0,
    islandsDear: 0,
    laidOver: [ringOf(30, 30, OUTER, INNER)],
    shareChanged: 0,
    removed: [],
    unusedEdits: [],
  });

  it('are no fewer than were laid: one side has one of the two alone, which would be cheapest', () => {
    const way = [INNER, OUTER] as const;
    const two = laid([across(0, way), across(250, way)]);
    const mirror = wedgesAbout(middle, 1, sheet);
    const { bridges } = bridgedBySymmetry(two.laidOver, mirror, sheet, job, () => two);
    expect(directions(bridges)).toEqual([0, 110, 250]);
  });

  it('are images of one another by all that the print is, though fewer would hold it', () => {
    const way = [INNER, OUTER] as const;
    const two = laid([across(0, way), across(180, way)]);
    const four = wedgesAbout(middle, 4, sheet);
    const { bridges } = bridgedBySymmetry(two.laidOver, four, sheet, job, () => two);
    expect(directions(bridges)).toEqual([0, 90, 180, 270]);
  });

  it('are not images of one another where so many would leave hardly anything', () => {
    const way = [INNER, OUTER] as const;
    const two = laid([across(0, way), across(180, way)]);
    const sixteen = wedgesAbout(middle, 16, sheet);
    const { bridges } = bridgedBySymmetry(two.laidOver, sixteen, sheet, job, () => two);
    expect(directions(bridges)).toEqual([0, 180]);
  });

  it('are those of one ring alone by a mirror where all images of them would dash it', () => {
    const ways = [
      [12, 25],
      [6, 7],
    ] as const;
    const whole = ways.map(([inner, outer]) => ringOf(30, 30, outer, inner));
    const lay = (bridges: readonly Bridge[]): Bridged => {
      const ofRing = (k: number): Bridge[] => bridges.filter(({ to }) => Math.hypot(to.x - 30, to.y - 30) > 10 === (k === 0)); // prettier-ignore
      return { ...laid(bridges), openings: ways.flatMap((way, k) => cutRing(ofRing(k), way)), laidOver: whole }; // prettier-ignore
    };
    const first = [...[0, 180].map((at) => across(at, ways[0])), ...[90, 270].map((at) => across(at, ways[1]))]; // prettier-ignore
    const { bridges, openings } = bridgedBySymmetry(whole, wedgesAbout(middle, 5, sheet), sheet, { ...job, narrowestOpening: 1 }, (_, __, given) => lay(given.length > 0 ? given.map((one) => ({ ...first[0], ...one })) : first)); // prettier-ignore
    const [outer, inner] = [true, false].map((isFar) => bridges.filter(({ to }) => Math.hypot(to.x - 30, to.y - 30) > 10 === isFar)); // prettier-ignore
    expect([outer.length, inner.length]).toEqual([5, 2]);
    expect(directions(inner)).toEqual([90, 270]);
    expect(openings).toHaveLength(7);
  });
});
