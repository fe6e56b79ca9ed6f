import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { settings, type JobInput } from '../../src/settings/job.js';
import { api, type PictureInfo } from './api.js';
import { AreaEditor } from './area-editor.js';
import { BridgeEditor } from './bridge-editor.js';
import { Calibrate, knownScale } from './calibrate.js';
import { CropView } from './crop.js';
import { FacesView } from './faces.js';
import { Layers, Photo } from './layers.js';
import {
  box,
  pan,
  unitOf,
  whole,
  zoom,
  type Viewport,
  type ViewSize,
  type ViewPoint,
} from './viewport.js';
import type { EditingTool } from './editing-tool.js';
import type { EditorParts } from './editor-parts.js';
import { RegionEditor } from './region-editor.js';
import { Rulers } from './rulers.js';
import { StrokeEditor } from './stroke-editor.js';
import { SubjectView } from './subject.js';
import { saysOf, type ShownStage } from './stages.js';
import { isWords } from './typed.js';
import type { State, PageState } from './work.js';

export interface LargeProps {
  readonly work: PageState;
  readonly state: State;
  readonly picture: PictureInfo;
  readonly stage: ShownStage;
  readonly tool: EditingTool;
  readonly onTool: (tool: EditingTool) => void;
  /** A place that is to be looked at. */
  readonly goal: ViewPoint | undefined;
}

/** Larger by this much for a press of + or a click on it: two presses make about twice as large. */
const ZOOM_STEP = 1.4;
/** CSS px a mm at which a place is looked at closely: three times as large as life at the 96 px an inch of CSS. */
const CLOSE = 12;
/** How far an arrow key moves the view, in CSS px: a small part of any window. */
const PAN_PX = 60;

