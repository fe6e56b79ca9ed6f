import type { Area, BridgeEdit, Place, RegionEdit } from '../../settings/edits.js';
import { foldedBack, imageOf, type SymmetryPattern } from '../../geometry/fold-pattern.js';

/** Edits with all their images, and by each the place in the list of the edit that it comes of. */
export interface EditOrbits<E> {
  readonly edits: readonly E[];
  readonly of: readonly number[];
}

/** What comes back to its place may be off by rounding so much, in mm. */
const ON_FOLD_MM = 1e-6;
/** Images of a place nearer to one another than this, in mm, are one: it lies on a fold. */
const SAME_MM = 0.3;

/** What a person says of one bridge holds for all its images. */
export function bridgeOrbits(
  edits: readonly BridgeEdit[],
  pattern: SymmetryPattern,
): EditOrbits<BridgeEdit> {
  return orbits(edits, pattern, (edit, to) =>
    edit.do === 'remove'
      ? { ...edit, at: to(edit.at) }
      : edit.do === 'move'
        ? { ...edit, at: to(edit.at), from: to(edit.from), to: to(edit.to) }
        : { ...edit, from: to(edit.from), to: to(edit.to) },
  );
}

/** What a person says of one region holds for all its images. */
export function regionOrbits(
  edits: readonly RegionEdit[],
  pattern: SymmetryPattern,
): EditOrbits<RegionEdit> {
  return orbits(edits, pattern, (edit, to) => ({ ...edit, at: to(edit.at) }));
}

/** Areas that are kept free, with all their images. */
export function areaOrbits(areas: readonly Area[], pattern: SymmetryPattern): readonly Area[] {
  return areas.flatMap((area) => imagesOf(area, pattern));
}

function orbits<E extends object>(
  edits: readonly E[],
  pattern: SymmetryPattern,
  moved: (edit: E, to: (place: Place) => Place) => E,
): EditOrbits<E> {
  const all: E[] = [];
  const of: number[] = [];
  edits.forEach((edit, index) => {
    const places: Place[] = [];
    moved(edit, (place) => {
      places.push(place);
      return place;
    });
    const seen: Place[][] = [];
    for (const image of imagesOf(places, pattern)) {
      if (seen.some((other) => isSame(other, image))) continue;
      seen.push([...image]);
      let next = 0;
      all.push(moved(edit, () => image[next++]));
      of.push(index);
    }
  });
  return { edits: all, of };
}

/** Whether places are the same, or the same the other way round. */
function isSame(a: readonly Place[], b: readonly Place[]): boolean {
  const near = (p: Place, q: Place): boolean => Math.hypot(p[0] - q[0], p[1] - q[1]) < SAME_MM;
  const n = a.length;
  return (
    a.every((place, i) => near(place, b[i])) || a.every((place, i) => near(place, b[n - 1 - i]))
  );
}

/** The images of places, which go along together: by the parts of the sheet, with the first place in each. */
function imagesOf(
  places: readonly Place[],
  pattern: SymmetryPattern,
): readonly (readonly Place[])[] {
  const [x, y] = places[0];
  const home = foldedBack(pattern, x, y);
  if (!home) return [places];
  const copy = pattern.copies.findIndex((each) => {
    const image = imageOf(each, home);
    return Math.hypot(image.x - x, image.y - y) < ON_FOLD_MM;
  });
  const { a, b, c, d, e, f } = pattern.copies[Math.max(0, copy)];
  const back = places.map(([px, py]) => ({
    x: a * (px - e) + b * (py - f),
    y: c * (px - e) + d * (py - f),
  }));
  return pattern.copies.map((each) =>
    back.map((place): Place => {
      const image = imageOf(each, place);
      return [image.x, image.y];
    }),
  );
}

/** Of edits that came to nothing those of which no image did anything, each once, by its own place in the list. */
export function unusedOf<U extends { readonly index: number }>(
  unused: readonly U[],
  of: readonly number[],
): U[] {
  const idle = new Map<number, U[]>();
  for (const each of unused) idle.set(of[each.index], [...(idle.get(of[each.index]) ?? []), each]);
  return [...idle].flatMap(([index, all]) =>
    all.length === of.filter((own) => own === index).length ? [{ ...all[0], index }] : [],
  );
}
