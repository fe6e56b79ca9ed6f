import { useRef, useState } from 'preact/hooks';
import { api, type PictureInfo } from './api.js';
import { arrowOf } from './cursor.js';
import { dragged, frameText, type Edges } from './crop-frame.js';
import { cropOf } from './layers.js';
import type { State, PageState } from './work.js';

/**
 * How far an arrow key moves the frame, in percent of the picture: its numbers are shown in tenths, a drag is coarser.
 */
const STEP = 1;

/** The whole picture with a frame to drag; what lies outside is not used. */
export function CropView(props: {
  work: PageState;
  state: State;
  picture: PictureInfo;
  onDone: () => void;
}) {
  const { work, state, picture, onDone } = props;
  const [left, top, width, height] = cropOf((state.draft ?? state.history.now).crop);
  const given: Edges = [left, top, left + width, top + height];
  const [drawn, setDrawn] = useState<Edges | undefined>();
  const edges = drawn ?? given;
  const area = useRef<HTMLDivElement>(null);
  const grip = useRef<{ what: string; x: number; y: number; from: Edges } | undefined>(undefined);

  const show = (next: Edges) => {
    setDrawn(next);
    work.set({ crop: frameText(next) }, true);
  };
  const settle = (next: Edges) => {
    setDrawn(undefined);
    work.set({ crop: frameText(next) });
  };
  const percentOf = (event: PointerEvent) => {
    const rect = area.current!.getBoundingClientRect();
    return {
      x: ((event.clientX - rect.left) / rect.width) * 100,
      y: ((event.clientY - rect.top) / rect.height) * 100,
    };
  };
  const onDown = (event: PointerEvent) => {
    const what = (event.target as HTMLElement).dataset.grip;
    area.current!.setPointerCapture(event.pointerId);
    const at = percentOf(event);
    // Beside the frame, a new one is drawn.
    if (what === undefined) grip.current = { what: 'es', ...at, from: [at.x, at.y, at.x, at.y] };
    else grip.current = { what, ...at, from: edges };
  };
  const onMove = (event: PointerEvent) => {
    if (!grip.current) return;
    const { what, x, y, from } = grip.current;
    const at = percentOf(event);
    show(dragged(from, what, at.x - x, at.y - y));
  };
  const onUp = () => {
    if (grip.current && drawn) settle(drawn);
    grip.current = undefined;
  };
  const onKey = (event: KeyboardEvent) => {
    const arrow = arrowOf(event);
    if (event.key === 'Enter' || event.key === 'Escape') onDone();
    else if (arrow)
      settle(dragged(edges, event.shiftKey ? 'es' : 'all', arrow.x * STEP, arrow.y * STEP));
    else return;
    event.preventDefault();
  };

  const [x0, y0, x1, y1] = edges;
  const frame = {
    left: `${x0}%`,
    top: `${y0}%`,
    width: `${x1 - x0}%`,
    height: `${y1 - y0}%`,
  };
  return (
    <div class="crop">
      <div
        class="area"
        ref={area}
        tabIndex={0}
        role="application"
        aria-label="The part of the picture to use. Arrow keys move the frame, with Shift they change its size, Enter is done."
        style={{
          aspectRatio: `${picture.width} / ${picture.height}`,
          '--ratio': picture.width / picture.height,
        }}
        onPointerDown={onDown}
        onPointerMove={onMove}
        onPointerUp={onUp}
        onPointerCancel={onUp}
        onKeyDown={onKey}
      >
        <img src={api.copyUrl(picture.id)} alt="" draggable={false} />
        <div class="shade">
          <div style={frame} />
        </div>
        <div class="part" data-grip="all" style={frame}>
          {['nw', 'ne', 'sw', 'se', 'n', 's', 'w', 'e'].map((name) => (
            <span key={name} class={`grip ${name}`} data-grip={name} />
          ))}
        </div>
      </div>
      <p class="row">
        <button class="plain" onClick={() => work.set({ crop: undefined })}>
          Whole picture
        </button>
        <button class="main" onClick={onDone}>
          Done
        </button>
      </p>
    </div>
  );
}
