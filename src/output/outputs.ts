import type { Sheet } from '../settings/card.js';
import type { Shape } from '../geometry/shape.js';
import type { Job } from '../settings/job.js';
import type { Bridge } from '../stages/bridge/bridge.js';
import type { CutPlan } from '../stages/plan/plan.js';

/** The sheets that are drawn from a finished stencil, by the name that a person asks for them by. */
export type SheetName =
  'stencil' | 'template' | 'plan' | 'preview' | 'mirrored' | 'masks' | 'dxf' | 'png';

/** What sheets are drawn from. */
export interface DrawingInput {
  readonly name: string;
  /** What stands after it, in the tool's own words. */
  readonly says?: string;
  /** What is cut away: film is the sheet without these. */
  readonly openings: readonly Shape[];
  /** What the tip follows: the openings, or of a mask its holes and its own outline. */
  readonly cuts: readonly Shape[];
  readonly bridges: readonly Bridge[];
  readonly plan: CutPlan;
  readonly sheet: Sheet;
  readonly job: Job;
  /** Chooses the template's paper where the job does not: "en-US", "de_DE.UTF-8". */
  readonly locale: string;
}

/** What is in each file, by its name. */
export type Files = ReadonlyMap<string, string | Uint8Array>;

/** Draws sheets from an order. */
export type Draw = (order: DrawingInput, sheets: readonly SheetName[]) => Promise<Files>;

/** Makes one file. */
type DrawOne = (order: DrawingInput) => Promise<string | Uint8Array>;

const drawers: Readonly<Record<SheetName, readonly [file: string, () => Promise<DrawOne>]>> = {
  stencil: [
    'stencil.svg',
    async () => {
      const { stencilSvg } = await import('./svg/svg.js');
      return ({ openings, sheet }) => Promise.resolve(stencilSvg(openings, sheet));
    },
  ],
  template: [
    'template.pdf',
    async () => {
      const { templatePdf } = await import('./pdf/template.js');
      return (order) => templatePdf(asFollowed(order));
    },
  ],
  preview: [
    'preview.png',
    async () => {
      const { previewPng, warmPreview } = await import('./png/preview.js');
      warmPreview();
      const { withoutRegisterMarks } = await import('../geometry/register-marks.js');
      const { innerCorners } = await import('../geometry/inner-corners.js');
      return ({ openings, bridges, sheet, job }) => {
        // Register marks are for a pencil, not for paint.
        const painted = withoutRegisterMarks(openings, sheet, job);
        const { previewShows: shows } = job;
        return previewPng(painted, sheet, job, {
          ...((shows === 'bridges' || shows === 'both') && { numbers: bridges.map(numberOf) }),
          ...((shows === 'sharp-corners' || shows === 'both') && { rings: innerCorners(painted) }),
        });
      };
    },
  ],
  plan: [
    'plan.pdf',
    async () => {
      const { planPdf } = await import('./pdf/plan.js');
      return (order) => planPdf(asFollowed(order));
    },
  ],
  mirrored: [
    'template-mirrored.pdf',
    async () => {
      const { mirroredPdf } = await import('./pdf/template.js');
      return (order) => mirroredPdf(asFollowed(order));
    },
  ],
  masks: [
    'masks.pdf',
    async () => {
      const { masksPdf } = await import('./pdf/masks.js');
      return (order) => masksPdf(asFollowed(order));
    },
  ],
  png: [
    'stencil.png',
    async () => {
      const { stencilPng } = await import('./png/stencil-png.js');
      return ({ openings, sheet, job }) => stencilPng(openings, sheet, job.resolution);
    },
  ],
  dxf: [
    'stencil.dxf',
    async () => {
      const { stencilDxf } = await import('./dxf.js');
      return ({ cuts, sheet }) => Promise.resolve(stencilDxf(cuts, sheet));
    },
  ],
};

/** What each sheet's file is called. */
export const sheetFiles = Object.fromEntries(
  Object.entries(drawers).map(([name, [file]]) => [name, file]),
) as Readonly<Record<SheetName, string>>;

/** An order as the hand follows it. On a mask's template the mask itself is grey, on a stencil's what falls out. */
function asFollowed(order: DrawingInput): DrawingInput {
  const { says = '', cuts, job } = order;
  const followed = job.as === 'mask' ? `${says}, mask: keep the grey piece` : says;
  return { ...order, says: followed, openings: cuts };
}

/** A bridge's number, in the middle of it. */
function numberOf({ number, from, to }: Bridge): { number: number; at: { x: number; y: number } } {
  return { number, at: { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 } };
}

/** Loads what draws the sheets, ahead of time. */
export async function loadSheets(sheets: readonly SheetName[]): Promise<void> {
  await Promise.all(sheets.map((name) => drawers[name][1]()));
}

/** Draws sheets in this thread. */
export const drawSheets: Draw = async (order, sheets) =>
  new Map(
    await Promise.all(
      sheets.map(async (name) => {
        const [file, load] = drawers[name];
        const draw = await load();
        return [file, await draw(order)] as const;
      }),
    ),
  );
