import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { DxfParser as Parser, IPolylineEntity } from 'dxf-parser';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import {
  completeJob,
  makeStencil,
  Problem,
  type JobInput,
  type Made,
  type OutputName,
  type StrokeEdit,
} from '../../src/index.js';
import {
  centrelineGraph,
  type CentreEdge,
  type CentrelineGraph,
} from '../../src/raster/centreline-graph.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { lines } from '../../src/stages/lines/lines.js';
import { hatch, rings, type LineDrawing } from '../support/line-drawings.js';
import { seeded } from '../support/bitmaps.js';
import { enlarged, handwritten } from '../support/digits.js';
import { firstSeed } from '../support/first-seed.js';
import { components, distancesToZero, holes, inverse } from '../support/opencv.js';
import { paintedBy } from '../support/resvg.js';
import {
  inkOfDigits,
  inkOfDrawings,
  thinnedBySkimage,
  THINNED_PIXELS_PER_MM,
} from '../support/thinned.js';
import { readPdf } from '../support/pdf.js';
import { glueFaults, untoldGlueFaults } from '../support/glue-faults.js';
import { randomKinds, randomPicture, type RandomKind } from '../support/random-pictures.js';

/*
 * Lines of glue, checked from outside: drawn by an independent renderer (resvg, by SVG 2) and labelled and measured by a
 * computer-vision library (OpenCV); the PDF and the DXF read back by independent readers (pdf.js, dxf-parser); centrelines against those that
 * drawings were made from, and, on open handwritten digits and drawings, against scikit-image's thinning (T. Y. Zhang &
 * C. Y. Suen, "A fast parallel algorithm for thinning digital patterns", CACM 27, 1984), loops against OpenCV's contour tree.
 */

const { GLUE_PICTURES, GLUE_FIRST } = process.env;
const COUNT = Number(GLUE_PICTURES ?? 60); // `npm run glue` tries 2,000, other ones each time
const FIRST = GLUE_PICTURES ? firstSeed(GLUE_FIRST, 'npm run glue with GLUE_FIRST=') : 0;
/** The card is small and its raster coarse: what runs together or falls apart does so at any size. */
const [CARD_MM, SIZE] = [60, 160];
/** Of all that are drawn; of the rest the report says what is wrong. Of noise 0.96 of 75 other ones were good, of the rest more. */
const LEAST_GOOD = 0.92;

async function glued(
  picture: Uint8Array,
  given: JobInput,
  outputs: readonly OutputName[] = ['stencil', 'template', 'plan'],
): Promise<Made> {
  const job = completeJob({ as: 'glue-line', tone: 'level', fineness: 5, ...given });
  return makeStencil(picture, job, { name: 'glue', outputs });
}

function png({ width, height, data }: ReturnType<typeof randomPicture>): Promise<Buffer> {
  const grey = Buffer.from(data.map((dark) => 255 * (1 - dark)));
  return sharp(grey, { raw: { width, height, channels: 1 } })
    .png()
    .toBuffer();
}

/** Two lines anywhere on the card, as a hand might add them. */
function drawnAtRandom(seed: number): StrokeEdit[] {
  const random = seeded(seed);
  const place = () => [CARD_MM * random(), CARD_MM * random()] as const;
  return [0, 1].map(() => ({ do: 'draw', along: [place(), place(), place(), place()] }));
}