/** The stage that was chosen, as large as the page allows. */
export function Large(props: LargeProps) {
  const { work, state, picture, stage, tool, onTool, goal } = props;
  const holder = useRef<HTMLDivElement>(null);
  const size = useSize(holder);
  const [viewport, setViewport] = useState<Viewport | undefined>();
  const [comparing, setComparing] = useState(false);
  const [calibrating, setCalibrating] = useState(false);
  const { sketch } = state;
  const sheet = sketch?.sheet;
  const sheetWords = sheet && `${sheet.widthMm} ${sheet.heightMm}`;
  useEffect(() => setViewport(undefined), [sheetWords]);
  useEffect(() => {
    if (goal) setViewport({ ...goal, pxPerMm: CLOSE });
  }, [goal]);
  useCompareKey(setComparing);

  const seen = viewport ?? (sheet && whole(sheet, size));
  const zoomBy = (factor: number) =>
    seen && setViewport(zoom(seen, size, factor, { x: size.width / 2, y: size.height / 2 }));
  const trueSize = (pxPerMm: number) => {
    setCalibrating(false);
    if (seen) setViewport({ ...seen, pxPerMm });
  };
  const job = state.draft ?? state.history.now;
  const hidden = hiddenTools(job);
  useEffect(() => {
    if (hidden.includes(tool)) onTool('look');
  });
  const PhotoView = photoViews[tool];
  const isCoarse = sketch !== undefined && sketch !== state.screen;

  return (
    <div class={state.outdated ? 'large outdated' : 'large'}>
      <div class="frame" ref={holder}>
        {PhotoView ? (
          <PhotoView work={work} state={state} picture={picture} onDone={() => onTool('look')} />
        ) : sheet && seen ? (
          <Canvas {...props} viewport={seen} size={size} onViewport={setViewport}>
            <Layers state={state} picture={picture} stage={stage} />
            {comparing && !isWords(picture) && <Photo state={state} picture={picture} />}
          </Canvas>
        ) : (
          !isWords(picture) && <img class="waiting" src={api.copyUrl(picture.id)} alt="" />
        )}
        {!PhotoView && sheet && seen && (
          <Rulers
            sheet={sheet}
            viewport={seen}
            size={size}
            unit={unitOf(job.card ?? settings.card.default)}
          />
        )}
        <p class="badge" role="status">
          {isCoarse
            ? `Coarser while you move it (${sketch.pixelsPerMm.toFixed(1)} px/mm)`
            : state.working
              ? sketch
                ? 'Working …'
                : 'Making the stencil …'
              : comparing
                ? 'Your picture beneath'
                : state.outdated && !PhotoView
                  ? 'From before: no stencil of these settings'
                  : ''}
        </p>
      </div>
      <div class="tools">
        <div class="segments" role="group" aria-label="What your hand does">
          {(
            [
              ['look', 'Look', 'Drag to move about, pinch or turn the wheel to come closer'],
              ['strokes', 'Strokes', 'Draw lines of glue, take them away, move joins'],
              ['bridges', 'Bridges', 'Add, move and remove bridges'],
              ['regions', 'Regions', 'Drop or keep openings and islands'],
              ['areas', 'No bridges', 'Draw areas that stay free of bridges'],
              ['subject', 'Subject', 'Say what the picture is of, and what becomes of the rest'],
              [
                'faces',
                'Faces',
                'See which faces were found; add, move and remove boxes round them',
              ],
              ['crop', 'Crop', 'Choose the part of the picture to use'],
            ] as const
          )
            .filter(([name]) => !hidden.includes(name))
            .filter(([name]) => !(isWords(picture) && name in photoViews))
            .map(([name, label, says]) => (
              <button
                key={name}
                aria-pressed={tool === name}
                title={says}
                onClick={(event) => {
                  onTool(name);
                  // Who came by keyboard goes on by keyboard.
                  if (event.detail === 0) toCanvas(holder.current);
                }}
              >
                {label}
              </button>
            ))}
        </div>
        {!PhotoView && (
          <div class="zooms">
            <button
              class="plain round"
              aria-label="Smaller"
              title="Smaller (−)"
              onClick={() => zoomBy(1 / ZOOM_STEP)}
            >
              −
            </button>
            <button class="plain" title="The whole card (0)" onClick={() => setViewport(undefined)}>
              Whole
            </button>
            <button
              class="plain"
              title="As large on the screen as on the card"
              onClick={() => {
                const known = knownScale();
                if (known === undefined) setCalibrating(true);
                else trueSize(known);
              }}
            >
              True size
            </button>
            <button
              class="plain round"
              aria-label="Larger"
              title="Larger (+)"
              onClick={() => zoomBy(ZOOM_STEP)}
            >
              +
            </button>
            {!isWords(picture) && <HoldButton onHold={setComparing} />}
          </div>
        )}
      </div>
      <p class="says">
        {tool === 'look' ? `${saysOf(stage, (sketch?.strokeCount ?? 0) > 0)}.` : toolSays[tool]}
      </p>
      {calibrating && <Calibrate onDone={trueSize} onLeave={() => setCalibrating(false)} />}
    </div>
  );
}

/** Gives the focus to what stands in the frame once it is drawn. */
function toCanvas(frame: HTMLElement | null): void {
  requestAnimationFrame(() => frame?.querySelector<HTMLElement>('[role=application]')?.focus());
}

interface CanvasProps extends LargeProps {
  readonly viewport: Viewport;
  readonly size: ViewSize;
  readonly onViewport: (viewport: Viewport | undefined) => void;
  readonly children: preact.ComponentChildren;
}

/** The tools that do nothing for what is made: bridges hold what is cut, and lines are of glue. */
function hiddenTools({ as }: JobInput): readonly EditingTool[] {
  return as === 'glue-line' ? ['bridges', 'regions', 'areas'] : ['strokes'];
}

/** The tools that work on the photo instead of the sheet. */
const photoViews: Readonly<Partial<Record<EditingTool, typeof CropView>>> = {
  crop: CropView,
  subject: SubjectView,
  faces: FacesView,
};

