import type { Sheet } from '../settings/card.js';
import type { Shape } from '../geometry/shape.js';
import type { Job } from '../settings/job.js';
import type { Bridge } from '../stages/bridge/bridge.js';
import { Problem } from '../settings/problem.js';
import type { Packet } from '../stages/packet/packet.js';
import type { CutPlan } from '../stages/plan/plan.js';
import type { Broken } from './broken.js';
import type { DrawnStrokes } from '../stages/strokes/strokes.js';

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
  /** What is cut into the packet; null where the sheet is not folded. */
  readonly packet?: Packet | null;
  /** What is drawn with glue, where it is. */
  readonly strokes?: DrawnStrokes;
  /** Which promises it does not keep, to be said on paper. */
  readonly broken?: Broken;
  readonly sheet: Sheet;
  readonly job: Job;
  /** Chooses the template's paper where the job does not: "en-US", "de_DE.UTF-8". */
  readonly locale: string;
}

/** What is in each file, by its name. */
export type Files = ReadonlyMap<string, string | Uint8Array>;

/** Draws outputs of a finished stencil. */
export type Draw = (input: DrawingInput, sheets: readonly DrawnOutput[]) => Promise<Files>;

/** Makes one file. */
type DrawOne = (input: DrawingInput) => Promise<string | Uint8Array>;

/** An output that is drawn from a finished stencil. */
interface OutputEntry {
  readonly file: string;
  /** Written unless `outputs` says otherwise. */
  readonly usual: boolean;
  /** Loads what draws it. */
  readonly load: () => Promise<DrawOne>;
}

/**
 * Every output that is drawn, by the name that a person asks for it by; the report is written with each. A new one is an
 * entry here, and the compiler asks the page for its words.
 */
const outputs = {
  stencil: {
    file: 'stencil.svg',
    usual: true,
    load: async () => {
      const { stencilSvg } = await import('./svg/svg.js');
      return ({ openings, sheet }) => Promise.resolve(stencilSvg(openings, sheet));
    },
  },
  strokes: {
    file: 'strokes.svg',
    usual: false,
    load: async () => {
      const { strokesSvg } = await import('./svg/strokes-svg.js');
      return ({ strokes, sheet, job }) =>
        Promise.resolve(strokesSvg(strokes?.strokes ?? [], job.beadWidth, sheet));
    },
  },
  template: {
    file: 'template.pdf',
    usual: true,
    load: async () => {
      const { templatePdf } = await import('./pdf/template.js');
      const { glueTemplatePdf } = await import('./pdf/glue/template.js');
      return ofGlue(glueTemplatePdf, async (input) => {
        const followed = asFollowed(input);
        if (!input.packet) return templatePdf(followed);
        const { packetTemplatePdf } = await import('./pdf/packet-template.js');
        return packetTemplatePdf(followed, input.packet);
      });
    },
  },
  plan: {
    file: 'plan.pdf',
    usual: true,
    load: async () => {
      const { planPdf } = await import('./pdf/plan.js');
      const { gluePlanPdf } = await import('./pdf/glue/plan.js');
      return ofGlue(gluePlanPdf, async (input) => {
        const { packet } = input;
        if (!packet) return planPdf(asFollowed(input));
        const { foldedPlanPdf } = await import('./pdf/folded-plan.js');
        return foldedPlanPdf({ ...input, packet });
      });
    },
  },
  preview: {
    file: 'preview.png',
    usual: true,
    load: async () => {
      const { previewPng, warmPreview } = await import('./images/preview.js');
      warmPreview();
      const { withoutRegisterMarks } = await import('../geometry/register-marks.js');
      const { innerCorners } = await import('../geometry/inner-corners.js');
      const { gluePreviewPng } = await import('./images/glue-preview.js');
      const ofStencil: DrawOne = async ({ openings, bridges, sheet, job, packet }) => {
        if (packet) {
          const { foldedPreviewPng } = await import('./images/folded-preview.js');
          return foldedPreviewPng(openings, sheet, job);
        }
        // Register marks are for a pencil, not for paint.
        const painted = withoutRegisterMarks(openings, sheet, job);
        const { previewShows: shows } = job;
        return previewPng(painted, sheet, job, {
          ...((shows === 'bridges' || shows === 'both') && { numbers: bridges.map(numberOf) }),
          ...((shows === 'sharp-corners' || shows === 'both') && { rings: innerCorners(painted) }),
        });
      };
      return ofGlue(({ openings, sheet, job }) => gluePreviewPng(openings, sheet, job), ofStencil);
    },
  },
  packet: {
    file: 'packet.svg',
    usual: false,
    load: async () => {
      const { packetSvg } = await import('./svg/packet-svg.js');
      return ({ packet, sheet }) => Promise.resolve(packetSvg(packetIn(packet), sheet));
    },
  },
  mirrored: {
    file: 'template-mirrored.pdf',
    usual: false,
    load: async () => {
      const { mirroredPdf } = await import('./pdf/template.js');
      const { mirroredGluePdf } = await import('./pdf/glue/template.js');
      return ofGlue(mirroredGluePdf, (input) => mirroredPdf(asFollowed(input)));
    },
  },
  masks: {
    file: 'masks.pdf',
    usual: false,
    load: async () => {
      const { masksPdf } = await import('./pdf/masks.js');
      return (input) => masksPdf(asFollowed(input));
    },
  },
  dxf: {
    file: 'stencil.dxf',
    usual: false,
    load: async () => {
      const { stencilDxf } = await import('./dxf/dxf.js');
      return ({ cuts, sheet, strokes }) =>
        Promise.resolve(stencilDxf(cuts, sheet, strokes?.strokes));
    },
  },
  png: {
    file: 'stencil.png',
    usual: false,
    load: async () => {
      const { stencilPng } = await import('./images/stencil-png.js');
      return ({ openings, sheet, job }) => stencilPng(openings, sheet, job.resolution);
    },
  },
} as const satisfies Readonly<Record<string, OutputEntry>>;