/** How the lines of a random picture came out; undefined where there is too little dark to draw, and words say so. */
async function drawnFrom(
  kind: RandomKind,
  seed: number,
): Promise<{ readonly isGood: boolean; readonly untold: string[] } | undefined> {
  const fills = ['outline', 'hatch', 'spiral'] as const;
  // Kinds take turns: what is asked of them goes round by itself.
  const turn = Math.floor(seed / randomKinds.length);
  const given: JobInput = {
    card: `${CARD_MM}x${CARD_MM}mm`,
    fineness: 3,
    beadWidth: 2.5 + (turn % 4) / 2,
    beadHeight: 2,
    massFill: fills[turn % 3],
    joinBy: turn % 2 === 0 ? 'lines' : 'rings',
    highestCrossing: turn % 5 === 0 ? 4 : 2,
    strokeEdits: turn % 3 !== 1 ? [] : drawnAtRandom(seed),
  };
  try {
    const picture = await png(randomPicture(kind, seed, SIZE, 0));
    const made = await glued(picture, given, ['stencil']);
    return { isGood: made.good, untold: untoldGlueFaults(made) };
  } catch (error) {
    if (error instanceof Problem && /^Nothing to draw/.test(error.what)) return undefined;
    throw error;
  }
}

describe('the lines of random pictures', () => {
  it.each(randomKinds)(
    `are one piece, as the stencil has them, and what runs together is told: ${COUNT} pictures, those of %s`,
    async (kind) => {
      const wrong: string[] = [];
      let [made, good] = [0, 0];
      for (let seed = FIRST; seed < FIRST + COUNT; seed++) {
        if (randomKinds[seed % randomKinds.length] !== kind) continue;
        const drawn = await drawnFrom(kind, seed);
        if (!drawn) continue;
        made++;
        if (drawn.isGood) good++;
        for (const fault of drawn.untold) wrong.push(`${seed}: ${fault}`);
      }
      if (GLUE_PICTURES) console.log(`${kind}: ${made} made, ${good} good`);
      expect(wrong).toEqual([]);
      expect(made).toBeGreaterThan((COUNT / randomKinds.length) * 0.9);
      expect(good / made).toBeGreaterThan(LEAST_GOOD);
    },
  );
});

/** Sides of the raster's pixels, a millimetre. */
const PIXELS_PER_MM = 10;
/** Centrelines agree where they are no further apart, mm, on so much of their length. */
const [NEAR_MM, MOST_OF] = [0.3, 0.95];

interface Place {
  readonly x: number;
  readonly y: number;
}

/** The share of places that lie near one of others. */
function shareNear(places: readonly Place[], others: readonly Place[]): number {
  const cells = new Map<string, Place[]>();
  for (const place of others) {
    const key = `${Math.floor(place.x)},${Math.floor(place.y)}`;
    cells.set(key, [...(cells.get(key) ?? []), place]);
  }
  const near = places.filter(({ x, y }) => {
    for (let dx = -1; dx <= 1; dx++) {
      for (let dy = -1; dy <= 1; dy++) {
        const cell = cells.get(`${Math.floor(x) + dx},${Math.floor(y) + dy}`) ?? [];
        if (cell.some((one) => Math.hypot(one.x - x, one.y - y) <= NEAR_MM)) return true;
      }
    }
    return false;
  });
  return near.length / places.length;
}

/** Places every tenth of a millimetre along an edge. */
function placesAlong({ x, y }: Pick<CentreEdge, 'x' | 'y'>): Place[] {
  return x.slice(1).flatMap((end, k) => {
    const [dx, dy] = [end - x[k], y[k + 1] - y[k]];
    const steps = Math.max(1, Math.round(10 * Math.hypot(dx, dy)));
    return Array.from({ length: steps }, (_, i): Place => ({
      x: x[k] + (dx * i) / steps,
      y: y[k] + (dy * i) / steps,
    }));
  });
}

/** The pixels of a thinned picture, in mm. */
function placesIn({ width, data }: Bitmap): Place[] {
  return [...data.keys()]
    .filter((i) => data[i] === 1)
    .map((i): Place => ({
      x: ((i % width) + 0.5) / THINNED_PIXELS_PER_MM,
      y: (Math.floor(i / width) + 0.5) / THINNED_PIXELS_PER_MM,
    }));
}

