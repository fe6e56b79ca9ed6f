import type { FunctionComponent } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { unitOf } from '../../src/settings/card.js';
import { settings, type JobInput } from '../../src/settings/job.js';
import type { PictureInfo } from './api.js';
import { AreaEditor } from './area-editor.js';
import { BridgeEditor } from './bridge-editor.js';
import { Calibrate, knownScale } from './calibrate.js';
import { CropView } from './crop.js';
import { Divider } from './divider.js';
import { FacesView } from './faces.js';
import { FinerView } from './finer.js';
import { heldPhoto } from './held-photo.js';
import { cardOf } from './place-in-words.js';
import { PaintedLayers, type LayerShown } from './paint-layers.js';
import type { PhotoViewProps } from './photo-view.js';
import { Layers, Photo } from './stage-view.js';
import { box, pan, whole, zoom, type Viewport, type ViewSize, type ViewPoint } from './viewport.js';
import type { EditingTool } from './editing-tool.js';
import type { EditorParts } from './editor-parts.js';
import { RegionEditor } from './region-editor.js';
import { Rulers } from './rulers.js';
import { StrokeEditor } from './stroke-editor.js';
import { SubjectView } from './subject.js';
import { saysOf, type ShownStage } from './stages.js';
import { isWords } from './typed.js';
import { leadOf } from './verdict.js';
import type { PageState, PageModel } from './page-model.js';

