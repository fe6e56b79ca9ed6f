import type { Point } from '../geometry/shape.js';
import type { Feature } from './features.js';
import type { FaceWindow } from './window.js';

/** Landmarks miss a brow by up to this, up or down, in widths of the face. */
const BROW_OFF = 0.05;
/** … and are tried in so many steps each way … */
const BROW_STEPS = 5;
/** … of which those that differ by no more than this, of 256 levels, are alike. */
const AS_DARK = 2;

/** A brow where it is darkest: it is so thin that landmarks often lie beside it. */
export function onDarkest(
  feature: Feature,
  { lightness, landmarks, width, height }: FaceWindow,
): Feature {
  const [first, last, chin, bridge] = [0, 16, 8, 27].map((k) => landmarks[k]);
  const tall = Math.hypot(bridge.x - chin.x, bridge.y - chin.y) || 1;
  const step = (BROW_OFF * Math.hypot(last.x - first.x, last.y - first.y)) / BROW_STEPS;
  const up = { x: ((bridge.x - chin.x) / tall) * step, y: ((bridge.y - chin.y) / tall) * step };
  const by = (points: readonly Point[], steps: number): Point[] =>
    points.map(({ x, y }) => ({ x: x + steps * up.x, y: y + steps * up.y }));
  const seen = Array.from({ length: 2 * BROW_STEPS + 1 }, (_, k) => {
    const steps = k - BROW_STEPS;
    const line = by(feature.axis, steps).map(({ x, y }) => [Math.floor(x), Math.floor(y)]);
    const inside = line.filter(([x, y]) => x >= 0 && y >= 0 && x < width && y < height);
    return { steps, dark: mean(inside.map(([x, y]) => lightness[y * width + x])) };
  });
  const darkest = Math.min(...seen.map(({ dark }) => dark).filter((dark) => !Number.isNaN(dark)));
  // A thick one is as dark in several places: its middle.
  const alike = seen.filter(({ dark }) => dark <= darkest + AS_DARK).map(({ steps }) => steps);
  const off = alike.length > 0 ? mean(alike) : 0;
  return { ...feature, axis: by(feature.axis, off), outline: by(feature.outline, off) };
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
