import { cubicOf, pointAt } from './cubic.js';
import { writeLine } from './outline.js';
import type { Outline } from './shape.js';
import { subCurve } from './sub-curve.js';

/**
 * Parameters at which a curve is looked at to find a distance from its end: on a curve of 6 mm a look each tenth of a
 * mm.
 */
const LOOKS = 64;

/** Where a corner's two curves are cut off: the parameter at which the one before it ends and its own begins. */
interface TipCut {
  readonly before: number;
  readonly after: number;
}

/**
 * Blunts the sharpest points of film: where an outline turns back on itself round a sliver of film, the sliver is cut
 * straight across where it is `widthMm` wide. Film that thin melts or curls away, and can't be drawn on a grid.
 *
 * Only corners where both curves run on well past the cut are blunted, and none is cut back by more than `mostMm`.
 * The opening lies to the right of an outline's way.
 */
export function bluntFilm(outline: Outline, widthMm: number, mostMm: number): Outline {
  const curves = outline.straight.length;
  const cuts = Array.from({ length: curves }, (_, i) => cutAt(outline, i, widthMm, mostMm));
  if (!cuts.some(Boolean)) return outline;
  const coords: number[] = [];
  const straight: number[] = [];
  const corner: number[] = [];
  for (let i = 0; i < curves; i++) {
    const cut = cuts[i];
    const part = subCurve(
      cubicOf(outline, i),
      cut?.after ?? 0,
      cuts[(i + 1) % curves]?.before ?? 1,
    );
    if (cut) {
      const [x, y] = pointAt(cubicOf(outline, (i + curves - 1) % curves), cut.before);
      const edge = new Float64Array(6);
      writeLine(edge, 0, { x, y }, { x: part[0], y: part[1] });
      coords.push(...edge);
      straight.push(1);
      corner.push(1);
    }
    coords.push(...part.subarray(0, 6));
    straight.push(outline.straight[i]);
    corner.push(cut ? 1 : outline.corner[i]);
  }
  return {
    coords: Float64Array.from(coords),
    straight: Uint8Array.from(straight),
    corner: Uint8Array.from(corner),
  };
}

/** A corner is sharp when its sides are still this near, as a share of how far they have come. */
const SHARP = 0.8;

function cutAt(outline: Outline, i: number, widthMm: number, mostMm: number): TipCut | undefined {
  if (outline.corner[i] === 0) return undefined;
  const curves = outline.straight.length;
  const before = cubicOf(outline, (i + curves - 1) % curves);
  const after = cubicOf(outline, i);
  const [cornerX, cornerY] = after;
  for (let k = 1; k < LOOKS / 2; k++) {
    const t = k / LOOKS;
    const [x, y] = pointAt(after, t);
    const far = Math.hypot(x - cornerX, y - cornerY);
    const s = parameterAtDistance(before, cornerX, cornerY, far);
    if (s === undefined || far > mostMm) return undefined;
    const [px, py] = pointAt(before, s);
    const apart = Math.hypot(x - px, y - py);
    if (apart > SHARP * far || far === 0) return undefined;
    const filmBetween = (cornerX - px) * (y - py) - (cornerY - py) * (x - px) < 0;
    if (!filmBetween) return undefined;
    if (apart >= widthMm) return { before: s, after: t };
  }
  return undefined;
}

/** The parameter, in the second half of a curve, at which it is so far from its end; undefined when it never is. */
function parameterAtDistance(
  curve: Float64Array,
  endX: number,
  endY: number,
  distance: number,
): number | undefined {
  for (let k = LOOKS - 1; k >= LOOKS / 2; k--) {
    const [x, y] = pointAt(curve, k / LOOKS);
    if (Math.hypot(x - endX, y - endY) >= distance) return k / LOOKS;
  }
  return undefined;
}
