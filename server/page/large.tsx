import type { FunctionComponent } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { settings } from '../../src/settings/job.js';
import { unitOf } from '../../src/settings/card.js';
import type { PictureInfo } from './api.js';
import { Badge } from './badge.js';
import { Calibrate, knownScale } from './calibrate.js';
import { Canvas } from './canvas.js';
import { CropView } from './crop.js';
import { Divider } from './divider.js';
import {
  hiddenTools,
  isPhotoTool,
  toolButtons,
  toolSays,
  type EditingTool,
  type PhotoTool,
} from './editing-tool.js';
import { FacesView } from './faces.js';
import { FinerView } from './finer.js';
import { rectifiedPhoto } from './rectified-photo.js';
import type { PageModel, PageState } from './page-model.js';
import { PaintedLayers, type LayerShown } from './paint-layers.js';
import type { PhotoViewProps } from './photo-view.js';
import { cardOf } from './place-in-words.js';
import { Rulers } from './rulers.js';
import { Photo, StageView } from './stage-view.js';
import { saysOf, type ShownStage } from './stages.js';
import { SubjectView } from './subject.js';
import { isWords } from './typed.js';
import {
  box,
  whole,
  zoom,
  ZOOM_STEP,
  type Viewport,
  type ViewPoint,
  type ViewSize,
} from './viewport.js';

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

/** CSS px a mm at which a place is looked at closely: three times as large as life at the 96 px an inch of CSS. */
const CLOSE = 12;

/** The tools that work on the photo have a view of their own. */
const photoViews: Readonly<Record<PhotoTool, FunctionComponent<PhotoViewProps>>> = {
  crop: CropView,
  subject: SubjectView,
  faces: FacesView,
  finer: FinerView,
};

/** The stage that was chosen, as large as the page allows. */
export function Large(props: LargeProps) {
  const { model, state, picture, stage, tool, onTool } = props;
  const [said, setSaid] = useState('');
  const [calibrating, setCalibrating] = useState(false);
  const looking = useLook(props, setCalibrating);
  const comparing = useCompare();
  useEffect(() => setSaid(''), [tool, stage]);
  const hidden = hiddenTools(state, picture);
  useEffect(() => {
    if (hidden.includes(tool)) onTool('look');
  });
  const PhotoView = isPhotoTool(tool) ? photoViews[tool] : undefined;
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
        <SheetFrame key="frame" {...props} {...{ looking, comparing }} say={setSaid} />
      )}
      <ToolButtons key="tools" tool={tool} hidden={hidden} onTool={onTool} />
      <Says key="says" {...props} said={said} />
      {calibrating && (
        <Calibrate onDone={looking.showTrueSize} onLeave={() => setCalibrating(false)} />
      )}
    </div>
  );
}

/** Where the view looks, and what changes that. */
function useLook({ state, tool, goal }: LargeProps, setCalibrating: (is: boolean) => void) {
  const holder = useRef<HTMLDivElement>(null);
  const size = useSize(holder, !isPhotoTool(tool));
  const [viewport, setViewport] = useState<Viewport | undefined>();
  const sheet = state.sketch?.sheet;
  const sheetWords = sheet && `${sheet.widthMm} ${sheet.heightMm}`;
  useEffect(() => setViewport(undefined), [sheetWords]);
  useEffect(() => {
    if (goal) setViewport({ ...goal, pxPerMm: CLOSE });
  }, [goal]);
  const seen = viewport ?? (sheet && whole(sheet, size));
  const showTrueSize = (pxPerMm: number) => {
    setCalibrating(false);
    if (seen) setViewport({ ...seen, pxPerMm });
  };
  return {
    ...{ holder, size, sheet, seen, setViewport, showTrueSize },
    zoomBy: (factor: number) =>
      seen && setViewport(zoom(seen, size, factor, { x: size.width / 2, y: size.height / 2 })),
    /** As large as life, once it is known how large the screen is. */
    wantTrueSize: () => {
      const known = knownScale();
      if (known === undefined) setCalibrating(true);
      else showTrueSize(known);
    },
  };
}

type Looking = ReturnType<typeof useLook>;

/** The photo laid over the stencil, to be compared with it. */
function useCompare() {
  /** The key C is held: all of the photo is shown. */
  const [isHeld, setIsHeld] = useState(false);
  /** The share of the view that shows the photo; undefined where none does. */
  const [divided, setDivided] = useState<number | undefined>();
  useCompareKey(setIsHeld);
  return {
    ...{ isHeld, divided, setDivided },
    toggle: () => setDivided(divided === undefined ? 0.5 : undefined),
  };
}