/** How a tool is used, with a mouse or a finger. */
const toolSays: Readonly<Record<Exclude<EditingTool, 'look'>, string>> = {
  strokes:
    'Drag to draw a line of glue. Click a line, then ✕ or Delete, to take it away. Drag an end of a join, marked by rings, to move it.',
  bridges:
    'Drag across a dark part to add a bridge. Drag an end to move one. Click one, then ✕ or Delete, to remove it.',
  regions:
    'Click an opening or an island to drop it, a pale speck to keep it, a mark to take that back.',
  areas:
    'Draw round a part that is to stay free of bridges, such as a face. Click one to take it away.',
  subject:
    'Draw a box or a line round the subject, then stroke over what was taken wrongly. The background follows.',
  faces:
    'Draw a box round a face that was not found. Drag one to move it. Click one, then Remove or Delete, to take it away.',
  crop: 'Drag the frame or its corners; what lies outside is left off.',
};

const HINTS: Readonly<Record<EditingTool, string>> = {
  look: 'The stencil. Arrow keys move about, plus and minus change the size, 0 shows the whole card, hold C to see your picture.',
  strokes:
    'Lines of glue. N and P go from line to line and from join to join, Delete takes one away, the arrow keys move a join. Escape lets go; then the arrow keys move a pointer, and Enter begins and ends a line.',
  bridges:
    'Bridges. N and P go from bridge to bridge, Delete removes one, the arrow keys move it. Escape lets go; then the arrow keys move a pointer, and Enter begins and ends a new bridge.',
  regions: 'Regions. The arrow keys move a pointer; Enter drops or keeps the region under it.',
  areas:
    'Areas free of bridges. The arrow keys move a pointer; Enter begins and ends an area, Delete takes away the one under it.',
  subject: '',
  faces: '',
  crop: '',
};

/** Px between two fingers, and the point between them. */
function pinch([a, b]: readonly ViewPoint[]): { apart: number; x: number; y: number } {
  return { apart: Math.hypot(a.x - b.x, a.y - b.y), x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

function Canvas(props: CanvasProps) {
  const { viewport, size, onViewport, tool, state, work, children } = props;
  const svg = useRef<SVGSVGElement>(null);
  const now = useRef(props);
  now.current = props;
  const fingers = useRef(new Map<number, ViewPoint>());
  const parts = useRef<EditorParts | undefined>(undefined);
  const held = useRef(false);

  const pxOf = (event: MouseEvent): ViewPoint => {
    const rect = svg.current!.getBoundingClientRect();
    return { x: event.clientX - rect.left, y: event.clientY - rect.top };
  };
  const mmOf = (event: MouseEvent): ViewPoint => {
    const px = pxOf(event);
    const [left, top] = box(viewport, size);
    return { x: left + px.x / viewport.pxPerMm, y: top + px.y / viewport.pxPerMm };
  };

  useEffect(() => {
    const element = svg.current!;
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const { viewport: at, size: view, onViewport: set } = now.current;
      const rect = element.getBoundingClientRect();
      const spot = { x: event.clientX - rect.left, y: event.clientY - rect.top };
      set(zoom(at, view, Math.exp(-Math.max(-120, Math.min(120, event.deltaY)) / 400), spot));
    };
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => element.removeEventListener('wheel', onWheel);
  }, []);

  const onDown = (event: PointerEvent) => {
    svg.current!.setPointerCapture(event.pointerId);
    fingers.current.set(event.pointerId, pxOf(event));
    if (fingers.current.size > 1) {
      if (held.current) parts.current?.cancel();
      held.current = false;
    } else if (event.button === 0) {
      held.current = parts.current?.down(mmOf(event), event) ?? false;
    }
  };

  const onMove = (event: PointerEvent) => {
    const before = fingers.current.get(event.pointerId);
    if (!before) return;
    const px = pxOf(event);
    if (held.current) {
      parts.current?.move(mmOf(event), event);
    } else if (fingers.current.size === 2) {
      const was = pinch([...fingers.current.values()]);
      fingers.current.set(event.pointerId, px);
      const is = pinch([...fingers.current.values()]);
      const larger = zoom(viewport, size, is.apart / Math.max(was.apart, 1), is);
      onViewport(pan(larger, is.x - was.x, is.y - was.y));
    } else {
      onViewport(pan(viewport, px.x - before.x, px.y - before.y));
    }
    fingers.current.set(event.pointerId, px);
  };

  const onUp = (event: PointerEvent) => {
    if (held.current) parts.current?.up(mmOf(event), event);
    held.current = false;
    fingers.current.delete(event.pointerId);
  };

  const onCancel = (event: PointerEvent) => {
    parts.current?.cancel();
    held.current = false;
    fingers.current.delete(event.pointerId);
  };

  const onKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (parts.current?.key(event)) {
      event.preventDefault();
      return;
    }
    const middle = { x: size.width / 2, y: size.height / 2 };
    const moves: Readonly<Record<string, Viewport | undefined>> = {
      '+': zoom(viewport, size, ZOOM_STEP, middle),
      '=': zoom(viewport, size, ZOOM_STEP, middle),
      '-': zoom(viewport, size, 1 / ZOOM_STEP, middle),
      '0': undefined,
      ArrowLeft: pan(viewport, PAN_PX, 0),
      ArrowRight: pan(viewport, -PAN_PX, 0),
      ArrowUp: pan(viewport, 0, PAN_PX),
      ArrowDown: pan(viewport, 0, -PAN_PX),
    };
    if (!(event.key in moves)) return;
    event.preventDefault();
    onViewport(moves[event.key]);
  };

  const about = { work, state, viewport, parts };
  return (
    <svg
      ref={svg}
      class={`canvas ${tool}`}
      tabindex={0}
      role="application"
      aria-label={HINTS[tool]}
      viewBox={box(viewport, size).join(' ')}
      onPointerDown={onDown}
      onPointerMove={onMove}
      onPointerUp={onUp}
      onPointerCancel={onCancel}
      onKeyDown={onKey}
    >
      <g class="sheet">{children}</g>
      {tool === 'strokes' && <StrokeEditor {...about} />}
      {tool === 'bridges' && <BridgeEditor {...about} />}
      {tool === 'areas' && <AreaEditor {...about} />}
      {tool === 'regions' && <RegionEditor {...about} />}
      {tool !== 'look' || props.stage === 'bridged' ? (
        <Marks state={state} viewport={viewport} />
      ) : null}
    </svg>
  );
}

