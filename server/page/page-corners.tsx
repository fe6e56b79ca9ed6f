import { useEffect, useRef, useState } from 'preact/hooks';
import { cornersIn, textOfCorners, type PageCorners } from '../../src/settings/rectification.js';
import { api } from './api.js';
import { UNMARKED } from './rectified-photo.js';
import type { PercentSpot } from './marking.js';
import { errorMessage } from './page-model.js';
import { inside, PhotoArea, type PhotoHands } from './photo-area.js';
import type { PhotoViewProps } from './photo-view.js';

/** The corners that a page has before any are found: a little inside the picture. */
const USUAL_CORNERS: PageCorners = [
  [8, 8],
  [92, 8],
  [92, 92],
  [8, 92],
];
const CORNER_NAMES = ['Top left', 'Top right', 'Bottom right', 'Bottom left'] as const;
/**
 * How far an arrow key moves a corner, in percent of the photo: some 2 px of a photo 400 px wide, so that a corner is
 * met. By eye.
 */
const CORNER_STEP = 0.5;

/** The photo as it was taken, with the four corners of its page to move. */
export function PageCornersView(props: PhotoViewProps) {
  const { model, state, picture, onDone } = props;
  const editing = useCorners(props);
  const { corners, held, says, lookForIt, settle } = editing;
  const photo = { url: api.copyUrl(picture.id), width: picture.width, height: picture.height };
  const ratio = photo.width / photo.height;
  return (
    <div class="crop page-corners">
      <PhotoArea
        photo={photo}
        hands={handsOn(editing, ratio, onDone)}
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
          disabled={state.history.now.page === undefined}
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

/** The four corners, which of them is held, and what is said of them. */
function useCorners({ model, state, picture, onDone, say }: PhotoViewProps) {
  const given = cornersIn(state.history.now.page ?? null);
  const [corners, setCorners] = useState<PageCorners>(given ?? USUAL_CORNERS);
  const [held, setHeld] = useState(0);
  const [says, setSays] = useState('Drag the four corners onto those of the page.');
  /** Whether she moved a corner while one was looked for: hers stay. */
  const isMoved = useRef(false);
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
  return {
    ...{ corners, held, says, setHeld, lookForIt },
    put: (which: number, at: PercentSpot) => {
      isMoved.current = true;
      setCorners(corners.with(which, at) as unknown as PageCorners);
    },
    settle: () => {
      model.set({ ...UNMARKED, page: textOfCorners(corners) });
      onDone();
    },
  };
}

/** @param ratio of the photo's width to its height: corners are as near as they look */
function handsOn(
  { corners, held, setHeld, put, settle }: ReturnType<typeof useCorners>,
  ratio: number,
  onDone: () => void,
): PhotoHands {
  return {
    down(at) {
      const away = corners.map(([x, y]) => Math.hypot((x - at[0]) * ratio, y - at[1]));
      const which = away.indexOf(Math.min(...away));
      setHeld(which);
      put(which, at);
    },
    move: (at) => put(held, at),
    up: (at) => put(held, at),
    cancel: () => undefined,
    arrow([dx, dy], isFar) {
      const step = isFar ? 10 * CORNER_STEP : CORNER_STEP;
      const [x, y] = corners[held];
      put(held, [inside(x + dx * step), inside(y + dy * step)]);
    },
    key(key) {
      if (key.toLowerCase() === 'n') setHeld((held + 1) % 4);
      else if (key === 'Enter') settle();
      else if (key === 'Escape') onDone();
      else return false;
      return true;
    },
  };
}
