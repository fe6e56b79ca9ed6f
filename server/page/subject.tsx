import { useRef, useState } from 'preact/hooks';
import { STROKE_WIDTH, type Mark } from '../../src/settings/marks.js';
import { settings } from '../../src/settings/job.js';
import { api, type PictureInfo } from './api.js';
import { arrowOf } from './cursor.js';
import { markOf, type PercentSpot } from './marking.js';
import { withList } from './without.js';
import { plain } from './words.js';
import type { State, PageState } from './work.js';

const WAYS = [
  ['box', 'Box', 'Draw a box round the subject.'],
  ['lasso', 'Lasso', 'Draw a line round the subject; it closes by itself.'],
  ['this', 'This', 'Stroke over what is the subject and was left out.'],
  ['not-this', 'Not this', 'Stroke over what is background and was taken in.'],
] as const;

/**
 * For one press of an arrow key, in percent of the picture's sides, and with Shift: fine along a contour, quick across.
 */
const STEP = 1;
const LARGE_STEP = 5;

/** The whole picture, to draw on it what its subject is and to choose what becomes of the rest. */
export function SubjectView(props: {
  work: PageState;
  state: State;
  picture: PictureInfo;
  onDone: () => void;
}) {
  const { work, state, picture, onDone } = props;
  const job = state.history.now;
  const marks = job.marks ?? [];
  const [way, setWay] = useState<Mark['do']>('box');
  const [drawn, setDrawn] = useState<readonly PercentSpot[]>([]);
  const [cursor, setCursor] = useState<PercentSpot | undefined>();
  const area = useRef<HTMLDivElement>(null);
  const finger = useRef<number | undefined>(undefined);
  const line = useRef<readonly PercentSpot[]>([]);

  const draw = (spots: readonly PercentSpot[]) => {
    line.current = spots;
    setDrawn(spots);
  };
  const settle = () => {
    const mark = markOf(way, line.current);
    draw([]);
    if (mark) work.replace(withList(job, 'marks', [...marks, mark]));
  };
  const spotOf = (event: PointerEvent): PercentSpot => {
    const rect = area.current!.getBoundingClientRect();
    return [
      inside(((event.clientX - rect.left) / rect.width) * 100),
      inside(((event.clientY - rect.top) / rect.height) * 100),
    ];
  };
  const onDown = (event: PointerEvent) => {
    if (finger.current !== undefined || event.button !== 0) return;
    // Else the browser may begin to select or to drag, and takes the pointer away.
    event.preventDefault();
    area.current!.focus({ preventScroll: true });
    finger.current = event.pointerId;
    area.current!.setPointerCapture(event.pointerId);
    setCursor(undefined);
    draw([spotOf(event)]);
  };
  const onMove = (event: PointerEvent) => {
    if (finger.current === event.pointerId) draw([...line.current, spotOf(event)]);
  };
  const onUp = (event: PointerEvent) => {
    if (finger.current !== event.pointerId) return;
    finger.current = undefined;
    settle();
  };
  const onCancel = () => {
    finger.current = undefined;
    draw([]);
  };
  const onKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const arrow = arrowOf(event);
    if (arrow) {
      const step = event.shiftKey ? LARGE_STEP : STEP;
      const [x, y] = cursor ?? [50, 50];
      const next: PercentSpot = [inside(x + arrow.x * step), inside(y + arrow.y * step)];
      setCursor(next);
      if (line.current.length > 0) draw([...line.current, next]);
    } else if (event.key === 'Enter') {
      const at = cursor ?? [50, 50];
      setCursor(at);
      if (line.current.length > 0) settle();
      else draw([at]);
    } else if (event.key === 'Escape') {
      if (line.current.length > 0) draw([]);
      else onDone();
    } else if ((event.key === 'Delete' || event.key === 'Backspace') && marks.length > 0) {
      work.replace(withList(job, 'marks', marks.slice(0, -1)));
    } else return;
    event.preventDefault();
  };

  const ratio = picture.width / picture.height;
  const drawing = drawn.length > 1 ? markOf(way, drawn) : undefined;
  const background = job.background ?? settings.background.default;
  return (
    <div class="crop subject">
      <div
        class="area"
        ref={area}
        tabIndex={0}
        role="application"
        aria-label="Your picture, to mark the subject on. The arrow keys move a pointer; Enter begins and ends a mark, Delete takes the last one away, Escape gives up."
        style={{ aspectRatio: `${picture.width} / ${picture.height}`, '--ratio': ratio }}
        onPointerDown={onDown}
        onPointerMove={onMove}
        onPointerUp={onUp}
        onPointerCancel={onCancel}
        onKeyDown={onKey}
      >
        <img src={api.copyUrl(picture.id)} alt="" draggable={false} />
        <svg viewBox={`0 0 ${100 * ratio} 100`} aria-hidden="true">
          {marks.map((mark, i) => (
            <MarkShape key={i} mark={mark} ratio={ratio} />
          ))}
          {drawing && <MarkShape mark={drawing} ratio={ratio} />}
          {cursor && <circle class="pointer" cx={cursor[0] * ratio} cy={cursor[1]} r={1.6} />}
        </svg>
      </div>
      <div class="row ways">
        <div class="segments" role="group" aria-label="How you mark the subject">
          {WAYS.map(([name, label, says]) => (
            <button
              key={name}
              aria-pressed={way === name}
              title={says}
              onClick={() => {
                draw([]);
                setWay(name);
              }}
            >
              {label}
            </button>
          ))}
        </div>
        <label class="row">
          <span>Background</span>
          <select
            value={background}
            onChange={({ currentTarget }) => work.set({ background: currentTarget.value })}
          >
            {settings.background.choices.map((choice) => (
              <option key={choice} value={choice}>
                {plain(choice)}
              </option>
            ))}
          </select>
        </label>
        <button
          class="plain"
          disabled={marks.length === 0}
          onClick={() => work.replace(withList(job, 'marks', []))}
        >
          Clear
        </button>
        <button class="main" onClick={onDone}>
          Done
        </button>
      </div>
    </div>
  );
}

/** One mark, over a picture that is 100 high and 100 × `ratio` wide. */
function MarkShape({ mark, ratio }: { mark: Mark; ratio: number }) {
  if (mark.do === 'box') {
    const [x0, y0] = mark.from;
    const [x1, y1] = mark.to;
    return (
      <rect
        class="about"
        x={Math.min(x0, x1) * ratio}
        y={Math.min(y0, y1)}
        width={Math.abs(x1 - x0) * ratio}
        height={Math.abs(y1 - y0)}
      />
    );
  }
  const points = mark.along.map(([x, y]) => `${x * ratio},${y}`).join(' ');
  if (mark.do === 'lasso') return <polygon class="about" points={points} />;
  const width = ((mark.width ?? STROKE_WIDTH) / 100) * Math.max(100 * ratio, 100);
  // A line of no length is drawn as a dab by its round ends.
  const line = mark.along.length === 1 ? `${points} ${points}` : points;
  return <polyline class={mark.do} points={line} stroke-width={width} />;
}

export const inside = (percent: number): number => Math.min(Math.max(percent, 0), 100);
