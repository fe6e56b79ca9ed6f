import { layerSettings } from '../layer-settings.js';
import { letteringSettings, sheetSettings } from '../lettering-settings.js';
import { settings } from '../job.js';

/**
 * A sentence of the library as a person reads it in one place. The library does not know how she gives a setting, so
 * it names it as a settings file does, between backticks: `motifSize`. The command line says --motif-size, and the page
 * what stands beside the field.
 *
 * @param spell gives a setting's name as it is written there
 */
export function spelt(text: string, spell: (name: string) => string): string {
  return text.replaceAll(/`(\w+)`/g, (whole, name: string) =>
    NAMED.some((all) => Object.hasOwn(all, name)) ? spell(name) : whole,
  );
}

/** What stands beside a field whose name alone says too little. */
const OWN_LABELS: Readonly<Record<string, string>> = {
  as: 'What it is',
  turn: 'How the card lies',
  fineness: 'How finely it is worked',
  pictureTurn: 'Turn the picture',
  page: 'Page in the picture',
  swap: 'Swap dark and light',
  finer: 'Finer parts',
  faceBoxes: 'Boxes round faces',
  silhouette: 'Line round the subject',
  motifEdge: 'Motifs at the margin',
  massFill: 'How dark parts are filled',
  handedness: 'Your hand',
  strokeEdits: 'Strokes by hand',
  meltWidth: 'Width of the cut',
  twoTiesFrom: 'Two bridges from',
  tieEvery: 'A bridge for every',
  tongueFrom: 'Tie what juts out from',
  flare: 'Rounded ends',
  spareFeatures: 'Spare the features',
  bridgeEdits: 'Bridges by hand',
  bridgeFree: 'Parts without bridges',
  regionEdits: 'Parts by hand',
  tileOverlap: 'Overlap of large prints',
  paint: 'Colour of the paint',
  ground: 'Colour of the card',
};
const NAMED = [settings, layerSettings, letteringSettings, sheetSettings];

/** What stands beside a setting's field: narrowestOpening → Narrowest opening. */
export function labelOf(name: string): string {
  const own = OWN_LABELS[name];
  if (own !== undefined) return own;
  const words = name.replaceAll(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The same within a sentence. */
export const labelled = (name: string): string => `“${labelOf(name)}”`;
