import {
  describeStage,
  createRunner,
  neededFor,
  type IncrementalRunner,
  type Ran,
  type Stage,
} from './incremental-runner.js';
import type { FaceFinder } from '../faces/finder.js';
import type { Sheet } from '../settings/card.js';
import type { Rectification } from '../settings/rectification.js';
import { MANY_STROKES } from '../settings/strokes.js';
import { designMargin, type Job, type SettingName } from '../settings/job.js';
import type { Shape } from '../geometry/shape.js';
import type { Bitmap } from '../raster/raster.js';
import {
  refuseBlank,
  refuseEmpty,
  refuseFewTones,
  refuseNoLines,
  refuseNoStrokes,
  refuseNothing,
} from './refusals.js';
import type { StrokeAdvice } from '../stages/stroke-advice/stroke-advice.js';
import type { Advice } from '../stages/advice/advice.js';
import type { Checked } from '../stages/check/check.js';
import type { Eased } from '../stages/ease/ease.js';
import type { KeptLikeness } from '../stages/likeness/likeness.js';
import type { Sharing } from '../stages/tone/tone-layers.js';
import type { CutPlan, PlanSettings } from '../stages/plan/plan.js';
import type { Copy, Picture } from '../stages/read/read.js';
import type { Folded } from '../stages/fold/fold.js';
import type { SymmetryPattern } from '../geometry/fold-pattern.js';
import type { Packet } from '../stages/packet/packet.js';
import type { Reached } from '../stages/reach/reach.js';
import type { Repeated } from '../stages/repeat/repeat.js';
import type { Lines } from '../stages/lines/lines.js';
import type { Role } from '../stages/role/role.js';
import type { Strokes } from '../stages/strokes/strokes.js';
import type { Faces } from '../stages/faces/faces.js';
import type { FacesKept } from '../stages/features/features.js';
import type { Subject } from '../stages/subject/subject.js';
import type { Survival } from '../stages/survival/survival.js';
import type { Tone, ToneChoice, ToneSettings } from '../stages/tone/tone.js';
import type { Traced } from '../stages/trace/trace.js';
import type { FramedDesign } from '../stages/frame/frame.js';
import type { Bridged } from '../stages/bridge/bridge.js';
import type { BridgeHeuristics } from '../stages/bridge/heuristics.js';
import type { Widened } from '../stages/widen/widen.js';
import { loadPrints } from './prints.js';
import { unusedReads, unusedSettings } from './unused-settings.js';
import type { WordsDrawn } from './words-drawn.js';

export type { Bridge, Bridged } from '../stages/bridge/bridge.js';
export type { FramedDesign } from '../stages/frame/frame.js';
export type { Packet } from '../stages/packet/packet.js';
export type { Checked, Finding } from '../stages/check/check.js';
export type { DrawnStrokes, Strokes } from '../stages/strokes/strokes.js';
export type { Survival } from '../stages/survival/survival.js';
export type { Copy, KeptLikeness, Picture, Tone, ToneChoice, ToneSettings };
export type { CutPlan, PlannedPiece, PlanSettings } from '../stages/plan/plan.js';

/** A picture whose tone is already told, as that of one layer among several is. */
type Toned = Pick<StencilValues, 'read' | 'subject' | 'faces' | 'tone'>;

/** Words, and a picture beside them, as one source: its tone is told, and its openings are drawn. */
export interface WordsSource extends Toned {
  readonly words: WordsDrawn;
}

