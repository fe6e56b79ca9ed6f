import { segmentsCross, segmentToSegment } from '../../geometry/segment.js';
import { spanningTree } from '../../geometry/spanning-tree.js';
import { unionFind } from '../../geometry/union-find.js';
import { coreAt, type Film } from './film.js';
import type { Tie } from './tie.js';

/**
 * The ties of least damage that join all cores of the film: a minimum spanning tree of those that keep a bridge's
 * width from each other. Where that leaves cores apart, ties that come nearer are let in, and last of all those that
 * cross: one piece goes before good looks.
 *
 * @param earlier ties that are laid already; the new ones keep away from them too
 * @param apart ties that were proposed and are not wanted: nothing else is proposed for what they would have joined
 */
export function chooseTies(
  film: Film,
  candidates: readonly Tie[],
  earlier: readonly Tie[],
  apart: readonly Tie[],
): Tie[] {
  const nodes = film.count + 1;
  const joined = unionFind(nodes);
  let parts = film.count;
  for (const tie of apart) {
    const [from, to] = [coreAt(film, tie.start), coreAt(film, tie.end)];
    if (from !== 0 && to !== 0 && joined.unite(from, to)) parts--;
  }
  const chosen: Tie[] = [];
  for (const fits of [keepsAway, keepsFromCrossing, () => true]) {
    chosen.push(
      ...spanningTree(nodes, candidates, joined, (tie, taken) =>
        [...earlier, ...chosen, ...taken].every((other) => fits(tie, other)),
      ),
    );
    if (chosen.length === parts - 1) break;
  }
  return chosen;
}

function keepsAway(a: Tie, b: Tie): boolean {
  return (
    segmentToSegment(a.seenFrom, a.seenTo, b.seenFrom, b.seenTo) >= (a.widthMm + b.widthMm) / 2
  );
}

function keepsFromCrossing(a: Tie, b: Tie): boolean {
  return !segmentsCross(a.start, a.end, b.start, b.end);
}
