import { describe, expect, it } from 'vitest';
import { completeJob, makeStencil, type JobInput } from '../../src/index.js';
import { paintedBy } from '../support/resvg.js';
import { errorsOf, faults } from '../support/stencil-drawing.js';
import { SIDE, symmetricDrawings, type SymmetricDrawing } from '../support/symmetric-drawings.js';

/*
 * Symmetric drawings whose mirrors and turns are known, since they were drawn by them: the finished stencil.svg is drawn by
 * resvg (SVG 2), once as it is and once moved by each generator of the drawing's group, as an SVG transform of its own. The
 * groups are D1, Dn and Cn of the plane by their definition (a mirror, and turns by 360° / n).
 */

const USUAL: JobInput = { fineness: 5, strands: 'never' };
const DPI = 254;
/** Of the print so much may lie off its image. */
const MOST_OFF = 0.01;
/** What was found is no further off what was drawn than this, in mm and degrees. */
const NEAR = { mm: 0.1, degrees: 0.15 };

/** The openings of a stencil.svg, moved by a transform. */
const openingsOf = (svg: string, transform = ''): string =>
  svg
    .replace(/<rect id="sheet"[^>]*>/, '')
    .replace(/(<path id="openings"[^>]*>)/, `<g transform="${transform}">$1</g>`);

/** The share of the print that lies off its image by a transform: of a mask, of what stays. */
function shareOff(svg: string, transform: string, of: 0 | 1): number {
  const [print, image] = ['', transform].map((by) =>
    paintedBy(openingsOf(svg, by), DPI).data.map((value) => Number(value === of)),
  );
  let [all, off] = [0, 0];
  for (let i = 0; i < print.length; i++) {
    all += print[i];
    off += print[i] & (1 - image[i]);
  }
  return all > 0 ? off / all : 1;
}

/** Turns by one step, and the mirror in an axis that leans by so many degrees from straight up. */
const turnBy = (turns: number, x: number, y: number): string => `rotate(${360 / turns} ${x} ${y})`;
const mirrorIn = (degrees: number, x: number, y: number): string =>
  `translate(${x} ${y}) rotate(${degrees}) scale(-1 1) rotate(${-degrees}) translate(${-x} ${-y})`;

/** The least angle from one direction to another, of axes that come again after so many degrees. */
function apart(a: number, b: number, step: number): number {
  const off = (((a - b) % step) + step) % step;
  return Math.min(off, step - off);
}

async function made(drawing: SymmetricDrawing, given: JobInput = {}) {
  const job = completeJob({ ...USUAL, ...given });
  const stencil = await makeStencil(Buffer.from(drawing.svg), job, {
    name: 'symmetric',
    outputs: ['stencil'],
  });
  const { read, fold } = stencil.run.values;
  const [x, y] = ([0, 1] as const).map((axis) => {
    const { pictureBox, pixelsPerMm } = read;
    const [from, wide] =
      axis === 0 ? [pictureBox.x, pictureBox.width] : [pictureBox.y, pictureBox.height];
    return (from + (drawing.centre[axis] / SIDE) * wide) / pixelsPerMm;
  });
  return { stencil, found: fold.symmetry, centre: { x, y } };
}

/** Checks a stencil, or a mask, against all that its drawing is symmetric by. */
async function expectSymmetric(drawing: SymmetricDrawing, given: JobInput = {}): Promise<void> {
  const { turns, axis } = drawing;
  const of = given.as === 'mask' ? 0 : 1;
  const { stencil, found, centre } = await made(drawing, given);
  expect(found?.beside).toBe(axis === undefined ? 'turned' : 'mirrored');
  expect(found?.layers).toBe(axis === undefined ? turns : 2 * turns);
  const { x, y } = found!.centre!;
  const [dx, dy] = [x - centre.x, y - centre.y];
  if (axis === undefined || turns > 1) expect(Math.hypot(dx, dy)).toBeLessThan(NEAR.mm);
  if (axis !== undefined) {
    expect(apart(found!.tilt, axis, 180 / turns)).toBeLessThan(NEAR.degrees);
    const angle = (axis * Math.PI) / 180;
    expect(Math.abs(dx * Math.cos(angle) + dy * Math.sin(angle))).toBeLessThan(NEAR.mm);
  }
  const svg = String(stencil.files.get('stencil.svg'));
  if (turns > 1) expect(shareOff(svg, turnBy(turns, x, y), of)).toBeLessThan(MOST_OFF);
  if (axis !== undefined) {
    expect(shareOff(svg, mirrorIn(found!.tilt, x, y), of)).toBeLessThan(MOST_OFF);
  }
  // Round a mask the margin is cut away, which would be a fault of a stencil.
  expect(given.as === 'mask' ? errorsOf(stencil.run) : faults(stencil)).toEqual([]);
}

describe('the stencil of a drawing that is symmetric', () => {
  it.each(symmetricDrawings.map((drawing) => [drawing.name, drawing] as const))(
    'is symmetric as it is: %s',
    (_, drawing) => expectSymmetric(drawing),
  );

  it.each(['a butterfly at 30 degrees', 'a pinwheel of five', 'a swirl'])(
    'is so as a mask: %s',
    (name) => {
      const drawing = symmetricDrawings.find((each) => each.name === name)!;
      return expectSymmetric(drawing, { as: 'mask' });
    },
  );
});
