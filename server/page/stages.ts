/** The stages that a person can look at, in order. */
export const stageNames = ['photo', 'tone', 'widened', 'eased', 'bridged', 'print'] as const;

export type ShownStage = (typeof stageNames)[number];

/** What each shows, in a sentence. */
export const stageSays: Readonly<Record<ShownStage, string>> = {
  photo: 'Your picture, as it lies on the card',
  tone: 'Dark and light, as they were told apart',
  widened: 'What was too thin to cut or to hold, made wide enough',
  eased: 'Curves that a hand can follow; islands would still fall out',
  bridged: 'What you cut: bridges hold the islands',
  print: 'What the paint leaves on the card',
};
