import { useEffect, useRef } from 'preact/hooks';
import type { Ends } from './edit.js';
import type { ViewPoint } from './viewport.js';

/**
 * Keys that follow one another within this many milliseconds are one change: a held key repeats far faster. Common
 * practice, no source.
 */
const KEYS_MS = 500;

/** A point moved by an offset. */
export const shiftedBy = ({ x, y }: ViewPoint, dx: number, dy: number): ViewPoint => ({
  x: x + dx,
  y: y + dy,
});

/** Both ends moved by an offset. */
export const shiftedEnds = ({ from, to }: Ends, dx: number, dy: number): Ends => ({
  from: shiftedBy(from, dx, dy),
  to: shiftedBy(to, dx, dy),
});

/**
 * Ends that arrow keys move.
 *
 * @param show shows them on the way
 * @param settle makes a change of all the keys that followed one another, once they rest
 */
export function useNudge<One extends Ends>(
  show: (ends: Ends) => void,
  settle: (one: One, ends: Ends) => void,
): (one: One, by: ViewPoint) => void {
  const keyed = useRef<{ one: One; ends: Ends; timer: ReturnType<typeof setTimeout> } | undefined>(
    undefined,
  );
  useEffect(() => () => clearTimeout(keyed.current?.timer), []);
  return (last, { x, y }) => {
    const { one, ends: before } = keyed.current ?? { one: last, ends: last };
    const ends = shiftedEnds(before, x, y);
    clearTimeout(keyed.current?.timer);
    const timer = setTimeout(() => {
      keyed.current = undefined;
      settle(one, ends);
    }, KEYS_MS);
    keyed.current = { one, ends, timer };
    show(ends);
  };
}
