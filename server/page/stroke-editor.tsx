import { useEffect, useRef, useState } from 'preact/hooks';
import { Cursor } from './cursor.js';
import { nextOf, takeKey } from './editor-keys.js';
import { distanceToBridge, middle, type Ends } from './edit.js';
import { besideMiddle, CrossMark } from './cross-mark.js';
import type { EditorParts, SheetEditorProps } from './editor-parts.js';
import {
  drawLine,
  middleOfLine,
  moveJoin,
  offLine,
  removeJoin,
  removeLine,
  strokeEditsOf,
  unsayStroke,
  type GlueJoin,
  type GlueLine,
} from './stroke-edit.js';
import { shiftedEnds, useNudge } from './nudge.js';
import { placeIn } from './place-in-words.js';
import { pointDistance, type ViewPoint } from './viewport.js';

/** How near a press must be to an end, a line or a mark, in CSS px: half of the 24 px of WCAG 2.2, 2.5.8, and less for lines. */
const END_PX = 12;
const LINE_PX = 9;
/** A press that moves less than this is a click, in CSS px: less is the hand's tremble. Common practice, no source. */
const CLICK_PX = 4;
/** How far a line's or a join's middle may wander and still be the chosen one, in mm. */
const SAME_MM = 3;

type Selection =
  | { readonly is: 'line'; readonly line: GlueLine }
  | { readonly is: 'join'; readonly join: GlueJoin };

/** What a press has taken hold of: an end of a join, the whole of it, or a line that is being drawn. */
interface Grip {
  readonly start: ViewPoint;
  readonly join?: { readonly join: GlueJoin; readonly end: 'from' | 'to' | undefined };
}

/** Lines of glue by hand: drag to draw one, click one and press Delete, drag an end of a join. */
export function StrokeEditor(props: SheetEditorProps) {
  const px = 1 / props.viewport.pxPerMm;
  const editing = useStrokeEditing(props);
  const pointer = useStrokePointer(editing, px);
  const key = useStrokeKeys(editing, props);
  props.parts.current = { ...pointer, key };
  return <StrokeMarks editing={editing} px={px} />;
}

/** What is chosen and drawn, and what can be done to it. */
function useStrokeEditing({ model, state, say }: SheetEditorProps) {
  const { sketch, history } = state;
  const [lines, joins] = [sketch?.glueLines ?? [], sketch?.joins ?? []];
  const [chosenAt, setChosenAt] = useState<{ is: Selection['is']; at: ViewPoint } | undefined>();
  const [line, setLine] = useState<readonly ViewPoint[]>([]);
  const [ends, setEnds] = useState<Ends | undefined>();
  const [cursor, setCursor] = useState<ViewPoint | undefined>();
  const drawing = useRef<readonly ViewPoint[]>([]);
  const job = history.now;
  const all: readonly Selection[] = [
    ...lines.map((one): Selection => ({ is: 'line', line: one })),
    ...joins.map((one): Selection => ({ is: 'join', join: one })),
  ];
  const chosen = chosenAt && nearestSelection(all, chosenAt);
  // What was drawn gives way to what the server made of it.
  useEffect(() => {
    setLine([]);
    setEnds(undefined);
  }, [sketch]);

  const choose = (one: Selection | undefined) => {
    setChosenAt(one && { is: one.is, at: middleOfChosen(one) });
    if (!one) return say('No line there: drag to draw one.');
    const [what, place, among] =
      one.is === 'line'
        ? (['Line', lines.indexOf(one.line), lines.length] as const)
        : (['Join', joins.indexOf(one.join), joins.length] as const);
    const at = placeIn(state, middleOfChosen(one));
    say(`${what} ${place + 1} of ${among}, at ${at}. ✕ or Delete takes it away.`);
  };
  return {
    ...{ lines, joins, all, chosen, line, ends, cursor, drawing, choose },
    takenAway: strokeEditsOf(job).flatMap((edit, index) =>
      edit.do === 'remove' ? [{ index, at: { x: edit.at[0], y: edit.at[1] } }] : [],
    ),
    unchoose: () => setChosenAt(undefined),
    showEnds: setEnds,
    point: setCursor,
    /** Shows a line on its way. */
    draw: (places: readonly ViewPoint[]) => {
      drawing.current = places;
      setLine(places);
    },
    /** Makes a line of what was drawn. */
    settle: () => {
      const drawn = drawing.current;
      drawing.current = [];
      say('Drawn.');
      model.replace(drawLine(job, drawn));
    },
    remove: (one: Selection) => {
      setChosenAt(undefined);
      say('Taken away.');
      model.replace(one.is === 'line' ? removeLine(job, one.line) : removeJoin(job, one.join));
    },
    putBack: (edit: number) => {
      drawing.current = [];
      say('Put back.');
      model.replace(unsayStroke(job, edit));
    },
    move: (join: GlueJoin, to: Ends) => {
      setChosenAt({ is: 'join', at: middle(to) });
      setEnds(to);
      say('Moved.');
      model.replace(moveJoin(job, join, to));
    },
  };
}

