import type { JobInput } from '../../src/index.js';

/** The stages that a person can look at, in order. */
export const stageNames = ['photo', 'tone', 'widened', 'eased', 'bridged', 'print'] as const;

export type ShownStage = (typeof stageNames)[number];

/** What each shows, in a sentence. */
const stageSays: Readonly<Record<ShownStage, string>> = {
  photo: 'Your picture, as it lies on the card',
  tone: 'Dark and light, as they were told apart',
  widened: 'What was too thin to cut or to hold, made wide enough',
  eased: 'Curves that a hand can follow; islands would still fall out',
  bridged: 'What you cut: bridges hold the islands',
  print: 'What the paint leaves on the card',
};

/** What is shown of lines of glue where that is something else. */
const OF_GLUE: Partial<Record<ShownStage, string>> = {
  widened: 'Where the glue lies',
  eased: 'The lines of glue, and how wide they lie',
  bridged: 'The lines of glue, and how wide they lie',
  print: 'The card sprayed round the glue',
};

/** What is shown of a mask where that is something else. */
const OF_MASK: Partial<Record<ShownStage, string>> = {
  eased: 'Curves that a hand can follow; parts of the mask still fall apart',
  bridged: 'The mask is what is pale: bridges join its parts, all round it is cut away',
  print: 'The card painted round the mask',
};

/** What a stage shows, in a sentence. */
export function saysOf(stage: ShownStage, as: 'glue' | JobInput['as']): string {
  const own = as === 'glue' ? OF_GLUE : as === 'mask' ? OF_MASK : {};
  return own[stage] ?? stageSays[stage];
}

/** What each is called. */
const CALLED: Readonly<Record<ShownStage, string>> = {
  photo: 'Photo',
  tone: 'Dark, light',
  widened: 'Widths',
  eased: 'Curves',
  bridged: 'Stencil',
  print: 'Print',
};

const CALLED_OTHERWISE: Readonly<Record<'mask' | 'glue', string>> = { mask: 'Mask', glue: 'Lines' };

export function stageName(stage: ShownStage, as: 'glue' | JobInput['as']): string {
  const isOther = stage === 'bridged' && (as === 'mask' || as === 'glue');
  return isOther ? CALLED_OTHERWISE[as] : CALLED[stage];
}
