import type { JobInput } from '../../src/index.js';
import type { PictureInfo } from './api.js';
import { isWords } from './typed.js';
import type { PageState } from './page-model.js';

/** What the pointer does on the large view. */
export type EditingTool =
  | 'look'
  | 'strokes'
  | 'bridges'
  | 'regions'
  | 'areas'
  | 'subject'
  | 'faces'
  | 'finer'
  | 'crop';

/** The tools that work on the photo instead of the sheet. */
const photoTools = ['crop', 'subject', 'faces', 'finer'] as const;
/** Those that work on the stencil. */
export const stencilTools: readonly EditingTool[] = ['strokes', 'bridges', 'regions', 'areas'];

export type PhotoTool = (typeof photoTools)[number];

export const isPhotoTool = (tool: EditingTool): tool is PhotoTool =>
  (photoTools as readonly EditingTool[]).includes(tool);

/** The tools in their order: what each is called, and what one does with it. */
export const toolButtons = [
  ['look', 'Look', 'Drag to move about, pinch or turn the wheel to come closer'],
  ['strokes', 'Strokes', 'Draw lines of glue, take them away, move joins'],
  ['bridges', 'Bridges', 'Add, move and remove bridges'],
  ['regions', 'Parts', 'Leave out or keep single parts: openings and islands'],
  ['areas', 'No bridges', 'Draw areas that stay free of bridges'],
  ['subject', 'Subject', 'Say what the picture is of, and what becomes of the rest'],
  ['faces', 'Faces', 'See which faces were found; add, move and remove boxes round them'],
  ['finer', 'Finer', 'Draw round parts that keep all the detail that can be cut'],
  ['crop', 'Crop', 'Choose the part of the picture to use; turn it, straighten it, lay it flat'],
] as const satisfies readonly (readonly [EditingTool, string, string])[];

/** The tools that a set of layers has: those of the picture. */
const OF_LAYERS: readonly EditingTool[] = ['look', 'subject', 'faces', 'crop'];

/** The tools that do nothing for what is made: bridges hold what is cut, lines are of glue, words have no photo. */
export function hiddenTools(
  { draft, history, layers }: PageState,
  picture: PictureInfo,
): readonly EditingTool[] {
  const job: JobInput = draft ?? history.now;
  const names = toolButtons.map(([name]) => name);
  if (layers)
    return names.filter(
      (name) => !OF_LAYERS.includes(name) || (isWords(picture) && name !== 'look'),
    );
  const ofGlue = job.as === 'glue-line' ? (['bridges', 'regions', 'areas'] as const) : (['strokes'] as const); // prettier-ignore
  return isWords(picture) ? [...ofGlue, ...photoTools] : ofGlue;
}

/** How a tool is used, with a mouse or a finger. */
export const toolSays: Readonly<Record<Exclude<EditingTool, 'look'>, string>> = {
  strokes:
    'Drag to draw a line of glue. Click a line, then ✕ or Delete, to take it away. Drag an end of a join, marked by rings, to move it.',
  bridges:
    'Drag across a dark part to add a bridge. Drag an end to move one. Click one, then ✕ or Delete, to remove it.',
  regions:
    'Click a part, cut or film, to leave it out; a pale speck, to keep it; a mark, to take that back.',
  areas:
    'Draw round a part that is to stay free of bridges, such as a face. Click one to take it away.',
  subject:
    'Draw a box or a line round the subject, then stroke over what was taken wrongly. The background follows.',
  faces:
    'Draw a box round a face that was not found. Drag one to move it. Click one, then Remove or Delete, to take it away.',
  finer:
    'Draw round a face or a hand: it keeps all the detail that can be cut. Click a loop to take it away.',
  crop: 'Drag the frame or a corner: the rest is left off.',
};

/** The same with a keyboard, for whoever does not see it. */
export const toolHints: Readonly<Record<EditingTool, string>> = {
  look: 'The stencil. Arrow keys move about, plus and minus change the size, 0 shows the whole card, hold C to see your picture.',
  strokes:
    'Lines of glue. N and P go from line to line and from join to join, Delete takes one away, the arrow keys move a join. Escape lets go; then the arrow keys move a pointer, and Enter begins and ends a line.',
  bridges:
    'Bridges. N and P go from bridge to bridge, Delete removes one, the arrow keys move it. Escape lets go; then the arrow keys move a pointer, and Enter begins and ends a new bridge.',
  regions:
    'Single parts. The arrow keys move a pointer; Enter leaves out or keeps the part under it.',
  areas:
    'Areas free of bridges. The arrow keys move a pointer; Enter begins and ends an area, Delete takes away the one under it.',
  subject: '',
  faces: '',
  finer: '',
  crop: '',
};
