import { useEffect, useRef, useState } from 'preact/hooks';
import { arrowMm, Cursor, sheetCentre } from './cursor.js';
import { distanceToBridge, middle, type Ends } from './edit.js';
import type { EditorParts } from './editor-parts.js';
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
import { placeIn } from './place-in-words.js';
import type { Viewport, ViewPoint } from './viewport.js';
import type { PageModel, PageState } from './page-model.js';

/** How near a press must be to an end, a line or a mark, in CSS px: half of the 24 px of WCAG 2.2, 2.5.8, and less for lines. */
const END_PX = 12;
const LINE_PX = 9;
/** A press that moves less than this is a click, in CSS px: less is the hand's tremble. Common practice, no source. */
const CLICK_PX = 4;
/** Keys that follow one another within this many milliseconds are one change. Common practice, no source. */
const KEYS_MS = 500;
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
export function StrokeEditor(props: {
  model: PageModel;
  state: PageState;
  viewport: Viewport;
  parts: { current: EditorParts | undefined };
  /** Tells a person what was chosen or done, or why nothing was. */
  say: (text: string) => void;
}) {
  const { model, state, viewport, parts, say } = props;
  const { sketch, history } = state;
  const [lines, joins] = [sketch?.glueLines ?? [], sketch?.joins ?? []];
  const [chosenAt, setChosenAt] = useState<{ is: Selection['is']; at: ViewPoint } | undefined>();
  const [line, setLine] = useState<readonly ViewPoint[]>([]);
  const [ends, setEnds] = useState<Ends | undefined>();
  const [cursor, setCursor] = useState<ViewPoint | undefined>();
  const held = useRef<Grip | undefined>(undefined);
  const drawing = useRef<readonly ViewPoint[]>([]);
  const keyed = useRef<{ ends: Ends; timer: ReturnType<typeof setTimeout> } | undefined>(undefined);
  const job = history.now;
  const px = 1 / viewport.pxPerMm;
  const all: readonly Selection[] = [
    ...lines.map((one): Selection => ({ is: 'line', line: one })),
    ...joins.map((one): Selection => ({ is: 'join', join: one })),
  ];
  const chosen = chosenAt && nearestSelection(all, chosenAt);

  useEffect(() => () => clearTimeout(keyed.current?.timer), []);
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
  const draw = (places: readonly ViewPoint[]) => {
    drawing.current = places;
    setLine(places);
  };
  const settle = () => {
    const drawn = drawing.current;
    drawing.current = [];
    say('Drawn.');
    model.replace(drawLine(job, drawn));
  };
  const remove = (one: Selection) => {
    setChosenAt(undefined);
    say('Taken away.');
    model.replace(one.is === 'line' ? removeLine(job, one.line) : removeJoin(job, one.join));
  };
  const move = (join: GlueJoin, to: Ends) => {
    setChosenAt({ is: 'join', at: middle(to) });
    setEnds(to);
    say('Moved.');
    model.replace(moveJoin(job, join, to));
  };
  const nudge = (join: GlueJoin, { x, y }: ViewPoint) => {
    const before = keyed.current?.ends ?? join;
    const next = { from: moved(before.from, x, y), to: moved(before.to, x, y) };
    clearTimeout(keyed.current?.timer);
    const timer = setTimeout(() => {
      keyed.current = undefined;
      move(join, next);
    }, KEYS_MS);
    keyed.current = { ends: next, timer };
    setEnds(next);
  };
  const go = (by: 1 | -1) => {
    if (all.length === 0) return say('There is no line here yet.');
    const now = chosen ? all.indexOf(chosen) : by === 1 ? -1 : 0;
    choose(all[(now + by + all.length) % all.length]);
    setCursor(undefined);
  };
  const takenAway = strokeEditsOf(job).flatMap((edit, index) =>
    edit.do === 'remove' ? [{ index, at: { x: edit.at[0], y: edit.at[1] } }] : [],
  );

  parts.current = {
    down(at, event) {
      const mark = takenAway.find((one) => apart(one.at, at) <= END_PX * px);
      const join = joins.find((one) => distanceToBridge(one, at) <= LINE_PX * px || endNear(one, at, END_PX * px)); // prettier-ignore
      held.current = join ? { start: at, join: { join, end: endNear(join, at, END_PX * px) } } : { start: at }; // prettier-ignore
      drawing.current = join ? [] : [at];
      setCursor(undefined);
      event.preventDefault();
      (event.currentTarget as SVGElement).focus({ preventScroll: true });
      if (mark && !join) {
        held.current = undefined;
        drawing.current = [];
        say('Put back.');
        model.replace(unsayStroke(job, mark.index));
      }
      return true;
    },
    move(at) {
      const hold = held.current;
      if (!hold) return;
      if (!hold.join) {
        draw([...drawing.current, at]);
        return;
      }
      const { join, end } = hold.join;
      const [dx, dy] = [at.x - hold.start.x, at.y - hold.start.y];
      setEnds(
        end
          ? { from: join.from, to: join.to, [end]: at }
          : { from: moved(join.from, dx, dy), to: moved(join.to, dx, dy) },
      );
    },
    up(at) {
      const hold = held.current;
      held.current = undefined;
      if (!hold) return;
      if ([...drawing.current, at].every((place) => apart(hold.start, place) < CLICK_PX * px)) {
        draw([]);
        setEnds(undefined);
        drawing.current = [];
        choose(hold.join ? { is: 'join', join: hold.join.join } : lineAt(lines, at, LINE_PX * px));
      } else if (!hold.join) settle();
      else if (ends) move(hold.join.join, ends);
    },
    cancel() {
      held.current = undefined;
      draw([]);
      setEnds(undefined);
    },
    key(event) {
      const key = event.key.toLowerCase();
      const step = arrowMm(event);
      if (key === 'n' || key === 'p') go(key === 'n' ? 1 : -1);
      else if (key === 'delete' || key === 'backspace') {
        if (chosen) remove(chosen);
        else say('No line is chosen: N goes to the next one.');
      } else if (key === 'escape') {
        setChosenAt(undefined);
        draw([]);
        setEnds(undefined);
      } else if (step && chosen?.is === 'join') nudge(chosen.join, step);
      else if (step) {
        const next = moved(cursor ?? sheetCentre(state), step.x, step.y);
        setCursor(next);
        if (drawing.current.length > 0) draw([...drawing.current, next]);
      } else if (key === 'enter' && cursor) {
        if (drawing.current.length > 0) settle();
        else draw([cursor]);
      } else return false;
      return true;
    },
  };

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
        <Cross key={index} at={at} px={px} class="taken" title="Put this line back" />
      ))}
      {cursor && <Cursor at={cursor} px={px} />}
      {chosen && !ends && line.length === 0 && (
        <g
          onPointerDown={(event) => {
            event.stopPropagation();
            remove(chosen);
          }}
        >
          <Cross
            at={moved(middleOfChosen(chosen), 26 * px, -26 * px)}
            px={px}
            class="remove"
            title="Take this away (Delete)"
          />
        </g>
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

/** A ✕ in a circle. */
function Cross(props: { at: ViewPoint; px: number; class: string; title: string }) {
  const { at, px, title } = props;
  const arm = 4 * px;
  return (
    <g class={props.class}>
      <title>{title}</title>
      <circle cx={at.x} cy={at.y} r={11 * px} />
      <path
        d={`M${at.x - arm} ${at.y - arm}l${2 * arm} ${2 * arm}m0 ${-2 * arm}l${-2 * arm} ${2 * arm}`}
        stroke-width={1.8 * px}
      />
    </g>
  );
}

function pathOf({ along }: GlueLine): string {
  return along
    .map((part) => part.map((mm, i) => (i % 2 === 0 ? `${i === 0 ? 'M' : 'L'}${mm}` : ` ${mm}`)))
    .map((words) => words.join(''))
    .join('');
}

const moved = ({ x, y }: ViewPoint, dx: number, dy: number): ViewPoint => ({
  x: x + dx,
  y: y + dy,
});

const apart = (a: ViewPoint, b: ViewPoint): number => Math.hypot(a.x - b.x, a.y - b.y);

function endNear({ from, to }: Ends, at: ViewPoint, near: number): 'from' | 'to' | undefined {
  const [off, offTo] = [apart(from, at), apart(to, at)];
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
    .map((one) => ({ one, off: apart(middleOfChosen(one), at) }))
    .sort((a, b) => a.off - b.off);
  return first && first.off <= SAME_MM ? first.one : undefined;
}
