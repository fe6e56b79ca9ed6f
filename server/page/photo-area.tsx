import { useRef, useState } from 'preact/hooks';
import { arrowOf } from './cursor.js';
import type { RectifiedPhoto } from './rectified-photo.js';
import type { PercentSpot } from './marking.js';

/** What an editor on the photo does with a pointer and with keys. Places in percent of the photo. */
export interface PhotoHands {
  /** Takes a press; `grip` is what lies under it, by its `data-grip`. */
  readonly down: (at: PercentSpot, grip: string | undefined) => void;
  readonly move: (at: PercentSpot) => void;
  readonly up: (at: PercentSpot) => void;
  readonly cancel: () => void;
  /** Takes an arrow key: where it points, and whether it is to go farther. */
  readonly arrow?: (to: PercentSpot, isFar: boolean) => void;
  /** Takes another key; false leaves it to the page. */
  readonly key: (key: string) => boolean;
}

/**
 * The whole photo to draw on: what all editors of it share. One pointer at a time has hold of it, from press to release,
 * inside the picture and beyond its edge.
 */
export function PhotoArea(props: {
  photo: RectifiedPhoto;
  says: string;
  hands: PhotoHands;
  /** SVG over the photo, which is 100 high and 100 × its ratio wide. */
  drawn?: preact.ComponentChildren;
  /** HTML over the photo. */
  children?: preact.ComponentChildren;
  class?: string;
}) {
  const { photo, says, hands, drawn, children } = props;
  const area = useRef<HTMLDivElement>(null);
  const pointer = useRef<number | undefined>(undefined);
  const spotOf = (event: PointerEvent): PercentSpot => {
    const rect = area.current!.getBoundingClientRect();
    return [
      inside(((event.clientX - rect.left) / rect.width) * 100),
      inside(((event.clientY - rect.top) / rect.height) * 100),
    ];
  };
  const holds = ({ pointerId }: PointerEvent) => pointer.current === pointerId;
  const onDown = (event: PointerEvent) => {
    if (pointer.current !== undefined || event.button !== 0) return;
    // Else the browser may begin to select or to drag, and takes the pointer away.
    event.preventDefault();
    area.current!.focus({ preventScroll: true });
    area.current!.setPointerCapture(event.pointerId);
    pointer.current = event.pointerId;
    hands.down(spotOf(event), (event.target as HTMLElement).dataset.grip);
  };
  const onUp = (event: PointerEvent) => {
    if (!holds(event)) return;
    pointer.current = undefined;
    hands.up(spotOf(event));
  };
  const onCancel = (event: PointerEvent) => {
    if (!holds(event)) return;
    pointer.current = undefined;
    hands.cancel();
  };
  const onKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const arrow = arrowOf(event);
    if (arrow && hands.arrow) hands.arrow([arrow.x, arrow.y], event.shiftKey);
    else if (!hands.key(event.key)) return;
    event.preventDefault();
  };
  const ratio = photo.width / photo.height;
  return (
    <div class="frame">
      <div
        class={`area ${props.class ?? ''}`}
        ref={area}
        tabIndex={0}
        role="application"
        aria-label={says}
        style={{ aspectRatio: `${photo.width} / ${photo.height}`, '--ratio': ratio }}
        onPointerDown={onDown}
        onPointerMove={(event) => holds(event) && hands.move(spotOf(event))}
        onPointerUp={onUp}
        onPointerCancel={onCancel}
        onKeyDown={onKey}
      >
        <img src={photo.url} alt="" draggable={false} />
        <svg class="over" viewBox={`0 0 ${100 * ratio} 100`} aria-hidden="true">
          {drawn}
        </svg>
        {children}
      </div>
    </div>
  );
}

/** A pointer that the arrow keys move over a photo: where it is, and how it goes. */
export function useSpot(step: number, far: number) {
  const [at, setAt] = useState<PercentSpot | undefined>();
  return {
    at,
    setAt,
    /** Where it is, or where it begins: in the middle. */
    now: at ?? ([50, 50] as const),
    moved: ([dx, dy]: PercentSpot, isFar: boolean): PercentSpot => {
      const [x, y] = at ?? [50, 50];
      const by = isFar ? far : step;
      const next = [inside(x + dx * by), inside(y + dy * by)] as const;
      setAt(next);
      return next;
    },
  };
}

/** The pointer that the arrow keys move, on a photo of so many times its height. */
export function SpotMark({ at, ratio }: { at: PercentSpot | undefined; ratio: number }) {
  return at ? <circle class="pointer" cx={at[0] * ratio} cy={at[1]} r={1.6} /> : null;
}

/** The nearest place in the photo. */
export const inside = (percent: number): number => Math.min(Math.max(percent, 0), 100);
