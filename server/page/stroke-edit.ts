import type { JobInput, Sketch, StrokeEdit } from '../../src/index.js';
import { middle, sheetPlace, type Ends } from './edit.js';
import { thinned } from './marking.js';
import type { ViewPoint } from './viewport.js';
import { withList } from './without.js';

export type GlueLine = Sketch['glueLines'][number];
export type GlueJoin = Sketch['joins'][number];

/** Places of a drawn line lie at least this far apart, in mm: a hand with a glue gun draws no finer. */
const APART_MM = 0.7;

export const strokeEditsOf = ({ strokeEdits }: JobInput): readonly StrokeEdit[] =>
  strokeEdits ?? [];

/** Draws one more line; a mere spot is none. */
export function drawLine(job: JobInput, along: readonly ViewPoint[]): JobInput {
  const places = along.map(sheetPlace);
  const last = places[places.length - 1];
  const kept = thinned(places, APART_MM);
  const whole = kept[kept.length - 1] === last ? kept : [...kept, last];
  if (whole.length < 2) return job;
  return withList(job, 'strokeEdits', [...strokeEditsOf(job), { do: 'draw', along: whole }]);
}

/** Takes a line away: the edit that drew it, or what the picture has at a place on it. */
export function removeLine(job: JobInput, line: GlueLine): JobInput {
  if (line.drawnBy !== undefined) return unsayStroke(job, line.drawnBy);
  return removeAt(job, middleOfLine(line));
}

/** Takes a join away. */
export function removeJoin(job: JobInput, join: GlueJoin): JobInput {
  if (join.movedBy === undefined) return removeAt(job, middle(join));
  const edits = strokeEditsOf(job).map((edit, i): StrokeEdit =>
    i === join.movedBy && edit.do === 'move' ? { do: 'remove', at: edit.at } : edit,
  );
  return withList(job, 'strokeEdits', edits);
}

/** Gives a join other ends: by the edit that moved it, when one did, or a new one. */
export function moveJoin(job: JobInput, join: GlueJoin, { from, to }: Ends): JobInput {
  const ends = { from: sheetPlace(from), to: sheetPlace(to) };
  const edits = strokeEditsOf(job);
  if (join.movedBy === undefined) {
    const at = sheetPlace(middle(join));
    return withList(job, 'strokeEdits', [...edits, { do: 'move', at, ...ends }]);
  }
  return withList(
    job,
    'strokeEdits',
    edits.map((edit, i) => (i === join.movedBy && edit.do === 'move' ? { ...edit, ...ends } : edit)), // prettier-ignore
  );
}

/** Takes an edit back. */
export function unsayStroke(job: JobInput, index: number): JobInput {
  return withList(
    job,
    'strokeEdits',
    strokeEditsOf(job).filter((_, i) => i !== index),
  );
}

function removeAt(job: JobInput, at: ViewPoint): JobInput {
  return withList(job, 'strokeEdits', [
    ...strokeEditsOf(job),
    { do: 'remove', at: sheetPlace(at) },
  ]);
}

/** The place halfway along the longest part of a line. */
export function middleOfLine({ along }: GlueLine): ViewPoint {
  const longest = along.reduce((a, b) => (b.length > a.length ? b : a));
  const i = 2 * Math.floor(longest.length / 4);
  return { x: longest[i], y: longest[i + 1] };
}

/** How far a place is from a line, mm. */
export function offLine({ along }: GlueLine, { x, y }: ViewPoint): number {
  let least = Infinity;
  for (const part of along)
    for (let i = 0; i < part.length; i += 2)
      least = Math.min(least, Math.hypot(part[i] - x, part[i + 1] - y));
  return least;
}
