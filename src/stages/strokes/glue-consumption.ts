import type { Job } from '../../settings/job.js';

/** What the lines take of glue and of time. */
export interface GlueConsumption {
  /** Of all strokes, mm. */
  readonly lengthMm: number;
  /** Of a bead, mm². */
  readonly sectionMm2: number;
  readonly volumeMm3: number;
  readonly sticks: number;
  /** How it was reckoned, for a person to reckon again; π/4 is 0.785, and no print's own typeface has a π. */
  readonly formula: string;
}

export type GlueSettings = Pick<Job, 'beadWidth' | 'beadHeight' | 'stickThickness' | 'stickLength'>;

/**
 * What a length of bead takes. A bead that lies flat is half an ellipse across, one as high as it is wide a circle: both
 * have π/4 × width × height.
 *
 * @param lengthMm mm
 */
export function glueConsumption(lengthMm: number, job: GlueSettings): GlueConsumption {
  const { beadWidth: w, beadHeight: h, stickThickness: d, stickLength } = job;
  const sectionMm2 = (Math.PI / 4) * w * h;
  const stickMm3 = (Math.PI / 4) * d * d * stickLength;
  const volumeMm3 = sectionMm2 * lengthMm;
  const sticks = volumeMm3 / stickMm3;
  const metres = (lengthMm / 1000).toFixed(2);
  const formula =
    `line 0.785 × ${toHundredth(w)} mm × ${toHundredth(h)} mm = ${sectionMm2.toFixed(1)} mm², ` +
    `${metres} m of it ${(volumeMm3 / 1000).toFixed(1)} cm³; ` +
    `stick 0.785 × ${toHundredth(d)} mm × ${toHundredth(d)} mm × ${toHundredth(stickLength)} mm = ${(stickMm3 / 1000).toFixed(1)} cm³`;
  return { lengthMm, sectionMm2, volumeMm3, sticks, formula };
}

const toHundredth = (value: number): number => Math.round(value * 100) / 100;