type StrokeEditing = ReturnType<typeof useStrokeEditing>;

/** What a press, a drag and their end do. */
function useStrokePointer(editing: StrokeEditing, px: number): Omit<EditorParts, 'key'> {
  const { lines, joins, ends, drawing, takenAway } = editing;
  const { choose, draw, showEnds, point, settle, putBack, move } = editing;
  const grip = useRef<Grip | undefined>(undefined);
  return {
    down(at, event) {
      const mark = takenAway.find((one) => pointDistance(one.at, at) <= END_PX * px);
      const join = joins.find((one) => distanceToBridge(one, at) <= LINE_PX * px || endNear(one, at, END_PX * px)); // prettier-ignore
      grip.current = join ? { start: at, join: { join, end: endNear(join, at, END_PX * px) } } : { start: at }; // prettier-ignore
      drawing.current = join ? [] : [at];
      point(undefined);
      event.preventDefault();
      (event.currentTarget as SVGElement).focus({ preventScroll: true });
      if (mark && !join) {
        grip.current = undefined;
        putBack(mark.index);
      }
      return true;
    },
    move(at) {
      const held = grip.current;
      if (!held) return;
      if (!held.join) return draw([...drawing.current, at]);
      const { join, end } = held.join;
      showEnds(
        end
          ? { from: join.from, to: join.to, [end]: at }
          : shiftedEnds(join, at.x - held.start.x, at.y - held.start.y),
      );
    },
    up(at) {
      const held = grip.current;
      grip.current = undefined;
      if (!held) return;
      const isClick = [...drawing.current, at].every(
        (place) => pointDistance(held.start, place) < CLICK_PX * px,
      );
      if (isClick) {
        draw([]);
        showEnds(undefined);
        choose(held.join ? { is: 'join', join: held.join.join } : lineAt(lines, at, LINE_PX * px));
      } else if (!held.join) settle();
      else if (ends) move(held.join.join, ends);
    },
    cancel() {
      grip.current = undefined;
      draw([]);
      showEnds(undefined);
    },
  };
}

/** What keys do: one line after another, from Enter to Enter a new one, arrows, Delete. */
function useStrokeKeys(
  editing: StrokeEditing,
  { state, say }: Pick<SheetEditorProps, 'state' | 'say'>,
): EditorParts['key'] {
  const { all, chosen, cursor, drawing } = editing;
  const { choose, unchoose, draw, showEnds, point, settle, remove, move } = editing;
  const nudge = useNudge<GlueJoin>(showEnds, move);
  const go = (by: 1 | -1) => {
    if (all.length === 0) return say('There is no line here yet.');
    choose(nextOf(all, chosen, by));
    point(undefined);
  };
  return (event) =>
    takeKey(event, state, {
      go,
      remove: () => {
        if (chosen) remove(chosen);
        else say('No line is chosen: N goes to the next one.');
      },
      leaveOff: () => {
        unchoose();
        draw([]);
        showEnds(undefined);
      },
      nudge: (by) => {
        if (chosen?.is !== 'join') return false;
        nudge(chosen.join, by);
        return true;
      },
      cursor,
      point: (at) => {
        point(at);
        if (drawing.current.length > 0) draw([...drawing.current, at]);
      },
      enter: (at) => {
        if (drawing.current.length > 0) settle();
        else draw([at]);
      },
    });
}

