import { findRegions } from '../../raster/labels.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import { stampDisc } from '../../raster/stamp.js';
import { isSqueezed } from '../../raster/squeezed.js';
import { narrowBranches, type NarrowBranch } from '../../raster/narrow-branches.js';
import {
  boxesRound,
  copyOf,
  grown,
  isMarked,
  lastInTile,
  markAround,
  tilesOf,
  type Tiles,
} from '../../raster/tiles.js';
import type { Rule, Rules } from './rules.js';

/** A picture in which nothing is too thin or too small, and what that took out. */
export interface WidthsKept {
  readonly bitmap: Bitmap;
  /** Dark specks that were too small to cut and became film. */
  readonly specksDropped: number;
  /** Specks of film that were too small to be worth a bridge and became opening. */
  readonly islandsDropped: number;
}

/** The bitmap in the making, and for each value the tiles in which something changed since it was last looked at. */
interface WidenState {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
  readonly changed: [film: Tiles, opening: Tiles];
}

/** A blob that is not wide enough is worth its widening when it has this share of the smallest area. By eye. */
const SMALLEST_BLOB = 0.7;
/** Tiles round a change that are looked at again, so that each thin place is seen whole. */
const LOOK_ROUND = 2;
/**
 * A tongue of film that gives way to the lines beside it is taken off where it is narrower than this share of its least width;
 * the rest of it, nearly wide enough, stays. By eye.
 */
const NARROW_TONGUE = 0.85;
/** So many times openings and film are widened in turn, which settles most pictures; then film alone may grow. */
const FREE_ROUNDS = 2;
/**
 * Settling takes a few rounds, and ends by itself, as `keepWidths` says. What a picture is left with that needs more is for
 * the check to tell.
 */
const MOST_ROUNDS = 200;

/**
 * Makes every opening and every strip of film at least as wide as the rules say, touching only what is too thin
 * (minimum-width enforcement).
 *
 * Too thin is found by exact distances (Felzenszwalb & Huttenlocher 2012) and thinning (Zhang & Suen 1984), see
 * `narrowBranches`; it is widened by disks along its centreline. Openings and film pull against each other: two rounds
 * let each have its way in turn, then film wins: it may only grow until nothing is too thin. That ends, since each
 * round changes some pixel, and from then on no film is taken away but whole islands, and there are only so many.
 */
export function keepWidths(drawn: Bitmap, rules: Rules): WidthsKept {
  const { width, height } = drawn;
  const { film, opening, inside } = rules;
  const tiles = tilesWithOpenings(drawn);
  const work: WidenState = {
    width,
    height,
    data: drawn.data.slice(),
    changed: [tiles, copyOf(tiles)],
  };
  const dropped = dropSpecks(work, rules);
  for (let round = 0; round < FREE_ROUNDS; round++) {
    thicken(work, opening, inside);
    thicken(work, film, inside, opening);
  }
  let left = settle(work, rules, MOST_ROUNDS);
  let { islandsDropped } = dropped;
  // Ends: each turn but the last takes a part away, and none comes.
  for (let gone = 1; gone > 0;) {
    const islands = dropSmall(work, film);
    gone = islands + dropSmall(work, opening);
    islandsDropped += islands;
    if (gone > 0) left = settle(work, rules, left);
  }
  return { ...dropped, bitmap: { width, height, data: work.data }, islandsDropped };
}

/** The tiles that hold any opening: where there is none, nothing is thin. */
function tilesWithOpenings({ width, height, data }: Bitmap): Tiles {
  const tiles = tilesOf(width, height);
  for (let i = data.indexOf(1); i >= 0; i = data.indexOf(1, i + 1)) {
    const y = Math.floor(i / width);
    const x = i - y * width;
    markAround(tiles, x, y, 0);
    i += Math.min(lastInTile(x), width - 1) - x;
  }
  return tiles;
}

