import { useRef, useState } from 'preact/hooks';
import type { FaceBox } from '../../src/settings/face-boxes.js';
import { api, type PictureInfo } from './api.js';
import { arrowOf } from './cursor.js';
import { inside } from './subject.js';
import { markOf, type PercentSpot } from './marking.js';
import { without } from './without.js';
import type { State, PageState } from './work.js';

/** For one press of an arrow key, in percent of the picture's sides, and with Shift. */
const STEP = 0.5;
const LARGE_STEP = 5;

/** What the pointer has hold of: a box that is drawn anew, or one that is moved. */
interface Grip {
  readonly pointer: number;
  readonly from: PercentSpot;
  /** The place of the box in the list, and the box as it was. */
  readonly moves?: { readonly place: number; readonly box: FaceBox };
}

/** The whole picture with a box round each face; a box can be added, moved and removed. */
export function FacesView(props: {
  work: PageState;
  state: State;
  picture: PictureInfo;
  onDone: () => void;
}) {
  const { work, state, picture, onDone } = props;
  const job = state.history.now;
  const given: readonly FaceBox[] =
    job.faces === 'none' ? [] : (job.faceBoxes ?? state.screen?.faces ?? []);
  const [moving, setMoving] = useState<readonly FaceBox[] | undefined>();
  const [chosen, setChosen] = useState<number | undefined>();
  const [pointer, setPointer] = useState<{ at: PercentSpot; from?: PercentSpot } | undefined>();
  const area = useRef<HTMLDivElement>(null);
  const grip = useRef<Grip | undefined>(undefined);
  const boxes = moving ?? given;

  const settle = (next: readonly FaceBox[]) => {
    setMoving(undefined);
    const rest = without(job, 'faces', 'faceBoxes');
    work.replace(next.length === 0 ? { ...rest, faces: 'none' } : { ...rest, faceBoxes: next });
  };
  const add = (from: PercentSpot, to: PercentSpot) => {
    const mark = markOf('box', [from, to]);
    setMoving(undefined);
    if (mark?.do !== 'box') return;
    setChosen(given.length);
    settle([...given, boxBetween(mark.from, mark.to)]);
  };
  const remove = (place: number) => {
    setChosen(undefined);
    settle(given.filter((_, k) => k !== place));
  };
  const spotOf = (event: PointerEvent): PercentSpot => {
    const rect = area.current!.getBoundingClientRect();
    return [
      inside(((event.clientX - rect.left) / rect.width) * 100),
      inside(((event.clientY - rect.top) / rect.height) * 100),
    ];
  };
  const onDown = (event: PointerEvent) => {
    if (grip.current || event.button !== 0) return;
    event.preventDefault();
    area.current!.focus({ preventScroll: true });
    area.current!.setPointerCapture(event.pointerId);
    setPointer(undefined);
    const from = spotOf(event);
    const place = given.findLastIndex((box) => holds(box, from));
    setChosen(place < 0 ? undefined : place);
    const moves = place < 0 ? {} : { moves: { place, box: given[place] } };
    grip.current = { pointer: event.pointerId, from, ...moves };
  };
  const onMove = (event: PointerEvent) => {
    const held = grip.current;
    if (held?.pointer !== event.pointerId) return;
    const at = spotOf(event);
    setMoving(
      held.moves
        ? given.with(held.moves.place, shifted(held.moves.box, at[0] - held.from[0], at[1] - held.from[1])) // prettier-ignore
        : [...given, boxBetween(held.from, at)],
    );
  };
  const onUp = (event: PointerEvent) => {
    const held = grip.current;
    if (held?.pointer !== event.pointerId) return;
    grip.current = undefined;
    if (!held.moves) add(held.from, spotOf(event));
    else if (moving) settle(moving);
  };
  const onCancel = () => {
    grip.current = undefined;
    setMoving(undefined);
  };
  const onKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const arrow = arrowOf(event);
    const key = event.key.toLowerCase();
    if (arrow) {
      const step = event.shiftKey ? LARGE_STEP : STEP;
      const [dx, dy] = [arrow.x * step, arrow.y * step];
      if (chosen !== undefined && given[chosen]) {
        settle(given.with(chosen, shifted(given[chosen], dx, dy)));
      } else {
        const [x, y] = pointer?.at ?? [50, 50];
        setPointer({ ...pointer, at: [inside(x + dx), inside(y + dy)] });
      }
    } else if ((key === 'n' || key === 'p') && given.length > 0) {
      const step = key === 'n' ? 1 : -1;
      const start = chosen ?? (key === 'n' ? -1 : given.length);
      setChosen((start + step + given.length) % given.length);
    } else if (event.key === 'Enter') {
      setChosen(undefined);
      const at = pointer?.at ?? ([50, 50] as const);
      if (pointer?.from) {
        add(pointer.from, at);
        setPointer({ at });
      } else setPointer({ at, from: at });
    } else if ((event.key === 'Delete' || event.key === 'Backspace') && chosen !== undefined) {
      remove(chosen);
    } else if (event.key === 'Escape') {
      if (chosen !== undefined || pointer) {
        setChosen(undefined);
        setPointer(undefined);
      } else onDone();
    } else return;
    event.preventDefault();
  };

  const ratio = picture.width / picture.height;
  const shown = pointer?.from ? [...boxes, boxBetween(pointer.from, pointer.at)] : boxes;
  return (
    <div class="crop subject faces">
      <div
        class="area"
        ref={area}
        tabIndex={0}
        role="application"
        aria-label="Your picture with a box round each face. N and P go from face to face, the arrow keys move one and Delete removes it; after Escape they move a pointer, and Enter begins and ends a new box."
        style={{ aspectRatio: `${picture.width} / ${picture.height}`, '--ratio': ratio }}
        onPointerDown={onDown}
        onPointerMove={onMove}
        onPointerUp={onUp}
        onPointerCancel={onCancel}
        onKeyDown={onKey}
      >
        <img src={api.copyUrl(picture.id)} alt="" draggable={false} />
        <svg viewBox={`0 0 ${100 * ratio} 100`} aria-hidden="true">
          {shown.map(([left, top, width, height], k) => (
            <rect
              key={k}
              class={k === chosen ? 'about chosen' : 'about'}
              x={left * ratio}
              y={top}
              width={width * ratio}
              height={height}
            />
          ))}
          {pointer && (
            <circle class="pointer" cx={pointer.at[0] * ratio} cy={pointer.at[1]} r={1.6} />
          )}
        </svg>
      </div>
      <p class="row ways">
        <span role="status">
          {boxes.length === 0
            ? 'No face.'
            : `${boxes.length === 1 ? 'One face' : `${boxes.length} faces`}${chosen === undefined ? '.' : `, number ${chosen + 1} chosen.`}`}
        </span>
        <button
          class="plain"
          disabled={chosen === undefined}
          onClick={() => chosen !== undefined && remove(chosen)}
        >
          Remove
        </button>
        <button
          class="plain"
          disabled={job.faces !== 'none' && job.faceBoxes === undefined}
          onClick={() => {
            setChosen(undefined);
            work.replace(without(job, 'faces', 'faceBoxes'));
          }}
        >
          Look for them again
        </button>
        <button class="main" onClick={onDone}>
          Done
        </button>
      </p>
    </div>
  );
}

const tenth = (percent: number): number => Math.round(percent * 10) / 10;

function boxBetween([x0, y0]: PercentSpot, [x1, y1]: PercentSpot): FaceBox {
  return [
    tenth(Math.min(x0, x1)),
    tenth(Math.min(y0, y1)),
    tenth(Math.abs(x1 - x0)),
    tenth(Math.abs(y1 - y0)),
  ];
}

/** A box that is moved, no further than to the picture's edges. */
function shifted([left, top, width, height]: FaceBox, dx: number, dy: number): FaceBox {
  const within = (at: number, size: number) => tenth(Math.min(Math.max(at, 0), 100 - size));
  return [within(left + dx, width), within(top + dy, height), width, height];
}

function holds([left, top, width, height]: FaceBox, [x, y]: PercentSpot): boolean {
  return x >= left && y >= top && x <= left + width && y <= top + height;
}
