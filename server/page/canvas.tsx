import { useEffect, useRef } from 'preact/hooks';
import { AreaEditor } from './area-editor.js';
import { BridgeEditor } from './bridge-editor.js';
import { toolHints, type EditingTool } from './editing-tool.js';
import type { EditorParts } from './editor-parts.js';
import type { PageModel, PageState } from './page-model.js';
import { RegionEditor } from './region-editor.js';
import { BridgePlaces, FindingMarks } from './sheet-marks.js';
import { StrokeEditor } from './stroke-editor.js';
import {
  box,
  pan,
  pointDistance,
  zoom,
  ZOOM_STEP,
  type Viewport,
  type ViewPoint,
  type ViewSize,
} from './viewport.js';

/** How far an arrow key moves the view, in CSS px: a small part of any window. */
const PAN_PX = 60;
/**
 * The wheel: so many CSS px of it make the view e times as large, and no event counts for more than so many. By eye: a
 * notch of a mouse's wheel, 100 to 120 px in browsers, makes about a third larger.
 */
const [WHEEL_PX, MOST_WHEEL_PX] = [400, 120];

interface CanvasProps {
  readonly model: PageModel;
  readonly state: PageState;
  readonly tool: EditingTool;
  readonly viewport: Viewport;
  readonly size: ViewSize;
  /** Undefined shows the whole card. */
  readonly onViewport: (viewport: Viewport | undefined) => void;
  /** Tells a person what a gesture did, or why it did nothing. */
  readonly say: (text: string) => void;
  /** Bridges are shown while one looks. */
  readonly showsBridges: boolean;
  readonly showsFindings: boolean;
  /** A place that is to be looked at. */
  readonly goal: ViewPoint | undefined;
  readonly children: preact.ComponentChildren;
}

/** The sheet, to be moved about and come closer to, and what the tool in hand does on it. */
export function Canvas(props: CanvasProps) {
  const { viewport, size, tool, state, model, say, goal, children } = props;
  const svg = useRef<SVGSVGElement>(null);
  const parts = useRef<EditorParts | undefined>(undefined);
  useWheel(svg, props);
  const hands = useFingers(svg, parts, props);
  const onKeyDown = (event: KeyboardEvent) => onKey(event, parts, props);
  const about = { model, state, viewport, parts, say };
  return (
    <svg
      ref={svg}
      class={`canvas ${tool}`}
      tabindex={0}
      role="application"
      aria-label={toolHints[tool]}
      viewBox={box(viewport, size).join(' ')}
      {...hands}
      onKeyDown={onKeyDown}
    >
      <g class="sheet">{children}</g>
      {tool === 'strokes' && <StrokeEditor {...about} />}
      {tool === 'bridges' && <BridgeEditor {...about} />}
      {tool === 'areas' && <AreaEditor {...about} />}
      {tool === 'regions' && <RegionEditor {...about} />}
      {props.showsBridges && <BridgePlaces state={state} viewport={viewport} />}
      {props.showsFindings && <FindingMarks state={state} viewport={viewport} />}
      {goal && (
        <circle
          class="goal"
          cx={goal.x}
          cy={goal.y}
          r={16 / viewport.pxPerMm}
          stroke-width={2.5 / viewport.pxPerMm}
        />
      )}
    </svg>
  );
}

type CanvasElement = { readonly current: SVGSVGElement | null };

/** The wheel comes closer; it is listened to by hand, since only so the page can be kept from scrolling. */
function useWheel(svg: CanvasElement, props: CanvasProps): void {
  const now = useRef(props);
  now.current = props;
  useEffect(() => {
    const element = svg.current!;
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const { viewport, size, onViewport } = now.current;
      const turned = Math.max(-MOST_WHEEL_PX, Math.min(MOST_WHEEL_PX, event.deltaY));
      onViewport(zoom(viewport, size, Math.exp(-turned / WHEEL_PX), pxOf(element, event)));
    };
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => element.removeEventListener('wheel', onWheel);
  }, []);
}

/** The place of an event on the canvas, in CSS px. */
function pxOf(element: SVGSVGElement, event: MouseEvent): ViewPoint {
  const rect = element.getBoundingClientRect();
  return { x: event.clientX - rect.left, y: event.clientY - rect.top };
}

/** Px between two fingers, and the point between them. */
function pinch([a, b]: readonly ViewPoint[]): { apart: number; x: number; y: number } {
  return { apart: pointDistance(a, b), x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

/** What fingers and pointers do: the tool in hand first; else one moves the sheet about, and two come closer. */
function useFingers(
  svg: CanvasElement,
  parts: { readonly current: EditorParts | undefined },
  { viewport, size, onViewport }: CanvasProps,
) {
  const fingers = useRef(new Map<number, ViewPoint>());
  /** The tool in hand has taken the press. */
  const isTaken = useRef(false);
  const mmOf = (event: MouseEvent): ViewPoint => {
    const px = pxOf(svg.current!, event);
    const [left, top] = box(viewport, size);
    return { x: left + px.x / viewport.pxPerMm, y: top + px.y / viewport.pxPerMm };
  };
  const letGo = (event: PointerEvent) => {
    isTaken.current = false;
    fingers.current.delete(event.pointerId);
  };
  return {
    onPointerDown(event: PointerEvent) {
      svg.current!.setPointerCapture(event.pointerId);
      fingers.current.set(event.pointerId, pxOf(svg.current!, event));
      if (fingers.current.size > 1) {
        if (isTaken.current) parts.current?.cancel();
        isTaken.current = false;
      } else if (event.button === 0) {
        isTaken.current = parts.current?.down(mmOf(event), event) ?? false;
      }
    },
    onPointerMove(event: PointerEvent) {
      const before = fingers.current.get(event.pointerId);
      if (!before) return;
      const px = pxOf(svg.current!, event);
      if (isTaken.current) {
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
    },
    onPointerUp(event: PointerEvent) {
      if (isTaken.current) parts.current?.up(mmOf(event), event);
      letGo(event);
    },
    onPointerCancel(event: PointerEvent) {
      parts.current?.cancel();
      letGo(event);
    },
  };
}

/** What keys do: the tool in hand first; else arrows move about, plus and minus change the size, 0 shows the whole card. */
function onKey(
  event: KeyboardEvent,
  parts: { readonly current: EditorParts | undefined },
  { viewport, size, onViewport }: CanvasProps,
): void {
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
}
