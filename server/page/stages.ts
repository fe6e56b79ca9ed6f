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

/** What a stage shows, in a sentence. */
export function saysOf(stage: ShownStage, isGlue: boolean): string {
  return (isGlue ? OF_GLUE[stage] : undefined) ?? stageSays[stage];
}