/** The values that a picture becomes on its way to a stencil; from `trace` on in millimetres. */
export interface StencilValues {
  /** A path, the bytes of a picture file, or a picture whose tone is already told; of words their drawing, too. */
  readonly source: string | Uint8Array | Toned | WordsSource;
  readonly read: Picture;
  readonly subject: Subject;
  readonly faces: Faces;
  readonly tone: Tone;
  /** The tone with the light lines in it that strands are told apart by. */
  readonly strands: Tone;
  readonly repeat: Repeated;
  /** The repeated picture, or what a folded sheet makes of it. */
  readonly fold: Folded;
  /** Null where nothing is drawn with glue; so are the strokes. */
  readonly lines: Lines | null;
  readonly strokes: Strokes | null;
  readonly role: Role;
  /** The role's design, with every opening of a packet within the scissors' reach. */
  readonly reach: Reached;
  readonly widen: Widened;
  /** Null where the picture is repeated as a motif. */
  readonly survival: Survival | null;
  readonly trace: Traced;
  readonly ease: Eased;
  readonly bridge: Bridged;
  readonly frame: FramedDesign;
  /** What is cut into the packet of a folded sheet; null where the sheet is not folded. */
  readonly packet: Packet | null;
  /** Null where the picture is repeated as a motif. */
  readonly likeness: KeptLikeness | null;
  readonly plan: CutPlan;
  /** The promises, measured, and what was lost; without advice. */
  readonly measure: Checked;
  /** Null where the picture is repeated as a motif. */
  readonly advice: Advice | null;
  /** What became of the faces; null for a mask, a layer, a swapped picture, or where the picture is repeated or folded. */
  readonly features: FacesKept | null;
  /** What brings lines of glue under as many strokes as a person would draw; null where they are no more. */
  readonly strokeAdvice: StrokeAdvice | null;
  /** What `measure` found, with the advice in its words. */
  readonly check: Checked;
}

export type StencilStage = Stage<StencilValues>['name'];
export type StencilRun = Ran<StencilValues>;
export type Pipeline = IncrementalRunner<StencilValues>;

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

/** Register marks are as wide as an opening has to be. */
const frameReads = [
  'as',
  'registerMarks',
  'margin',
  'narrowestStrip',
  'narrowestOpening',
  'smallestOpening',
] as const;

/** What `designMargin` reads. */
const marginReads = ['as', 'margin', 'narrowestStrip'] as const;

export const bridgeReads = [
  'as',
  'fold',
  'bridgeWidth',
  'narrowestStrip',
  'narrowestOpening',
  'smallestOpening',
  'bridgeAmount',
  'twoTiesFrom',
  'tieEvery',
  'tongueFrom',
  'flare',
  'tightestTurn',
  'spareFeatures',
  'bridgeEdits',
  'bridgeFree',
  'regionEdits',
  'margin',
] as const;

/** @param finish a sketch does without the last width */
function bridgeStage(finish: 'exact' | 'sketch'): Stage<StencilValues> {
  return stage(
    'bridge',
    ['read', 'faces', 'fold', 'role', 'ease'],
    [...bridgeReads, 'tool'],
    async () => {
      const { bridge } = await import('../stages/bridge/bridge.js');
      const { bridgedOnFold, bridgedBySymmetry } =
        await import('../stages/fold/symmetric-bridges.js');
      const { unbridged } = await import('../stages/bridge/unbridged.js');
      const { parallelFolds } = await import('../geometry/fold-pattern.js');
      const { bridgeHeuristics, forSketch, keepingAll } =
        await import('../stages/bridge/heuristics.js');
      const finished = finish === 'exact' ? (rules: BridgeHeuristics) => rules : forSketch;
      return ({ read, faces: { faces }, fold, role, ease }, job) => {
        if (role.isDrawn) return unbridged(ease);
        const ground = {
          ...read,
          faces,
          ...(fold.fold && { folds: parallelFolds(fold.fold.pattern) }),
        };
        const bridgeFree = [...job.bridgeFree, ...role.bridgeFree];
        const wanted = { ...job, bridgeFree };
        if (fold.fold) {
          return bridgedOnFold(
            ease.shapes,
            fold.fold.pattern,
            read.sheet,
            wanted,
            (shapes, limits) => bridge({ shapes }, ground, limits, finished(keepingAll)),
            finish,
          );
        }
        // Parts of a mask are the picture, however far apart.
        const heuristics = finished(job.as === 'stencil' ? bridgeHeuristics : keepingAll);
        if (!fold.symmetry) return bridge(ease, ground, wanted, heuristics);
        return bridgedBySymmetry(
          ease.shapes,
          fold.symmetry,
          read.sheet,
          { ...job, moat: role.bridgeFree },
          (shapes, limits, given) => bridge({ shapes }, ground, limits, heuristics, given),
          finish,
        );
      };
    },
  );
}

/** @param finish a sketch does with coarser polygons */
function packetStage(finish: 'exact' | 'sketch'): Stage<StencilValues> {
  const reads = ['sheetThickness', 'narrowestStrip'] as const;
  return stage('packet', ['read', 'fold', 'frame'], reads, async () => {
    const { packCuts } = await import('../stages/packet/packet.js');
    return ({ read, fold, frame }, job) => packCuts(frame, fold.fold, read, job, finish);
  });
}

