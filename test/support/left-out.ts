import type { BridgeHeuristics } from '../../src/stages/bridge/heuristics.js';
import type { Spacing } from '../../src/stages/bridge/spacing.js';
import type { EaseHeuristics } from '../../src/stages/ease/ease.js';

const noSpacing: Spacing = {
  add: () => undefined,
  remove: () => undefined,
  fits: () => true,
};

/** What stands in for each heuristic when it is left out: it changes nothing, finds nothing, or minds nothing. */
export const noBridgeHeuristics: BridgeHeuristics = {
  spacingOf: () => noSpacing,
  holdTwice: () => undefined,
  holdOnSides: () => undefined,
  holdNearer: () => undefined,
  exchange: () => undefined,
  findMirrorAxis: () => undefined,
  straightenOverGaps: (ties) => [...ties],
  sideEffectOf: () => 'good',
  dearer: (tie) => tie,
  dearIslands: () => [],
  atJunctions: (ties) => [...ties],
  stubFills: () => [],
  tongueTies: () => [],
  squeezes: () => [],
  mend: (openings) => ({ openings, left: [] }),
  overNeck: () => [],
  withoutSpikes: (loop) => loop,
  withTightTurnsMarked: (outline) => outline,
};

export const noEaseHeuristics: EaseHeuristics = {
  trueCorners: () => [],
  cornersWithClearance: (corners) => corners.map((each) => [...each]),
  smoothCurvature: ({ x, y, corner }) => ({ x, y, corner }),
  roundTrip: (choose, stations) => choose(0, stations, false),
  clampedToBox: (outline) => outline,
  bluntFilm: (outline) => outline,
  withTightTurnsMarked: (outline) => outline,
};

/** A heuristic left out, alone. */
export function leaveOut<H extends object, K extends keyof H>(stand: H, name: K): Partial<H> {
  return { [name]: stand[name] } as unknown as Partial<H>;
}
