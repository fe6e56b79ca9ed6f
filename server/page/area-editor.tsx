import { useRef, useState } from 'preact/hooks';
import { arrowMm, Cursor, sheetCentre } from './cursor.js';
import { isInsidePath } from './inside.js';
import type { EditorParts, SheetEditorProps } from './editor-parts.js';
import { shiftedBy } from './nudge.js';
import type { ViewPoint } from './viewport.js';
import { thinned } from './marking.js';
import { withList } from './without.js';
import { placeIn } from './place-in-words.js';

/** Corners of an area lie at least this far apart, in mm: a hand draws no finer. */
const APART_MM = 0.4;

type AreaVertex = readonly [number, number];

/** Areas free of bridges: draw round a part of the card; a click on an area takes it away. */
export function AreaEditor(props: SheetEditorProps) {
  const px = 1 / props.viewport.pxPerMm;
  const editing = useAreaEditing(props);
  const { areas, drawn, cursor } = editing;
  props.parts.current = areaParts(editing, props);
  return (
    <g class="areas">
      {[...areas, ...(drawn.length > 1 ? [drawn] : [])].map((area, i) => (
        <polygon key={i} points={area.map((at) => at.join(',')).join(' ')} stroke-width={2 * px} />
      ))}
      {cursor && <Cursor at={cursor} px={px} />}
    </g>
  );
}

/** The areas, the one that is drawn, and what can be done to them. */
function useAreaEditing({ model, state, say }: SheetEditorProps) {
  const job = state.history.now;
  const areas = job.bridgeFree ?? [];
  const [drawn, setDrawn] = useState<readonly AreaVertex[]>([]);
  const [cursor, setCursor] = useState<ViewPoint | undefined>();
  const line = useRef<readonly AreaVertex[]>([]);

  const draw = (corners: readonly AreaVertex[]) => {
    line.current = corners;
    setDrawn(corners);
  };
  const removeAt = (at: AreaVertex | undefined): boolean => {
    const hit = at === undefined ? -1 : areas.findLastIndex((area) => holds(area, at));
    if (hit < 0) return false;
    model.replace(
      withList(
        job,
        'bridgeFree',
        areas.filter((_, i) => i !== hit),
      ),
    );
    say(`Taken away. ${areasFree(areas.length - 1)}`);
    return true;
  };
  /** Makes an area of what was drawn; a click takes the area under it away. */
  const settle = () => {
    const corners = thinned(line.current, APART_MM);
    draw([]);
    if (corners.length >= 3) {
      model.replace(withList(job, 'bridgeFree', [...areas, corners]));
      say(`Drawn. ${areasFree(areas.length + 1)}`);
    } else if (!removeAt(corners[0]))
      say('Draw all the way round a part: a click alone marks none.');
  };
  return { areas, drawn, line, cursor, point: setCursor, draw, removeAt, settle };
}

/** What a press, a drag and keys do. */
function areaParts(
  { areas, line, cursor, point, draw, removeAt, settle }: ReturnType<typeof useAreaEditing>,
  { state, say }: SheetEditorProps,
): EditorParts {
  return {
    down(at, event) {
      event.preventDefault();
      (event.currentTarget as SVGElement).focus({ preventScroll: true });
      point(undefined);
      draw([corner(at)]);
      return true;
    },
    move: (at) => draw([...line.current, corner(at)]),
    up: settle,
    cancel: () => draw([]),
    key(event) {
      const step = arrowMm(event);
      const from = cursor ?? sheetCentre(state);
      if (step) {
        const next = shiftedBy(from, step.x, step.y);
        point(next);
        if (line.current.length > 0) draw([...line.current, corner(next)]);
        else {
          const under = areas.findLastIndex((area) => holds(area, corner(next)));
          const what = under < 0 ? 'No area' : `Area ${under + 1} of ${areas.length}`;
          say(`${what} at ${placeIn(state, next)}.`);
        }
      } else if (event.key === 'Enter') {
        point(from);
        if (line.current.length > 0) settle();
        else {
          draw([corner(from)]);
          say('An area begins here. Enter ends it, Escape gives it up.');
        }
      } else if (event.key === 'Delete' || event.key === 'Backspace') {
        if (!removeAt(corner(from))) say('No area lies here.');
      } else if (event.key === 'Escape') {
        if (line.current.length > 0) say('Given up.');
        draw([]);
      } else return false;
      return true;
    },
  };
}

const areasFree = (count: number): string =>
  `${count === 0 ? 'No area is' : count === 1 ? '1 area is' : `${count} areas are`} free of bridges.`;

const corner = ({ x, y }: ViewPoint): AreaVertex => [
  Math.round(x * 100) / 100,
  Math.round(y * 100) / 100,
];

function holds(area: readonly AreaVertex[], [x, y]: AreaVertex): boolean {
  return isInsidePath(`M${area.map((at) => at.join(' ')).join('L')}Z`, { x, y }, 'nonzero');
}
