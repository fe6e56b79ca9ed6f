import { useRef, useState } from 'preact/hooks';
import type { FaceBox } from '../../src/settings/face-boxes.js';
import { rectifiedPhoto } from './rectified-photo.js';
import { markOf, tenth, type PercentSpot } from './marking.js';
import { PhotoArea, SpotMark, useSpot, type PhotoHands } from './photo-area.js';
import type { PhotoViewProps } from './photo-view.js';
import { without } from './without.js';
import { counted } from './labels.js';

/** For one press of an arrow key, in percent of the picture's sides, and with Shift. */
const STEP = 0.5;
const LARGE_STEP = 5;

/** What the pointer has hold of: a box that is drawn anew, or one that is moved. */
interface Grip {
  readonly from: PercentSpot;
  /** The place of the box in the list, and the box as it was. */
  readonly moves?: { readonly place: number; readonly box: FaceBox };
}

/** The whole picture with a box round each face; a box can be added, moved and removed. */
export function FacesView(props: PhotoViewProps) {
  const { model, state, picture, onDone } = props;
  const editing = useFaceBoxes(props);
  const { hands, begun, spot } = useFaceHands(editing, onDone);
  const { boxes, chosen, choose, remove } = editing;
  const job = state.history.now;
  const photo = rectifiedPhoto(picture, job, state);
  const ratio = photo.width / photo.height;
  const shown = begun && spot.at ? [...boxes, boxBetween(begun, spot.at)] : boxes;
  return (
    <div class="crop subject faces">
      <PhotoArea
        photo={photo}
        hands={hands}
        says="Your picture with a box round each face. N and P go from face to face, the arrow keys move one and Delete removes it; after Escape they move a pointer, and Enter begins and ends a new box."
        drawn={
          <>
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
            <SpotMark at={spot.at} ratio={ratio} />
          </>
        }
      />
      <p class="row ways">
        <span role="status">
          {boxes.length === 0
            ? 'No face.'
            : `${counted(boxes.length, 'face')}${chosen === undefined ? '.' : `, number ${chosen + 1} chosen.`}`}
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
            choose(undefined);
            model.replace(without(job, 'faces', 'faceBoxes'));
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

/** The boxes as they are set and as they move, which of them is chosen, and what can be done to them. */
function useFaceBoxes({ model, state }: PhotoViewProps) {
  const job = state.history.now;
  const given: readonly FaceBox[] =
    job.faces === 'none' ? [] : (job.faceBoxes ?? state.screen?.faces ?? []);
  const [moving, setMoving] = useState<readonly FaceBox[] | undefined>();
  const [chosen, setChosen] = useState<number | undefined>();
  const settle = (next: readonly FaceBox[], kind?: string) => {
    setMoving(undefined);
    const rest = without(job, 'faces', 'faceBoxes');
    model.replace(
      next.length === 0 ? { ...rest, faces: 'none' } : { ...rest, faceBoxes: next },
      kind,
    );
  };
  return {
    ...{ given, moving, chosen, settle },
    boxes: moving ?? given,
    show: setMoving,
    choose: setChosen,
    add: (from: PercentSpot, to: PercentSpot) => {
      const mark = markOf('box', [from, to]);
      setMoving(undefined);
      if (mark?.do !== 'box') return;
      setChosen(given.length);
      settle([...given, boxBetween(mark.from, mark.to)]);
    },
    remove: (place: number) => {
      setChosen(undefined);
      settle(given.filter((_, k) => k !== place));
    },
    goTo: (by: 1 | -1) => {
      if (given.length === 0) return;
      const start = chosen ?? (by === 1 ? -1 : given.length);
      setChosen((start + by + given.length) % given.length);
    },
  };
}

/** What the pointer and keys do, and the box that Enter has begun. */
function useFaceHands(editing: ReturnType<typeof useFaceBoxes>, onDone: () => void) {
  const { given, moving, chosen, settle, show, choose, add, remove, goTo } = editing;
  const [begun, setBegun] = useState<PercentSpot | undefined>();
  const spot = useSpot(STEP, LARGE_STEP);
  const grip = useRef<Grip | undefined>(undefined);
  const hands: PhotoHands = {
    down(from) {
      spot.setAt(undefined);
      const place = given.findLastIndex((box) => holds(box, from));
      choose(place < 0 ? undefined : place);
      grip.current = { from, ...(place < 0 ? {} : { moves: { place, box: given[place] } }) };
    },
    move([x, y]) {
      const held = grip.current;
      if (!held) return;
      const { moves, from } = held;
      show(
        moves
          ? given.with(moves.place, shifted(moves.box, x - from[0], y - from[1]))
          : [...given, boxBetween(from, [x, y])],
      );
    },
    up(at) {
      const held = grip.current;
      grip.current = undefined;
      if (held && !held.moves) add(held.from, at);
      else if (moving) settle(moving);
    },
    cancel() {
      grip.current = undefined;
      show(undefined);
    },
    arrow([dx, dy], isFar) {
      const step = isFar ? LARGE_STEP : STEP;
      if (chosen !== undefined && given[chosen])
        settle(given.with(chosen, shifted(given[chosen], dx * step, dy * step)), `face ${chosen}`);
      else spot.moved([dx, dy], isFar);
    },
    key(key) {
      const letter = key.toLowerCase();
      if (letter === 'n' || letter === 'p') goTo(letter === 'n' ? 1 : -1);
      else if (key === 'Enter') {
        choose(undefined);
        if (begun) add(begun, spot.now);
        spot.setAt(spot.now);
        setBegun(begun ? undefined : spot.now);
      } else if ((key === 'Delete' || key === 'Backspace') && chosen !== undefined) remove(chosen);
      else if (key === 'Escape') {
        if (chosen === undefined && !spot.at) onDone();
        choose(undefined);
        setBegun(undefined);
        spot.setAt(undefined);
      } else return false;
      return true;
    },
  };
  return { hands, begun, spot };
}

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
