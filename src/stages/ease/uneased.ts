import type { Eased } from './ease.js';
import type { Traced } from '../trace/trace.js';

/**
 * Outlines as they were traced, in the place of eased ones: for a first look while a control moves, in half the time.
 * What is cut is never made of these.
 */
export function uneased({ shapes, curves }: Traced): Eased {
  return { shapes, curves, corners: 0, deviationMm: 0 };
}