/** What all that is made of a picture keeps to: the folds of its sheet, or mirrors of its own. */
const mirrorsOf = ({ fold, symmetry }: Folded): SymmetryPattern | undefined =>
  fold?.pattern ?? symmetry;

/** A picture that is printed once, as it is: what comes out can be compared with it. */
const isPlain = ({ repeat, fold, as }: Pick<Job, 'repeat' | 'fold' | 'as'>): boolean =>
  repeat === 'none' && fold === 'none' && as === 'stencil';

/** Loaded once, for all pictures of a program: the networks are the same. */
let finder: Promise<FaceFinder> | undefined;
function loadFinder(): Promise<FaceFinder> {
  finder ??= import('../faces/finder.js').then(({ loadFaceFinder }) => loadFaceFinder());
  return finder;
}

/** The stages that make and measure a stencil. */
const making: readonly Stage<StencilValues>[] = [
  stage(
    'read',
    ['source'],
    [
      'card',
      'turn',
      ...marginReads,
      'fit',
      'crop',
      'pictureTurn',
      'straighten',
      'page',
      'repeat',
      'motifSize',
      'fineness',
      'fold',
      'foldPanels',
      'foldPicture',
    ],
    async () => {
      const { readPicture } = await import('../stages/read/read.js');
      return ({ source }, job) =>
        isToned(source) ? source.read : readPicture(source, { ...job, margin: designMargin(job) });
    },
  ),
  stage('faces', ['source', 'read'], ['faces', 'faceBoxes'], async () => {
    const { findFaces, NO_FACES } = await import('../stages/faces/faces.js');
    const { looksLikeAPhotograph } = await import('../stages/tone/tone.js');
    return ({ source, read }, job) => {
      if (isToned(source)) return source.faces;
      const isWanted =
        job.faces === 'find' && (job.faceBoxes.length > 0 || looksLikeAPhotograph(read));
      return isWanted ? findFaces(read, job, loadFinder) : NO_FACES;
    };
  }),
  stage('subject', ['source', 'read', 'faces'], ['subject', 'marks'], async () => {
    const { subject } = await import('../stages/subject/subject.js');
    return ({ source, read, faces }, job) =>
      isToned(source) ? source.subject : subject(read, faces.faces, job);
  }),
  stage(
    'tone',
    ['source', 'read', 'subject', 'faces'],
    [
      ...toneReads,
      'as',
      'strands',
      'strandGap',
      'background',
      'silhouette',
      'vignette',
      'fit',
      'repeat',
      'fold',
    ],
    async () => {
      const { tone, looksLikeAPhotograph } = await import('../stages/tone/tone.js');
      const { keepWidthsAt, widen } = await import('../stages/widen/widen.js');
      const { applySubject } = await import('../stages/tone/subject-background.js');
      const { strands } = await import('../stages/strands/strands.js');
      const { vignette } = await import('../stages/tone/vignette.js');
      const { withoutScannerLid } = await import('../stages/tone/scanner-lid.js');
      return ({ source, read, subject, faces }, job) => {
        if (isToned(source)) return source.tone;
        const told = tone(refuseBlank(read), job, {
          faces: faces.faces,
          finish: finishBy(keepWidthsAt, job),
          finishDrawing: job.as === 'glue-line' ? undefined : finishDrawingBy(widen, read, job),
          strands: (drawn) => strands(drawn, read, job),
        });
        const onPaper = withoutScannerLid(told, read, job, () => !looksLikeAPhotograph(read));
        const apart = applySubject(onPaper, subject, read, job);
        return vignette(apart, read, faces.faces, job, () => looksLikeAPhotograph(read));
      };
    },
  ),
  stage(
    'strands',
    ['source', 'read', 'tone'],
    ['strands', 'strandGap', 'narrowestStrip', 'margin'],
    async () => {
      const { strands } = await import('../stages/strands/strands.js');
      // A layer is a photograph's share, made to fit the layers below and above: no drawing with lines of its own.
      return ({ source, read, tone }, job) =>
        isToned(source) && job.strands === 'drawings' ? tone : strands(tone, read, job);
    },
  ),
  stage(
    'repeat',
    ['read', 'strands'],
    ['repeat', 'motifGap', 'motifEdge', ...marginReads],
    async () => {
      const { repeat } = await import('../stages/repeat/repeat.js');
      return ({ read, strands }, job) =>
        repeat(strands, read, { ...job, margin: designMargin(job) });
    },
  ),
  stage(
    'lines',
    ['read', 'repeat'],
    ['as', 'beadWidth', 'narrowestOpening', 'smallestOpening', 'shortestStroke', 'massFill'],
    async () => {
      const { lines } = await import('../stages/lines/lines.js');
      return ({ read, repeat }, job) =>
        job.as === 'glue-line' ? refuseNoLines(lines(repeat, read, job), repeat, job) : null;
    },
  ),
  stage(
    'strokes',
    ['read', 'lines'],
    [
      'beadWidth',
      'beadHeight',
      'narrowestOpening',
      'smallestOpening',
      'margin',
      'narrowestStrip',
      'shortestStroke',
      'tightestBend',
      'highestCrossing',
      'joinBy',
      'bridgeAmount',
      'handedness',
      'glueUse',
      'strokeEdits',
      'stickThickness',
      'stickLength',
    ],
    async () => {
      const { strokes } = await import('../stages/strokes/strokes.js');
      return ({ read, lines }, job) => lines && refuseNoStrokes(strokes(lines, read, job));
    },
  ),
  stage(
    'fold',
    ['read', 'repeat'],
    [
      'fold',
      'foldPanels',
      'foldPlace',
      'repeat',
      'regionEdits',
      'marks',
      'tool',
      ...marginReads,
      'narrowestOpening',
      'smallestOpening',
      'smallestIsland',
    ],
    async () => {
      const { fold } = await import('../stages/fold/fold.js');
      const { keepWidthsAt } = await import('../stages/widen/widen.js');
      return ({ read, repeat }, job) =>
        fold(repeat, read, job, (bitmap, pixelsPerMm) =>
          keepWidthsAt(bitmap, pixelsPerMm, { ...job, margin: 1 / pixelsPerMm }),
        );
    },
  ),
  stage('role', ['read', 'fold', 'strokes'], [...marginReads, 'narrowestOpening'], async () => {
    const { takeRole } = await import('../stages/role/role.js');
    return ({ read, fold, strokes }, job) =>
      takeRole(strokes ? { ...fold, ...strokes } : fold, read, job);
  }),
  stage(
    'reach',
    ['read', 'fold', 'role'],
    ['tool', 'narrowestOpening', 'narrowestStrip', 'smallestOpening'],
    async () => {
      const { reach } = await import('../stages/reach/reach.js');
      return ({ read, fold, role }, job) => reach(role, read, fold.fold, job);
    },
  ),
  stage(
    'widen',
    ['read', 'fold', 'reach'],
    [
      'narrowestOpening',
      'narrowestStrip',
      'smallestOpening',
      'smallestIsland',
      'regionEdits',
      'as',
      'repeat',
      'fold',
    ],
    async () => {
      const { widen } = await import('../stages/widen/widen.js');
      const { widenedOnFold, evenWidths } = await import('../stages/fold/symmetric-bitmap.js');
      const { unwidened } = await import('../stages/widen/unwidened.js');
      return ({ read, fold, reach }, job) => {
        const { bitmap, designBox, marginMm, isDrawn } = reach;
        const keep = (regionEdits: Job['regionEdits']) =>
          isDrawn
            ? unwidened(bitmap)
            : widen(
                bitmap,
                read.pixelsPerMm,
                { ...job, regionEdits, margin: marginMm, sheet: read.sheet },
                isPlain(job) ? read : undefined,
              );
        if (fold.fold) {
          const opened = widenedOnFold(fold.fold, read.pixelsPerMm, job.regionEdits, keep);
          return refuseEmpty(opened, reach, job);
        }
        const widened = keep(job.regionEdits);
        const even =
          fold.symmetry && !isDrawn
            ? {
                ...widened,
                bitmap: evenWidths(
                  fold.symmetry,
                  read.pixelsPerMm,
                  bitmap,
                  widened.bitmap,
                  job.as === 'mask' ? designBox : undefined,
                ),
              }
            : widened;
        return refuseEmpty(even, reach, job);
      };
    },
  ),
  stage('trace', ['read', 'widen'], [], async () => {
    const { trace } = await import('../stages/trace/trace.js');
    return ({ read, widen }) => trace(widen.bitmap, read.pixelsPerMm);
  }),
  stage(
    'ease',
    ['read', 'fold', 'trace'],
    ['as', 'margin', 'tightestTurn', 'narrowestStrip', 'narrowestOpening'],
    async () => {
      const { ease } = await import('../stages/ease/ease.js');
      const { easedOnFold } = await import('../stages/fold/symmetric-shapes.js');
      return ({ read, fold, trace }, job) =>
        easedOnFold(trace, mirrorsOf(fold), read.sheet, job, (traced) =>
          ease(traced, read.pixelsPerMm, job),
        );
    },
  ),
  bridgeStage('exact'),
  stage('frame', ['read', 'bridge'], frameReads, async () => {
    const { frame } = await import('../stages/frame/frame.js');
    return ({ read, bridge }, job) => refuseNothing(frame(bridge, read.sheet, job));
  }),
  packetStage('exact'),
  stage('likeness', ['read', 'tone', 'frame'], ['repeat', 'fold', 'as'], async () => {
    const { likeness } = await import('../stages/likeness/likeness.js');
    return ({ read, tone, frame }, job) => (isPlain(job) ? likeness(read, tone, frame) : null);
  }),
  stage(
    'plan',
    ['read', 'strokes', 'frame', 'packet'],
    ['narrowestStrip', 'bridgeWidth', 'cuttingSpeed', 'warmUp', 'smallestMask'],
    async () => {
      const { planCuts } = await import('../stages/plan/plan.js');
      const { planStrokes } = await import('../stages/plan/plan-strokes.js');
      const { throughAllLayers } = await import('../stages/plan/folded-sheet.js');
      return ({ read, strokes, frame, packet }, job) =>
        strokes
          ? planStrokes(strokes.drawn, job)
          : throughAllLayers(planCuts(frame.cuts, read.sheet, job), packet, job);
    },
  ),
  stage(
    'survival',
    ['read', 'repeat', 'widen'],
    ['as', 'repeat', 'fold', 'sizeAdvice', 'regionEdits'],
    async () => {
      const { survival } = await import('../stages/survival/survival.js');
      return ({ read, repeat, widen }, job) =>
        isPlain(job) ? survival(repeat.bitmap, widen.bitmap, read, job) : null;
    },
  ),
  stage(
    'measure',
    [
      'source',
      'read',
      'subject',
      'tone',
      'strokes',
      'fold',
      'reach',
      'widen',
      'frame',
      'likeness',
      'survival',
    ],
    [
      'tool',
      'swap',
      ...unusedReads,
      'registerMarks',
      'narrowestStrip',
      'narrowestOpening',
      'smallestOpening',
      'tightestTurn',
      'tongueFrom',
      'bridgeEdits',
      'bridgeFree',
      'as',
      'repeat',
      'fold',
      'regionEdits',
    ],
    async () => {
      const { measure } = await import('../stages/check/measure.js');
      const { firstOfMany } = await import('../stages/check/first-of-many.js');
      const { foldFindings } = await import('../stages/check/folded.js');
      const { strokesTold } = await import('../stages/check/strokes.js');
      const { smallWriting } = await import('../stages/check/writing.js');
      const { fineLines, fineLinesLost } = await import('../stages/check/fine-lines.js');
      const { looksLikeAPhotograph } = await import('../stages/tone/tone.js');
      const { formsLost, smallForms } = await import('../stages/check/small-forms.js');
      const { lightLinesTold } = await import('../stages/check/light-on-dark.js');
      return (
        { source, read, subject, tone, strokes, fold, reach, widen, frame, likeness, survival },
        job,
      ) => {
        // What a person drops is not missed.
        const drops = job.regionEdits.some((edit) => edit.do === 'drop');
        const measured = measure(
          {
            tone: { bitmap: reach.wanted },
            widened: widen,
            bridged: frame,
            survived: survival,
            likeness: drops ? null : likeness,
          },
          read.sheet,
          read.pixelsPerMm,
          job,
        );
        const isOwnPicture = isPlain(job) && !isToned(source);
        const told = [
          ...measured.findings,
          ...foldFindings(fold, reach, frame, job),
          ...strokesTold(strokes?.drawn, job),
          ...firstOfMany(read),
          ...(isOwnPicture ? smallWriting(read, job) : []),
          ...(job.as === 'stencil' && !isToned(source)
            ? lightLinesTold(read, tone, widen, frame, job)
            : []),
          ...(isOwnPicture && !drops
            ? formsLost(smallForms(read, widen.bitmap, job), tone, job)
            : []),
          ...(isOwnPicture && !drops && !job.swap && !subject.mask && !looksLikeAPhotograph(read)
            ? fineLinesLost(fineLines(read, widen.bitmap, job), job)
            : []),
          ...unusedSettings(job, isToned(source)),
        ];
        return { ...measured, findings: told };
      };
    },
  ),
];

