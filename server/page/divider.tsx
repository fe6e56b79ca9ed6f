import { useRef } from 'preact/hooks';

/** In shares of the view's width, for one press of an arrow key. */
const STEP = 0.02;

/** A line across the view that parts your picture, at its left, from what became of it; drag it, or use the arrow keys. */
export function Divider({ at, onMove }: { at: number; onMove: (at: number) => void }) {
  const line = useRef<HTMLDivElement>(null);
  const put = (share: number) => onMove(Math.min(Math.max(share, 0), 1));
  const shareOf = (event: PointerEvent) => {
    const rect = line.current!.parentElement!.getBoundingClientRect();
    return (event.clientX - rect.left) / rect.width;
  };
  return (
    <div
      ref={line}
      class="divider"
      role="slider"
      tabIndex={0}
      aria-label="Your picture to the left, the stencil to the right"
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={Math.round(100 * at)}
      style={{ left: `${100 * at}%` }}
      onPointerDown={(event) => {
        event.preventDefault();
        line.current!.focus({ preventScroll: true });
        line.current!.setPointerCapture(event.pointerId);
      }}
      onPointerMove={(event) => {
        if (line.current!.hasPointerCapture(event.pointerId)) put(shareOf(event));
      }}
      onKeyDown={(event) => {
        const by = { ArrowLeft: -STEP, ArrowRight: STEP }[event.key];
        if (by === undefined) return;
        event.preventDefault();
        put(at + by);
      }}
    />
  );
}
