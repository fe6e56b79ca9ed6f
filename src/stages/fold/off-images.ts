import { halfCovered } from '../../geometry/coverage.js';
import { imageOf, type Isometry, type SymmetryPattern } from '../../geometry/fold-pattern.js';
import type { Outline, Shape } from '../../geometry/shape.js';

/** Openings are laid over their images on a raster of so many px a mm: half the stages', for a share of a hundredth. */
const PX_PER_MM = 5;

/** The largest share of openings, in area, that lies off their image by one of a pattern's turns and mirrors. */
export function shareOffImages(shapes: readonly Shape[], { copies, to }: SymmetryPattern): number {
  const [width, height] = [to.x, to.y].map((mm) => Math.ceil(mm * PX_PER_MM));
  const drawn = (by: Isometry): Uint8Array =>
    halfCovered(shapes.map((shape) => movedShape(shape, by)), width, height, PX_PER_MM).data; // prettier-ignore
  const [own, ...images] = copies.map(drawn);
  const all = own.reduce((sum, value) => sum + value, 0);
  const off = images.map((image) =>
    own.reduce((sum, value, i) => sum + (value & (1 - image[i])), 0),
  );
  return Math.max(0, ...off) / Math.max(1, all);
}

function movedShape({ outer, holes }: Shape, by: Isometry): Shape {
  return { outer: movedOutline(outer, by), holes: holes.map((hole) => movedOutline(hole, by)) };
}

function movedOutline(outline: Outline, by: Isometry): Outline {
  const coords = outline.coords.slice();
  for (let i = 0; i < coords.length; i += 2) {
    const { x, y } = imageOf(by, { x: coords[i], y: coords[i + 1] });
    [coords[i], coords[i + 1]] = [x, y];
  }
  return { ...outline, coords };
}
