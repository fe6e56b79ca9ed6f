/**
 * How much of a line drawing is still there: the share of its centrelines (of strokes from 5 mm on) that lie within
 * 1.2 mm of an opening of the finished stencil; and how much of them has run to a mass, into which a disk of 4 mm fits. `npm run strokes`; `npm run strokes rings`, `hatches`, `drawings` for a
 * part of it.
 */
import { halfCovered } from '../../src/geometry/coverage.js';
import { createPipeline } from '../../src/pipeline/pipeline.js';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import { Problem } from '../../src/settings/problem.js';
import { hatch, lineDrawings, rings, type LineDrawing } from '../support/line-drawings.js';
import { shareKept, shareMassed } from '../support/strokes-kept.js';

interface StrokesKept {
  readonly share: number;
  readonly massed: number;
  readonly said: string;
}

/** Makes a stencil of a drawing and measures what it kept. */
async function strokesKept(drawing: LineDrawing, job: JobInput): Promise<StrokesKept> {
  try {
    const { values } = await createPipeline().run(Buffer.from(drawing.svg), completeJob(job));
    const { sheet, pictureBox, pixelsPerMm } = values.read;
    const [width, height] = [sheet.widthMm, sheet.heightMm].map((mm) =>
      Math.round(mm * pixelsPerMm),
    );
    const print = halfCovered(values.bridge.openings, width, height, pixelsPerMm);
    const share = shareKept(drawing, print, pictureBox, pixelsPerMm);
    const broken = values.check.findings.filter(({ level }) => level === 'error').length;
    const massed = shareMassed(drawing, print, pictureBox, pixelsPerMm);
    return { share, massed, said: broken ? `${broken} broken` : '' };
  } catch (error) {
    if (!(error instanceof Problem)) throw error;
    return { share: 0, massed: 0, said: error.message.slice(0, 60) };
  }
}

const parts = process.argv.slice(2).filter((word) => /^[a-z]+$/.test(word));
const wants = (part: string): boolean => parts.length === 0 || parts.includes(part);
const step = Number(process.argv.find((word) => word.startsWith('--step='))?.slice(7) ?? 0.1);
const tools = (
  process.argv.find((word) => word.startsWith('--tool='))?.slice(7) ?? 'hot-tip,craft-knife'
).split(',');

async function gaps(name: string, draw: (gap: number) => LineDrawing): Promise<void> {
  for (const tool of tools as ('hot-tip' | 'craft-knife')[]) {
    let least = 1;
    const low: string[] = [];
    for (let gap = 0.2; gap <= 4.0001; gap += step) {
      const { share, said } = await strokesKept(draw(gap), { tool });
      least = Math.min(least, share);
      if (share < 0.95 || said)
        low.push(`${gap.toFixed(1)}: ${share.toFixed(2)}${said && ` (${said})`}`);
    }
    console.log(
      `${name}, ${tool}: least ${least.toFixed(2)}${low.length ? `; ${low.join(', ')}` : ''}`,
    );
  }
}

const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

if (wants('rings'))
  for (const line of [0.5, 0.9, 1.6, 2.4])
    await gaps(`rings of ${line} mm`, (gap) => rings(line, gap));
if (wants('hatches'))
  for (const line of [0.5, 0.9, 1.6, 2.4])
    await gaps(`hatch of ${line} mm`, (gap) => hatch(line, gap));
if (wants('drawings')) {
  for (const tool of tools as ('hot-tip' | 'craft-knife')[]) {
    const shares: number[] = [];
    const masses: number[] = [];
    for (const drawing of lineDrawings) {
      const { share, massed, said } = await strokesKept(drawing, { tool });
      shares.push(share);
      masses.push(massed);
      console.log(
        `${drawing.name}, ${tool}: ${share.toFixed(2)}, ${massed.toFixed(2)} run to a mass ${said}`,
      );
    }
    console.log(
      `drawings, ${tool}: mean ${meanOf(shares).toFixed(3)}, least ${Math.min(...shares).toFixed(2)}; run to a mass: mean ${meanOf(masses).toFixed(3)}, most ${Math.max(...masses).toFixed(2)}`,
    );
  }
}