export interface LargeProps {
  readonly model: PageModel;
  readonly state: PageState;
  readonly picture: PictureInfo;
  readonly stage: ShownStage;
  readonly layer: LayerShown;
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

const TOOLS = [
  ['look', 'Look', 'Drag to move about, pinch or turn the wheel to come closer'],
  ['strokes', 'Strokes', 'Draw lines of glue, take them away, move joins'],
  ['bridges', 'Bridges', 'Add, move and remove bridges'],
  ['regions', 'Parts', 'Leave out or keep single parts: openings and islands'],
  ['areas', 'No bridges', 'Draw areas that stay free of bridges'],
  ['subject', 'Subject', 'Say what the picture is of, and what becomes of the rest'],
  ['faces', 'Faces', 'See which faces were found; add, move and remove boxes round them'],
  ['finer', 'Finer', 'Draw round parts that keep all the detail that can be cut'],
  ['crop', 'Crop', 'Choose the part of the picture to use; turn it, straighten it, lay it flat'],
] as const;

/** The tools that a set of layers has: those of the picture. */
const OF_LAYERS: readonly EditingTool[] = ['look', 'subject', 'faces', 'crop'];

/** The stage that was chosen, as large as the page allows. */
export function Large(props: LargeProps) {
  const { model, state, picture, stage, layer, tool, onTool, goal } = props;
  const holder = useRef<HTMLDivElement>(null);
  const PhotoView = photoViews[tool];
  const size = useSize(holder, PhotoView === undefined);
  const [viewport, setViewport] = useState<Viewport | undefined>();
  const [isHeld, setIsHeld] = useState(false);
  const [divided, setDivided] = useState<number | undefined>();
  const [calibrating, setCalibrating] = useState(false);
  const [said, setSaid] = useState('');
  const { sketch } = state;
  const sheet = sketch?.sheet;
  const sheetWords = sheet && `${sheet.widthMm} ${sheet.heightMm}`;
  useEffect(() => setViewport(undefined), [sheetWords]);
  useEffect(() => {
    if (goal) setViewport({ ...goal, pxPerMm: CLOSE });
  }, [goal]);
  useEffect(() => setSaid(''), [tool, stage]);
  useCompareKey(setIsHeld);

  const seen = viewport ?? (sheet && whole(sheet, size));
  const zoomBy = (factor: number) =>
    seen && setViewport(zoom(seen, size, factor, { x: size.width / 2, y: size.height / 2 }));
  const trueSize = (pxPerMm: number) => {
    setCalibrating(false);
    if (seen) setViewport({ ...seen, pxPerMm });
  };
  const job = state.draft ?? state.history.now;
  const isGlue = (sketch?.strokeCount ?? 0) > 0;
  const hidden = hiddenTools(state, picture);
  useEffect(() => {
    if (hidden.includes(tool)) onTool('look');
  });

  return (
    // By their keys what stands below stays the same where a photo takes the place of the sheet.
    <div class={state.outdated ? 'large outdated' : 'large'}>
      {PhotoView ? (
        <PhotoView
          model={model}
          state={state}
          picture={picture}
          onDone={() => onTool('look')}
          say={setSaid}
        />
      ) : (
        <div key="frame" class="frame">
          <div class="board" ref={holder}>
            {sheet && seen ? (
              <Canvas
                {...props}
                viewport={seen}
                size={size}
                onViewport={setViewport}
                say={setSaid}
                isDivided={divided !== undefined}
              >
                {state.layers && state.layered && stage !== 'photo' ? (
                  <PaintedLayers state={state} shown={layer} />
                ) : (
                  <Layers state={state} picture={picture} stage={stage} />
                )}
                {(isHeld || divided !== undefined) && !isWords(picture) && (
                  <Beside viewport={seen} size={size} share={isHeld ? 1 : (divided ?? 0)}>
                    <Photo state={state} picture={picture} />
                  </Beside>
                )}
              </Canvas>
            ) : (
              !isWords(picture) && (
                <img class="waiting" src={heldPhoto(picture, job, state).url} alt="" />
              )
            )}
            {sheet && seen && (
              <Rulers sheet={sheet} viewport={seen} size={size} unit={unitOf(cardOf(state))} />
            )}
            {divided !== undefined && !isWords(picture) && (
              <Divider at={divided} onMove={setDivided} />
            )}
          </div>
          <div class="zooms">
            <button
              class="plain round"
              aria-label="Smaller"
              title="Smaller (−)"
              onClick={() => zoomBy(1 / ZOOM_STEP)}
            >
              −
            </button>
            <button
              class="plain round"
              aria-label="Larger"
              title="Larger (+)"
              onClick={() => zoomBy(ZOOM_STEP)}
            >
              +
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
            {!isWords(picture) && (
              <button
                class="plain"
                aria-pressed={divided !== undefined}
                title="Your picture beside the stencil, parted by a line to drag (hold C to see all of it)"
                onClick={() => setDivided(divided === undefined ? 0.5 : undefined)}
              >
                Compare
              </button>
            )}
          </div>
          <Badge state={state} isHeld={isHeld} />
        </div>
      )}
      <div key="tools" class="tools">
        <div class="segments" role="group" aria-label="What your hand does">
          {TOOLS.filter(([name]) => !hidden.includes(name)).map(([name, label, says]) => (
            <button
              key={name}
              aria-pressed={tool === name}
              title={says}
              onClick={(event) => {
                onTool(name);
                // Who came by keyboard goes on by keyboard.
                if (event.detail === 0) toCanvas(event.currentTarget);
              }}
            >
              {label}
            </button>
          ))}
        </div>
      </div>
      <div key="says" class="says">
        <p aria-live="polite">
          {said !== ''
            ? said
            : tool === 'look'
              ? `${saysNow(state, stage, layer, isGlue)}.`
              : toolSays[tool]}
        </p>
        {tool === 'look' && stage === 'print' && !state.layers && (
          <PrintColours model={model} state={state} />
        )}
      </div>
      {calibrating && <Calibrate onDone={trueSize} onLeave={() => setCalibrating(false)} />}
    </div>
  );
}

function saysNow(
  { layers, layered, history }: PageState,
  stage: ShownStage,
  layer: LayerShown,
  isGlue: boolean,
): string {
  if (!layers || stage === 'photo') return saysOf(stage, isGlue ? 'glue' : history.now.as);
  if (layer === 'all') return 'All layers painted, one over the other';
  return `Sheet ${layer + 1} of ${layered?.layers.length ?? layers.count}: what you cut for this paint`;
}

/** What is going on, on the picture itself. */
function Badge({ state, isHeld }: { state: PageState; isHeld: boolean }) {
  const { sketch, screen, working, outdated, failure } = state;
  const isCoarse = sketch !== undefined && sketch !== screen;
  const { lead, isBad } = leadOf(state);
  if (isBad && !isCoarse && !working && !isHeld && !outdated)
    return (
      // What was announced by the verdict, for whose eyes are on the picture: it may be out of sight.
      <p class="badge bad" aria-hidden="true">
        {lead}
      </p>
    );
  return (
    <p class="badge" role="status">
      {isCoarse
        ? 'A quick sketch while you move it'
        : working
          ? sketch
            ? 'Working …'
            : 'Making the stencil …'
          : isHeld
            ? 'Your picture'
            : outdated
              ? `From before: ${failure?.by === 'server' ? 'the server does not answer' : 'no stencil of these settings'}`
              : ''}
    </p>
  );
}

/** The colours of the print beside it: of the paint, and of the card. */
function PrintColours({ model, state }: { model: PageModel; state: PageState }) {
  const job = state.draft ?? state.history.now;
  return (
    <span class="colours">
      {(['paint', 'ground'] as const).map((name) => (
        <label key={name}>
          {name === 'paint' ? 'Paint colour' : 'Card colour'}
          <input
            type="color"
            value={job[name] ?? settings[name].default}
            onInput={({ currentTarget }) => model.set({ [name]: currentTarget.value }, true)}
            onChange={({ currentTarget }) =>
              model.set({ [name]: currentTarget.value }, false, name)
            }
          />
        </label>
      ))}
    </span>
  );
}

/** The left part of the view alone, up to a share of its width. */
function Beside(props: {
  viewport: Viewport;
  size: ViewSize;
  share: number;
  children: preact.ComponentChildren;
}) {
  const { viewport, size, share, children } = props;
  const [left, top, width, height] = box(viewport, size);
  return (
    <>
      <clipPath id="beside">
        <rect x={left} y={top} width={width * share} height={height} />
      </clipPath>
      <g clip-path="url(#beside)">{children}</g>
    </>
  );
}

/** Gives the focus to what stands in the frame once it is drawn. */
function toCanvas(button: HTMLElement): void {
  const large = button.closest('.large');
  requestAnimationFrame(() => large?.querySelector<HTMLElement>('[role=application]')?.focus());
}

interface CanvasProps extends LargeProps {
  readonly viewport: Viewport;
  readonly size: ViewSize;
  readonly onViewport: (viewport: Viewport | undefined) => void;
  /** Tells a person what a gesture did, or why it did nothing. */
  readonly say: (text: string) => void;
  /** The photo lies over a part of it. */
  readonly isDivided: boolean;
  readonly children: preact.ComponentChildren;
}

/** The tools that do nothing for what is made: bridges hold what is cut, lines are of glue, words have no photo. */
function hiddenTools(
  { draft, history, layers }: PageState,
  picture: PictureInfo,
): readonly EditingTool[] {
  const job: JobInput = draft ?? history.now;
  const names = TOOLS.map(([name]) => name);
  if (layers)
    return names.filter(
      (name) => !OF_LAYERS.includes(name) || (isWords(picture) && name !== 'look'),
    );
  const ofGlue = job.as === 'glue-line' ? (['bridges', 'regions', 'areas'] as const) : (['strokes'] as const); // prettier-ignore
  return isWords(picture) ? [...ofGlue, ...names.filter((name) => name in photoViews)] : ofGlue;
}

/** The tools that work on the photo instead of the sheet. */
const photoViews: Readonly<Partial<Record<EditingTool, FunctionComponent<PhotoViewProps>>>> = {
  crop: CropView,
  subject: SubjectView,
  faces: FacesView,
  finer: FinerView,
};

/** How a tool is used, with a mouse or a finger. */
const toolSays: Readonly<Record<Exclude<EditingTool, 'look'>, string>> = {
  strokes:
    'Drag to draw a line of glue. Click a line, then ✕ or Delete, to take it away. Drag an end of a join, marked by rings, to move it.',
  bridges:
    'Drag across a dark part to add a bridge. Drag an end to move one. Click one, then ✕ or Delete, to remove it.',
  regions:
    'Click a part, cut or film, to leave it out; a pale speck, to keep it; a mark, to take that back.',
  areas:
    'Draw round a part that is to stay free of bridges, such as a face. Click one to take it away.',
  subject:
    'Draw a box or a line round the subject, then stroke over what was taken wrongly. The background follows.',
  faces:
    'Draw a box round a face that was not found. Drag one to move it. Click one, then Remove or Delete, to take it away.',
  finer:
    'Draw round a face or a hand: it keeps all the detail that can be cut. Click a loop to take it away.',
  crop: 'Drag the frame or a corner: the rest is left off.',
};

const HINTS: Readonly<Record<EditingTool, string>> = {
  look: 'The stencil. Arrow keys move about, plus and minus change the size, 0 shows the whole card, hold C to see your picture.',
  strokes:
    'Lines of glue. N and P go from line to line and from join to join, Delete takes one away, the arrow keys move a join. Escape lets go; then the arrow keys move a pointer, and Enter begins and ends a line.',
  bridges:
    'Bridges. N and P go from bridge to bridge, Delete removes one, the arrow keys move it. Escape lets go; then the arrow keys move a pointer, and Enter begins and ends a new bridge.',
  regions:
    'Single parts. The arrow keys move a pointer; Enter leaves out or keeps the part under it.',
  areas:
    'Areas free of bridges. The arrow keys move a pointer; Enter begins and ends an area, Delete takes away the one under it.',
  subject: '',
  faces: '',
  finer: '',
  crop: '',
};

/** Px between two fingers, and the point between them. */
function pinch([a, b]: readonly ViewPoint[]): { apart: number; x: number; y: number } {
  return { apart: Math.hypot(a.x - b.x, a.y - b.y), x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

function Canvas(props: CanvasProps) {
  const { viewport, size, onViewport, tool, state, model, say, children } = props;
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

  const about = { model, state, viewport, parts, say };
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
      {tool === 'look' && props.stage === 'bridged' && !state.layers && !props.isDivided && (
        <BridgeMarks state={state} viewport={viewport} />
      )}
      {tool !== 'look' || props.stage === 'bridged' ? (
        <Marks state={state} viewport={viewport} />
      ) : null}
      {props.goal && tool === 'look' && !state.layers && (
        <circle
          class="goal"
          cx={props.goal.x}
          cy={props.goal.y}
          r={16 / viewport.pxPerMm}
          stroke-width={2.5 / viewport.pxPerMm}
        />
      )}
    </svg>
  );
}

/** Where the bridges lie, while one looks. */
function BridgeMarks({ state, viewport }: { state: PageState; viewport: Viewport }) {
  return (
    <g class="bridge-marks" aria-hidden="true">
      {state.sketch?.bridges.map(({ from, to }, i) => (
        <line
          key={i}
          x1={from.x}
          y1={from.y}
          x2={to.x}
          y2={to.y}
          stroke-width={2.5 / viewport.pxPerMm}
        />
      ))}
    </g>
  );
}

/** Where a promise is broken. */
function Marks({ state, viewport }: { state: PageState; viewport: Viewport }) {
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

/** @param isThere the element comes and goes */
function useSize(holder: { current: HTMLElement | null }, isThere: boolean): ViewSize {
  const [size, setSize] = useState<ViewSize>({ width: 600, height: 600 });
  useLayoutEffect(() => {
    const element = holder.current;
    if (!element) return undefined;
    const read = () => setSize({ width: element.clientWidth, height: element.clientHeight });
    const observer = new ResizeObserver(read);
    observer.observe(element);
    read();
    return () => observer.disconnect();
  }, [holder, isThere]);
  return size;
}
