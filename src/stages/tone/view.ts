import type { Job } from '../../job.js';
import { fieldOf, type Field } from '../../raster/field.js';
import type { Picture } from '../read.js';

/** The settings that decide about tone. */
export type ToneJob = Pick<
  Job,
  'tone' | 'level' | 'swap' | 'smoothing' | 'narrowestOpening' | 'narrowestStrip'
>;

/** What tone needs of a picture. */
export type Framed = Pick<Picture, 'gray' | 'frame' | 'pixelsPerMm'>;

/** The picture inside its frame, lightness 0 to 255, on a grid that may be coarser than the sheet's. */
export interface View {
  readonly field: Field;
  readonly pixelsPerMm: number;
  /** How many of the sheet's pixels one of the view's covers, each way. */
  readonly factor: number;
}

/** How far each pixel of a view is from being dark; below 0 it is dark. */
export interface Decision {
  readonly lightness: Field;
  /** As the view's. */
  readonly factor: number;
}

/**
 * The view on the coarsest grid on which `mm` still spans `pixels` pixels: for who smooths to that scale there
 * is nothing finer to lose.
 */
export function viewOf({ gray, frame, pixelsPerMm }: Framed, mm: number, pixels: number): View {
  const factor = Math.max(1, Math.floor((mm * pixelsPerMm) / pixels));
  return { field: fieldOf(gray, frame, factor), pixelsPerMm: pixelsPerMm / factor, factor };
}