/** Lets the film grow until nothing is too thin, in at most so many rounds; returns how many are left. */
function settle(work: WidenState, { opening, film, inside }: Rules, most: number): number {
  for (let left = most; left > 0; left--) {
    const { widened, changed } = thicken(work, film, inside);
    const filled = fillThinOpenings(work, opening, inside);
    if (widened.length + filled === 0) return left;
    // Disks that are kept within the sheet may lie beside a thin place at its edge: there they have to reach out of it.
    if (changed + filled === 0) for (const place of widened) stampWhereItLies(work, place, film);
  }
  return 0;
}

/** Notes that pixels within `reach` px of pixel `i` may have changed. */
function noteChange({ changed, width }: WidenState, i: number, reach: number): void {
  const x = i % width;
  const y = Math.floor(i / width);
  for (const tiles of changed) markAround(tiles, x, y, reach);
}

/** Takes out what is both too small and too short to become anything. */
function dropSpecks(work: WidenState, { film, opening }: Rules): Omit<WidthsKept, 'bitmap'> {
  const hopeless =
    (rule: Rule, share: number) =>
    (area: number, extent: number): boolean =>
      area < share * rule.smallest && extent < rule.shortest;
  const islandsDropped = dropRegions(work, 0, hopeless(film, 1));
  const specksDropped = dropRegions(work, 1, hopeless(opening, SMALLEST_BLOB));
  return { specksDropped, islandsDropped };
}

function dropSmall(work: WidenState, { value, smallest }: Rule): number {
  return dropRegions(work, value, (area) => area < smallest);
}

/** Gives the regions of one value that a rule is against to the other value; returns how many. */
function dropRegions(
  work: WidenState,
  value: 0 | 1,
  against: (area: number, extent: number) => boolean,
): number {
  const { starts, ends, numbers, areas, bounds } = findRegions(work, value, value === 1 ? 8 : 4);
  const doomed = new Uint8Array(areas.length);
  let dropped = 0;
  for (let label = 1; label < areas.length; label++) {
    const [left, top, right, bottom] = bounds.subarray(4 * label, 4 * label + 4);
    if (!against(areas[label], Math.hypot(right - left + 1, bottom - top + 1))) continue;
    doomed[label] = 1;
    dropped++;
  }
  if (dropped === 0) return 0;
  for (let run = 0; run < starts.length; run++) {
    if (doomed[numbers[run]] === 0) continue;
    work.data.fill(1 - value, starts[run], ends[run]);
    for (let i = starts[run]; i < ends[run]; i++) noteChange(work, i, 1);
  }
  return dropped;
}

/** The thin places of one value in what has changed since that value was last looked at. */
function newThinPlaces(work: WidenState, rule: Rule, inside: Box): NarrowBranch[] {
  const { width, height, changed } = work;
  const near = grown(changed[rule.value], 1);
  const windows = boxesRound(grown(changed[rule.value], LOOK_ROUND), width, height);
  changed[rule.value] = tilesOf(width, height);
  return windows.flatMap((window) =>
    narrowBranches(work, rule.value, rule.halfWidth, inside, window).filter(({ pixels }) =>
      pixels.some((i) => isMarked(near, i % width, Math.floor(i / width))),
    ),
  );
}

/** The thin places that were widened, and how many pixels changed with them and with those that gave way. */
interface Thickened {
  readonly widened: readonly NarrowBranch[];
  readonly changed: number;
}

/**
 * Widens the thin places of one value; pieces that are thin all over and not worth it go, and so do tongues that are
 * squeezed between regions that follow `neighbour`, if that is given.
 */
