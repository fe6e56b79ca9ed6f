import {
  settings,
  usualMotifSize,
  type Job,
  type JobInput,
  type SettingName,
} from '../settings/job.js';
import type { Finding } from '../stages/check/finding.js';
import type { PlanSettings } from '../stages/plan/plan.js';

/** The settings that are looked at to tell which of them change nothing. */
export const unusedReads = [
  'card',
  'turn',
  'margin',
  'as',
  'fit',
  'sizeAdvice',
  'subject',
  'marks',
  'background',
  'silhouette',
  'repeat',
  'motifSize',
  'motifGap',
  'motifEdge',
  'fold',
  'foldPanels',
  'foldPicture',
  'foldPlace',
  'sheetThickness',
  'tone',
  'level',
  'masses',
  'detail',
  'finer',
  'vignette',
  'strands',
  'strandGap',
  'beadWidth',
  'beadHeight',
  'massFill',
  'joinBy',
  'glueUse',
  'handedness',
  'stickThickness',
  'stickLength',
  'strokeEdits',
] as const;

type UnusedName = (typeof unusedReads)[number];
type UnusedJob = Pick<Job, UnusedName>;

/** Settings that need another one before they change anything. */
interface UnusedRule {
  readonly names: readonly UnusedName[];
  readonly isIdle: (job: UnusedJob) => boolean;
  /** Why, as the end of a sentence; names of settings between backticks. */
  readonly why: string;
}

const isWithoutSubject = ({ subject, marks }: UnusedJob): boolean =>
  subject === null && marks.length === 0;

const RULES: readonly UnusedRule[] = [
  {
    names: ['level'],
    isIdle: ({ tone }) => tone !== 'level',
    why: 'that is for `tone` level alone',
  },
  {
    names: ['masses', 'detail'],
    isIdle: ({ tone }) => tone !== 'mixed',
    why: 'that is for `tone` mixed alone',
  },
  {
    names: ['finer'],
    isIdle: ({ tone }) => tone !== 'best' && tone !== 'mixed',
    why: 'that is for `tone` best and mixed alone',
  },
  {
    names: ['background', 'silhouette'],
    isIdle: isWithoutSubject,
    why: 'no subject is told apart; `subject` says where it is',
  },
  {
    names: ['motifSize', 'motifGap', 'motifEdge'],
    isIdle: ({ repeat }) => repeat === 'none',
    why: 'nothing is repeated; `repeat` says how',
  },
  {
    names: ['foldPanels'],
    isIdle: ({ fold }) => fold !== 'to-and-fro',
    why: 'that is for `fold` to-and-fro alone',
  },
  {
    names: ['foldPicture', 'foldPlace', 'sheetThickness'],
    isIdle: ({ fold }) => fold === 'none',
    why: 'the sheet is not folded; `fold` says how',
  },
  {
    names: ['fit'],
    isIdle: ({ repeat }) => repeat !== 'none',
    why: 'a motif that is repeated is laid whole',
  },
  {
    names: ['sizeAdvice'],
    isIdle: ({ repeat, fold, as }) => repeat !== 'none' || fold !== 'none' || as !== 'stencil',
    why: 'with a mask, a fold, lines of glue or a repeated motif there is no such advice',
  },
  {
    names: ['strandGap'],
    isIdle: ({ strands }) => strands === 'never',
    why: '`strands` is never',
  },
  {
    names: [
      'beadWidth',
      'beadHeight',
      'massFill',
      'joinBy',
      'glueUse',
      'handedness',
      'stickThickness',
      'stickLength',
      'strokeEdits',
    ],
    isIdle: ({ as }) => as !== 'glue-line',
    why: 'nothing is drawn with glue; `as` glue-line does',
  },
];

const OF_TONE: readonly UnusedName[] = ['tone', 'level', 'masses', 'detail', 'finer'];

const LAYERS: readonly UnusedRule[] = [
  { names: OF_TONE, isIdle: () => true, why: 'layers are parted by levels of their own' },
  {
    names: ['vignette'],
    isIdle: () => true,
    why: 'layers are painted as far as the picture goes',
  },
  ...RULES.filter(({ names }) => !names.some((name) => OF_TONE.includes(name))),
];

/**
 * Tells of settings that were set and change nothing, because another one is not what they need.
 *
 * What has the value that it would have unset was not set, as far as a whole job can tell.
 *
 * @param isLayer whether the job is that of one layer among several
 */
export function unusedSettings(job: UnusedJob, isLayer = false): Finding[] {
  return (isLayer ? LAYERS : RULES).flatMap((rule): Finding[] => {
    if (!rule.isIdle(job)) return [];
    const names = rule.names.filter((name) => isSet(job, name));
    if (names.length === 0) return [];
    const change = names.length === 1 ? 'changes' : 'change';
    const message = `${tickedList(names)} ${change} nothing here: ${rule.why}.`;
    return [{ level: 'note', code: 'unused-setting', message }];
  });
}

/** Settings that one output alone reads, and which: no type asks for these, so a new one is added by hand. */
const OF_OUTPUT = {
  resolution: 'png',
  previewShows: 'preview',
  paint: 'preview',
  ground: 'preview',
} as const;

/**
 * Tells in a sentence each of settings that were set for files that are not written.
 *
 * @param outputs what is written
 */
export function unusedByOutputs(
  job: Pick<Job, keyof typeof OF_OUTPUT>,
  outputs: readonly string[],
): string[] {
  const names = Object.keys(OF_OUTPUT) as (keyof typeof OF_OUTPUT)[];
  return names
    .filter((name) => job[name] !== settings[name].default && !outputs.includes(OF_OUTPUT[name]))
    .map(
      (name) => `\`${name}\` changes nothing here: ${OF_OUTPUT[name]} is not among the outputs.`,
    );
}

/**
 * What sheets of stencils that are there already are made by: the plan's settings, the tool in its words, the print.
 */
const OF_SHEETS: Readonly<Record<keyof PlanSettings | 'tool' | 'paper' | 'tileOverlap', true>> = {
  tool: true,
  smallestMask: true,
  narrowestStrip: true,
  bridgeWidth: true,
  cuttingSpeed: true,
  warmUp: true,
  paper: true,
  tileOverlap: true,
};

/**
 * Tells in a sentence of settings that a person gave for a picture, where all that is laid on sheets was made before.
 *
 * @param given what she set herself
 */
export function unusedOnSheets(given: JobInput): string[] {
  const names = (Object.keys(given) as SettingName[]).filter((name) => !(name in OF_SHEETS));
  if (names.length === 0) return [];
  const change = names.length === 1 ? 'changes' : 'change';
  return [
    `${tickedList(names)} ${change} nothing here: no stencil is made, they are all there already.`,
  ];
}

function isSet(job: UnusedJob, name: UnusedName): boolean {
  const usual = name === 'motifSize' ? usualMotifSize(job) : settings[name].default;
  return JSON.stringify(job[name]) !== JSON.stringify(usual);
}

function tickedList(names: readonly string[]): string {
  const ticked = names.map((name) => `\`${name}\``);
  return ticked.length === 1
    ? ticked[0]
    : `${ticked.slice(0, -1).join(', ')} and ${ticked[ticked.length - 1]}`;
}
