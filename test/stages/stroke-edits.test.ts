import { describe, expect, it } from 'vitest';
import type { Lines } from '../../src/stages/lines/lines.js';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import type { StrokeEdit } from '../../src/settings/edits.js';
import { strokesTold } from '../../src/stages/check/strokes.js';
import { strokes, type DrawnStrokes } from '../../src/stages/strokes/strokes.js';
import { components } from '../support/opencv.js';

/*
 * Two rings beside each other, and a person's edits. What hangs together is labelled by OpenCV, on the beads.
 */

const PIXELS_PER_MM = 3;
const [WIDTH, HEIGHT] = [160, 90];
const gray = {
  width: WIDTH * PIXELS_PER_MM,
  height: HEIGHT * PIXELS_PER_MM,
  data: new Uint8Array(),
};
const picture = { pixelsPerMm: PIXELS_PER_MM, gray, sheet: { widthMm: WIDTH, heightMm: HEIGHT } };
const base = {
  as: 'glue-line',
  card: `${WIDTH}x${HEIGHT}mm`,
  margin: 8,
  bridgeAmount: 'fewer',
} as const;

/** A ring of radius 25 round each place, with a node at its right. */
function ringsAt(...middles: readonly (readonly [number, number])[]): Lines {
  const turns = Array.from({ length: 629 }, (_, k) => k / 100);
  const edges = middles.map(([cx, cy], node) => ({
    from: node,
    to: node,
    x: [...turns.map((t) => cx + 25 * Math.cos(t)), cx + 25],
    y: [...turns.map((t) => cy + 25 * Math.sin(t)), cy],
  }));
  const nodes = middles.map(([cx, cy]) => ({ x: cx + 25, y: cy, halfWidth: 2 }));
  return {
    graph: { nodes, edges },
    fills: [],
    partsDropped: 0,
    endsDropped: 0,
    thinned: 0,
    closed: 0,
    masses: 0,
  };
}

const two = ringsAt([45, 45], [115, 45]);

function edited(strokeEdits: readonly StrokeEdit[], given: JobInput = {}, lines = two) {
  const job = completeJob({ ...base, ...given, strokeEdits });
  const { drawn, bitmap } = strokes(lines, picture, job);
  return { drawn, pieces: components(bitmap, 4).count, told: strokesTold(drawn, job) };
}

/** How near any stroke comes to a place, mm. */
const nearest = ({ strokes: all }: DrawnStrokes, [x, y]: readonly [number, number]): number =>
  Math.min(...all.flatMap((one) => Array.from(one.x, (at, i) => Math.hypot(at - x, one.y[i] - y))));

const codesOf = ({ told }: ReturnType<typeof edited>) =>
  told.map(({ level, code }) => [level, code]);
/** The one join that is proposed: from the right of the left ring to the left of the right one. */
const JOIN = [80, 45] as const;

describe('strokes without edits', () => {
  it('are two rings and what joins them', () => {
    const { drawn, pieces } = edited([]);
    expect(drawn.joins).toHaveLength(1);
    expect(pieces).toBe(1);
    expect(nearest(drawn, JOIN)).toBeLessThan(1);
  });
});

describe('a line that is drawn', () => {
  it('across a ring stops at it and goes on, and all is one piece', () => {
    const across = edited([{ do: 'draw', along: [[45, 12], [45, 78]] }]); // prettier-ignore
    expect(across.pieces).toBe(1);
    expect(across.drawn.strokes.length).toBeGreaterThan(edited([]).drawn.strokes.length);
    for (const y of [14, 30, 45, 60, 76]) expect(nearest(across.drawn, [45, y])).toBeLessThan(0.6);
    expect(codesOf(across)).toEqual([['note', 'parts-joined']]);
  });

  it('from ring to ring takes the place of the join', () => {
    const line = edited([{ do: 'draw', along: [[45, 72], [80, 80], [115, 72]] }]); // prettier-ignore
    expect([line.drawn.joins.length, line.drawn.parts, line.pieces]).toEqual([0, 1, 1]);
    expect(nearest(line.drawn, [80, 80])).toBeLessThan(2);
    expect(nearest(line.drawn, JOIN)).toBeGreaterThan(8);
  });

  it('far from all others is joined to them', () => {
    const apart = edited([{ do: 'draw', along: [[70, 80], [90, 80]] }]); // prettier-ignore
    expect([apart.drawn.parts, apart.pieces]).toEqual([3, 1]);
  });

  it('that comes back to its start is closed, and one over itself meets itself', () => {
    const ring = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => [80 + 9 * Math.cos((k * 6.1) / 7), 25 + 9 * Math.sin((k * 6.1) / 7)] as const); // prettier-ignore
    const closed = edited([{ do: 'draw', along: ring }], {}, ringsAt([45, 45]));
    expect(closed.drawn.strokes.some(({ isClosed }) => isClosed) || closed.drawn.joins.length > 0).toBe(true); // prettier-ignore
    expect(nearest(closed.drawn, [89, 24])).toBeLessThan(2);
    const eight = edited([{ do: 'draw', along: [[85, 20], [115, 70], [85, 70], [115, 20]] }], { highestCrossing: 2.5 }, ringsAt([45, 45])); // prettier-ignore
    expect(eight.pieces).toBe(1);
  });

  it('on a line that is there, or beside the sheet, does nothing and is told', () => {
    const again = edited([
      { do: 'draw', along: Array.from({ length: 40 }, (_, k) => [45 + 25 * Math.cos(k / 20), 45 + 25 * Math.sin(k / 20)] as const) }, // prettier-ignore
      { do: 'draw', along: [[-20, -5], [-30, -40]] }, // prettier-ignore
    ]);
    expect(again.drawn.unusedEdits.map(({ why }) => why)).toEqual(['covered', 'off-sheet']);
    expect(codesOf(again).slice(0, 2)).toEqual([
      ['warning', 'unused-edit'],
      ['warning', 'unused-edit'],
    ]);
    expect(again.drawn.strokes.length).toBe(edited([]).drawn.strokes.length);
  });
});

