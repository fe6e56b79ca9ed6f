import { halfCovered } from '../../src/geometry/coverage.js';
import type { Point, Shape } from '../../src/geometry/shape.js';
import { segmentToSegment } from '../../src/geometry/segment.js';
import type { Job } from '../../src/settings/job.js';
import {
  bridge,
  type Bridge,
  type Bridged,
  type SheetAndPicture,
} from '../../src/stages/bridge/bridge.js';
import type { Net } from '../../src/stages/bridge/connectivity-augmentation.js';
import { bitmapSize } from '../../src/stages/bridge/eroded-film.js';
import { bridgeHeuristics, type BridgeHeuristics } from '../../src/stages/bridge/heuristics.js';
import { filmEdges } from '../../src/stages/bridge/shortest-gap.js';
import { measure } from '../../src/stages/check/measure.js';
import { marksIn } from './ease-figures.js';
import { skeletonEnds, stubsAmong } from './skeleton-ends.js';

/** What the bridges of a stencil are judged by; the less the better. */
export interface BridgeFigures {
  readonly bridges: number;
  /** Their length, in mm. */
  readonly lengthMm: number;
  /** Openings that are too small or narrow to cut once bridges lie over them. */
  readonly dropped: number;
  /** Promises that the check finds broken. */
  readonly broken: number;
  /** Long tongues of film that nothing ties. */
  readonly tongues: number;
  /** Corners and length of all that is cut, in mm. */
  readonly corners: number;
  readonly outlinesMm: number;
  /** The share of the sheet, in thousandths, that is other than the tone. */
  readonly offTone: number;
  /** Bridges on which alone more film hangs than should. */
  readonly onlyHolds: number;
  /** Ties that parts of the film lack, and sides on which they have none. */
  readonly lacking: number;
  /** Parts that hang behind more than two others. */
  readonly deep: number;
  /** Two bridges with less than an opening's width between them. */
  readonly crowded: number;
  /** By how much bridges are longer than the way straight over their gap, in mm. */
  readonly slantMm: number;
  /** Bridges without another one at their mirror image, left and right of the sheet's middle. */
  readonly lopsided: number;
  /** Short dead ends that bridges leave of lines. Counted when asked for: it takes as long as all else. */
  readonly stubs: number;
}

/** Openings on a sheet, and the tone that they were made of. */
export interface BridgeGround {
  readonly shapes: readonly Shape[];
  readonly on: SheetAndPicture;
  readonly tone?: Parameters<typeof measure>[0]['tone'];
  readonly job: Job;
}

const NOTHING_LOST = {
  specksDropped: 0,
  islandsDropped: 0,
  lightPartsGrown: 0,
  lightPartsJoined: 0,
  linesMerged: 0,
  linesThinned: 0,
  linesLost: [],
  unusedEdits: [],
};

/** Lays bridges by some of the heuristics, and judges them. */
export function bridgeFigures(
  { shapes, on, tone, job }: BridgeGround,
  without: Partial<BridgeHeuristics> = {},
): BridgeFigures & { readonly bridged: Bridged } {
  const heuristics = { ...bridgeHeuristics, ...without };
  const nets: Net[] = [];
  const watched: BridgeHeuristics = {
    ...heuristics,
    exchange(net) {
      heuristics.exchange(net);
      // Later rounds only mend: they want as few as can be.
      if (net.heavy < Infinity) nets.push({ ...net, chosen: [...net.chosen] });
    },
  };
  const bridged = bridge({ shapes }, on, job, watched);
  const checked = measure(
    {
      tone: tone ?? { bitmap: { width: 0, height: 0, data: new Uint8Array() } },
      widened: NOTHING_LOST,
      bridged,
      survived: null,
    },
    on.sheet,
    on.pixelsPerMm,
    job,
  );
  const { bridges, openings } = bridged;
  const net = nets.at(-1);
  const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
  return {
    bridged,
    bridges: bridges.length,
    lengthMm: sum(bridges.map(lengthOf)),
    dropped: bridged.openingsDropped + bridged.islandsDropped,
    broken: checked.findings.filter(({ level }) => level === 'error').length,
    tongues: checked.weakPlaces.filter(({ kind }) => kind === 'tongue').length,
    corners: marksIn(openings),
    outlinesMm: sum(checked.openings.map(({ lengthMm }) => lengthMm)),
    offTone: 1000 * checked.fidelity,
    onlyHolds: net ? onlyHolds(net) : 0,
    lacking: net ? lacking(net) : 0,
    deep: net ? tooDeep(net) : 0,
    crowded: crowded(bridges, job.narrowestOpening),
    slantMm: slant(bridges, bridged.laidOver),
    lopsided: lopsided(bridges, on.sheet.widthMm),
    get stubs() {
      return stubsIn(bridged, on);
    },
  };
}

