import { halfCovered } from '../../geometry/coverage.js';
import type { Isometry, SymmetryPattern } from '../../geometry/fold-pattern.js';
import type { Shape } from '../../geometry/shape.js';
import { movedOutline } from '../../geometry/unfold-outlines.js';
import { countOpening } from '../../raster/count.js';
import { intersection } from '../../raster/morphology.js';
import type { Bitmap } from '../../raster/raster.js';

/** Openings are laid over their images on a raster of so many px a mm: half the stages', for a share of a hundredth. */
const PX_PER_MM = 5;

/** The largest share of openings, in area, that lies off their image by one of a pattern's turns and mirrors. */
export function shareOffImages(shapes: readonly Shape[], { copies, to }: SymmetryPattern): number {
  const [width, height] = [to.x, to.y].map((mm) => Math.ceil(mm * PX_PER_MM));
  const drawn = (by: Isometry): Bitmap =>
    halfCovered(shapes.map((shape) => movedShape(shape, by)), width, height, PX_PER_MM); // prettier-ignore
  const [own, ...images] = copies.map(drawn);
  const all = countOpening(own);
  const off = images.map((image) => all - countOpening(intersection(own, image)));
  return Math.max(0, ...off) / Math.max(1, all);
}

function movedShape({ outer, holes }: Shape, by: Isometry): Shape {
  return { outer: movedOutline(outer, by), holes: holes.map((hole) => movedOutline(hole, by)) };
}
