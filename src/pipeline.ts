import { describeStage, createFlow, type Flow, type Ran, type Stage } from './flow.js';
import type { Job } from './job.js';
import type { Bitmap } from './raster/raster.js';
import { refuseBlank, refuseEmpty, refuseNoOpening } from './nothing.js';
import type { Bridged } from './stages/bridge.js';
import type { Checked } from './stages/check.js';
import type { Eased } from './stages/ease.js';
import type { Likeness } from './stages/likeness.js';
import type { CutPlan } from './stages/plan.js';
import type { Copy, Picture } from './stages/read.js';
import type { Repeated } from './stages/repeat.js';
import type { Subject } from './stages/subject.js';
import type { Tone, ToneChoice, ToneSettings } from './stages/tone.js';
import type { Traced } from './stages/trace.js';
import type { Widened } from './stages/widen.js';

export type { Bridge, Bridged } from './stages/bridge.js';
export type { Checked, Finding } from './stages/check.js';
export type { Copy, Likeness, Picture, Tone, ToneChoice, ToneSettings };
export type { CutPlan, PlannedPiece } from './stages/plan.js';

/** The values that a picture becomes on its way to a stencil; from `trace` on in millimetres. */
export interface StencilValues {
  /** A path, or the bytes of a picture file. */
  readonly source: string | Uint8Array;
  readonly read: Picture;
  readonly subject: Subject;
  readonly tone: Tone;
  readonly repeat: Repeated;
  readonly widen: Widened;
  readonly trace: Traced;
  readonly ease: Eased;
  readonly bridge: Bridged;
  /** Null where the picture is repeated as a motif. */
  readonly likeness: Likeness | null;
  readonly plan: CutPlan;
  readonly check: Checked;
}

export type StencilStage = Stage<StencilValues>['name'];
export type StencilRun = Ran<StencilValues>;
export type Pipeline = Flow<StencilValues>;

const stage = describeStage<StencilValues>();

const toneReads = [
  'tone',
  'level',
  'masses',
  'detail',
  'finer',
  'swap',
  'smoothing',
  'narrowestOpening',
  'narrowestStrip',
  'smallestOpening',
  'smallestIsland',
  'margin',
] as const;

