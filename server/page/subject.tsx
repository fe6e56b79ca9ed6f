import { useState } from 'preact/hooks';
import { STROKE_WIDTH, type Mark } from '../../src/settings/marks.js';
import { settings } from '../../src/settings/job.js';
import { cropOf } from './stage-view.js';
import { useFreehand } from './freehand.js';
import { rectifiedPhoto } from './rectified-photo.js';
import { isInsidePath } from './inside.js';
import { markOf, type PercentSpot } from './marking.js';
import { PhotoArea, SpotMark, useSpot } from './photo-area.js';
import type { PhotoViewProps } from './photo-view.js';
import { counted } from './labels.js';
import { withList } from './without.js';
import type { PageState } from './page-model.js';

const WAYS = [
  ['box', 'Box', 'Draw a box round the subject.'],
  ['lasso', 'Outline', 'Draw a line round the subject; it closes by itself.'],
  ['this', 'This', 'Stroke over what is the subject and was left out.'],
  ['not-this', 'Not this', 'Stroke over what is background and was taken in.'],
  ['take-back', 'Take back', 'Click a mark to take it away.'],
] as const;

type Way = (typeof WAYS)[number][0];

/**
 * For one press of an arrow key, in percent of the picture's sides, and with Shift: fine along a contour, quick across.
 */
const STEP = 1;
const LARGE_STEP = 5;

/** The whole picture, to draw on it what its subject is and to choose what becomes of the rest. */
export function SubjectView({ model, state, picture, onDone }: PhotoViewProps) {
  const job = state.history.now;
  const marks = job.marks ?? [];
  const [way, setWay] = useState<Way>('box');
  const spot = useSpot(STEP, LARGE_STEP);
  const photo = rectifiedPhoto(picture, job, state);
  const ratio = photo.width / photo.height;

  const takeBack = (at: PercentSpot) => {
    const hit = marks.findLastIndex((mark) => isOn(mark, at, ratio));
    if (hit >= 0)
      model.replace(
        withList(
          job,
          'marks',
          marks.filter((_, i) => i !== hit),
        ),
      );
  };
  const { drawn, hands } = useFreehand({
    spot,
    isClick: way === 'take-back',
    settle(line) {
      if (way === 'take-back') return takeBack(line[line.length - 1]);
      const mark = markOf(way, line);
      if (mark) model.replace(withList(job, 'marks', [...marks, mark]));
    },
    removeLast() {
      if (marks.length === 0) return false;
      model.replace(withList(job, 'marks', marks.slice(0, -1)));
      return true;
    },
    onDone,
  });

  const drawing = way !== 'take-back' && drawn.length > 1 ? markOf(way, drawn) : undefined;
  return (
    <div class="crop subject">
      <PhotoArea
        photo={photo}
        hands={hands}
        class={way === 'take-back' ? 'taking-back' : ''}
        says="Your picture, to mark the subject on. The arrow keys move a pointer; Enter begins and ends a mark, Delete takes the last one away, Escape gives up."
        drawn={
          <>
            <Taken state={state} ratio={ratio} />
            {marks.map((mark, i) => (
              <MarkShape key={i} mark={mark} ratio={ratio} />
            ))}
            {drawing && <MarkShape mark={drawing} ratio={ratio} />}
            <SpotMark at={spot.at} ratio={ratio} />
          </>
        }
      />
      <MarkingTools
        {...{ model, job, way, onDone }}
        onWay={(name) => {
          hands.cancel();
          setWay(name);
        }}
      />
    </div>
  );
}

