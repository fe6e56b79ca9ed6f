import { describe, expect, it } from 'vitest';
import { orderStrokes, type OrderedStroke } from '../../src/stages/strokes/order.js';
import { seeded } from '../support/bitmaps.js';

/** Short strokes all over a sheet. */
function scattered(seed: number, count: number): OrderedStroke[] {
  const random = seeded(seed);
  return Array.from({ length: count }, () => {
    const [x, y, turn] = [200 * random(), 200 * random(), 7 * random()];
    return {
      x: Float64Array.of(x, x + 8 * Math.cos(turn)),
      y: Float64Array.of(y, y + 8 * Math.sin(turn)),
      isClosed: false,
      meets: [false, false] as const,
    };
  });
}

const ends = ({ x, y }: OrderedStroke, isBack: boolean) => {
  const at = [0, 1].map((i) => ({ x: x[i], y: y[i] }));
  return isBack ? [at[1], at[0]] : at;
};

function travel(strokes: readonly OrderedStroke[], hand: 'left' | 'right'): number {
  const drawn = orderStrokes(strokes, hand).map(({ stroke, isBack }) =>
    ends(strokes[stroke], isBack),
  );
  return drawn.slice(1).reduce((sum, [start], k) => {
    const [, end] = drawn[k];
    return sum + Math.hypot(start.x - end.x, start.y - end.y);
  }, 0);
}

/** The least length that joins all strokes: no way between them is shorter than a minimum spanning tree (Prim, 1957). */
function leastWay(strokes: readonly OrderedStroke[]): number {
  const away = strokes.map(() => Infinity);
  const left = new Set(strokes.keys());
  let at = 0;
  let sum = 0;
  left.delete(0);
  while (left.size > 0) {
    let next = -1;
    for (const k of left) {
      const gap = Math.min(
        ...ends(strokes[at], false).flatMap((a) =>
          ends(strokes[k], false).map((b) => Math.hypot(a.x - b.x, a.y - b.y)),
        ),
      );
      away[k] = Math.min(away[k], gap);
      if (next < 0 || away[k] < away[next]) next = k;
    }
    sum += away[next];
    left.delete(next);
    at = next;
  }
  return sum;
}

/** Pairs in which the later stroke is drawn with the hand over the earlier one: nearer, and on the hand's side. */
function overFresh(
  strokes: readonly OrderedStroke[],
  order: readonly number[],
  side: 1 | -1,
): number {
  let count = 0;
  order.forEach((late, k) => {
    for (const early of order.slice(0, k)) {
      const dx = side * (strokes[early].x[0] - strokes[late].x[0]);
      const dy = strokes[early].y[0] - strokes[late].y[0];
      if (dx > 0 && dx < 90 && dy > 10 && dy < 120) count++;
    }
  });
  return count;
}

describe('the order of strokes', () => {
  it.each(['right', 'left'] as const)(
    'keeps a %s hand off fresh glue, as far as any order can',
    (hand) => {
      for (let seed = 1; seed <= 10; seed++) {
        const strokes = scattered(seed, 30);
        const order = orderStrokes(strokes, hand).map(({ stroke }) => stroke);
        expect(order.toSorted((a, b) => a - b)).toEqual(strokes.map((_, k) => k));
        const side = hand === 'right' ? 1 : -1;
        const as = strokes.map((_, k) => k);
        expect(overFresh(strokes, order, side)).toBeLessThan(
          0.05 * overFresh(strokes, as, side) + 3,
        );
      }
    },
  );

  it('takes no more than a few times the way that any order must', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const strokes = scattered(seed, 30);
      const least = leastWay(strokes);
      expect(travel(strokes, 'right')).toBeGreaterThanOrEqual(least);
      expect(travel(strokes, 'right')).toBeLessThan(4 * least);
    }
  });

  it('is mirrored for the other hand', () => {
    const strokes = scattered(3, 20);
    const mirrored = strokes.map((one) => ({ ...one, x: one.x.map((x) => 200 - x) }));
    expect(orderStrokes(mirrored, 'left')).toEqual(orderStrokes(strokes, 'right'));
  });
});
