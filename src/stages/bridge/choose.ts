import type { Point } from '../../geometry/shape.js';
import { spanningTree } from '../../geometry/spanning-tree.js';
import { unionFind } from '../../geometry/union-find.js';
import type { Film } from './film.js';
import type { Tie } from './tie.js';

/**
 * The ties of least damage that join all cores of the film: a minimum spanning tree of those that keep a bridge's
 * width from each other. Where that leaves cores apart, ties that come nearer are let in, and last of all those that
 * cross: one piece goes before good looks.
 *
 * @param earlier ties that are laid already; the new ones keep away from them too
 */
export function chooseTies(film: Film, candidates: readonly Tie[], earlier: readonly Tie[]): Tie[] {
  const nodes = film.count + 1;
  const joined = unionFind(nodes);
  const chosen: Tie[] = [];
  for (const fits of [keepsAway, keepsFromCrossing, () => true]) {
    chosen.push(
      ...spanningTree(nodes, candidates, joined, (tie, taken) =>
        [...earlier, ...chosen, ...taken].every((other) => fits(tie, other)),
      ),
    );
    if (chosen.length === film.count - 1) break;
  }
  return chosen;
}

function keepsAway(a: Tie, b: Tie): boolean {
  return segmentDistance(a.seenFrom, a.seenTo, b.seenFrom, b.seenTo) >= (a.widthMm + b.widthMm) / 2;
}

function keepsFromCrossing(a: Tie, b: Tie): boolean {
  return !cross(a.start, a.end, b.start, b.end);
}

function segmentDistance(a: Point, b: Point, c: Point, d: Point): number {
  if (cross(a, b, c, d)) return 0;
  return Math.min(
    pointDistance(a, c, d),
    pointDistance(b, c, d),
    pointDistance(c, a, b),
    pointDistance(d, a, b),
  );
}

function pointDistance(p: Point, a: Point, b: Point): number {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const along = ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy || 1);
  const t = Math.max(0, Math.min(1, along));
  return Math.hypot(a.x + t * dx - p.x, a.y + t * dy - p.y);
}

function cross(a: Point, b: Point, c: Point, d: Point): boolean {
  return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

function turn(a: Point, b: Point, c: Point): number {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}
