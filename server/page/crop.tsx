import { useEffect, useRef, useState } from 'preact/hooks';
import { completeJob, designMargin, settings, sheetOf, type Job } from '../../src/settings/job.js';
import { unitOf } from '../../src/settings/card.js';
import { sizeOn } from '../../src/settings/words/lengths.js';
import { cornersIn, textOfCorners, type PageCorners } from '../../src/settings/held.js';
import { api } from './api.js';
import { dragged, frameText, largestShaped, shaped, type CropEdges } from './crop-rectangle.js';
import { heldPhoto, UNMARKED, type HeldPhoto } from './held-photo.js';
import { cropOf } from './stage-view.js';
import type { PercentSpot } from './marking.js';
import { inside, PhotoArea } from './photo-area.js';
import { cardOf } from './place-in-words.js';
import type { PhotoViewProps } from './photo-view.js';
import { errorMessage, type PageModel, type PageState } from './page-model.js';

/**
 * How far an arrow key moves the frame, in percent of the picture: its numbers are shown in tenths, a drag is coarser.
 */
const STEP = 1;
/** Degrees that a hand holds a camera askew by at the most; more is a turn by a quarter. Common practice, no source. */
const MOST_ASKEW = 15;

const TURNS = settings.pictureTurn.choices;

/** What a frame is held by, and what it was then. */
interface Grip {
  readonly what: string;
  readonly from: CropEdges;
  readonly at: PercentSpot;
}

/** The whole picture with a frame to drag, to turn and to lay flat; what lies outside the frame is not used. */
export function CropView(props: PhotoViewProps) {
  const { model, state, picture, onDone } = props;
  const job = state.draft ?? state.history.now;
  const photo = heldPhoto(picture, job, state);
  const [isPage, setIsPage] = useState(false);
  if (isPage) return <PageView {...props} onDone={() => setIsPage(false)} />;
  return (
    <CropFrame
      key={`${photo.width} ${photo.height}`}
      {...{ model, state, onDone, photo }}
      onFlatten={() => setIsPage(true)}
    />
  );
}

