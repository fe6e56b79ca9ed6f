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
import { besideMiddle, CrossMark } from './cross-mark.js';
import type { EditorParts, SheetEditorProps } from './editor-parts.js';
import { isInsidePath } from './inside.js';
import { shiftedEnds, useNudge } from './nudge.js';
import { placeIn } from './place-in-words.js';
import { Cursor } from './cursor.js';
import { nextOf, takeKey } from './editor-keys.js';
import { pointDistance, type ViewPoint } from './viewport.js';
import type { PageState } from './page-model.js';

/** What a press has taken hold of: a bridge, or one of its ends; of no bridge, a new one is drawn. */
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
 * How far a bridge may settle from where it was and still be the chosen one, in mm: less loses it, more may take its
 * neighbour for it.
 */
const SAME_MM = 2;

/** Bridges by hand: drag across an opening to add one, drag an end, press Delete. */
export function BridgeEditor(props: SheetEditorProps) {
  const px = 1 / props.viewport.pxPerMm;
  const editing = useBridgeEditing(props);
  const pointer = useBridgePointer(editing, props, px);
  const key = useBridgeKeys(editing, props);
  props.parts.current = { ...pointer, key };
  return <BridgeMarks editing={editing} state={props.state} px={px} />;
}

/** What is chosen and drawn, and what can be done to it. */
function useBridgeEditing({ model, state, say }: SheetEditorProps) {
  const { sketch, history } = state;
  const bridges = sketch?.bridges ?? [];
  const [chosenAt, setChosenAt] = useState<ViewPoint | undefined>();
  const [drawn, setDrawn] = useState<Ends | undefined>();
  const [cursor, setCursor] = useState<ViewPoint | undefined>();
  const job = history.now;
  const chosen = chosenAt && nearestBridge(bridges, chosenAt);
  // What was drawn gives way to what the server made of it.
  useEffect(() => setDrawn(undefined), [sketch]);

  const pick = (bridge: Bridge) => {
    setChosenAt(middle(bridge));
    const [place, at] = [bridges.indexOf(bridge) + 1, placeIn(state, middle(bridge))];
    say(`Bridge ${place} of ${bridges.length}, at ${at}. ✕ or Delete removes it.`);
  };
  /** Moves a bridge, or adds one. */
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
  return {
    bridges,
    job,
    chosen,
    drawn,
    cursor,
    pick,
    change,
    unchoose: () => setChosenAt(undefined),
    draw: setDrawn,
    point: setCursor,
    remove: (bridge: Bridge) => {
      setChosenAt(undefined);
      say('Removed.');
      model.replace(removeBridge(job, bridge));
    },
    /** Chooses the next bridge, or the one before. */
    go: (by: 1 | -1) => {
      if (bridges.length === 0) return say('There is no bridge here yet.');
      pick(nextOf(bridges, chosen, by));
      setCursor(undefined);
    },
  };
}

type BridgeEditing = ReturnType<typeof useBridgeEditing>;

/** What a press, a drag and their end do. */
function useBridgePointer(
  { bridges, drawn, pick, change, unchoose, draw, point }: BridgeEditing,
  { say }: Pick<SheetEditorProps, 'say'>,
  px: number,
): Omit<EditorParts, 'key'> {
  const grip = useRef<Grip | undefined>(undefined);
  return {
    down(at, event) {
      const bridge = bridges.find((each) => distanceToBridge(each, at) <= LINE_PX * px);
      grip.current = { bridge, end: bridge && endNear(bridge, at, END_PX * px), start: at };
      if (bridge) pick(bridge);
      else unchoose();
      point(undefined);
      event.preventDefault();
      (event.currentTarget as SVGElement).focus({ preventScroll: true });
      return true;
    },
    move(at) {
      const held = grip.current;
      if (!held || isClick(held.start, at, px)) return;
      const { bridge, end, start } = held;
      if (!bridge) draw({ from: start, to: at });
      else if (end) draw({ from: bridge.from, to: bridge.to, [end]: at });
      else draw(shiftedEnds(bridge, at.x - start.x, at.y - start.y));
    },
    up(at) {
      const held = grip.current;
      grip.current = undefined;
      if (held && drawn && !isClick(held.start, at, px)) change(held.bridge, drawn);
      else if (held && !held.bridge) say('No bridge there: drag across a dark part to add one.');
    },
    cancel() {
      grip.current = undefined;
      draw(undefined);
    },
  };
}

/** What keys do: one bridge after another, from Enter to Enter a new one, arrows, Delete. */
function useBridgeKeys(
  { chosen, cursor, change, unchoose, draw, point, remove, go }: BridgeEditing,
  { state, say }: Pick<SheetEditorProps, 'state' | 'say'>,
): EditorParts['key'] {
  const [keyStart, setKeyStart] = useState<ViewPoint | undefined>();
  const nudge = useNudge<Bridge>(draw, change);
  return (event) =>
    takeKey(event, state, {
      go,
      remove: () => {
        if (chosen) remove(chosen);
        else say('No bridge is chosen: N goes to the next one.');
      },
      leaveOff: () => {
        unchoose();
        setKeyStart(undefined);
        draw(undefined);
      },
      nudge: (by) => {
        if (chosen) nudge(chosen, by);
        return chosen !== undefined;
      },
      cursor,
      point: (at) => {
        point(at);
        if (keyStart) draw({ from: keyStart, to: at });
      },
      enter: (at) => {
        if (keyStart) change(undefined, { from: keyStart, to: at });
        setKeyStart(keyStart ? undefined : at);
      },
    });
}

/** Bridges on the sheet, the one that is drawn, and a ✕ beside the chosen one; SVG in mm. */
function BridgeMarks({
  editing: { bridges, job, chosen, drawn, cursor, remove },
  state: { sketch, screen },
  px,
}: {
  editing: BridgeEditing;
  state: PageState;
  px: number;
}) {
  return (
    <g class="bridges">
      {sketch && screen && <path class="islands" d={screen.islands} stroke-width={1.5 * px} />}
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
      {chosen && !drawn && (
        <CrossMark
          at={besideMiddle(middle(chosen), px)}
          px={px}
          class="remove"
          title="Remove this bridge (Delete)"
          onPress={() => remove(chosen)}
        />
      )}
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

const isClick = (a: ViewPoint, b: ViewPoint, px: number) => pointDistance(a, b) < CLICK_PX * px;

function endNear({ from, to }: Bridge, at: ViewPoint, near: number): 'from' | 'to' | undefined {
  const [off, offTo] = [pointDistance(from, at), pointDistance(to, at)];
  // The middle third moves the whole bridge.
  const reach = Math.min(near, pointDistance(from, to) / 3 + near / 3);
  if (Math.min(off, offTo) > reach) return undefined;
  return off < offTo ? 'from' : 'to';
}

function nearestBridge(bridges: readonly Bridge[], at: ViewPoint): Bridge | undefined {
  const away = (bridge: Bridge) => pointDistance(middle(bridge), at);
  const [first] = [...bridges].sort((a, b) => away(a) - away(b));
  return first && away(first) <= SAME_MM ? first : undefined;
}