/** What is read on the way to a stage: who tries another crop goes that way anew. */
function readsOnTheWayTo(name: StencilStage): readonly SettingName[] {
  return [...new Set(neededFor(making, [name]).flatMap(({ reads }) => reads))];
}

/** The stages in order. A new way of making is a new entry here, not a branch inside the others. */
export const stages: readonly Stage<StencilValues>[] = [
  ...making,
  stage('advice', ['source', 'read', 'survival'], readsOnTheWayTo('survival'), async () => {
    const { advise, lostShare } = await import('../stages/advice/advice.js');
    const { keepWidthsAt } = await import('../stages/widen/widen.js');
    return async ({ source, read, survival }, job) => {
      const advice = survival && advise(survival, read, finishLarger(keepWidthsAt, job));
      if (!survival || !advice?.crop) return advice;
      const cropped = { ...(job as Job), crop: advice.crop.box };
      const tried = await createRunner(making).runFor(['survival'], source, cropped);
      const isBetter = tried.survival && lostShare(tried.survival) < lostShare(survival);
      return isBetter ? advice : { ...advice, crop: null };
    };
  }),
  stage(
    'features',
    ['source', 'read', 'subject', 'faces', 'repeat', 'fold', 'frame'],
    readsOnTheWayTo('frame'),
    async () => {
      const { features, lostCount } = await import('../stages/features/features.js');
      const printsOf = await loadPrints();
      return async ({ source, read, subject, faces, repeat, fold, frame }, job) => {
        // Swapped, marks are film: nobody looks for them in the openings.
        if (job.as !== 'stencil' || job.swap || isToned(source)) return null;
        const seen = facesOf(faces, subject, read, job);
        const kept = features(read, seen, printsOf({ read, repeat, fold, frame }), job);
        if (kept.crop === null) return kept;
        const cropped = { ...(job as Job), crop: kept.crop };
        const tried = await createRunner(making).runFor(
          ['read', 'subject', 'faces', 'repeat', 'fold', 'frame'],
          source,
          cropped,
        );
        const there = facesOf(tried.faces, tried.subject, tried.read, job);
        const again = features(tried.read, there, printsOf(tried), job);
        const isBetter =
          again.faces.length >= kept.faces.length && lostCount(again) < lostCount(kept);
        return isBetter ? kept : { ...kept, crop: null };
      };
    },
  ),
  stage('strokeAdvice', ['source', 'strokes'], readsOnTheWayTo('strokes'), async () => {
    const { adviseOnStrokes } = await import('../stages/stroke-advice/stroke-advice.js');
    return async ({ source, strokes }, job) => {
      if (!strokes || strokes.drawn.strokes.length <= MANY_STROKES) return null;
      const trial = createRunner(making);
      return adviseOnStrokes(job, async (changed) => {
        const tried = await trial.runFor(['strokes'], source, { ...(job as Job), ...changed });
        return tried.strokes?.drawn.strokes.length ?? 0;
      });
    };
  }),
  stage(
    'check',
    ['read', 'subject', 'faces', 'survival', 'measure', 'advice', 'features', 'strokeAdvice'],
    ['card', 'repeat', 'fold', 'tool'],
    async () => {
      const { check } = await import('../stages/check/check.js');
      return ({ read, subject, faces, survival, measure, advice, features, strokeAdvice }, job) => {
        const told = {
          subject,
          survived: survival,
          advice,
          faces: features,
          facesWhy: faces.why,
          strokeAdvice,
        };
        return check(measure, told, read.sheet, job);
      };
    },
  ),
];

