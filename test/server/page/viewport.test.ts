import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { unitOf } from '../../../src/settings/card.js';
import { box, pan, ticks, toPx, whole, zoom } from '../../../server/page/viewport.js';

const view = { width: 900, height: 600 };
const card = { widthMm: 101.6, heightMm: 152.4 };

describe('the large view', () => {
  it('shows the whole card with room round it', () => {
    const lens = whole(card, view);
    const from = toPx(lens, view, { x: 0, y: 0 });
    const to = toPx(lens, view, { x: card.widthMm, y: card.heightMm });
    expect(from.x).toBeGreaterThan(0);
    expect(from.y).toBeGreaterThan(0);
    expect(to.x).toBeLessThan(view.width);
    expect(to.y).toBeLessThan(view.height);
  });

  it('keeps what is under the finger there while it grows', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.3, max: 3, noNaN: true }),
        fc.integer({ min: 0, max: 900 }),
        fc.integer({ min: 0, max: 600 }),
        (factor, x, y) => {
          const lens = whole(card, view);
          const [left, top] = box(lens, view);
          const mm = { x: left + x / lens.pxPerMm, y: top + y / lens.pxPerMm };
          const after = toPx(zoom(lens, view, factor, { x, y }), view, mm);
          expect(after.x).toBeCloseTo(x, 6);
          expect(after.y).toBeCloseTo(y, 6);
        },
      ),
    );
  });

  it('moves by as much as the finger', () => {
    const lens = whole(card, view);
    const before = toPx(lens, view, { x: 50, y: 50 });
    const after = toPx(pan(lens, 30, -20), view, { x: 50, y: 50 });
    expect(after.x - before.x).toBeCloseTo(30);
    expect(after.y - before.y).toBeCloseTo(-20);
  });
});

describe('the ruler', () => {
  it.each([
    ['4x4in', 'in'],
    ['10x15cm', 'cm'],
    ['105x148mm', 'mm'],
    ['a6', 'mm'],
    ['105 x 148', 'mm'],
    ['ID card', 'mm'],
    ['10 cm square', 'cm'],
    ['4 x 6', 'in'],
    ['5″ × 7″', 'in'],
    ['10 × 15 cm', 'cm'],
    ['id-card', 'mm'],
    ['art-card', 'in'],
    ['postcard', 'in'],
  ])('of a card of %s is in %s', (given, unit) => {
    expect(unitOf(given)).toBe(unit);
  });

  it.each(['in', 'cm', 'mm'] as const)(
    'in %s: labels stand where they say, and not too near',
    (unit) => {
      const mm = { in: 25.4, cm: 10, mm: 1 }[unit];
      for (const pxPerMm of [0.5, 1, 3, 5, 12, 40, 150]) {
        const labelled = ticks(304.8, pxPerMm, unit).filter(({ label }) => label !== undefined);
        expect(labelled[0]).toEqual({ at: 0, label: '0' });
        for (const { at, label } of labelled) expect(at).toBeCloseTo(Number(label) * mm, 6);
        const [, second] = labelled;
        if (second) expect(second.at * pxPerMm).toBeGreaterThanOrEqual(24);
      }
    },
  );
});