/** How the subject is marked, and what becomes of the background. */
function MarkingTools(props: {
  model: PhotoViewProps['model'];
  job: PageState['history']['now'];
  way: Way;
  onWay: (way: Way) => void;
  onDone: PhotoViewProps['onDone'];
}) {
  const { model, job, way, onWay, onDone } = props;
  const marks = job.marks ?? [];
  const background = job.background ?? settings.background.default;
  return (
    <div class="row ways">
      <span class="hidden-text" role="status">
        {marks.length === 0 ? 'No mark.' : `${counted(marks.length, 'mark')}.`}
      </span>
      <div class="segments" role="group" aria-label="How you mark the subject">
        {WAYS.map(([name, label, says]) => (
          <button
            key={name}
            aria-pressed={way === name}
            title={says}
            disabled={name === 'take-back' && marks.length === 0}
            onClick={() => onWay(name)}
          >
            {label}
          </button>
        ))}
      </div>
      <label class="row">
        <span>Background</span>
        <select
          value={background}
          onChange={({ currentTarget }) => model.set({ background: currentTarget.value })}
        >
          {settings.background.choices.map((choice) => (
            <option key={choice} value={choice}>
              {choice}
            </option>
          ))}
        </select>
      </label>
      <button
        class="plain"
        disabled={marks.length === 0}
        onClick={() => model.replace(withList(job, 'marks', []))}
      >
        Clear
      </button>
      <button class="main" onClick={onDone}>
        Done
      </button>
    </div>
  );
}

/** What was taken for the subject, tinted on the photo. */
function Taken({ state, ratio }: { state: PageState; ratio: number }) {
  const { screen, outdated, working } = state;
  if (!screen?.subjectPng || outdated) return null;
  const { sheet, pictureBox } = screen;
  const [left, top, width, height] = shownPart(state, ratio);
  // The tint lies on the whole sheet; what of it is the picture's box lies on the part of the photo that is shown.
  const [x, y] = [(left / 100) * 100 * ratio, top];
  const [across, down] = [(width * ratio) / pictureBox.width, height / pictureBox.height];
  return (
    <g class={working ? 'taken old' : 'taken'}>
      <filter id="tint" color-interpolation-filters="sRGB">
        <feFlood flood-color="#0fa38d" />
        <feComposite in2="SourceAlpha" operator="in" />
      </filter>
      <image
        filter="url(#tint)"
        href={`data:image/png;base64,${screen.subjectPng}`}
        x={x - pictureBox.x * across}
        y={y - pictureBox.y * down}
        width={sheet.widthMm * across}
        height={sheet.heightMm * down}
        preserveAspectRatio="none"
      />
    </g>
  );
}

/** The part of the photo that is shown on the card, in percent: its crop, and where it fills its box the middle of that. */
function shownPart({ screen, history }: PageState, ratio: number) {
  const [left, top, width, height] = cropOf(history.now.crop);
  if (history.now.fit !== 'fill' || !screen) return [left, top, width, height] as const;
  const shape = (width * ratio) / height;
  const wanted = screen.pictureBox.width / screen.pictureBox.height;
  const [w, h] = shape > wanted ? [width * (wanted / shape), height] : [width, height * (shape / wanted)]; // prettier-ignore
  return [left + (width - w) / 2, top + (height - h) / 2, w, h] as const;
}

/** Percent of the picture's height, beyond a mark's own width, within which a click is on it. */
const NEAR = 2.5;

/** Whether a place lies on a mark: on its line, or in what it goes round. */
function isOn(mark: Mark, [x, y]: PercentSpot, ratio: number): boolean {
  if (mark.do === 'box') {
    const [[x0, y0], [x1, y1]] = [mark.from, mark.to];
    return x >= Math.min(x0, x1) && x <= Math.max(x0, x1) && y >= Math.min(y0, y1) && y <= Math.max(y0, y1); // prettier-ignore
  }
  if (mark.do === 'lasso')
    return isInsidePath(`M${mark.along.map((at) => at.join(' ')).join('L')}Z`, { x, y }, 'nonzero');
  return mark.along.some(
    ([mx, my]) => Math.hypot((mx - x) * ratio, my - y) <= NEAR + (mark.width ?? STROKE_WIDTH) / 2,
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