describe('a stroke that is removed', () => {
  it('is gone, and so is what joined it', () => {
    const { drawn, pieces } = edited([{ do: 'remove', at: [45, 20] }]);
    expect([drawn.parts, drawn.joins.length, pieces]).toEqual([1, 0, 1]);
    expect(nearest(drawn, [45, 20])).toBeGreaterThan(20);
    expect(nearest(drawn, [115, 20])).toBeLessThan(1);
  });

  it('is gone at another width of line, too', () => {
    for (const beadWidth of [3, 4, 5.5]) {
      const { drawn, pieces } = edited([{ do: 'remove', at: [45, 20.7] }], { beadWidth });
      expect([nearest(drawn, [45, 20]) > 20, pieces]).toEqual([true, 1]);
    }
  });

  it('may be one that was drawn before; where none passes that is told', () => {
    const both = edited([
      { do: 'draw', along: [[70, 80], [90, 80]] }, // prettier-ignore
      { do: 'remove', at: [80, 80] },
      { do: 'remove', at: [80, 12] },
    ]);
    expect(nearest(both.drawn, [80, 80])).toBeGreaterThan(10);
    expect(both.drawn.unusedEdits.map(({ index, why }) => [index, why])).toEqual([
      [2, 'no-stroke'],
    ]);
    expect(codesOf(both)).toContainEqual(['note', 'unused-edit']);
  });
});

describe('a join', () => {
  it('that is moved holds at its new place', () => {
    const { drawn, pieces, told } = edited([
      { do: 'move', at: JOIN, from: [62, 63.5], to: [98, 63] },
    ]);
    expect([drawn.joins.length, drawn.joins[0].movedBy, pieces]).toEqual([1, 0, 1]);
    expect(nearest(drawn, [80, 63])).toBeLessThan(1.5);
    expect(nearest(drawn, JOIN)).toBeGreaterThan(8);
    expect(told.filter(({ level }) => level === 'error')).toEqual([]);
  });

  it('that is moved to where it holds nothing breaks the one piece, and that is told', () => {
    const loose = edited([{ do: 'move', at: JOIN, from: [62, 63.5], to: [80, 80] }]);
    expect(loose.pieces).toBe(2);
    expect(codesOf(loose)).toContainEqual(['error', 'removed-join-drops-part']);
  });

  it('that is taken away breaks it, until another line is drawn', () => {
    const gone = edited([{ do: 'remove', at: JOIN }]);
    expect(gone.pieces).toBe(2);
    expect(codesOf(gone)).toEqual([['error', 'removed-join-drops-part']]);
    const mended = edited([
      { do: 'remove', at: JOIN },
      { do: 'draw', along: [[45, 72], [80, 80], [115, 72]] }, // prettier-ignore
    ]);
    expect(mended.pieces).toBe(1);
    expect(codesOf(mended)).toEqual([]);
  });

  it('that was moved can be taken away, too', () => {
    const move = { do: 'move', at: JOIN, from: [62, 63.5], to: [98, 63] } as const;
    const { drawn, pieces } = edited([move, { do: 'remove', at: [80, 63.2] }]);
    expect([drawn.joins.length, drawn.broken.length, pieces]).toEqual([0, 1, 2]);
  });
});
