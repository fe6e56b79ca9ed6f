import { useRef, useState } from 'preact/hooks';
import { completeJob, designMargin, settings, sheetOf, type Job } from '../../src/settings/job.js';
import { unitOf } from '../../src/settings/card.js';
import { sizeOn } from '../../src/settings/words/lengths.js';
import { dragged, cropSetting, largestShaped, shaped, type CropEdges } from './crop-rectangle.js';
import { rectifiedPhoto, UNMARKED, type RectifiedPhoto } from './rectified-photo.js';
import { cropOf } from './stage-view.js';
import type { PercentSpot } from './marking.js';
import { PageCornersView } from './page-corners.js';
import { PhotoArea, type PhotoHands } from './photo-area.js';
import { cardOf } from './place-in-words.js';
import type { PhotoViewProps } from './photo-view.js';
import type { PageModel, PageState } from './page-model.js';

/**
 * How far an arrow key moves the rectangle, in percent of the picture: its numbers are shown in tenths, a drag is coarser.
 */
const STEP = 1;
/** Degrees that a hand holds a camera askew by at the most; more is a turn by a quarter. Common practice, no source. */
const MOST_ASKEW = 15;

const TURNS = settings.pictureTurn.choices;

/** What a rectangle is held by, and what it was then. */
interface Grip {
  readonly what: string;
  readonly from: CropEdges;
  readonly at: PercentSpot;
}

/** The whole picture with a rectangle to drag, to turn and to lay flat; what lies outside the rectangle is not used. */
export function CropView(props: PhotoViewProps) {
  const { model, state, picture, onDone } = props;
  const job = state.draft ?? state.history.now;
  const photo = rectifiedPhoto(picture, job, state);
  const [isPage, setIsPage] = useState(false);
  if (isPage) return <PageCornersView {...props} onDone={() => setIsPage(false)} />;
  return (
    <CropFrame
      key={`${photo.width} ${photo.height}`}
      {...{ model, state, onDone, photo }}
      onFlatten={() => setIsPage(true)}
    />
  );
}

interface CropFrameProps {
  readonly model: PageModel;
  readonly state: PageState;
  readonly photo: RectifiedPhoto;
  readonly onDone: () => void;
  readonly onFlatten: () => void;
}

function CropFrame(props: CropFrameProps) {
  const { photo, onDone } = props;
  const editing = useCrop(props);
  const [x0, y0, x1, y1] = editing.edges;
  const frame = { left: `${x0}%`, top: `${y0}%`, width: `${x1 - x0}%`, height: `${y1 - y0}%` };
  return (
    <div class="crop">
      <PhotoArea
        photo={photo}
        hands={useCropHands(editing, props.model, onDone)}
        says="The part of the picture to use. Arrow keys move the frame, with Shift they change its size, Enter is done."
      >
        <div class="shade">
          <div style={frame} />
        </div>
        <div class="part" data-grip="all" style={frame}>
          {['nw', 'ne', 'sw', 'se', 'n', 's', 'w', 'e'].map((name) => (
            <span key={name} class={`grip ${name}`} data-grip={name} />
          ))}
        </div>
      </PhotoArea>
      <CropControls {...props} editing={editing} />
    </div>
  );
}

/** The rectangle, and whether it keeps the card's shape. */
function useCrop({ model, state, photo }: CropFrameProps) {
  const job = state.draft ?? state.history.now;
  const [left, top, width, height] = cropOf(job.crop);
  const [drawn, setDrawn] = useState<CropEdges | undefined>();
  const [isLocked, setIsLocked] = useState(false);
  const edges = drawn ?? ([left, top, left + width, top + height] as const);
  const room = roomOf(state);
  /** Percents across against percents down of a part that has the card's shape. */
  const ratio = room && (room.width / room.height) * (photo.height / photo.width);
  const settle = (next: CropEdges, kind?: string) => {
    setDrawn(undefined);
    model.set({ crop: cropSetting(next) }, false, kind);
  };
  return {
    ...{ job, edges, drawn, setDrawn, isLocked, room, settle },
    /** The rectangle with the card's shape, where it keeps that. */
    kept: (next: CropEdges, what: string) =>
      isLocked && ratio && what !== 'all' ? shaped(next, what, ratio) : next,
    lock: (is: boolean) => {
      setIsLocked(is);
      if (is && ratio) settle(largestShaped(edges, ratio));
    },
  };
}

type CropEditing = ReturnType<typeof useCrop>;

