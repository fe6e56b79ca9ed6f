/** A place on the sheet in mm, from its top left corner, y down. */
export type Place = readonly [number, number];

/**
 * What a person says about one bridge. A bridge that was proposed is named by a place on it.
 * `add` lays one more; `pin` keeps a proposed one as it lies, in every later run; `move` gives a proposed one other
 * ends; `remove` takes it away.
 */
export type BridgeEdit =
  | {
      readonly do: 'add' | 'pin';
      readonly from: Place;
      readonly to: Place;
      readonly widthMm?: number;
    }
  | { readonly do: 'move'; readonly at: Place; readonly from: Place; readonly to: Place }
  | { readonly do: 'remove'; readonly at: Place };

/**
 * What a person says about the region that holds a place: `drop` makes it part of what surrounds it, an opening
 * film and an island opening; `keep` keeps it where the rules would drop it for its size.
 */
export interface RegionEdit {
  readonly do: 'drop' | 'keep';
  readonly at: Place;
}

/**
 * What a person says about the lines of glue. `draw` lays one more along places; `remove` takes away the line that
 * passes nearest to a place, as far as the eye follows it, or the join there; `move` gives a join that was proposed, named by its middle, other ends.
 * They are said one after the other: each is about the drawing that those before it have left.
 */
export type StrokeEdit =
  | { readonly do: 'draw'; readonly along: readonly Place[] }
  | { readonly do: 'move'; readonly at: Place; readonly from: Place; readonly to: Place }
  | { readonly do: 'remove'; readonly at: Place };

/** A closed polygon on the sheet, its corners in mm. */
export type Area = readonly Place[];

/** The largest number of edits of a kind: far more than a person makes by hand. */
const MOST = 10_000;
/** Twice the largest card, in mm: what was drawn may lie beside the card. */
const FARTHEST_MM = 2000;
/** A bridge that is wider, in mm, is no bridge but film that was not cut. Common practice, no source. */
const WIDEST_MM = 15;

/** Each edit of strokes is laid over what those before it have left: so many take some seconds. */
const MOST_STROKE_EDITS = 500;
/** The longest line that is drawn by hand in one go, mm, and its most places: more than a large sheet asks for. */
const LONGEST_LINE_MM = 5000;
const MOST_PLACES = 2000;

const PLACES: Readonly<Record<BridgeEdit['do'], readonly string[]>> = {
  add: ['from', 'to'],
  pin: ['from', 'to'],
  move: ['at', 'from', 'to'],
  remove: ['at'],
};

/** What to do about bridge edits that can't be used; undefined when they can. */
export function wrongBridgeEdits(value: unknown): string | undefined {
  return wrongList(value, wrongBridgeEdit, BRIDGE_FORM);
}

/** What to do about region edits that can't be used; undefined when they can. */
export function wrongRegionEdits(value: unknown): string | undefined {
  return wrongList(value, wrongRegionEdit, REGION_FORM);
}

/** What to do about stroke edits that can't be used; undefined when they can. */
export function wrongStrokeEdits(value: unknown): string | undefined {
  return wrongList(value, wrongStrokeEdit, STROKE_FORM, MOST_STROKE_EDITS);
}

/** What to do about areas that can't be used; undefined when they can. */
export function wrongAreas(value: unknown): string | undefined {
  return wrongList(value, wrongArea, AREA_FORM);
}

export const BRIDGE_FORM = '[{"do": "add", "from": [20, 31.5], "to": [24, 31.5], "widthMm": 2.4}]';
export const REGION_FORM = '[{"do": "drop", "at": [20, 31.5]}]';
export const STROKE_FORM = '[{"do": "draw", "along": [[20, 31.5], [24, 36], [31, 37.5]]}]';
export const AREA_FORM = '[[[20, 20], [40, 20], [40, 35]]]';

function wrongBridgeEdit(edit: unknown): boolean {
  if (!isObject(edit) || typeof edit.do !== 'string' || !Object.hasOwn(PLACES, edit.do)) {
    return true;
  }
  const places = PLACES[edit.do as BridgeEdit['do']];
  const width = edit.widthMm;
  const optional = edit.do === 'add' || edit.do === 'pin' ? ['widthMm'] : [];
  if (hasOthers(edit, ['do', ...places, ...optional])) return true;
  if (width !== undefined && !(isNumber(width) && width > 0 && width <= WIDEST_MM)) return true;
  return places.some((name) => !isPlace(edit[name]));
}

function wrongRegionEdit(edit: unknown): boolean {
  if (!isObject(edit) || hasOthers(edit, ['do', 'at'])) return true;
  return (edit.do !== 'drop' && edit.do !== 'keep') || !isPlace(edit.at);
}

function wrongStrokeEdit(edit: unknown): boolean {
  if (!isObject(edit)) return true;
  if (edit.do !== 'draw') return edit.do === 'move' || edit.do === 'remove' ? wrongBridgeEdit(edit) : true; // prettier-ignore
  const { along } = edit;
  if (hasOthers(edit, ['do', 'along']) || !Array.isArray(along)) return true;
  if (along.length < 2 || along.length > MOST_PLACES || !along.every(isPlace)) return true;
  return lengthAlong(along) > LONGEST_LINE_MM;
}

function lengthAlong(places: readonly Place[]): number {
  return places.reduce((sum, [x, y], i) => {
    const [beforeX, beforeY] = places[Math.max(0, i - 1)];
    return sum + Math.hypot(x - beforeX, y - beforeY);
  }, 0);
}

function wrongArea(area: unknown): boolean {
  return !Array.isArray(area) || area.length < 3 || area.length > MOST || !area.every(isPlace);
}

/** What to do about a list whose items can't all be used; undefined when they can. */
export function wrongList(
  value: unknown,
  wrong: (item: unknown) => boolean,
  form: string,
  most = MOST,
): string | undefined {
  if (!Array.isArray(value)) return `Write a list like this: ${form}`;
  if (value.length > most) return `Give at most ${most} of them`;
  const place = value.findIndex(wrong);
  if (place < 0) return undefined;
  return `Number ${place + 1} of the list can't be read; write it like this: ${form}`;
}

function isPlace(value: unknown): value is Place {
  return (
    Array.isArray(value) &&
    value.length === 2 &&
    value.every((mm) => isNumber(mm) && Math.abs(mm) <= FARTHEST_MM)
  );
}

export function isNumber(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value);
}

export function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

export function hasOthers(of: object, names: readonly string[]): boolean {
  return Object.keys(of).some((name) => !names.includes(name));
}