/** The faces that are to be seen: none of a background that is left out. */
function facesOf(
  { faces }: Faces,
  { mask }: Subject,
  { pictureBox, pixelsPerMm }: Picture,
  { background }: Pick<Job, 'background'>,
): Faces['faces'] {
  if (!mask || background === 'as-is') return faces;
  return faces.filter(({ landmarks }) => {
    const { x, y } = landmarks[30];
    const [column, row] = [x, y].map((mm) => Math.floor(mm * pixelsPerMm));
    return mask.data[(pictureBox.y + row) * mask.width + pictureBox.x + column] === 1;
  });
}

/** A pipeline from picture to checked stencil that keeps its last values. */
export function createPipeline(): Pipeline {
  return createRunner(stages);
}

/** Stands in for `ease` where a sketch will do: no turn is too tight for it. */
const plainEase = stage('ease', ['read', 'fold', 'trace'], ['as', 'margin'], async () => {
  const { uneased } = await import('../stages/ease/uneased.js');
  const { easedOnFold } = await import('../stages/fold/symmetric-shapes.js');
  return ({ read, fold, trace }, job) =>
    easedOnFold(trace, mirrorsOf(fold), read.sheet, { ...job, tightestTurn: 0 }, uneased);
});

/** A pipeline for sketches: bridges are laid on the outlines as they were traced. */
export function createSketchPipeline(): Pipeline {
  const sketchStages = [plainEase, bridgeStage('sketch'), packetStage('sketch')];
  const sketched = new Map(sketchStages.map((each) => [each.name, each]));
  return createRunner(stages.map((each) => sketched.get(each.name) ?? each));
}