interface SheetFrameProps extends LargeProps {
  readonly looking: Looking;
  readonly comparing: ReturnType<typeof useCompare>;
  readonly say: (text: string) => void;
}

/** The sheet in its frame, with rulers, what makes it larger, and the photo beside it where they are compared. */
function SheetFrame(props: SheetFrameProps) {
  const { state, picture, looking, comparing } = props;
  const { holder, sheet, seen, size } = looking;
  const { isHeld, divided, setDivided, toggle } = comparing;
  const isPhoto = !isWords(picture);
  const share = isHeld ? 1 : divided;
  return (
    <div class="frame">
      <div class="board" ref={holder}>
        {sheet && seen ? (
          <SheetCanvas {...props} seen={seen} isDivided={divided !== undefined}>
            {share !== undefined && isPhoto && (
              <Beside viewport={seen} size={size} share={share}>
                <Photo state={state} picture={picture} />
              </Beside>
            )}
          </SheetCanvas>
        ) : (
          isPhoto && (
            <img
              class="waiting"
              src={rectifiedPhoto(picture, state.draft ?? state.history.now, state).url}
              alt=""
            />
          )
        )}
        {sheet && seen && (
          <Rulers sheet={sheet} viewport={seen} size={size} unit={unitOf(cardOf(state))} />
        )}
        {divided !== undefined && isPhoto && <Divider at={divided} onMove={setDivided} />}
      </div>
      <Zooms
        looking={looking}
        isCompared={divided !== undefined}
        onCompare={isPhoto ? toggle : undefined}
      />
      <Badge state={state} isHeld={isHeld} />
    </div>
  );
}

/** What the chosen stage looks like, to be worked on; `children` lies over it. */
function SheetCanvas(
  props: SheetFrameProps & {
    readonly seen: Viewport;
    /** The photo lies over a part of it. */
    readonly isDivided: boolean;
    readonly children: preact.ComponentChildren;
  },
) {
  const { model, state, picture, stage, layer, tool, goal, looking, seen, say } = props;
  const isLook = tool === 'look';
  return (
    <Canvas
      {...{ model, state, tool, say }}
      viewport={seen}
      size={looking.size}
      onViewport={looking.setViewport}
      showsBridges={isLook && stage === 'bridged' && !state.layers && !props.isDivided}
      showsFindings={!isLook || stage === 'bridged'}
      goal={isLook && !state.layers ? goal : undefined}
    >
      {state.layers && state.layered && stage !== 'photo' ? (
        <PaintedLayers state={state} shown={layer} />
      ) : (
        <StageView state={state} picture={picture} stage={stage} />
      )}
      {props.children}
    </Canvas>
  );
}

function Zooms({
  looking: { zoomBy, setViewport, wantTrueSize },
  isCompared,
  onCompare,
}: {
  looking: Looking;
  isCompared: boolean;
  /** Undefined where there is no photo to compare with. */
  onCompare: (() => void) | undefined;
}) {
  return (
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
      <button class="plain" title="As large on the screen as on the card" onClick={wantTrueSize}>
        True size
      </button>
      {onCompare && (
        <button
          class="plain"
          aria-pressed={isCompared}
          title="Your picture beside the stencil, parted by a line to drag (hold C to see all of it)"
          onClick={onCompare}
        >
          Compare
        </button>
      )}
    </div>
  );
}

function ToolButtons({
  tool,
  hidden,
  onTool,
}: Pick<LargeProps, 'tool' | 'onTool'> & { hidden: readonly EditingTool[] }) {
  return (
    <div class="tools">
      <div class="segments" role="group" aria-label="What your hand does">
        {toolButtons
          .filter(([name]) => !hidden.includes(name))
          .map(([name, label, says]) => (
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
  );
}

/** What the tool in hand is for, or what was just said about it. */
function Says(props: LargeProps & { said: string }) {
  const { model, state, stage, layer, tool, said } = props;
  const usual = tool === 'look' ? `${saysNow(state, stage, layer)}.` : toolSays[tool];
  return (
    <div class="says">
      <p aria-live="polite">{said === '' ? usual : said}</p>
      {tool === 'look' && stage === 'print' && !state.layers && (
        <PrintColours model={model} state={state} />
      )}
    </div>
  );
}

function saysNow(
  { layers, layered, history, sketch }: PageState,
  stage: ShownStage,
  layer: LayerShown,
): string {
  const isGlue = (sketch?.strokeCount ?? 0) > 0;
  if (!layers || stage === 'photo') return saysOf(stage, isGlue ? 'glue' : history.now.as);
  if (layer === 'all') return 'All layers painted, one over the other';
  return `Sheet ${layer + 1} of ${layered?.layers.length ?? layers.count}: what you cut for this paint`;
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