/** The Euler number of a graph: nodes that edges meet, less edges. */
function eulerOf({ edges }: CentrelineGraph): number {
  return new Set(edges.flatMap(({ from, to }) => [from, to])).size - edges.length;
}

/** A picture, and what the library’s thinning makes of it. */
interface Thinned {
  readonly bitmap: Bitmap;
  readonly known: readonly Place[];
  readonly euler: number;
}

const sheets = new Map<string, Promise<readonly Thinned[]>>();

/** The pictures of a sheet and what the library made of them, read once. */
function sheetOf(name: string, ink: () => Bitmap[]): Promise<readonly Thinned[]> {
  const read = async (): Promise<Thinned[]> => {
    const pictures = ink();
    return (await thinnedBySkimage(name, pictures.length)).map((thinned, k) => ({
      bitmap: pictures[k],
      known: placesIn(thinned),
      euler: components(thinned, 8).count - holes(thinned),
    }));
  };
  const found = sheets.get(name) ?? read();
  sheets.set(name, found);
  return found;
}

const drawings: readonly (readonly [string, LineDrawing])[] = [
  ['rings of 1 mm', rings(1, 5)],
  ['rings of 2.5 mm', rings(2.5, 4)],
  ['a hatching', hatch(1.2, 5)],
];

describe('centrelines', () => {
  it.each(drawings)('of %s are those that it was drawn from', (_name, { svg, centreline }) => {
    const flat = svg.replace(/<rect[^>]*>/, '');
    const bitmap = paintedBy(flat, PIXELS_PER_MM * 25.4);
    const job = completeJob({ as: 'glue-line', beadWidth: 2, beadHeight: 2 });
    const { graph } = lines({ bitmap }, { pixelsPerMm: PIXELS_PER_MM }, job);
    const found = graph.edges.flatMap(({ x, y }) => x.map((at, i) => ({ x: at, y: y[i] })));
    const side = bitmap.width / PIXELS_PER_MM;
    const known = centreline.map(([x, y]) => ({ x: x * side, y: y * side }));
    expect(shareNear(found, known)).toBeGreaterThanOrEqual(MOST_OF);
    expect(shareNear(known, found)).toBeGreaterThanOrEqual(MOST_OF);
  });

  /**
   * Digits are written 3 to 5 mm wide there, the drawings are of 1.2 and 1.6 mm. What glue can't draw as it is, is told
   * and drawn otherwise: a loop that is too small closes, of a part wider than two lines and a gap the rim is drawn. All
   * else is compared. The last number is of the pictures in which something is told.
   */
  it.each([
    ['handwritten digits in lines of 3 mm', 'digits', inkOfDigits, 3, 3],
    ['handwritten digits in lines of 3.5 mm', 'digits', inkOfDigits, 3.5, 2],
    ['handwritten digits in lines of 4 mm', 'digits', inkOfDigits, 4, 1],
    ['handwritten digits in lines of 4.5 mm', 'digits', inkOfDigits, 4.5, 1],
    ['handwritten digits in lines of 5 mm', 'digits', inkOfDigits, 5, 1],
    ['handwritten digits in lines of 6 mm', 'digits', inkOfDigits, 6, 1],
    ['handwritten digits in lines of 7 mm', 'digits', inkOfDigits, 7, 1],
    ['line drawings in lines of 2 mm', 'drawings', inkOfDrawings, 2, 0],
    ['line drawings in lines of 4 mm', 'drawings', inkOfDrawings, 4, 0],
  ] as const)(
    'of %s lie where a library’s thinning has them',
    async (_name, sheet, ink, beadWidth, mostTold) => {
      const pictures = await sheetOf(sheet, ink);
      const job = completeJob({
        ...{ as: 'glue-line', beadWidth, beadHeight: 1.5, shortestStroke: 1 },
        ...{ smallestOpening: 0.5, narrowestOpening: 0.5 },
      });
      const [ours, theirs, nearOurs, nearTheirs] = [[0], [0], [0], [0]];
      const unlike: number[] = [];
      let told = 0;
      pictures.forEach(({ bitmap, known, euler }, k) => {
        const found = lines({ bitmap }, { pixelsPerMm: THINNED_PIXELS_PER_MM }, job);
        if (found.closed > 0 || found.masses > 0 || found.thinned > 0) {
          told++;
          return;
        }
        const ways = found.graph.edges.flatMap(placesAlong);
        ours[0] += ways.length;
        theirs[0] += known.length;
        nearOurs[0] += ways.length * shareNear(ways, known);
        nearTheirs[0] += known.length * shareNear(known, ways);
        if (eulerOf(found.graph) !== euler) unlike.push(k);
      });
      expect(nearOurs[0] / ours[0]).toBeGreaterThanOrEqual(MOST_OF);
      expect(nearTheirs[0] / theirs[0]).toBeGreaterThanOrEqual(MOST_OF);
      expect(unlike).toEqual([]);
      expect(told).toBeLessThanOrEqual(mostTold);
    },
  );

  it('of handwritten digits have as many loops as OpenCV finds holes', () => {
    for (let digit = 0; digit < 10; digit++) {
      for (const [k, picture] of handwritten(digit, 5).entries()) {
        // A pixel wider all round, so that what touches by a corner is joined.
        const large = enlarged(picture, 6);
        const away = distancesToZero(inverse(large));
        const bitmap = { ...large, data: large.data.map((ink, i) => ink | Number(away[i] < 2)) };
        const { nodes, edges } = centrelineGraph(bitmap, bitmap.width);
        const part = nodes.map((_, node) => node);
        const root = (node: number): number => (part[node] === node ? node : root(part[node]));
        for (const { from, to } of edges) part[root(from)] = root(to);
        const parts = nodes.filter((_, node) => part[node] === node).length;
        expect(edges.length - nodes.length + parts, `${digit}, the ${k}th`).toBe(holes(bitmap));
      }
    }
  });
});

