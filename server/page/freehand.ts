import { useRef, useState } from 'preact/hooks';
import type { PercentSpot } from './marking.js';
import type { PhotoHands, useSpot } from './photo-area.js';

/**
 * Lines that are drawn on a photo with one press, or from Enter to Enter with the arrow keys.
 *
 * @returns the line so far, and the hands that draw it
 */
export function useFreehand(way: {
  readonly spot: ReturnType<typeof useSpot>;
  /** A click is all that there is to it: Enter gives its spot at once. */
  readonly isClick?: boolean;
  /** Takes a line that is done; of a click its one spot, or its last. */
  readonly settle: (line: readonly PercentSpot[]) => void;
  /** Takes away what was drawn last; false where there is nothing. */
  readonly removeLast: () => boolean;
  readonly onDone: () => void;
}): { readonly drawn: readonly PercentSpot[]; readonly hands: PhotoHands } {
  const { spot, isClick = false, settle, removeLast, onDone } = way;
  const [drawn, setDrawn] = useState<readonly PercentSpot[]>([]);
  const line = useRef<readonly PercentSpot[]>([]);
  const draw = (spots: readonly PercentSpot[]) => {
    line.current = spots;
    setDrawn(spots);
  };
  const end = () => {
    const done = line.current;
    draw([]);
    settle(done);
  };
  const hands: PhotoHands = {
    down(at) {
      spot.setAt(undefined);
      draw([at]);
    },
    move: (at) => draw([...line.current, at]),
    up: end,
    cancel: () => draw([]),
    arrow(to, isFar) {
      const next = spot.moved(to, isFar);
      if (line.current.length > 0) draw([...line.current, next]);
    },
    key(key) {
      const isDrawing = line.current.length > 0;
      if (key === 'Enter') {
        spot.setAt(spot.now);
        if (isClick) settle([spot.now]);
        else if (isDrawing) end();
        else draw([spot.now]);
      } else if (key === 'Escape') {
        if (isDrawing) draw([]);
        else onDone();
      } else if (key === 'Delete' || key === 'Backspace') {
        return removeLast();
      } else return false;
      return true;
    },
  };
  return { drawn, hands };
}