function isToned(source: StencilValues['source']): source is Toned {
  return typeof source === 'object' && 'tone' in source;
}

/** How a picture is parted into layers. */
export interface LayersWanted extends Sharing {
  /** How many layers; their levels are found. Or the levels, in percent of full lightness. */
  readonly parts: number | readonly number[];
}

/** A picture parted into layers, the lightest first. */
export interface LayerGround {
  /** What is darker than its level belongs to a layer or to a darker one; in percent of full lightness. */
  readonly levels: readonly number[];
  /** The tone of one layer, given the openings of all darker ones. */
  toned(layer: number, painted: readonly Shape[]): Toned;
}

/**
 * Reads a picture and parts its tones into layers.
 *
 * @throws Problem when the picture can't be read, is one even tone, or has fewer tones than layers are wanted
 */
export async function openLayers(
  source: string | Uint8Array,
  job: Job,
  wanted: LayersWanted,
): Promise<LayerGround> {
  const [{ read, subject, faces }, { applySubject }, { withFaces }, { keepWidthsAt }, layer] =
    await Promise.all([
      createPipeline().runFor(['read', 'subject', 'faces'], source, job),
      import('../stages/tone/subject-background.js'),
      import('../stages/tone/faces.js'),
      import('../stages/widen/widen.js'),
      import('../stages/tone/tone-layers.js'),
    ]);
  refuseBlank(read);
  const view = layer.layerView(read, job);
  const isBare = job.background === 'film' || job.background === 'opening';
  const levels =
    typeof wanted.parts === 'number'
      ? layer.layerLevels(view, read, isBare ? subject.mask : undefined, wanted.parts, job)
      : layer.levelsGiven(wanted.parts, job);
  if (typeof wanted.parts === 'number') refuseFewTones(levels, wanted.parts);
  const carry = { faces: faces.faces, finish: finishBy(keepWidthsAt, job) };
  const last = levels.length - 1;
  const tones = levels.map((level, k) => {
    // Eyes and mouths are the darkest of a face: the last layer has them.
    const parted = layer.layerTone(view, read, level, job);
    const faced = k === last ? withFaces(parted, read, { ...job, swap: false }, carry) : parted;
    const tone = layer.asTone(faced, read, '');
    // The darkest layer draws the line round the subject, and alone paints a background that all would.
    const flat = wanted.separate && k < last && job.background === 'opening' ? 'film' : undefined;
    const silhouette = k === last ? job.silhouette : 'none';
    return applySubject(tone, subject, read, {
      ...job,
      silhouette,
      background: flat ?? job.background,
    }).bitmap;
  });
  return {
    levels: levels.map((level) => Math.round((level / 255) * 1000) / 10),
    toned(k, painted) {
      const share = layer.layerShare(tones[k], tones[k + 1], painted, read.pixelsPerMm, wanted);
      const says = `Layer ${k + 1} of ${levels.length}, the ${paintingOrder(k, last)}: ${layer.sayLevel(levels[k], levels[k + 1], wanted, job)}.`;
      const why = [says, read.greyWhy, subject.why].filter((sentence) => sentence !== '').join(' ');
      return { read, subject, faces, tone: layer.asTone(share, read, why) };
    },
  };
}