const doodle = (name: string): Buffer =>
  readFileSync(new URL(`../../samples/doodles/${name}.svg`, import.meta.url));

describe('the sheets of lines of glue', () => {
  it('reckon the glue by the cylinder’s formula', async () => {
    const made = await glued(doodle('two-rings'), {
      tone: 'auto',
      card: '8x5in',
      beadWidth: 5,
      beadHeight: 3,
      stickThickness: 7,
      stickLength: 200,
      joinBy: 'rings',
    });
    const { glue, strokes, joins } = made.run.values.strokes!.drawn;
    // Two circles are joined by a third, which holds with both of its halves.
    expect(joins.map(({ kind, isSecond }) => [kind, isSecond])).toEqual([['ring', false]]);
    expect(made.run.values.check.findings.map(({ message }) => message)).toContain(
      '2 parts of the picture do not touch; 1 ring of glue joins them to one piece.',
    );
    // By hand: half of an ellipse 5 mm wide and 2 × 3 mm high is π × 2.5 × 3 / 2 = 11.781 mm² of bead; a stick is a
    // cylinder of π × 3.5² × 200 = 7696.9 mm³.
    const length = strokes.reduce((sum, { lengthMm }) => sum + lengthMm, 0);
    expect(glue.sectionMm2).toBeCloseTo(11.781, 3);
    expect(glue.volumeMm3).toBeCloseTo(11.781 * length, 0);
    expect(glue.sticks).toBeCloseTo((11.781 * length) / 7696.9, 3);
    // Two rings of 42 and what joins them: about twice the circumference.
    expect(length).toBeGreaterThan(300);
    const [page] = await readPdf(made.files.get('plan.pdf') as Uint8Array);
    expect(page.text).toContain('0.785 × 5 mm × 3 mm = 11.8 mm²');
    expect(page.text).toContain('burn');
  });

  it.each(['spray-round', 'print-with'] as const)(
    'are true to size and the right way round to %s',
    async (glueUse) => {
      const made = await glued(doodle('elise'), { tone: 'auto', card: '8x5in', glueUse });
      const { strokes } = made.run.values.strokes!.drawn;
      const [page] = await readPdf(made.files.get('template.pdf') as Uint8Array);
      const { beadWidth } = made.job;
      const xs = strokes.flatMap(({ x }) => [...x]);
      const ys = strokes.flatMap(({ y }) => [...y]);
      const [left, right] = [Math.min(...xs), Math.max(...xs)];
      const beads = page.drawn.filter(({ lineMm }) => Math.abs(lineMm - beadWidth) < 0.01);
      expect(beads).toHaveLength(1);
      expect(beads[0].widthMm).toBeCloseTo(right - left, 0);
      expect(beads[0].heightMm).toBeCloseTo(Math.max(...ys) - Math.min(...ys), 0);
      const sheetLeft = (page.widthMm - 203.2) / 2;
      const at = glueUse === 'print-with' ? 203.2 - right : left;
      expect(Math.abs(beads[0].left - sheetLeft - at)).toBeLessThan(0.3);
      expect(page.text.includes('mirrored')).toBe(glueUse === 'print-with');
      // On the template a right hand goes from left to right, away from fresh glue.
      const across = ({ x }: { readonly x: Float64Array }) => x.reduce((sum, at) => sum + at / x.length, 0); // prettier-ignore
      const goesRight = across(strokes[strokes.length - 1]) > across(strokes[0]);
      expect(goesRight).toBe(glueUse === 'spray-round');
    },
  );

  it('have each stroke of strokes.svg in its order', async () => {
    const made = await glued(doodle('flower'), { tone: 'auto', card: '8x8in' });
    const ids = [...String(made.files.get('strokes.svg')).matchAll(/id="stroke-(\d+)"/g)];
    const { strokes } = made.run.values.strokes!.drawn;
    expect(ids.map(([, number]) => Number(number))).toEqual(strokes.map(({ number }) => number));
    expect(glueFaults(made)).toEqual([]);
  });
});