function useCropHands(
  { edges, drawn, setDrawn, kept, settle }: CropEditing,
  model: PageModel,
  onDone: () => void,
): PhotoHands {
  const grip = useRef<Grip | undefined>(undefined);
  return {
    down(at, what) {
      // Beside the rectangle, a new one is drawn.
      grip.current =
        what === undefined
          ? { what: 'es', at, from: [at[0], at[1], at[0], at[1]] }
          : { what, at, from: edges };
    },
    move([x, y]) {
      if (!grip.current) return;
      const { what, at, from } = grip.current;
      const next = kept(dragged(from, what, x - at[0], y - at[1]), what);
      setDrawn(next);
      model.set({ crop: cropSetting(next) }, true);
    },
    up() {
      if (grip.current && drawn) settle(drawn);
      grip.current = undefined;
    },
    cancel() {
      grip.current = undefined;
      setDrawn(undefined);
      model.drop();
    },
    arrow([dx, dy], isFar) {
      const what = isFar ? 'es' : 'all';
      settle(kept(dragged(edges, what, dx * STEP, dy * STEP), what), 'crop by keys');
    },
    key(key) {
      if (key !== 'Enter' && key !== 'Escape') return false;
      onDone();
      return true;
    },
  };
}

/** What is done to the photo besides the rectangle: turned, straightened, laid flat; and how large the part comes out. */
function CropControls(props: CropFrameProps & { editing: CropEditing }) {
  const { model, state, photo, onDone, onFlatten, editing } = props;
  const { job, edges, isLocked, lock, room } = editing;
  const turn = TURNS.indexOf(job.pictureTurn ?? 'none');
  // What is marked on the photo lies elsewhere on a turned one.
  const turnBy = (by: number) =>
    model.set({ pictureTurn: TURNS[(turn + by + 4) % 4], ...UNMARKED }, false);
  return (
    <div class="row ways">
      <button class="plain turn" onClick={() => turnBy(-1)} title="A quarter to the left">
        ↺ <span>Turn left</span>
      </button>
      <button class="plain turn" onClick={() => turnBy(1)} title="A quarter to the right">
        ↻ <span>Turn right</span>
      </button>
      <Straighten model={model} degrees={job.straighten ?? 0} />
      <button class="plain" onClick={onFlatten} title="Of a page photographed on a table">
        Flatten a page
      </button>
      <label class="row">
        <input
          type="checkbox"
          class="switch"
          checked={isLocked}
          onChange={({ currentTarget }) => lock(currentTarget.checked)}
        />
        Keep the card’s shape
      </label>
      <span class="size" role="status">
        <SizeOnCard
          part={edges}
          photo={photo}
          room={room}
          fit={job.fit ?? settings.fit.default}
          card={cardOf(state)}
        />
      </span>
      <button class="plain" onClick={() => model.set({ crop: undefined })}>
        Whole picture
      </button>
      <button class="main" onClick={onDone}>
        Done
      </button>
    </div>
  );
}

function Straighten({ model, degrees }: { model: PageModel; degrees: number }) {
  return (
    <label class="row straighten">
      Straighten
      <input
        type="range"
        min={-MOST_ASKEW}
        max={MOST_ASKEW}
        step="0.5"
        value={degrees}
        aria-valuetext={`${degrees} degrees`}
        onInput={({ currentTarget }) =>
          model.set({ straighten: currentTarget.valueAsNumber }, true)
        }
        onChange={({ currentTarget }) =>
          model.set({ straighten: currentTarget.valueAsNumber || undefined }, false, 'straighten')
        }
      />
      <span class="unit">{degrees}°</span>
    </label>
  );
}

interface Room {
  readonly width: number;
  readonly height: number;
}

/** What lies inside the margin, in mm; undefined where the settings leave none. */
function roomOf({ screen, history }: PageState): Room | undefined {
  const job: Job | undefined = screen?.job ?? completed(history.now);
  if (!job) return undefined;
  const { widthMm, heightMm } = sheetOf(job);
  const margin = designMargin(job);
  return { width: widthMm - 2 * margin, height: heightMm - 2 * margin };
}

function completed(job: PageState['history']['now']): Job | undefined {
  try {
    return completeJob(job);
  } catch {
    // The verdict says what is wrong with them.
    return undefined;
  }
}

/** How large the part comes out on the card, in what that was given in, and in mm where there is room: "89 × 60 mm". */
function SizeOnCard(props: {
  part: CropEdges;
  photo: RectifiedPhoto;
  room: Room | undefined;
  fit: Job['fit'];
  card: string;
}) {
  const { part: [x0, y0, x1, y1], photo, room, fit, card } = props; // prettier-ignore
  if (!room) return null;
  const part = { width: ((x1 - x0) / 100) * photo.width, height: ((y1 - y0) / 100) * photo.height };
  const scale = Math.min(room.width / part.width, room.height / part.height);
  const [widthMm, heightMm] =
    fit === 'fill' ? [room.width, room.height] : [part.width * scale, part.height * scale];
  const inMm = `${Math.round(widthMm)} × ${Math.round(heightMm)} mm`;
  if (unitOf(card) === 'mm') return <>{inMm} on the card</>;
  return (
    <>
      {sizeOn(card, { widthMm, heightMm })} <span class="in-mm">({inMm}) </span>on the card
    </>
  );
}
