import { completeJob, type Job } from '../../src/index.js';
import type { Shape } from '../../src/geometry/shape.js';
import type { Bridged } from '../../src/stages/bridge/bridge.js';
import { circle, rectangle } from '../support/openings.js';
import { exponent, median, seeded } from './numbers.js';

/** The stages as built, as people run them: `npm run bench` builds them first. */
const built = (file: string): string =>
  new URL(`../../dist/src/stages/${file}.js`, import.meta.url).href;

const SIDES = [40, 80, 120];
/** The room of a piece and the margin, in mm; the largest sheet is just under 16 megapixels. */
const ROOM_MM = 4;
const MARGIN_MM = 4;
const PIXELS_PER_MM = 8;

/** Section 5: the time of the check and of the plan, with more and more pieces on larger sheets. */
export async function printPieces(times: number): Promise<void> {
  const { measure } = (await import(
    built('check/measure')
  )) as typeof import('../../src/stages/check/measure.js');
  const { planCuts } = (await import(
    built('plan/plan')
  )) as typeof import('../../src/stages/plan/plan.js');
  console.log(`5. Check and plan by the number of pieces; medians of ${times}`);
  console.log('    pieces  check ms   plan ms');
  const rows = SIDES.map((side) => {
    const job = jobFor(side);
    const openings = drawing(side);
    const sheet = sheetFor(side);
    const size = Math.round(sheet.widthMm * PIXELS_PER_MM);
    const bitmap = { width: size, height: size, data: new Uint8Array(size * size) };
    const made = {
      tone: { bitmap },
      widened: {
        specksDropped: 0,
        islandsDropped: 0,
        lightPartsGrown: 0,
        lightPartsJoined: 0,
        linesMerged: 0,
        linesThinned: 0,
        linesLost: [],
        unusedEdits: [],
      },
      bridged: bridgedOf(openings),
      survived: null,
    };
    const check = timed(times, () => measure(made, sheet, PIXELS_PER_MM, job));
    const plan = timed(times, () => planCuts(openings, sheet, job));
    console.log(
      `   ${String(side ** 2).padStart(7)} ${check.toFixed(0).padStart(9)} ${plan.toFixed(0).padStart(9)}`,
    );
    return { pieces: side ** 2, check, plan };
  });
  for (const stage of ['check', 'plan'] as const) printGrowthOf(stage, rows);
  console.log();
}

interface Row {
  readonly pieces: number;
  readonly check: number;
  readonly plan: number;
}

function printGrowthOf(stage: 'check' | 'plan', rows: readonly Row[]): void {
  const [before, last] = rows.slice(-2);
  const nLogN = (n: number): number => n * Math.log(n);
  const grew = last[stage] / before[stage];
  const allowed = nLogN(last.pieces) / nLogN(before.pieces);
  const fitted = exponent(
    rows.map(({ pieces }) => pieces),
    rows.map((row) => row[stage]),
  );
  console.log(
    `   ${stage}: to the last row ${grew.toFixed(1)} ×; n log n would be ${allowed.toFixed(1)} ×   (${grew <= allowed ? 'kept' : 'NOT kept'}); fitted exponent ${fitted.toFixed(2)}`,
  );
}

/** The median of so many runs, in ms; one before them loads the code. */
function timed(times: number, work: () => unknown): number {
  work();
  return median(
    Array.from({ length: times }, () => {
      const start = performance.now();
      work();
      return performance.now() - start;
    }),
  );
}

function jobFor(side: number): Job {
  const { widthMm } = sheetFor(side);
  const limits = { narrowestStrip: 1.2, smallestOpening: 3 };
  return completeJob({ card: `${widthMm}x${widthMm}mm`, margin: MARGIN_MM, ...limits });
}

function sheetFor(side: number): { readonly widthMm: number; readonly heightMm: number } {
  const widthMm = side * ROOM_MM + 2 * MARGIN_MM;
  return { widthMm, heightMm: widthMm };
}

/** Discs and squares of several sizes in rows. */
function drawing(side: number): Shape[] {
  const random = seeded(5);
  return Array.from({ length: side ** 2 }, (_, i) => {
    const x = MARGIN_MM + ((i % side) + 0.5) * ROOM_MM;
    const y = MARGIN_MM + (Math.floor(i / side) + 0.5) * ROOM_MM;
    const size = 1.1 + 0.2 * random();
    const outer =
      random() < 0.5 ? circle(x, y, size) : rectangle(x - size, y - size, 2 * size, 2 * size);
    return { outer, holes: [] };
  });
}

function bridgedOf(openings: readonly Shape[]): Bridged {
  return {
    openings,
    bridges: [],
    islands: 0,
    openingsDropped: 0,
    islandsDropped: 0,
    islandsDear: 0,
    laidOver: openings,
    shareChanged: 0,
    removed: [],
    unusedEdits: [],
  };
}
