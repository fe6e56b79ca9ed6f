import type { Point } from '../geometry/shape.js';
import type { Feature } from './features.js';
import type { FaceWindow } from './window.js';

/** Landmarks miss a brow or a mouth by up to this, up or down, in widths of the face. */
const MOST_OFF = 0.05;
/** … and are tried in so many steps each way … */
const STEPS = 5;
/** … of which those that differ by no more than this, of 256 levels, are alike. */
const AS_DARK = 2;

/** Points of a face, moved up it by so many steps: from the chin towards the bridge of the nose. */
function mover({ landmarks }: FaceWindow): (points: readonly Point[], steps: number) => Point[] {
  const [first, last, chin, bridge] = [0, 16, 8, 27].map((k) => landmarks[k]);
  const tall = Math.hypot(bridge.x - chin.x, bridge.y - chin.y) || 1;
  const step = (MOST_OFF * Math.hypot(last.x - first.x, last.y - first.y)) / STEPS;
  const up = { x: ((bridge.x - chin.x) / tall) * step, y: ((bridge.y - chin.y) / tall) * step };
  return (points, steps) =>
    points.map(({ x, y }) => ({ x: x + steps * up.x, y: y + steps * up.y }));
}

/** A feature where landmarks may have missed it, nearest first. */
export function nearby(feature: Feature, window: FaceWindow): Feature[] {
  const by = mover(window);
  return Array.from({ length: STEPS }, (_, k) => [k + 1, -k - 1]).flatMap((both) =>
    both.map((steps) => ({
      ...feature,
      axis: by(feature.axis, steps),
      outline: by(feature.outline, steps),
    })),
  );
}

/** A brow where it is darkest: it is so thin that landmarks often lie beside it. */
export function onDarkest(feature: Feature, window: FaceWindow): Feature {
  const { lightness, width, height } = window;
  const by = mover(window);
  const seen = Array.from({ length: 2 * STEPS + 1 }, (_, k) => {
    const steps = k - STEPS;
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
