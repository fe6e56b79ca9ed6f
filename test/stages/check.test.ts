import { describe, expect, it } from 'vitest';
import { rasterise } from '../../src/geometry/rasterise.js';
import type { Shape } from '../../src/geometry/shape.js';
import { completeJob } from '../../src/settings/job.js';
import type { Advice } from '../../src/stages/advice/advice.js';
import type { Bridged } from '../../src/stages/bridge/bridge.js';
import { check, type Checked, type Finding } from '../../src/stages/check/check.js';
import { measure } from '../../src/stages/check/measure.js';
import type { Survival } from '../../src/stages/survival/survival.js';
import { circle, polygon, rectangle, solid } from '../output/outlines.js';

const job = completeJob({ card: '60x60mm' });
const sheet = { widthMm: 60, heightMm: 60 };
const PIXELS_PER_MM = 10;

const bridgedOf = (openings: readonly Shape[]): Bridged => ({
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
});

function checked(openings: readonly Shape[], left = { specks: 0, islands: 0 }): Checked {
  const bitmap = rasterise(openings, 600, 600, PIXELS_PER_MM);
  const made = {
    tone: { bitmap },
    widened: {
      specksDropped: left.specks,
      islandsDropped: left.islands,
      lightPartsGrown: 0,
      lightPartsJoined: 0,
      linesMerged: 0,
      linesThinned: 0,
      linesLost: [],
      unusedEdits: [],
    },
    bridged: bridgedOf(openings),
  };
  return measure({ ...made, survived: null }, sheet, PIXELS_PER_MM, job);
}

const codes = ({ findings }: Checked): readonly Finding['code'][] =>
  findings.map(({ code }) => code);