export type DrawnOutput = keyof typeof outputs;

/** In the order in which they are told. */
export const drawnOutputs = Object.keys(outputs) as readonly DrawnOutput[];

export function isUsual(name: DrawnOutput): boolean {
  return outputs[name].usual;
}

/** What each sheet's file is called. */
export const outputFiles = Object.fromEntries(
  Object.entries(outputs).map(([name, { file }]) => [name, file]),
) as Readonly<Record<DrawnOutput, string>>;

/** What is said where nothing else was asked for than what a job has none of. */
const NONE_OF: Partial<Readonly<Record<DrawnOutput, readonly [what: string, remedy: string]>>> = {
  packet: ['There is no packet to draw: the sheet is not folded', 'Fold the sheet'],
  strokes: [
    'There are no strokes to draw: nothing is drawn with glue',
    'Make it as lines of glue (glue-line)',
  ],
  masks: ['Of lines of glue no pieces drop out', 'Ask for the template instead'],
};

function noneOf(name: DrawnOutput): Problem {
  const [what, remedy] = NONE_OF[name] ?? [`There is no ${name} of this`, 'Ask for another output'];
  return new Problem(what, `${name}, among the outputs`, `${remedy}, or leave ${name} out`);
}

function packetIn(packet: Packet | null | undefined): Packet {
  if (packet) return packet;
  throw noneOf('packet');
}

/** Draws what is drawn with glue in one way, what is cut in another. */
function ofGlue(
  glue: (input: DrawingInput & { readonly strokes: DrawnStrokes }) => ReturnType<DrawOne>,
  cut: DrawOne,
): DrawOne {
  return (input) => {
    const { strokes } = input;
    return strokes ? glue({ ...input, strokes }) : cut(input);
  };
}

/**
 * The outputs that there are for a job, of those that are asked for: the strokes go with the stencil of what is drawn
 * with glue, where no piece drops out to be kept as a mask, and the packet with that of a folded sheet; nothing else has
 * any.
 *
 * @throws Problem when there is none of all that is asked for
 */
export function outputsFor(
  { as, fold }: Pick<Job, 'as' | 'fold'>,
  asked: readonly DrawnOutput[],
): DrawnOutput[] {
  const isGlue = as === 'glue-line';
  const goesAlong = (name: DrawnOutput): boolean =>
    asked.includes(name) || asked.includes('stencil');
  const there = drawnOutputs.filter((name) => {
    if (name === 'strokes') return isGlue && goesAlong(name);
    if (name === 'packet') return fold !== 'none' && goesAlong(name);
    return asked.includes(name) && !(isGlue && name === 'masks');
  });
  if (there.length === 0 && asked.length > 0) throw noneOf(asked[0]);
  return there;
}

/**
 * The input as the hand follows it. On a mask's template the mask itself is grey, on a stencil's and in a packet what falls
 * out.
 */
function asFollowed(input: DrawingInput): DrawingInput {
  const { says = '', cuts, job } = input;
  const kept = job.fold === 'none' ? 'grey' : 'white';
  const followed = job.as !== 'stencil' ? `${says}, mask: keep the ${kept} piece` : says;
  return { ...input, says: followed, openings: cuts };
}

/** A bridge's number, in the middle of it. */
function numberOf({ number, from, to }: Bridge): { number: number; at: { x: number; y: number } } {
  return { number, at: { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 } };
}

/** Loads what draws the sheets, ahead of time. */
export async function loadOutputs(sheets: readonly DrawnOutput[]): Promise<void> {
  await Promise.all(sheets.map((name) => outputs[name].load()));
}

/** Draws sheets in this thread. */
export const drawOutputs: Draw = async (input, sheets) =>
  new Map(
    await Promise.all(
      sheets.map(async (name) => {
        const { file, load } = outputs[name];
        const draw: DrawOne = await load();
        return [file, await draw(input)] as const;
      }),
    ),
  );
