import { dearIslands } from './dear-islands.js';
import { type ChooseParts, chooseParts } from './choose.js';
import { type Finishing, finishing } from './cut.js';
import { mend } from './mend.js';
import { findMirrorAxis } from './mirror-symmetry.js';
import { straightenOverGaps } from './shortest-gap.js';
import { sideEffectOf } from './side-effects.js';
import type { partedByOutlines } from './parted-by-outlines.js';
import { overNeck, squeezes } from './squeezes.js';
import { atJunctions, stubFills } from './stubs.js';
import type { Tie } from './tie.js';
import { tongueTies } from './tongues.js';

/**
 * What makes bridges good beyond holding the film in one piece, each a part that can be left out to measure what it
 * earns; test/stages/ablation.test.ts does.
 */
export interface BridgeHeuristics extends ChooseParts, Finishing {
  readonly findMirrorAxis: typeof findMirrorAxis;
  readonly straightenOverGaps: typeof straightenOverGaps;
  readonly sideEffectOf: typeof sideEffectOf;
  /** A place that leaves what can't be cut, when ties are chosen anew. */
  readonly dearer: (tie: Tie) => Tie;
  readonly dearIslands: typeof dearIslands;
  readonly atJunctions: typeof atJunctions;
  readonly stubFills: typeof stubFills;
  readonly tongueTies: typeof tongueTies;
  readonly squeezes: typeof squeezes;
  readonly mend: typeof mend;
  readonly overNeck: typeof overNeck;
  /** Which cores of the eroded film are told apart; all unless it is given. */
  readonly coresOf?: typeof partedByOutlines;
}

/**
 * A tie that leaves what can't be cut costs so many times as much in the next turn: it is taken again only where all
 * others cost more still.
 */
const DEARER = 8;

function dearer(tie: Tie): Tie {
  return { ...tie, cost: DEARER * tie.cost };
}

export const bridgeHeuristics: BridgeHeuristics = {
  ...chooseParts,
  ...finishing,
  findMirrorAxis,
  straightenOverGaps,
  sideEffectOf,
  dearer,
  dearIslands,
  atJunctions,
  stubFills,
  tongueTies,
  squeezes,
  mend,
  overNeck,
};

/** With every island held, be its bridges as long as they may. */
export const keepingAll: BridgeHeuristics = { ...bridgeHeuristics, dearIslands: () => [] };

/** Without what only a knife or a tip would notice: the last width, spikes, and marks at tight turns. */
export function forSketch(heuristics: BridgeHeuristics): BridgeHeuristics {
  return {
    ...heuristics,
    mend: (openings) => ({ openings, left: [] }),
    squeezes: () => [],
    withoutSpikes: (loop) => loop,
    withTightTurnsMarked: (outline) => outline,
  };
}
