import { useEffect, useRef, useState } from 'preact/hooks';
import type { Bridge } from '../../src/index.js';
import {
  addBridge,
  distanceToBridge,
  isEdited,
  middle,
  moveBridge,
  removeBridge,
  type Ends,
} from './edit.js';
import type { EditorParts } from './editor-parts.js';
import { isInsidePath } from './inside.js';
import { placeIn } from './place-in-words.js';
import { arrowMm, Cursor, sheetCentre } from './cursor.js';
import type { Viewport, ViewPoint } from './viewport.js';
import type { PageState, PageModel } from './page-model.js';

interface Grip {
  readonly bridge: Bridge | undefined;
  readonly end: 'from' | 'to' | undefined;
  readonly start: ViewPoint;
}

/**
 * How near a press must be to an end and to a bridge's line, in CSS px: about half of the 24 px of WCAG 2.2, 2.5.8;
 * ends go first.
 */
const END_PX = 11;
const LINE_PX = 9;
/** A press that moves less than this is a click, in CSS px: less is the hand's tremble. Common practice, no source. */
const CLICK_PX = 4;
/**
 * Keys that follow one another within this many milliseconds are one change: a held key repeats far faster. Common
 * practice, no source.
 */
const KEYS_MS = 500;
/**
 * How far a bridge may settle from where it was and still be the chosen one, in mm: less loses it, more may take its
 * neighbour for it.
 */
const SAME_MM = 2;

/** Bridges by hand: drag across an opening to add one, drag an end, press Delete. */
export function BridgeEditor(props: {
  model: PageModel;
  state: PageState;
  viewport: Viewport;
  parts: { current: EditorParts | undefined };
  say: (text: string) => void;
}) {
  const { model, state, viewport, parts, say } = props;
  const { sketch, history } = state;
  const bridges = sketch?.bridges ?? [];
  const [chosenAt, setChosenAt] = useState<ViewPoint | undefined>();
  const [drawn, setDrawn] = useState<Ends | undefined>();
  const [cursor, setCursor] = useState<ViewPoint | undefined>();
  const [keyStart, setKeyStart] = useState<ViewPoint | undefined>();
  const grip = useRef<Grip | undefined>(undefined);
  const keyed = useRef<
    { bridge: Bridge; ends: Ends; timer: ReturnType<typeof setTimeout> } | undefined
  >(undefined);
  const job = history.now;
  const chosen = chosenAt && nearestBridge(bridges, chosenAt);
  const px = 1 / viewport.pxPerMm;

  useEffect(() => () => clearTimeout(keyed.current?.timer), []);
  // What was drawn gives way to what the server made of it.
  useEffect(() => setDrawn(undefined), [sketch]);

  const pick = (bridge: Bridge) => {
    setChosenAt(middle(bridge));
    const [place, at] = [bridges.indexOf(bridge) + 1, placeIn(state, middle(bridge))];
    say(`Bridge ${place} of ${bridges.length}, at ${at}. ✕ or Delete removes it.`);
  };
  const remove = (bridge: Bridge) => {
    setChosenAt(undefined);
    say('Removed.');
    model.replace(removeBridge(job, bridge));
  };
  const change = (bridge: Bridge | undefined, ends: Ends) => {
    const why = sketch && !bridge ? whyNone(ends, sketch.openings) : undefined;
    if (why !== undefined) {
      setDrawn(undefined);
      return say(why);
    }
    say(bridge ? 'Moved.' : 'Added.');
    setChosenAt(middle(ends));
    setDrawn(ends);
    model.replace(bridge ? moveBridge(job, bridge, ends) : addBridge(job, ends));
  };
  const go = (by: 1 | -1) => {
    if (bridges.length === 0) return say('There is no bridge here yet.');
    const now = chosen ? bridges.indexOf(chosen) : by === 1 ? -1 : 0;
    pick(bridges[(now + by + bridges.length) % bridges.length]);
    setCursor(undefined);
  };
  const nudge = (bridge: Bridge, { x, y }: ViewPoint) => {
    const before = keyed.current?.ends ?? bridge;
    const ends = { from: moved(before.from, x, y), to: moved(before.to, x, y) };
    clearTimeout(keyed.current?.timer);
    const first = keyed.current?.bridge ?? bridge;
    const timer = setTimeout(() => {
      keyed.current = undefined;
      change(first, ends);
    }, KEYS_MS);
    keyed.current = { bridge: first, ends, timer };
    setDrawn(ends);
  };

  parts.current = {
    down(at, event) {
      const bridge = bridges.find((each) => distanceToBridge(each, at) <= LINE_PX * px);
      grip.current = { bridge, end: bridge && endNear(bridge, at, END_PX * px), start: at };
      if (bridge) pick(bridge);
      else setChosenAt(undefined);
      setCursor(undefined);
      event.preventDefault();
      (event.currentTarget as SVGElement).focus({ preventScroll: true });
      return true;
    },
    move(at) {
      const held = grip.current;
      if (!held || isClick(held.start, at, px)) return;
      const { bridge, end, start } = held;
      if (!bridge) setDrawn({ from: start, to: at });
      else if (end) setDrawn({ from: bridge.from, to: bridge.to, [end]: at });
      else
        setDrawn({
          from: moved(bridge.from, at.x - start.x, at.y - start.y),
          to: moved(bridge.to, at.x - start.x, at.y - start.y),
        });
    },
    up(at) {
      const held = grip.current;
      grip.current = undefined;
      if (held && drawn && !isClick(held.start, at, px)) change(held.bridge, drawn);
      else if (held && !held.bridge) say('No bridge there: drag across a dark part to add one.');
    },
    cancel() {
      grip.current = undefined;
      setDrawn(undefined);
    },
    key(event) {
      const key = event.key.toLowerCase();
      const step = arrowMm(event);
      if (key === 'n' || key === 'p') go(key === 'n' ? 1 : -1);
      else if (key === 'delete' || key === 'backspace') {
        if (chosen) remove(chosen);
        else say('No bridge is chosen: N goes to the next one.');
      } else if (key === 'escape') {
        setChosenAt(undefined);
        setKeyStart(undefined);
        setDrawn(undefined);
      } else if (step && chosen) nudge(chosen, step);
      else if (step) {
        const from = cursor ?? sheetCentre(state);
        const next = moved(from, step.x, step.y);
        setCursor(next);
        if (keyStart) setDrawn({ from: keyStart, to: next });
      } else if (key === 'enter' && cursor) {
        if (keyStart) change(undefined, { from: keyStart, to: cursor });
        setKeyStart(keyStart ? undefined : cursor);
      } else return false;
      return true;
    },
  };

  return (
    <g class="bridges">
      {sketch && state.screen && (
        <path class="islands" d={state.screen.islands} stroke-width={1.5 * px} />
      )}
      {bridges.map((bridge, i) => (
        <g
          key={i}
          class={[bridge === chosen && 'chosen', isEdited(job, bridge) && 'edited']
            .filter(Boolean)
            .join(' ')}
        >
          <Line ends={bridge} width={4 * px} />
          {[bridge.from, bridge.to].map((end, k) => (
            <circle
              key={k}
              cx={end.x}
              cy={end.y}
              r={(bridge === chosen ? 7 : 4.5) * px}
              stroke-width={1.5 * px}
            />
          ))}
        </g>
      ))}
      {drawn && (
        <g class="drawn">
          <Line ends={drawn} width={2.5 * px} />
        </g>
      )}
      {cursor && <Cursor at={cursor} px={px} />}
      {chosen && !drawn && <RemoveMark bridge={chosen} px={px} onRemove={() => remove(chosen)} />}
    </g>
  );
}