function paintingOrder(layer: number, last: number): string {
  return layer === 0 ? 'first to be painted' : layer === last ? 'last to be painted' : 'next to be painted'; // prettier-ignore
}

type KeepWidthsAt = (typeof import('../stages/widen/widen.js'))['keepWidthsAt'];
type Widen = (typeof import('../stages/widen/widen.js'))['widen'];

/** Keeps the widths of a tone as if its card were larger. */
function finishLarger(
  keepWidthsAt: KeepWidthsAt,
  job: Pick<Job, 'narrowestOpening' | 'narrowestStrip' | 'smallestOpening' | 'smallestIsland'>,
): (bitmap: Bitmap, pixelsPerMm: number, smaller: number) => Bitmap {
  return (bitmap, pixelsPerMm, smaller) =>
    keepWidthsAt(bitmap, pixelsPerMm, {
      narrowestOpening: job.narrowestOpening / smaller,
      narrowestStrip: job.narrowestStrip / smaller,
      smallestOpening: job.smallestOpening / smaller ** 2,
      smallestIsland: job.smallestIsland / smaller ** 2,
      margin: 1 / pixelsPerMm,
    });
}

/** Keeps the widths of a tone at a coarse scale, where it is film up to its rim. */
function finishBy(
  keepWidthsAt: KeepWidthsAt,
  job: Pick<Job, (typeof toneReads)[number]>,
): (bitmap: Bitmap, pixelsPerMm: number) => Bitmap {
  return (bitmap, pixelsPerMm) =>
    keepWidthsAt(bitmap, pixelsPerMm, { ...job, margin: 1 / pixelsPerMm });
}