/** Where a promise is broken. */
function Marks({ state, viewport }: { state: State; viewport: Viewport }) {
  const { screen, sketch } = state;
  if (!screen || screen !== sketch) return null;
  const radius = 9 / viewport.pxPerMm;
  return (
    <g class="marks" aria-hidden="true">
      {screen.findings.map(({ level, at }, i) =>
        at && level !== 'note' ? (
          <circle
            key={i}
            class={level}
            cx={at[0]}
            cy={at[1]}
            r={radius}
            stroke-width={2 / viewport.pxPerMm}
          />
        ) : null,
      )}
    </g>
  );
}

function HoldButton({ onHold }: { onHold: (held: boolean) => void }) {
  const on = () => onHold(true);
  const off = () => onHold(false);
  return (
    <button
      class="plain"
      title="Hold to see your picture beneath (hold C)"
      onPointerDown={on}
      onPointerUp={off}
      onPointerLeave={off}
      onPointerCancel={off}
      onKeyDown={({ key }) => {
        if (key === ' ' || key === 'Enter') on();
      }}
      onKeyUp={off}
      onBlur={off}
    >
      Compare
    </button>
  );
}

function useCompareKey(set: (comparing: boolean) => void): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const isField =
        event.target instanceof HTMLElement && event.target.matches('input, textarea, select');
      if (event.key.toLowerCase() !== 'c' || event.ctrlKey || event.metaKey || isField) return;
      set(event.type === 'keydown');
    };
    window.addEventListener('keydown', onKey);
    window.addEventListener('keyup', onKey);
    return () => {
      window.removeEventListener('keydown', onKey);
      window.removeEventListener('keyup', onKey);
    };
  }, [set]);
}

function useSize(holder: { current: HTMLElement | null }): ViewSize {
  const [size, setSize] = useState<ViewSize>({ width: 600, height: 600 });
  useLayoutEffect(() => {
    const element = holder.current;
    if (!element) return undefined;
    const read = () => setSize({ width: element.clientWidth, height: element.clientHeight });
    const observer = new ResizeObserver(read);
    observer.observe(element);
    read();
    return () => observer.disconnect();
  }, [holder]);
  return size;
}