/** The package gives the class itself; its types tell of a module. */
const DxfParser = createRequire(import.meta.url)('dxf-parser') as typeof Parser;

describe('stencil.dxf of lines of glue, in an independent parser', () => {
  it('has each stroke in its order on a layer of its own, in millimetres, y up', async () => {
    const made = await glued(doodle('rings'), { tone: 'auto', card: '8x5in', fineness: 3 }, [
      'dxf',
    ]);
    const parsed = new DxfParser().parseSync(String(made.files.get('stencil.dxf')));
    const read = (parsed?.entities ?? [])
      .filter(({ layer }) => layer === 'STROKES')
      .map((entity) => entity as IPolylineEntity);
    const { strokes } = made.run.values.strokes!.drawn;
    expect(parsed?.header.$INSUNITS).toBe(4);
    expect(read.map(({ shape }) => shape)).toEqual(strokes.map(() => false));
    read.forEach(({ vertices }, k) => {
      const { x, y, lengthMm } = strokes[k];
      const length = vertices.slice(1).reduce((sum, to, i) => sum + Math.hypot(to.x - vertices[i].x, to.y - vertices[i].y), 0); // prettier-ignore
      expect(length).toBeCloseTo(lengthMm, 1);
      const [first, last] = [vertices[0], vertices[vertices.length - 1]];
      expect([first.x, 127 - first.y]).toEqual([expect.closeTo(x[0], 3), expect.closeTo(y[0], 3)]);
      expect([last.x, 127 - last.y]).toEqual([
        expect.closeTo(x[x.length - 1], 3),
        expect.closeTo(y[y.length - 1], 3),
      ]);
    });
  });
});