/** Makes a drawing cuttable at any scale, with room for its lines, where it is film up to its rim. */
function finishDrawingBy(
  widen: Widen,
  read: Picture,
  job: Pick<Job, (typeof toneReads)[number]>,
): (bitmap: Bitmap, pixelsPerMm: number) => Bitmap {
  return (bitmap, pixelsPerMm) =>
    widen(bitmap, pixelsPerMm, { ...job, margin: 1 / pixelsPerMm, regionEdits: [] }, read).bitmap;
}

/**
 * The tones that a picture can have on a card, each carried through to what can be cut, at a coarse scale: the one
 * that keeps the picture's contours best for what it costs to cut comes first. Lay a choice's `settings` over the job
 * to make it.
 *
 * @param source a path, the bytes of a picture file, or what a pipeline's `read` and `faces` made of one
 * @throws Problem when the picture can't be read, or is one even tone
 */
export async function toneChoices(
  source: string | Uint8Array | Pick<StencilValues, 'read' | 'faces'>,
  job: Job,
): Promise<readonly ToneChoice[]> {
  const [{ rankAll }, { keepWidthsAt }] = await Promise.all([
    import('../stages/tone/tone.js'),
    import('../stages/widen/widen.js'),
  ]);
  const isRead = typeof source === 'object' && 'read' in source;
  const { read, faces } = isRead
    ? source
    : await createPipeline().runFor(['read', 'faces'], source, job);
  const finish = finishBy(keepWidthsAt, job);
  return rankAll(refuseBlank(read), job, { faces: faces.faces, finish });
}

/** Reads a whole picture for a screen; see `copyPicture` of the stage `read`. */
export async function readCopy(
  bytes: Uint8Array,
  longest: number,
  mostPixels: number,
  rectification?: Rectification,
): Promise<Copy> {
  const { copyPicture } = await import('../stages/read/read.js');
  return copyPicture(bytes, longest, mostPixels, rectification);
}

/** The corners of the page in a picture; see `findPage` of the stage `read`. */
export async function pageOf(bytes: Uint8Array): Promise<string | null> {
  const { findPage } = await import('../stages/read/read.js');
  return findPage(bytes);
}

/** Plans the cutting of openings that lie on one sheet of film, whatever stencils they are of. */
export async function planSheet(
  openings: readonly Shape[],
  sheet: Sheet,
  job: PlanSettings,
): Promise<CutPlan> {
  const { planCuts } = await import('../stages/plan/plan.js');
  return planCuts(openings, sheet, job);
}