/** The chosen line, joins, what is drawn, and a ✕ where something was or may be taken away; SVG in mm. */
function StrokeMarks({ editing, px }: { editing: StrokeEditing; px: number }) {
  const { joins, chosen, line, ends, cursor, takenAway, remove } = editing;
  return (
    <g class="strokes" fill="none">
      {chosen?.is === 'line' && (
        <path class="chosen" d={pathOf(chosen.line)} stroke-width={5 * px} />
      )}
      {joins.map((join, i) => (
        <Join
          key={i}
          ends={join}
          px={px}
          class={chosen?.is === 'join' && chosen.join === join ? 'join chosen' : 'join'}
        />
      ))}
      {ends && <Join ends={ends} px={px} class="join drawn" />}
      {line.length > 1 && (
        <polyline
          class="drawn"
          points={line.map(({ x, y }) => `${x},${y}`).join(' ')}
          stroke-width={3 * px}
        />
      )}
      {takenAway.map(({ index, at }) => (
        <CrossMark key={index} at={at} px={px} class="taken" title="Put this line back" />
      ))}
      {cursor && <Cursor at={cursor} px={px} />}
      {chosen && !ends && line.length === 0 && (
        <CrossMark
          at={besideMiddle(middleOfChosen(chosen), px)}
          px={px}
          class="remove"
          title="Take this away (Delete)"
          onPress={() => remove(chosen)}
        />
      )}
    </g>
  );
}

function Join(props: { ends: Ends; px: number; class: string }) {
  const { ends, px } = props;
  const { from, to } = ends;
  return (
    <g class={props.class}>
      <line x1={from.x} y1={from.y} x2={to.x} y2={to.y} stroke-width={4 * px} />
      {[from, to].map((end, k) => (
        <circle key={k} cx={end.x} cy={end.y} r={6 * px} stroke-width={2 * px} />
      ))}
    </g>
  );
}

function pathOf({ along }: GlueLine): string {
  return along
    .map((part) => part.map((mm, i) => (i % 2 === 0 ? `${i === 0 ? 'M' : 'L'}${mm}` : ` ${mm}`)))
    .map((words) => words.join(''))
    .join('');
}

function endNear({ from, to }: Ends, at: ViewPoint, near: number): 'from' | 'to' | undefined {
  const [off, offTo] = [pointDistance(from, at), pointDistance(to, at)];
  if (Math.min(off, offTo) > near) return undefined;
  return off < offTo ? 'from' : 'to';
}

function middleOfChosen(one: Selection): ViewPoint {
  return one.is === 'line' ? middleOfLine(one.line) : middle(one.join);
}

function lineAt(lines: readonly GlueLine[], at: ViewPoint, near: number): Selection | undefined {
  const [first] = lines
    .map((line) => ({ line, off: offLine(line, at) }))
    .sort((a, b) => a.off - b.off);
  return first && first.off <= near ? { is: 'line', line: first.line } : undefined;
}

function nearestSelection(
  all: readonly Selection[],
  { is, at }: { is: Selection['is']; at: ViewPoint },
): Selection | undefined {
  const [first] = all
    .filter((one) => one.is === is)
    .map((one) => ({ one, off: pointDistance(middleOfChosen(one), at) }))
    .sort((a, b) => a.off - b.off);
  return first && first.off <= SAME_MM ? first.one : undefined;
}
