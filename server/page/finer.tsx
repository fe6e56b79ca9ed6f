import type { Loop } from '../../src/settings/marks.js';
import { useFreehand } from './freehand.js';
import { rectifiedPhoto } from './rectified-photo.js';
import { isInsidePath } from './inside.js';
import { tenths, thinned } from './marking.js';
import { PhotoArea, SpotMark, useSpot } from './photo-area.js';
import type { PhotoViewProps } from './photo-view.js';
import { withList } from './without.js';
import { counted } from './labels.js';

/** For one press of an arrow key, in percent of the picture's sides, and with Shift. */
const STEP = 1;
const LARGE_STEP = 5;

/** The whole picture, to draw round the parts that keep all the detail that can be cut. */
export function FinerView({ model, state, picture, onDone }: PhotoViewProps) {
  const job = state.history.now;
  const loops = job.finer ?? [];
  const spot = useSpot(STEP, LARGE_STEP);
  const photo = rectifiedPhoto(picture, job, state);
  const ratio = photo.width / photo.height;

  const put = (next: readonly Loop[]) => model.replace(withList(job, 'finer', next));
  const { drawn, hands } = useFreehand({
    spot,
    settle(line) {
      const loop = thinned(line).map(tenths);
      if (loop.length >= 3) return put([...loops, loop]);
      const [at] = loop;
      const hit = loops.findLastIndex((each) => isInsidePath(pathOf(each), { x: at[0], y: at[1] }, 'nonzero')); // prettier-ignore
      if (hit >= 0) put(loops.filter((_, i) => i !== hit));
    },
    removeLast() {
      if (loops.length === 0) return false;
      put(loops.slice(0, -1));
      return true;
    },
    onDone,
  });
  const shown = drawn.length > 1 ? [...loops, drawn] : loops;
  return (
    <div class="crop subject">
      <PhotoArea
        photo={photo}
        hands={hands}
        says="Your picture, to draw round parts that keep more detail. The arrow keys move a pointer; Enter begins and ends a loop, Delete takes the last one away."
        drawn={
          <>
            {shown.map((loop, i) => (
              <polygon
                key={i}
                class="about"
                points={loop.map(([x, y]) => `${x * ratio},${y}`).join(' ')}
              />
            ))}
            <SpotMark at={spot.at} ratio={ratio} />
          </>
        }
      />
      <p class="row ways">
        <span role="status">
          {loops.length === 0 ? 'No finer part.' : `${counted(loops.length, 'finer part')}.`}
        </span>
        <button class="plain" disabled={loops.length === 0} onClick={() => put([])}>
          Clear
        </button>
        <button class="main" onClick={onDone}>
          Done
        </button>
      </p>
    </div>
  );
}

const pathOf = (loop: Loop) => `M${loop.map((at) => at.join(' ')).join('L')}Z`;