/** Places along a line at which is looked whether it crosses what is cut. */
const SAMPLES = 24;

/** Why a line makes no bridge; undefined where it may. */
function whyNone({ from, to }: Ends, openings: string): string | undefined {
  const crosses = Array.from({ length: SAMPLES + 1 }, (_, i) => i / SAMPLES).some((t) =>
    isInsidePath(
      openings,
      { x: from.x + t * (to.x - from.x), y: from.y + t * (to.y - from.y) },
      'evenodd',
    ),
  );
  return crosses
    ? undefined
    : 'That lies on film alone: a bridge goes across a dark part, from film to film.';
}

function Line({ ends, width }: { ends: Ends; width: number }) {
  const { from, to } = ends;
  return <line x1={from.x} y1={from.y} x2={to.x} y2={to.y} stroke-width={width} />;
}

/** A small ✕ beside the chosen bridge; the Delete key does the same. */
function RemoveMark({
  bridge,
  px,
  onRemove,
}: {
  bridge: Bridge;
  px: number;
  onRemove: () => void;
}) {
  const { x, y } = middle(bridge);
  const r = 11 * px;
  const at = { x: x + 26 * px, y: y - 26 * px };
  const arm = 4 * px;
  return (
    <g
      class="remove"
      onPointerDown={(event) => {
        event.stopPropagation();
        onRemove();
      }}
    >
      <title>Remove this bridge (Delete)</title>
      <circle cx={at.x} cy={at.y} r={r} />
      <path
        d={`M${at.x - arm} ${at.y - arm}L${at.x + arm} ${at.y + arm}M${at.x + arm} ${at.y - arm}L${at.x - arm} ${at.y + arm}`}
        stroke-width={1.8 * px}
      />
    </g>
  );
}

const moved = ({ x, y }: ViewPoint, dx: number, dy: number): ViewPoint => ({
  x: x + dx,
  y: y + dy,
});

const isClick = (a: ViewPoint, b: ViewPoint, px: number) =>
  Math.hypot(a.x - b.x, a.y - b.y) < CLICK_PX * px;

function endNear(bridge: Bridge, at: ViewPoint, near: number): 'from' | 'to' | undefined {
  const from = Math.hypot(bridge.from.x - at.x, bridge.from.y - at.y);
  const to = Math.hypot(bridge.to.x - at.x, bridge.to.y - at.y);
  // The middle third moves the whole bridge.
  const reach = Math.min(
    near,
    Math.hypot(bridge.from.x - bridge.to.x, bridge.from.y - bridge.to.y) / 3 + near / 3,
  );
  if (Math.min(from, to) > reach) return undefined;
  return from < to ? 'from' : 'to';
}

function nearestBridge(bridges: readonly Bridge[], at: ViewPoint): Bridge | undefined {
  const away = (bridge: Bridge) => {
    const { x, y } = middle(bridge);
    return Math.hypot(x - at.x, y - at.y);
  };
  const [first] = [...bridges].sort((a, b) => away(a) - away(b));
  return first && away(first) <= SAME_MM ? first : undefined;
}