function CropFrame(props: {
  model: PageModel;
  state: PageState;
  photo: HeldPhoto;
  onDone: () => void;
  onFlatten: () => void;
}) {
  const { model, state, photo, onDone, onFlatten } = props;
  const job = state.draft ?? state.history.now;
  const [left, top, width, height] = cropOf(job.crop);
  const [drawn, setDrawn] = useState<CropEdges | undefined>();
  const [isLocked, setIsLocked] = useState(false);
  const edges = drawn ?? ([left, top, left + width, top + height] as const);
  const grip = useRef<Grip | undefined>(undefined);
  const room = roomOf(state);
  /** Percents across against percents down of a part that has the card's shape. */
  const ratio = room && (room.width / room.height) * (photo.height / photo.width);
  const kept = (next: CropEdges, what: string) =>
    isLocked && ratio && what !== 'all' ? shaped(next, what, ratio) : next;

  const settle = (next: CropEdges, kind?: string) => {
    setDrawn(undefined);
    model.set({ crop: frameText(next) }, false, kind);
  };
  const hands = {
    down(at: PercentSpot, what: string | undefined) {
      // Beside the frame, a new one is drawn.
      grip.current =
        what === undefined
          ? { what: 'es', at, from: [at[0], at[1], at[0], at[1]] }
          : { what, at, from: edges };
    },
    move([x, y]: PercentSpot) {
      if (!grip.current) return;
      const { what, at, from } = grip.current;
      const next = kept(dragged(from, what, x - at[0], y - at[1]), what);
      setDrawn(next);
      model.set({ crop: frameText(next) }, true);
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
    arrow([dx, dy]: PercentSpot, isFar: boolean) {
      const what = isFar ? 'es' : 'all';
      settle(kept(dragged(edges, what, dx * STEP, dy * STEP), what), 'crop by keys');
    },
    key(key: string) {
      if (key !== 'Enter' && key !== 'Escape') return false;
      onDone();
      return true;
    },
  };

  const [x0, y0, x1, y1] = edges;
  const frame = { left: `${x0}%`, top: `${y0}%`, width: `${x1 - x0}%`, height: `${y1 - y0}%` };
  const turn = TURNS.indexOf(job.pictureTurn ?? 'none');
  // What is marked on the photo lies elsewhere on a turned one.
  const turnBy = (by: number) =>
    model.set({ pictureTurn: TURNS[(turn + by + 4) % 4], ...UNMARKED }, false);
  return (
    <div class="crop">
      <PhotoArea
        photo={photo}
        hands={hands}
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
      <div class="row ways">
        <button class="plain turn" onClick={() => turnBy(-1)} title="A quarter to the left">
          ↺ <span>Turn left</span>
        </button>
        <button class="plain turn" onClick={() => turnBy(1)} title="A quarter to the right">
          ↻ <span>Turn right</span>
        </button>
        <label class="row straighten">
          Straighten
          <input
            type="range"
            min={-MOST_ASKEW}
            max={MOST_ASKEW}
            step="0.5"
            value={job.straighten ?? 0}
            aria-valuetext={`${job.straighten ?? 0} degrees`}
            onInput={({ currentTarget }) =>
              model.set({ straighten: currentTarget.valueAsNumber }, true)
            }
            onChange={({ currentTarget }) =>
              model.set(
                { straighten: currentTarget.valueAsNumber || undefined },
                false,
                'straighten',
              )
            }
          />
          <span class="unit">{job.straighten ?? 0}°</span>
        </label>
        <button class="plain" onClick={onFlatten} title="Of a page photographed on a table">
          Flatten a page
        </button>
        <label class="row">
          <input
            type="checkbox"
            class="switch"
            checked={isLocked}
            onChange={({ currentTarget: { checked } }) => {
              setIsLocked(checked);
              if (checked && ratio) settle(largestShaped(edges, ratio));
            }}
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
    </div>
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
  photo: HeldPhoto;
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

/** The corners that a page has before any are found: a little inside the picture. */
const USUAL_CORNERS: PageCorners = [
  [8, 8],
  [92, 8],
  [92, 92],
  [8, 92],
];
const CORNER_NAMES = ['Top left', 'Top right', 'Bottom right', 'Bottom left'] as const;
/** In percent, for one press of an arrow key. */
const CORNER_STEP = 0.5;

/** The photo as it was taken, with the four corners of its page to move. */
function PageView({ model, state, picture, onDone, say }: PhotoViewProps) {
  const job = state.history.now;
  const given = cornersIn(job.page ?? null);
  const [corners, setCorners] = useState<PageCorners>(given ?? USUAL_CORNERS);
  const [held, setHeld] = useState(0);
  const [says, setSays] = useState('Drag the four corners onto those of the page.');
  /** Whether she moved a corner while one was looked for: hers stay. */
  const isMoved = useRef(false);
  const photo = { url: api.copyUrl(picture.id), width: picture.width, height: picture.height };
  const ratio = photo.width / photo.height;
  const put = (which: number, at: PercentSpot) => {
    isMoved.current = true;
    setCorners(corners.with(which, at) as unknown as PageCorners);
  };
  const find = async () => {
    setSays('Looking for the page …');
    const { page } = await api.page(picture.id);
    const found = cornersIn(page);
    if (isMoved.current) return;
    if (found) setCorners(found);
    setSays(
      found
        ? 'Found. Look whether the corners lie on those of the page.'
        : 'No page was found: drag the corners onto it yourself.',
    );
  };
  const lookForIt = () => {
    isMoved.current = false;
    void find().catch((error: unknown) => model.tell(errorMessage(error)));
  };
  useEffect(() => {
    say('The page comes to lie flat: the table round it and the edge of the paper go.');
    // She came to have it found.
    if (!given) lookForIt();
    return () => say('');
  }, []);
  const hands = {
    down(at: PercentSpot) {
      const away = corners.map(([x, y]) => Math.hypot((x - at[0]) * ratio, y - at[1]));
      const which = away.indexOf(Math.min(...away));
      setHeld(which);
      put(which, at);
    },
    move: (at: PercentSpot) => put(held, at),
    up: (at: PercentSpot) => put(held, at),
    cancel: () => undefined,
    arrow([dx, dy]: PercentSpot, isFar: boolean) {
      const step = isFar ? 10 * CORNER_STEP : CORNER_STEP;
      const [x, y] = corners[held];
      put(held, [inside(x + dx * step), inside(y + dy * step)]);
    },
    key(key: string) {
      if (key.toLowerCase() === 'n') setHeld((held + 1) % 4);
      else if (key === 'Enter') settle();
      else if (key === 'Escape') onDone();
      else return false;
      return true;
    },
  };
  const settle = () => {
    model.set({ ...UNMARKED, page: textOfCorners(corners) });
    onDone();
  };
  return (
    <div class="crop page-corners">
      <PhotoArea
        photo={photo}
        hands={hands}
        says="The photo with the four corners of its page. N goes from corner to corner, the arrow keys move one, Enter lays the page flat."
        drawn={
          <>
            <polygon
              class="about"
              points={corners.map(([x, y]) => `${x * ratio},${y}`).join(' ')}
            />
            {corners.map(([x, y], i) => (
              <circle
                key={i}
                class={i === held ? 'corner chosen' : 'corner'}
                cx={x * ratio}
                cy={y}
                r="2.4"
              />
            ))}
          </>
        }
      />
      <div class="row ways">
        <span role="status">
          {says} <span class="hidden-text">{CORNER_NAMES[held]} corner chosen.</span>
        </span>
        <button class="plain" onClick={lookForIt}>
          Find the page
        </button>
        <button
          class="plain"
          disabled={job.page === undefined}
          onClick={() => {
            model.set({ ...UNMARKED, page: undefined });
            onDone();
          }}
        >
          Leave it as it is
        </button>
        <button class="main" onClick={settle}>
          Lay it flat
        </button>
      </div>
    </div>
  );
}