describe('what can’t be drawn with glue', () => {
  it.each<[string, JobInput, RegExp]>([
    [
      'a line too wide for the card',
      { card: '60x60mm', beadWidth: 10, margin: 12 },
      /too wide for the/,
    ],
    ['a line higher than it is wide', { beadWidth: 2, beadHeight: 4 }, /would fall over/],
    [
      'a crossing lower than a line',
      { beadHeight: 3, highestCrossing: 2 },
      /is higher than the 2 mm/,
    ],
    ['a margin with no room', { margin: 3 }, /too narrow for lines of glue/],
    ['register marks', { registerMarks: true, margin: 20 }, /no film round it/],
  ])('%s is refused in words', (_name, given, words) => {
    expect(() => completeJob({ as: 'glue-line', ...given })).toThrow(words);
  });

  it('is one mass from edge to edge at this width of line', async () => {
    const dark = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300"><rect width="300" height="300" fill="#111"/><circle cx="150" cy="150" r="4" fill="#fff"/></svg>',
    );
    await expect(glued(dark, { smoothing: 0 }, [])).rejects.toThrow(
      /one dark mass from edge to edge/,
    );
  });

  it('or is a blob: its outline is drawn, and that is told', async () => {
    const blob = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300"><rect width="300" height="300" fill="#fff"/><circle cx="150" cy="150" r="90" fill="#111"/><circle cx="150" cy="150" r="4" fill="#fff"/></svg>',
    );
    const { run } = await glued(blob, { smoothing: 0 }, []);
    expect(run.values.check.findings.map(({ code }) => code)).toEqual(['one-mass']);
  });

  it('or takes more strokes than a person would draw: a setting that helps is tried, and told', async () => {
    const dashes = Array.from({ length: 12 * 12 }, (_, k) => `M${10 + 24 * (k % 12)} ${10 + 24 * Math.floor(k / 12)}h${k % 3 === 0 ? 16 : 6}`); // prettier-ignore
    const many = Buffer.from(
      `<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300"><rect width="300" height="300" fill="#fff"/><path d="${dashes.join('')}" stroke="#111" stroke-width="5"/></svg>`,
    );
    const given = { card: '8x8in', beadWidth: 2.5, beadHeight: 2, fineness: 3, smoothing: 0.2 } as const; // prettier-ignore
    const { run } = await glued(many, given, []);
    const { strokeAdvice, check } = run.values;
    const told = check.findings.find(({ code }) => code === 'many-strokes');
    expect(told?.level).toBe('warning');
    expect(told?.message).toContain(
      `With \`${strokeAdvice!.setting}\` ${strokeAdvice!.value} there would be ${strokeAdvice!.strokes}.`,
    );
    const again = await glued(many, { ...given, [strokeAdvice!.setting]: strokeAdvice!.value }, []);
    expect(again.run.values.strokes!.drawn.strokes).toHaveLength(strokeAdvice!.strokes);
    expect(strokeAdvice!.strokes).toBeLessThanOrEqual(80);
  });

  it('or nothing is left of it: every stroke was taken away', async () => {
    const ring = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300"><rect width="300" height="300" fill="#fff"/><circle cx="150" cy="150" r="90" fill="none" stroke="#111" stroke-width="12"/></svg>',
    );
    const given = { card: '60x60mm', fineness: 3, smoothing: 0 } as const;
    const { run } = await glued(ring, given, []);
    const { strokes } = run.values.strokes!.drawn;
    const strokeEdits = strokes.map(({ x, y }): StrokeEdit => ({ do: 'remove', at: [x[0], y[0]] }));
    await expect(glued(ring, { ...given, strokeEdits }, [])).rejects.toThrow(
      /every stroke was taken away/,
    );
  });

  it('has nothing dark that is large enough', async () => {
    const speck = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300"><rect width="300" height="300" fill="#fff"/><circle cx="150" cy="150" r="3" fill="#000"/></svg>',
    );
    await expect(glued(speck, { smoothing: 0 })).rejects.toThrow(/Nothing to draw/);
  });
});