describe('measure', () => {
  it('finds nothing wrong with a good stencil, and measures it', () => {
    const result = checked([solid(circle(30, 30, 10)), solid(rectangle(8, 8, 6, 4))]);
    expect(result.findings).toEqual([]);
    expect(result.openings[0].areaMm2).toBeCloseTo(100 * Math.PI, 0);
    expect(result.openings[0].lengthMm).toBeCloseTo(20 * Math.PI, 1);
    expect(result.openings[1]).toEqual({ areaMm2: 24, lengthMm: 20 });
    expect(result.fidelity).toBeLessThan(0.0005);
  });

  it.each([
    [0.39, ['little-kept']],
    [0.4, []],
  ])('of a print that keeps %d of the picture’s contours it says %j', (ofPicture, told) => {
    const openings = [solid(circle(30, 30, 10))];
    const bitmap = rasterise(openings, 600, 600, PIXELS_PER_MM);
    const widened = { specksDropped: 0, islandsDropped: 0, lightPartsGrown: 0, lightPartsJoined: 0, linesMerged: 0, linesThinned: 0, linesLost: [], unusedEdits: [] }; // prettier-ignore
    const made = { tone: { bitmap }, widened, bridged: bridgedOf(openings), survived: null };
    expect(codes(measure({ ...made, likeness: { ofPicture } }, sheet, 10, job))).toEqual(told);
  });

  it('finds no island in the last pixels of a sheet, which lie beyond it for the most part', () => {
    // As 203.2 mm at 6 px a mm are 1219.2 px.
    const odd = { widthMm: 60.02, heightMm: 60.03 };
    const around = {
      outer: rectangle(0, 0, odd.widthMm, odd.heightMm),
      holes: [circle(30, 30, 9)],
    };
    const bitmap = rasterise([around], 601, 601, PIXELS_PER_MM);
    const made = {
      tone: {
        bitmap: { ...bitmap, data: bitmap.data.map((v, i) => v || Number(i % 601 === 600)) },
      },
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
      bridged: bridgedOf([around]),
    };
    const asMask = completeJob({ as: 'mask', card: '60.02x60.03mm' });
    const { findings } = measure({ ...made, survived: null }, odd, PIXELS_PER_MM, asMask);
    expect(findings).toEqual([]);
  });

  it('finds an island that nothing holds', () => {
    const ring = { outer: circle(30, 30, 12), holes: [circle(30, 30, 6)] };
    const { findings } = checked([ring]);
    expect(findings.map(({ level, code }) => [level, code])).toEqual([['error', 'loose-island']]);
    const [x, y] = findings[0].at ?? [0, 0];
    expect(Math.hypot(x - 30, y - 30)).toBeLessThan(6.1);
  });

  it('finds an island between openings that touch', () => {
    const frame = [
      rectangle(20, 20, 20, 4),
      rectangle(20, 36, 20, 4),
      rectangle(20, 24, 4, 12),
      rectangle(36, 24, 4, 12),
    ];
    expect(codes(checked(frame.map((outline) => solid(outline))))).toContain('loose-island');
  });

  it('names the tip of a tongue of film that nothing ties', () => {
    const jaws = polygon([
      [10, 20],
      [50, 20],
      [50, 34],
      [10, 34],
      [10, 28.5],
      [40, 28.5],
      [40, 25.5],
      [10, 25.5],
    ]);
    const { findings, weakPlaces } = checked([solid(jaws)]);
    expect(findings).toEqual([]);
    const tongues = weakPlaces.filter(({ kind }) => kind === 'tongue');
    expect(tongues).toHaveLength(1);
    expect(Math.hypot(tongues[0].at[0] - 40, tongues[0].at[1] - 27)).toBeLessThan(2);
  });

  it('finds film that hangs by too little, and says where', () => {
    const jaws = polygon([
      [20, 20],
      [40, 20],
      [40, 29.5],
      [36, 29.5],
      [36, 24],
      [24, 24],
      [24, 36],
      [36, 36],
      [36, 30.5],
      [40, 30.5],
      [40, 40],
      [20, 40],
    ]);
    const { findings } = checked([solid(jaws)]);
    expect(findings.map(({ code }) => code)).toEqual(['weak-hold']);
    expect(findings[0].message).toContain('a strip of 1.00 mm, narrower than 1.6 mm');
    // The strip runs from 36 to 40.
    const [x, y] = findings[0].at ?? [0, 0];
    expect(Math.abs(x - 38)).toBeLessThan(2.1);
    expect(y).toBeCloseTo(30, 2);
  });

  it('finds an opening that is too narrow all over, and one with a neck', () => {
    const slot = checked([solid(rectangle(20, 30, 20, 1))]);
    expect(codes(slot)).toEqual(['narrow-opening']);
    const dumbbell = polygon([
      [15, 15],
      [25, 15],
      [25, 19.6],
      [35, 19.6],
      [35, 15],
      [45, 15],
      [45, 25],
      [35, 25],
      [35, 20.4],
      [25, 20.4],
      [25, 25],
      [15, 25],
    ]);
    const necked = checked([solid(dumbbell)]);
    expect(codes(necked)).toEqual(['narrow-opening']);
    expect(necked.findings[0].message).toMatch(/neck/);
    const [x, y] = necked.findings[0].at ?? [0, 0];
    expect(Math.abs(y - 20)).toBeLessThan(1);
    expect(Math.min(Math.abs(x - 25), Math.abs(x - 35))).toBeLessThan(2);
  });

  it('finds a neck that is too narrow to be drawn', () => {
    const neck = (half: number): Checked =>
      checked([
        solid(
          polygon([
            [15, 15],
            [30, 20.02 - half],
            [45, 15],
            [45, 25],
            [30, 20.02 + half],
            [15, 25],
          ]),
        ),
      ]);
    for (const half of [0.02, 0.01]) {
      const { findings } = neck(half);
      expect(findings.map(({ code }) => code)).toEqual(['narrow-opening']);
      expect(findings[0].message).toMatch(/neck/);
      const [x, y] = findings[0].at ?? [0, 0];
      expect(Math.hypot(x - 30, y - 20)).toBeLessThan(2.5);
    }
  });

  it('finds an opening that is too small to pop out', () => {
    expect(codes(checked([solid(circle(30, 30, 0.9))]))).toEqual(
      expect.arrayContaining(['small-opening', 'tight-turn']),
    );
  });

  it('finds a curve that is too tight, and a kink without a marked corner', () => {
    expect(codes(checked([solid(circle(30, 30, 0.85))]))).toContain('tight-turn');
    const square = rectangle(20, 20, 10, 10);
    const unmarked = { ...square, corner: square.corner.map((_, i) => (i === 2 ? 0 : 1)) };
    const { findings } = checked([solid(unmarked)]);
    expect(findings.map(({ code }) => code)).toEqual(['tight-turn']);
  });

  it('finds an opening in the margin', () => {
    const { findings } = checked([solid(rectangle(5.5, 20, 10, 10))]);
    expect(findings.map(({ code }) => code)).toEqual(['in-margin']);
    expect(findings[0].at?.[0]).toBe(5.5);
  });

  it('tells what was left out, and warns when the print differs much', () => {
    const openings = [solid(circle(30, 30, 10))];
    expect(codes(checked(openings, { specks: 3, islands: 1 }))).toEqual(['left-out', 'left-out']);
    const tone = rasterise([solid(rectangle(10, 10, 40, 40))], 600, 600, PIXELS_PER_MM);
    const made = {
      tone: { bitmap: tone },
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
    };
    const result = measure({ ...made, survived: null }, sheet, PIXELS_PER_MM, job);
    expect(result.fidelity).toBeCloseTo((1600 - 100 * Math.PI) / 3600, 2);
    expect(codes(result)).toEqual(['detail-lost']);
  });
});