/** The stages in order. A new way of making is a new entry here, not a branch inside the others. */
const stages: readonly Stage<StencilValues>[] = [
  stage(
    'read',
    ['source'],
    ['card', 'turn', 'margin', 'fit', 'crop', 'repeat', 'motifSize', 'fineness'],
    async () => {
      const { readPicture } = await import('./stages/read.js');
      return ({ source }, job) => readPicture(source, job);
    },
  ),
  stage('subject', ['read'], ['subject', 'marks'], async () => {
    const { subject } = await import('./stages/subject.js');
    return ({ read }, job) => subject(read, job);
  }),
  stage('tone', ['read', 'subject'], [...toneReads, 'background', 'silhouette'], async () => {
    const { tone } = await import('./stages/tone.js');
    const { widen } = await import('./stages/widen.js');
    const { setApart } = await import('./stages/apart.js');
    return ({ read, subject }, job) =>
      setApart(tone(refuseBlank(read), job, finishBy(widen, job)), subject, read, job);
  }),
  stage('repeat', ['read', 'tone'], ['repeat', 'motifGap', 'motifEdge', 'margin'], async () => {
    const { repeat } = await import('./stages/repeat.js');
    return ({ read, tone }, job) => repeat(tone, read, job);
  }),
  stage(
    'widen',
    ['read', 'repeat'],
    [
      'narrowestOpening',
      'narrowestStrip',
      'smallestOpening',
      'smallestIsland',
      'margin',
      'regionEdits',
    ],
    async () => {
      const { widen } = await import('./stages/widen.js');
      return ({ read, repeat }, job) =>
        refuseEmpty(widen(repeat.bitmap, read.pixelsPerMm, job), repeat);
    },
  ),
  stage('trace', ['read', 'widen'], [], async () => {
    const { trace, warmTracer } = await import('./stages/trace.js');
    warmTracer();
    return ({ read, widen }) => trace(widen.bitmap, read.pixelsPerMm);
  }),
  stage(
    'ease',
    ['read', 'trace'],
    ['tightestTurn', 'narrowestStrip', 'narrowestOpening'],
    async () => {
      const { ease } = await import('./stages/ease.js');
      return ({ read, trace }, job) => ease(trace, read.pixelsPerMm, job);
    },
  ),
  stage(
    'bridge',
    ['read', 'ease'],
    [
      'bridgeWidth',
      'narrowestStrip',
      'narrowestOpening',
      'smallestOpening',
      'bridgeEdits',
      'bridgeFree',
    ],
    async () => {
      const { bridge } = await import('./stages/bridge.js');
      return ({ read, ease }, job) =>
        refuseNoOpening(bridge(ease, read.sheet, read.pixelsPerMm, job));
    },
  ),
  stage('likeness', ['read', 'tone', 'bridge'], ['repeat'], async () => {
    const { likeness } = await import('./stages/likeness.js');
    return ({ read, tone, bridge }, job) =>
      job.repeat === 'none' ? likeness(read, tone, bridge) : null;
  }),
  stage(
    'plan',
    ['read', 'bridge'],
    ['narrowestStrip', 'bridgeWidth', 'cuttingSpeed', 'warmUp', 'smallestMask'],
    async () => {
      const { planCuts } = await import('./stages/plan.js');
      return ({ read, bridge }, job) => planCuts(bridge.openings, read.sheet, job);
    },
  ),
  stage(
    'check',
    ['read', 'repeat', 'widen', 'bridge'],
    [
      'margin',
      'narrowestStrip',
      'narrowestOpening',
      'smallestOpening',
      'tightestTurn',
      'bridgeEdits',
      'bridgeFree',
    ],
    async () => {
      const { check } = await import('./stages/check.js');
      return ({ read, repeat, widen, bridge }, job) =>
        check({ tone: repeat, widened: widen, bridged: bridge }, read.sheet, read.pixelsPerMm, job);
    },
  ),
];

/** A pipeline from picture to checked stencil that keeps its last values. */
export function createPipeline(): Pipeline {
  return createFlow(stages);
}

/** Keeps the widths of a tone at a coarse scale, where it is film up to its rim. */
function finishBy(
  widen: (typeof import('./stages/widen.js'))['widen'],
  job: Pick<Job, (typeof toneReads)[number]>,
): (bitmap: Bitmap, pixelsPerMm: number) => Bitmap {
  return (bitmap, pixelsPerMm) =>
    widen(bitmap, pixelsPerMm, { ...job, margin: 1 / pixelsPerMm, regionEdits: [] }).bitmap;
}

/**
 * The tones that a picture can have on a card, each carried through to what can be cut, at a coarse scale: the one
 * that keeps the picture's contours best for what it costs to cut comes first. Lay a choice's `settings` over the job
 * to make it.
 *
 * @param source a path, the bytes of a picture file, or what a pipeline's `read` made of one
 * @throws Problem when the picture can't be read, or is one even tone
 */
export async function toneChoices(
  source: string | Uint8Array | Picture,
  job: Job,
): Promise<readonly ToneChoice[]> {
  const [{ readPicture }, { rankAll }, { widen }] = await Promise.all([
    import('./stages/read.js'),
    import('./stages/tone.js'),
    import('./stages/widen.js'),
  ]);
  const isRead = typeof source === 'object' && 'gray' in source;
  const picture = refuseBlank(isRead ? source : await readPicture(source, job));
  return rankAll(picture, job, finishBy(widen, job));
}

/** Reads a whole picture for a screen; see `copyPicture` of the stage `read`. */
export async function readCopy(
  bytes: Uint8Array,
  longest: number,
  mostPixels: number,
): Promise<Copy> {
  const { copyPicture } = await import('./stages/read.js');
  return copyPicture(bytes, longest, mostPixels);
}