function stubsIn({ openings, bridges }: Bridged, { sheet, pixelsPerMm }: SheetAndPicture): number {
  const { width, height } = bitmapSize(sheet, pixelsPerMm);
  const print = halfCovered(openings, width, height, pixelsPerMm);
  return stubsAmong(skeletonEnds(print), bridges, pixelsPerMm).length;
}

function lengthOf({ from, to }: Bridge): number {
  return Math.hypot(to.x - from.x, to.y - from.y);
}

/** How many ties each part is from the root at least; undefined for those that nothing ties. */
function depths({ root, given, chosen }: Net, but?: unknown): ReadonlyMap<number, number> {
  const links = [...given, ...chosen].filter((link) => link !== but);
  const found = new Map([[root, 0]]);
  for (const [part, depth] of found) {
    for (const { from, to } of links) {
      const other = from === part ? to : to === part ? from : undefined;
      if (other !== undefined && !found.has(other)) found.set(other, depth + 1);
    }
  }
  return found;
}

function onlyHolds(net: Net): number {
  const held = depths(net);
  return net.chosen.filter((tie) => {
    const left = depths(net, tie);
    const falls = [...held.keys()].filter((part) => !left.has(part));
    return falls.reduce((area, part) => area + net.parts[part].areaMm2, 0) >= net.heavy;
  }).length;
}

const MOST_BEHIND = 2;

function tooDeep(net: Net): number {
  return [...depths(net).values()].filter((depth) => depth > MOST_BEHIND + 1).length;
}

const WIDEST_GAP = (230 * Math.PI) / 180;

function lacking(net: Net): number {
  let sum = 0;
  net.parts.forEach(({ x, y, ties }, part) => {
    if (part === 0 || part === net.root || ties < 2) return;
    const angles = [...net.given, ...net.chosen]
      .filter(({ from, to }) => from === part || to === part)
      .map(({ from, gapStart, gapEnd }) => (from === part ? gapStart : gapEnd))
      .map((place) => Math.atan2(place.y - y, place.x - x))
      .sort((a, b) => a - b);
    const gaps = angles.map((angle, i) => (angles[i + 1] ?? angles[0] + 2 * Math.PI) - angle);
    sum += Math.max(0, ties - angles.length) + Number(Math.max(...gaps) > WIDEST_GAP);
  });
  return sum;
}

function crowded(bridges: readonly Bridge[], openingMm: number): number {
  let pairs = 0;
  bridges.forEach((a, i) => {
    for (const b of bridges.slice(0, i)) {
      const between = segmentToSegment(a.from, a.to, b.from, b.to) - (a.widthMm + b.widthMm) / 2;
      if (between < openingMm) pairs++;
    }
  });
  return pairs;
}

function slant(bridges: readonly Bridge[], laidOver: readonly Shape[]): number {
  const edges = filmEdges(laidOver);
  return bridges.reduce((sum, one) => {
    const length = lengthOf(one);
    const middle: Point = { x: (one.from.x + one.to.x) / 2, y: (one.from.y + one.to.y) / 2 };
    const near = edges.nearest(middle, middle, length);
    return sum + Math.max(0, length - 2 * (near?.distance ?? length / 2));
  }, 0);
}

const SAME_MM = 1.5;

function lopsided(bridges: readonly Bridge[], sheetMm: number): number {
  const middles = bridges.map(({ from, to }) => [(from.x + to.x) / 2, (from.y + to.y) / 2]);
  return middles.filter(
    ([x, y]) => !middles.some(([u, v]) => Math.hypot(sheetMm - x - u, y - v) < SAME_MM),
  ).length;
}