describe('check', () => {
  const lost = { notable: true, parts: 9, dropped: 3, merged: 1, lost: [] };
  const counted = {} as Survival['counted'];

  function told(survived: Survival, advice: Advice): readonly [Checked, Checked] {
    const openings = [solid(circle(30, 30, 10))];
    const made = {
      tone: { bitmap: rasterise(openings, 600, 600, PIXELS_PER_MM) },
      widened: {
        specksDropped: 2,
        islandsDropped: 0,
        lightPartsGrown: 0,
        lightPartsJoined: 0,
        linesMerged: 0,
        linesThinned: 0,
        linesLost: [],
        unusedEdits: [],
      },
      bridged: bridgedOf(openings),
      survived,
    };
    const measured = measure(made, sheet, PIXELS_PER_MM, job);
    return [
      measured,
      check(
        measured,
        { survived, advice, faces: null, facesWhy: '', strokeAdvice: null },
        sheet,
        job,
      ),
    ];
  }

  it('tells at its place how large a card would do, and which crop', () => {
    const crop = { box: '10,5,62.5,62.5', kept: 7 };
    const [before, after] = told({ ...lost, counted }, { enlargement: 1.6, crop });
    expect(codes(before)).toEqual(['parts-lost', 'left-out']);
    expect(codes(after)).toEqual(['parts-lost', 'left-out']);
    expect(before.findings[0].message).toMatch(/^This card is small .* says where\.$/);
    // 60 mm × 1.6 = 96 mm, in steps of 5 mm.
    expect(after.findings[0].message).toBe(
      `${before.findings[0].message} On a card of about 100 × 100 mm nine tenths of them would survive. The crop 10,5,62.5,62.5 keeps 7 of them on this card.`,
    );
    expect({ ...after, findings: [] }).toEqual({ ...before, findings: [] });
  });

  it('adds nothing where nothing was found, or nothing is lost', () => {
    const none = { enlargement: null, crop: null };
    const [before, after] = told({ ...lost, counted }, none);
    expect(after).toEqual(before);
    const [kept, still] = told({ ...lost, dropped: 0, merged: 0, counted }, none);
    expect(still).toEqual(kept);
    expect(kept.findings[0].message).toBe('All 9 parts of the picture survive on this card.');
  });
});