function thicken(work: WidenState, rule: Rule, inside: Box, neighbour?: Rule): Thickened {
  const places = newThinPlaces(work, rule, inside);
  const bounds = rule.value === 1 ? inside : { x: 0, y: 0, width: work.width, height: work.height };
  const stays = places.map((place) =>
    place.region
      ? worthWidening(place.region.length, place.pixels.length, rule)
      : !neighbour || !givesWay(place, work, rule, neighbour),
  );
  let changed = 0;
  for (const place of places.filter((_, k) => !stays[k])) {
    changed += takeOff(work, place, rule, inside);
  }
  const widened = places.filter((_, k) => stays[k]);
  for (const { pixels } of widened) {
    for (const i of pixels) {
      changed += stampInside(work, bounds, i, rule.madeHalfWidth, rule.value);
    }
  }
  return { widened, changed };
}

/** Widens a thin place by disks round its very pixels. */
function stampWhereItLies(work: WidenState, { pixels }: NarrowBranch, rule: Rule): void {
  for (const i of pixels) stampAt(work, i, rule.madeHalfWidth, rule.value);
}

/**
 * Whether a place is a tongue that runs out between two thin lines as they meet: widening it would cost the lines,
 * and nothing hangs from it. The lines may then run together there.
 */
function givesWay(
  { pixels, joins }: NarrowBranch,
  work: WidenState,
  rule: Rule,
  neighbour: Rule,
): boolean {
  return !joins && isSqueezed(work, pixels, rule.madeHalfWidth, neighbour.halfWidth);
}

/**
 * Gives a thin place to the other value: the whole region if it is thin all over, else up to where it is thick.
 * Returns how many pixels changed.
 */
function takeOff(work: WidenState, place: NarrowBranch, rule: Rule, inside: Box): number {
  const { region, pixels, halfWidths } = place;
  if (region) return fill(work, region, 1 - rule.value);
  let changed = 0;
  pixels.forEach((i, k) => {
    if (halfWidths[k] > NARROW_TONGUE * rule.halfWidth) noteChange(work, i, 1);
    else changed += stampInside(work, inside, i, halfWidths[k] + 1, 1 - rule.value);
  });
  return changed;
}

function worthWidening(area: number, length: number, rule: Rule): boolean {
  return length >= rule.shortest || area >= SMALLEST_BLOB * rule.smallest;
}

/** Gives pixels a value; returns how many had another one before. */
function fill(work: WidenState, pixels: Iterable<number>, value: number): number {
  let changed = 0;
  for (const i of pixels) {
    if (work.data[i] !== value) changed++;
    work.data[i] = value;
    noteChange(work, i, 1);
  }
  return changed;
}

/** Stamps a disk round a pixel, as far as it lies on the sheet; returns how many pixels changed. */
function stampAt(work: WidenState, i: number, radius: number, value: number): number {
  const { width, height, data } = work;
  noteChange(work, i, radius);
  return stampDisc(data, width, height, i % width, Math.floor(i / width), radius, value);
}

/** Stamps a disk that does not reach out of `bounds`: near its edge the disk is moved inward. */
function stampInside(
  work: WidenState,
  bounds: Box,
  i: number,
  radius: number,
  value: number,
): number {
  const { width, height, data } = work;
  const reach = Math.floor(radius);
  const x = clamped(i % width, bounds.x + reach, bounds.x + bounds.width - 1 - reach);
  const y = clamped(Math.floor(i / width), bounds.y + reach, bounds.y + bounds.height - 1 - reach);
  noteChange(work, i, 2 * reach + 1);
  return stampDisc(data, width, height, x, y, radius, value);
}

function clamped(value: number, least: number, most: number): number {
  return Math.min(Math.max(value, least), Math.max(least, most));
}

/** Gives the openings' thin places to the film, wall to wall: film has the last word. Returns how many pixels changed. */
function fillThinOpenings(work: WidenState, opening: Rule, inside: Box): number {
  let changed = 0;
  for (const { pixels, halfWidths, region } of newThinPlaces(work, opening, inside)) {
    if (region) changed += fill(work, region, 0);
    else pixels.forEach((i, k) => (changed += stampAt(work, i, halfWidths[k] + 1, 0)));
  }
  return changed;
}
