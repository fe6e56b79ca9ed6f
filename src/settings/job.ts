import { MM_PER_INCH, parseCard, type Sheet, type CardTurn } from './card.js';
import {
  AREA_FORM,
  BRIDGE_FORM,
  REGION_FORM,
  STROKE_FORM,
  wrongAreas,
  wrongBridgeEdits,
  wrongRegionEdits,
  wrongStrokeEdits,
  type Area,
  type BridgeEdit,
  type RegionEdit,
  type StrokeEdit,
} from './edits.js';
import { FACE_BOX_FORM, wrongFaceBoxes, type FaceBox } from './face-boxes.js';
import { LOOP_FORM, MARK_FORM, wrongLoops, wrongMarks, type Loop, type Mark } from './marks.js';
import { FOLDED_CARD, layersOf, scissorsLimits } from './folds.js';
import { leastSide } from './words/lengths.js';
import { didYouMean } from './words/nearest.js';
import { Problem } from './problem.js';
import { registerMargin } from './register-marks.js';

/** What every setting has, whatever its kind. */
interface Described {
  /** The heading under which a person finds it. */
  readonly group:
    | 'Card'
    | 'Picture'
    | 'Subject'
    | 'Repeat'
    | 'Fold'
    | 'Dark and light'
    | 'Cutting'
    | 'Glue'
    | 'Time'
    | 'Bridges'
    | 'Print'
    | 'Words';
  /** One sentence for a person: what it does. */
  readonly says: string;
  /** Where the value comes from when it is not set, for settings whose default is null. */
  readonly follows?: string;
}

interface NumberSetting extends Described {
  readonly kind: 'number';
  readonly default: number | null;
  readonly min: number;
  readonly max: number;
  readonly unit: 'mm' | 'mm²' | '%' | 'mm/min' | 'min' | 'px/mm' | 'px/in' | '°';
}

interface ChoiceSetting extends Described {
  readonly kind: 'choice';
  readonly default: string;
  readonly choices: readonly string[];
}

interface SwitchSetting extends Described {
  readonly kind: 'switch';
  readonly default: boolean;
}

interface TextSetting extends Described {
  readonly kind: 'text';
  readonly default: string | null;
  /** An example of the form, for help and for errors. */
  readonly form: string;
  readonly pattern: RegExp;
}

/** Something that a settings file or the page holds, and no option of the command line: what was drawn or edited. */
interface DataSetting extends Described {
  readonly kind: 'data';
  readonly default: readonly unknown[];
  /** An example of the form, for help and for errors. */
  readonly form: string;
  /** What to do about a value that can't be used; undefined when it can. */
  readonly wrong: (value: unknown) => string | undefined;
}

export type Setting = NumberSetting | ChoiceSetting | SwitchSetting | TextSetting | DataSetting;

const COLOUR = /^#[0-9a-f]{6}$/i;

/** Every setting of a job, described once: the command line, the page and the checks are made from it. */
export const settings = {
  card: {
    kind: 'text',
    group: 'Card',
    says: 'The finished size the stencil is for: a name (art-card, postcard, journal-page, a6 …) or two numbers and a unit. A sheet that is folded is 6x6in unless you say so.',
    default: '4x4in',
    form: '4x4in',
    pattern: /\S/,
  },
  turn: {
    kind: 'choice',
    group: 'Card',
    says: 'Which way the card is held.',
    default: 'as-given',
    choices: ['as-given', 'portrait', 'landscape'],
  },
  margin: {
    kind: 'number',
    group: 'Card',
    says: 'The frame of film kept round the design; nothing is cut there.',
    default: null,
    follows: '6 mm, or 12 mm on cards with a side over 6 in; never less than the narrowest strip',
    min: 2,
    max: 100,
    unit: 'mm',
  },
  as: {
    kind: 'choice',
    group: 'Picture',
    says: 'What you want of the picture: a stencil, through whose openings the dark parts are painted; a mask, the dark parts themselves in one piece, to paint round; or glue-line, a mask that is drawn with hot glue, a line at a time.',
    default: 'stencil',
    choices: ['stencil', 'mask', 'glue-line'],
  },
  fit: {
    kind: 'choice',
    group: 'Picture',
    says: 'How the picture sits inside the margin: whole, with film beside it, or filling it, with its edges cropped.',
    default: 'whole',
    choices: ['whole', 'fill'],
  },
  crop: {
    kind: 'text',
    group: 'Picture',
    says: 'The part of the picture to use: left, top, width and height in percent of the picture.',
    default: null,
    follows: 'the whole picture',
    form: '10,5,80,90',
    pattern: /^\s*\d+(\.\d+)?(\s*,\s*\d+(\.\d+)?){3}\s*$/,
  },
  pictureTurn: {
    kind: 'choice',
    group: 'Picture',
    says: 'Turns the picture by quarters before anything else: right, half or left.',
    default: 'none',
    choices: ['none', 'right', 'half', 'left'],
  },
  straighten: {
    kind: 'number',
    group: 'Picture',
    says: 'Turns the picture a little, clockwise, so that what should be level is; its corners are cropped.',
    default: 0,
    min: -45,
    max: 45,
    unit: '°',
  },
  page: {
    kind: 'text',
    group: 'Picture',
    says: 'Lays a photographed page flat, so that its edge and the table are left off: find, to look for its corners; or the corners from the top left clockwise, left and top of each in percent of the picture.',
    default: null,
    follows: 'the picture as it is',
    form: '8,5,92,9,97,93,3,95',
    pattern: /^\s*(find|-?\d+(\.\d+)?(\s*,\s*-?\d+(\.\d+)?){7})\s*$/,
  },
  fineness: {
    kind: 'number',
    group: 'Picture',
    says: 'How finely the picture is worked, in pixels a millimetre of the card; fewer are quicker, and coarser.',
    default: 10,
    min: 2,
    max: 10,
    unit: 'px/mm',
  },
  subject: {
    kind: 'text',
    group: 'Subject',
    says: 'Tells the subject apart from its background: a box round it, as left, top, width and height in percent of the picture; or find, to look for it without a box and take it only when it is plain.',
    default: null,
    follows: 'the whole picture is the subject',
    form: '20,10,60,85',
    pattern: /^\s*(find|\d+(\.\d+)?(\s*,\s*\d+(\.\d+)?){3})\s*$/,
  },
  marks: {
    kind: 'data',
    group: 'Subject',
    says: 'Where the subject is, as drawn: boxes and lassos round it, strokes over what is this and what is not, in percent of the whole picture.',
    default: [] as readonly Mark[],
    form: MARK_FORM,
    wrong: wrongMarks,
  },
  faces: {
    kind: 'choice',
    group: 'Subject',
    says: 'Whether faces are looked for in a photograph, to keep their eyes and mouths on a small card: find or none; with lines of glue none unless you say find. Nothing leaves this computer, and nobody is recognised.',
    default: 'find',
    choices: ['find', 'none'],
  },
  faceBoxes: {
    kind: 'data',
    group: 'Subject',
    says: 'Where the faces are, as drawn, in place of those that are found: left, top, width and height of a box round each, in percent of the whole picture.',
    default: [] as readonly FaceBox[],
    form: FACE_BOX_FORM,
    wrong: wrongFaceBoxes,
  },
  background: {
    kind: 'choice',
    group: 'Subject',
    says: 'What becomes of the background of a subject: film; opening, so that the paint surrounds the subject; plain, its large masses alone; or as-is, as in the picture.',
    default: 'film',
    choices: ['film', 'opening', 'plain', 'as-is'],
  },
  silhouette: {
    kind: 'choice',
    group: 'Subject',
    says: 'A line round the subject: none; soft, only where nothing else parts it from its background; or hard, all the way round.',
    default: 'none',
    choices: ['none', 'soft', 'hard'],
  },
  sizeAdvice: {
    kind: 'switch',
    group: 'Picture',
    says: 'Says how large a card the picture would need and which crop keeps the most, even when little of it is lost.',
    default: false,
  },
  repeat: {
    kind: 'choice',
    group: 'Repeat',
    says: 'Repeats the picture as a motif over the card: straight in rows and columns; brick, every second row shifted by half; half-drop, every second column shifted by half; mirrored, every second one turned over, across and down. The empty paper round a drawing is left off first.',
    default: 'none',
    choices: ['none', 'straight', 'brick', 'half-drop', 'mirrored'],
  },
  motifSize: {
    kind: 'number',
    group: 'Repeat',
    says: 'The longer side of one motif.',
    default: null,
    follows: 'a quarter of the shorter side inside the margin',
    min: 4,
    max: 1000,
    unit: 'mm',
  },
  motifGap: {
    kind: 'number',
    group: 'Repeat',
    says: 'The room between one motif and the next.',
    default: 4,
    min: 0,
    max: 200,
    unit: 'mm',
  },
  motifEdge: {
    kind: 'choice',
    group: 'Repeat',
    says: 'What happens at the margin: whole motifs only, in the middle of the card; or bled, so that the pattern runs on and is cut off there.',
    default: 'whole',
    choices: ['whole', 'bled'],
  },
  fold: {
    kind: 'choice',
    group: 'Fold',
    says: 'Folds the sheet before it is cut, all layers at once: half; quarter; eighth, a square folded to a wedge of 45°; sixth, to one of 30°, for a six-pointed star; or to-and-fro in panels, for a row.',
    default: 'none',
    choices: ['none', 'half', 'quarter', 'eighth', 'sixth', 'to-and-fro'],
  },
  foldPanels: {
    kind: 'choice',
    group: 'Fold',
    says: 'With fold to-and-fro: how many panels.',
    default: '4',
    choices: ['2', '3', '4', '5', '6', '7', '8'],
  },
  foldPicture: {
    kind: 'choice',
    group: 'Fold',
    says: 'What of the folded sheet the picture shows: part, what is cut into the packet; whole, the opened sheet, whose symmetric drawing is folded back; or auto, to find out.',
    default: 'auto',
    choices: ['auto', 'part', 'whole'],
  },
  foldPlace: {
    kind: 'text',
    group: 'Fold',
    says: 'Where the picture lies in the packet: its middle from the left and the top of the packet in percent, its size in percent, and how far it is turned clockwise in degrees.',
    default: null,
    follows: 'the place and turn that keep the most of the picture',
    form: '50,40,100,15',
    pattern: /^\s*-?\d+(\.\d+)?(\s*,\s*-?\d+(\.\d+)?){3}\s*$/,
  },
  sheetThickness: {
    kind: 'number',
    group: 'Fold',
    says: 'How thick the sheet is; folded, its layers come out unequal by it.',
    // Of spunbonded sheet. Common practice, from memory, no published source.
    default: 0.14,
    min: 0.02,
    max: 1,
    unit: 'mm',
  },
  mostLayers: {
    kind: 'choice',
    group: 'Fold',
    says: 'How many layers you are ready to cut at once.',
    default: '12',
    choices: ['2', '4', '6', '8', '12'],
  },
  tone: {
    kind: 'choice',
    group: 'Dark and light',
    says: 'How dark and light are told apart: best looks at the picture and picks; auto is one level found for all; level is one that you give; local suits a page photographed in uneven light; edges keeps a face; mixed draws lines that run on and masses, as masses and detail say.',
    default: 'best',
    choices: ['best', 'auto', 'level', 'local', 'edges', 'mixed'],
  },
  level: {
    kind: 'number',
    group: 'Dark and light',
    says: 'With tone level: what is darker than this is cut; more makes more of the picture dark.',
    default: 50,
    min: 1,
    max: 99,
    unit: '%',
  },
  masses: {
    kind: 'number',
    group: 'Dark and light',
    says: 'With tone mixed: how much is masses and how much lines; 0 draws lines alone, 100 masses alone.',
    default: 50,
    min: 0,
    max: 100,
    unit: '%',
  },
  detail: {
    kind: 'number',
    group: 'Dark and light',
    says: 'With tone mixed: how much detail is kept; 0 keeps the large shapes, 100 all that can be cut.',
    default: 70,
    min: 0,
    max: 100,
    unit: '%',
  },
  finer: {
    kind: 'data',
    group: 'Dark and light',
    says: 'Parts of the picture that keep all the detail that can be cut, whatever the rest keeps: a face, a hand; each a loop drawn round it, in percent of the whole picture.',
    default: [] as readonly Loop[],
    form: LOOP_FORM,
    wrong: wrongLoops,
  },
  swap: {
    kind: 'switch',
    group: 'Dark and light',
    says: 'Cuts the light parts instead of the dark ones.',
    default: false,
  },
  vignette: {
    kind: 'choice',
    group: 'Dark and light',
    says: 'How dark masses end that the frame of the picture cuts: none, in a straight line; soft, in an uneven, rounded line before it, the nearer to it the darker they are; auto, so where it cuts much of a photograph, above as well as below.',
    default: 'auto',
    choices: ['auto', 'soft', 'none'],
  },
  smoothing: {
    kind: 'number',
    group: 'Dark and light',
    says: 'How much fine texture is calmed before dark and light are told apart, measured on the card.',
    default: null,
    follows: 'the narrowest opening and strip; with lines of glue 0.15 of their width',
    min: 0,
    max: 5,
    unit: 'mm',
  },
  tool: {
    kind: 'choice',
    group: 'Cutting',
    says: 'What you cut with; it sets every limit below that you do not set yourself. A sheet that is folded is cut with scissors unless you say so.',
    default: 'hot-tip',
    choices: ['hot-tip', 'craft-knife', 'scissors'],
  },
  meltWidth: {
    kind: 'number',
    group: 'Cutting',
    says: 'The width of the line that the tip melts or the blade takes.',
    default: null,
    follows: 'the tool',
    min: 0.05,
    max: 3,
    unit: 'mm',
  },
  narrowestOpening: {
    kind: 'number',
    group: 'Cutting',
    says: 'Openings are made at least this wide, so that you can cut and clear them.',
    default: null,
    follows: 'the tool',
    min: 0.3,
    max: 10,
    unit: 'mm',
  },
  narrowestStrip: {
    kind: 'number',
    group: 'Cutting',
    says: 'Strips of film are kept at least this wide, so that they do not tear or melt through.',
    default: null,
    follows: 'the tool',
    min: 0.3,
    max: 10,
    unit: 'mm',
  },
  bridgeWidth: {
    kind: 'number',
    group: 'Cutting',
    says: 'The width of the bridges that hold islands of film in place.',
    default: null,
    follows: 'the tool',
    min: 0.3,
    max: 15,
    unit: 'mm',
  },
  tightestTurn: {
    kind: 'number',
    group: 'Cutting',
    says: 'The smallest radius that you can follow without stopping; anything sharper becomes a marked corner.',
    default: null,
    follows: 'the tool',
    min: 0,
    max: 10,
    unit: 'mm',
  },
  smallestOpening: {
    kind: 'number',
    group: 'Cutting',
    says: 'Openings smaller than this are left out: too small to pop out.',
    default: null,
    follows: 'the tool',
    min: 0.1,
    max: 200,
    unit: 'mm²',
  },
  smallestIsland: {
    kind: 'number',
    group: 'Cutting',
    says: 'Islands of film smaller than this are cut away: not worth a bridge.',
    default: null,
    follows: 'the tool',
    min: 0.1,
    max: 500,
    unit: 'mm²',
  },
  // The usual values of what follows are common practice, from memory, no published source.
  beadWidth: {
    kind: 'number',
    group: 'Glue',
    says: 'How wide your line of glue is; the limits follow from it. A practice page tells you yours.',
    default: 4,
    min: 1.5,
    max: 10,
    unit: 'mm',
  },
  beadHeight: {
    kind: 'number',
    group: 'Glue',
    says: 'How high a line of glue stands, for the sticks that it takes.',
    default: 2.5,
    min: 0.5,
    max: 10,
    unit: 'mm',
  },
  shortestStroke: {
    kind: 'number',
    group: 'Glue',
    says: 'Lines that are shorter are left out where nothing hangs by them, so that none is a mere bump on another.',
    default: null,
    follows: 'one and a half times the width of a line',
    min: 0,
    max: 100,
    unit: 'mm',
  },
  tightestBend: {
    kind: 'number',
    group: 'Glue',
    says: 'The smallest radius that you can draw with glue, in the middle of the line; corners are rounded to it.',
    default: null,
    follows: 'half the width of a line and half a millimetre',
    min: 0.5,
    max: 30,
    unit: 'mm',
  },
  highestCrossing: {
    kind: 'number',
    group: 'Glue',
    says: 'How high the glue may stand where lines meet: twice the height of a line lets lines cross; with less, a line that would cross another stops at it, and goes on beyond.',
    default: null,
    follows: 'the height of a line, so that none crosses another',
    min: 0.5,
    max: 40,
    unit: 'mm',
  },
  massFill: {
    kind: 'choice',
    group: 'Glue',
    says: 'What becomes of dark parts that are wider than two lines of glue: their outline alone, filled to and fro, or filled in a spiral.',
    default: 'outline',
    choices: ['outline', 'hatch', 'spiral'],
  },
  joinBy: {
    kind: 'choice',
    group: 'Glue',
    says: 'What joins parts that do not touch: lines, which cover least; or rings, where a ring fits between them.',
    default: 'lines',
    choices: ['lines', 'rings'],
  },
  glueUse: {
    kind: 'choice',
    group: 'Glue',
    says: 'What the glue is for: spray-round, to lie on the card and be sprayed round; or print-with, to be painted and pressed on it, for which it is drawn mirrored.',
    default: 'spray-round',
    choices: ['spray-round', 'print-with'],
  },
  handedness: {
    kind: 'choice',
    group: 'Glue',
    says: 'The hand that you draw with: lines are in such an order that it does not pass over fresh glue.',
    default: 'right',
    choices: ['right', 'left'],
  },
  stickThickness: {
    kind: 'number',
    group: 'Glue',
    says: 'How thick your sticks of glue are; 7 and 11 mm are usual.',
    default: 11,
    min: 4,
    max: 50,
    unit: 'mm',
  },
  stickLength: {
    kind: 'number',
    group: 'Glue',
    says: 'How long your sticks of glue are.',
    default: 100,
    min: 20,
    max: 500,
    unit: 'mm',
  },
  strokeEdits: {
    kind: 'data',
    group: 'Glue',
    says: 'Lines of glue that you draw, remove or move, each by its places on the sheet in mm.',
    default: [] as readonly StrokeEdit[],
    form: STROKE_FORM,
    wrong: wrongStrokeEdits,
  },
  smallestMask: {
    kind: 'number',
    group: 'Cutting',
    says: 'Pieces that drop out are worth keeping as masks from this size on.',
    default: 100,
    min: 1,
    max: 10000,
    unit: 'mm²',
  },
  cuttingSpeed: {
    kind: 'number',
    group: 'Time',
    says: 'How far you cut in a minute along an easy line, or draw with glue, for the minutes on the plan.',
    default: null,
    follows: 'the tool',
    min: 10,
    max: 3000,
    unit: 'mm/min',
  },
  warmUp: {
    kind: 'number',
    group: 'Time',
    says: 'How long the tool takes to be ready, for the minutes on the plan.',
    default: null,
    follows: 'the tool',
    min: 0,
    max: 120,
    unit: 'min',
  },
  registerMarks: {
    kind: 'switch',
    group: 'Cutting',
    says: 'Cuts three small squares in the margin, at the same places of every sheet of this size: mark the card through them, to lay the next sheet true.',
    default: false,
  },
  strands: {
    kind: 'choice',
    group: 'Bridges',
    says: 'Where thin light lines between dark parts, which show one strand passing over another, become strips of film: in drawings, always or never.',
    default: 'drawings',
    choices: ['drawings', 'always', 'never'],
  },
  strandGap: {
    kind: 'number',
    group: 'Bridges',
    says: 'A light line that stops short of the other side by less than this is carried on.',
    default: 2,
    min: 0,
    max: 10,
    unit: 'mm',
  },
  bridgeAmount: {
    kind: 'choice',
    group: 'Bridges',
    says: 'How many bridges: fewer is one an island; usual holds what is heavy or long on two sides or more; more asks for them sooner.',
    default: 'usual',
    choices: ['fewer', 'usual', 'more'],
  },
  // This and the next: common practice, from memory, no published source.
  twoTiesFrom: {
    kind: 'number',
    group: 'Bridges',
    says: 'Film from this size on hangs on no single bridge, so that one that snaps lets nothing large fall.',
    // Of 0.25 mm film, what swings on one bridge snaps it; what that costs is in docs/measurements.md.
    default: 40,
    min: 5,
    max: 10_000,
    unit: 'mm²',
  },
  tieEvery: {
    kind: 'number',
    group: 'Bridges',
    says: 'An island has one bridge for each such length of it.',
    default: 20,
    min: 3,
    max: 500,
    unit: 'mm',
  },
  // Common practice, from memory, no published source.
  tongueFrom: {
    kind: 'number',
    group: 'Bridges',
    says: 'Film that juts out so far or further, and is narrower than a quarter of that, is tied near its end: it would flap, or snap off.',
    default: 20,
    min: 8,
    max: 500,
    unit: 'mm',
  },
  flare: {
    kind: 'number',
    group: 'Bridges',
    says: 'The radius by which bridges widen into the film at their ends, where film would tear; 0 leaves sharp corners.',
    default: 1.5,
    min: 0,
    max: 10,
    unit: 'mm',
  },
  spareFeatures: {
    kind: 'switch',
    group: 'Bridges',
    says: 'Lays bridges where the picture loses least: on flat dark rather than on edges and features.',
    default: true,
  },
  bridgeEdits: {
    kind: 'data',
    group: 'Bridges',
    says: 'Bridges that you add, pin, move or remove, each by its place on the sheet in mm.',
    default: [] as readonly BridgeEdit[],
    form: BRIDGE_FORM,
    wrong: wrongBridgeEdits,
  },
  bridgeFree: {
    kind: 'data',
    group: 'Bridges',
    says: 'Parts of the sheet that no bridge is laid in, each drawn round, its corners in mm.',
    default: [] as readonly Area[],
    form: AREA_FORM,
    wrong: wrongAreas,
  },
  regionEdits: {
    kind: 'data',
    group: 'Bridges',
    says: 'Openings and islands that you drop, or keep where their size would drop them, each by a place in it in mm.',
    default: [] as readonly RegionEdit[],
    form: REGION_FORM,
    wrong: wrongRegionEdits,
  },
  paper: {
    kind: 'choice',
    group: 'Print',
    says: 'The paper in your printer, for the true-size template. A sheet that is larger is printed in parts that overlap; with one-page it is one page of its own size, for a print shop.',
    default: 'auto',
    choices: ['auto', 'letter', 'a4', 'one-page'],
  },
  tileOverlap: {
    kind: 'number',
    group: 'Print',
    says: 'How far the parts of a large print overlap, to be laid over one another.',
    default: 10,
    min: 2,
    max: 60,
    unit: 'mm',
  },
  resolution: {
    kind: 'number',
    group: 'Print',
    says: 'The resolution of stencil.png; a very large sheet gets what keeps it within 60 megapixels.',
    default: 300,
    min: 50,
    max: 1200,
    unit: 'px/in',
  },
  previewShows: {
    kind: 'choice',
    group: 'Bridges',
    says: 'What the preview shows beside the paint: nothing, the numbers of the bridges, rings round sharp inner corners, where film tears, or both.',
    default: 'print',
    choices: ['print', 'bridges', 'sharp-corners', 'both'],
  },
  paint: {
    kind: 'text',
    group: 'Print',
    says: 'The colour of the paint in the preview.',
    default: '#1f3a4d',
    form: '#1f3a4d',
    pattern: COLOUR,
  },
  ground: {
    kind: 'text',
    group: 'Print',
    says: 'The colour of the card in the preview.',
    default: '#f6f0e4',
    form: '#f6f0e4',
    pattern: COLOUR,
  },
} as const satisfies Readonly<Record<string, Setting>>;

export type SettingName = keyof typeof settings;

/** The headings under which a job's settings stand. */
export type SettingGroup = (typeof settings)[SettingName]['group'];

type Value<S> = S extends { kind: 'number' }
  ? number
  : S extends { kind: 'choice'; choices: readonly (infer C)[] }
    ? C
    : S extends { kind: 'data'; default: infer D }
      ? D
      : S extends { kind: 'switch' }
        ? boolean
        : string;

/** The settings that a person gave; what is left out follows from the defaults. */
export type JobInput = { readonly [K in SettingName]?: Value<(typeof settings)[K]> | null };

/** The settings that may stay null in a whole job: no crop is the whole picture, no subject has no background. */
type Optional = 'crop' | 'page' | 'subject' | 'foldPlace';

/** A whole job: every setting has its value, save those that may be null. */
export type Job = {
  readonly [K in Exclude<SettingName, Optional>]: Value<(typeof settings)[K]>;
} & { readonly [K in Optional]: Value<(typeof settings)[K]> | null };

/** What a tool sets: its limits, and a hand's usual pace with it. Common practice, from memory, no published source. */
type ToolLimits = Pick<
  Job,
  | 'meltWidth'
  | 'narrowestOpening'
  | 'narrowestStrip'
  | 'bridgeWidth'
  | 'tightestTurn'
  | 'smallestOpening'
  | 'smallestIsland'
  | 'cuttingSpeed'
  | 'warmUp'
>;

export const toolLimits: Readonly<Record<Job['tool'], ToolLimits>> = {
  'hot-tip': {
    meltWidth: 0.8,
    narrowestOpening: 1.5,
    narrowestStrip: 1.6,
    bridgeWidth: 2.4,
    tightestTurn: 1,
    smallestOpening: 3,
    smallestIsland: 9,
    cuttingSpeed: 150,
    warmUp: 20,
  },
  'craft-knife': {
    meltWidth: 0.1,
    narrowestOpening: 1,
    narrowestStrip: 1.2,
    bridgeWidth: 2,
    tightestTurn: 3,
    smallestOpening: 2,
    smallestIsland: 6,
    cuttingSpeed: 200,
    warmUp: 0,
  },
  // Through one layer; a packet's layers are counted in `limitsOf`.
  scissors: scissorsLimits(1, settings.sheetThickness.default),
};

/** The limits of a tool on a sheet as it is folded. */
function limitsOf(job: Pick<Job, 'tool' | 'fold' | 'foldPanels' | 'sheetThickness'>): ToolLimits {
  return job.tool === 'scissors'
    ? scissorsLimits(layersOf(job), job.sheetThickness)
    : toolLimits[job.tool];
}

/**
 * What a bead of glue sets instead, in mm and mm²: the narrowest opening is the closest that two beads may lie, the
 * narrowest strip a bead with its unevenness; a hand draws with glue at 10 mm a second. Common practice, from memory,
 * no published source.
 */
function glueLimits(beadMm: number): ToolLimits {
  const round = (value: number): number => Math.round(value * 100) / 100;
  return {
    meltWidth: settings.meltWidth.min,
    narrowestOpening: round(beadMm / 2),
    narrowestStrip: round(UNEVEN_BEAD * beadMm),
    bridgeWidth: beadMm,
    tightestTurn: 0,
    smallestOpening: round(Math.max(settings.smallestOpening.min, (beadMm * beadMm) / 2)),
    smallestIsland: round(beadMm * beadMm),
    cuttingSpeed: 600,
    warmUp: 5,
  };
}

/** A bead is nowhere narrower than this share of its width. */
const UNEVEN_BEAD = 0.75;
/** Of a bead's width: how much fine texture is calmed. By eye, on the samples: less gives lines that wander. */
const GLUE_SMOOTHING = 0.15;
/** Of a bead's width: the shortest stroke, and the tightest bend less half a millimetre. */
const SHORTEST_STROKE = 1.5;
const TIGHTEST_BEND = 0.5;

/**
 * The usual margin, in mm, and that of a card with a side over 6 in: a frame to hold it by that does not flap. Common
 * practice, no source.
 */
const LARGE_CARD_MM = 6 * MM_PER_INCH;
const MARGIN_MM = 6;
const LARGE_CARD_MARGIN_MM = 12;
/** The least side that a margin must leave for the picture, in mm: a few openings and strips beside each other. */
const DRAWABLE_MM = 8;
/** Beyond the narrowest opening, in mm: what lies round a mask is cut clear of it and of the sheet's edge. */
const MASK_MARGIN_MM = 2;
/** What thin parts get beyond the narrowest strip, and what curves may bulge by, in mm. */
const WIDENING_MM = 0.4;

/** Where settings come from, for the words of an error. */
export interface SettingsOrigin {
  /** What the person knows it by: "the command line", a file's name. */
  readonly where: string;
  /** How a setting is written there. */
  readonly spell: (name: string) => string;
}

/** Nobody knows yet how the person gives a setting; `spelt` says it in her place's words. */
const SETTINGS: SettingsOrigin = { where: 'settings', spell: (name) => `\`${name}\`` };

/** What is set for one tone alone, and that tone. */
const TONE_OF = { level: 'level', masses: 'mixed', detail: 'mixed' } as const;

/** The settings with what they plainly mean: a level that is given alone means the tone level, masses the tone mixed. */
export function meant(given: JobInput): JobInput {
  if (given.tone !== undefined && given.tone !== null) return given;
  const names = Object.keys(TONE_OF) as (keyof typeof TONE_OF)[];
  const tones = new Set(
    names.filter((name) => typeof given[name] === 'number').map((name) => TONE_OF[name]),
  );
  // Those of two tones mean neither; that they change nothing is told.
  const [tone] = tones;
  return tones.size === 1 ? { ...given, tone } : given;
}

/**
 * Checks each setting that a person gave by itself.
 *
 * @throws Problem for an unknown name, or a value of the wrong kind or out of range
 */
export function checkSettings(
  given: Readonly<Record<string, unknown>>,
  origin: SettingsOrigin = SETTINGS,
): JobInput {
  checkAgainst(settings, given, origin);
  return given;
}

/**
 * Checks what a person gave and fills in the rest: defaults, the tool's limits, the card's margin.
 *
 * @param given settings by name, of any source (command line, file, page)
 * @throws Problem for an unknown name, a value of the wrong kind or out of range, or limits that contradict
 *   each other
 */
export function completeJob(
  given: Readonly<Record<string, unknown>>,
  origin: SettingsOrigin = SETTINGS,
): Job {
  const input = meant(checkSettings(given, origin));
  const usual: JobInput = isFolded(input) ? OF_A_FOLDED_SHEET : {};
  const plain = Object.fromEntries(
    Object.entries(settings).map(([name, setting]) => [
      name,
      input[name as SettingName] ?? usual[name as SettingName] ?? setting.default,
    ]),
  ) as Partial<Record<SettingName, unknown>>;
  const isGlue = (plain.as as Job['as']) === 'glue-line';
  const bead = plain.beadWidth as number;
  const limits = isGlue ? glueLimits(bead) : limitsOf(plain as unknown as Job);
  const sheet = parseCard(plain.card as string, plain.turn as CardTurn);
  const job = { ...plain } as Record<SettingName, unknown>;
  for (const [name, value] of Object.entries(limits)) job[name as SettingName] ??= value;
  // The marks of eyes and mouths are openings for a tip; lines of glue draw what is there.
  if (isGlue) job.faces = input.faces ?? 'none';
  job.margin ??= marginFor(sheet, job as unknown as Job);
  job.motifSize ??= motifSizeFor(sheet, job.margin as number);
  job.smoothing ??= isGlue ? GLUE_SMOOTHING * bead : smoothingFor(job as unknown as Job);
  // Who says where a picture lies in the packet means a part.
  if (job.foldPlace !== null && job.foldPicture === 'auto') job.foldPicture = 'part';
  job.shortestStroke ??= SHORTEST_STROKE * bead;
  job.tightestBend ??= TIGHTEST_BEND * bead + 0.5;
  job.highestCrossing ??= job.beadHeight;
  return checkTogether(job as unknown as Job, sheet, origin.spell);
}

const isFolded = ({ fold }: JobInput): boolean => (fold ?? 'none') !== 'none';

/** What a folded sheet has in the place of the defaults. */
const OF_A_FOLDED_SHEET: JobInput = { card: FOLDED_CARD, tool: 'scissors' };

/**
 * Lays settings over others, which may be a whole job: its values that only followed from its card and tool
 * follow anew, so that another card or tool brings its own margin and limits.
 */
export function overlay(under: JobInput, over: JobInput): JobInput {
  const changed = Object.values(over).some((value) => value !== undefined && value !== null);
  if (!changed) return under;
  const followers = followersOf(under);
  const kept = Object.entries(under).filter(([name]) => !followers.has(name));
  return { ...Object.fromEntries(kept), ...meant(over) };
}

/** The names of the settings whose values would be the same if they had not been given. */
function followersOf(given: JobInput): ReadonlySet<string> {
  const names = Object.keys(given).filter((name) => settings[name as SettingName].default === null);
  const chosen = Object.entries(given).filter(([name]) => !names.includes(name));
  const alone: Readonly<Record<string, unknown>> = completeJob(Object.fromEntries(chosen));
  const values: Readonly<Record<string, unknown>> = given;
  return new Set(names.filter((name) => values[name] === alone[name]));
}

/** The sheet that a job is for, in millimetres. */
export function sheetOf(job: Pick<Job, 'card' | 'turn'>): Sheet {
  return parseCard(job.card, job.turn);
}

/**
 * How far from the sheet's edge the design begins, in mm: at the margin, and for a mask further in, since its thin
 * parts at the picture's edge are widened outwards.
 */
export function designMargin({
  as,
  margin,
  narrowestStrip,
}: Pick<Job, 'as' | 'margin' | 'narrowestStrip'>): number {
  return as === 'stencil' ? margin : margin + narrowestStrip / 2 + WIDENING_MM;
}

function marginFor(sheet: Sheet, job: Job): number {
  const isLarge = Math.max(sheet.widthMm, sheet.heightMm) > LARGE_CARD_MM;
  const usual = isLarge ? LARGE_CARD_MARGIN_MM : MARGIN_MM;
  const margin = Math.max(usual, Math.ceil(job.narrowestStrip));
  return job.registerMarks ? Math.max(margin, Math.ceil(registerMargin(job))) : margin;
}

/** Motifs along the shorter side: enough that a pattern is seen as one, few enough that each can be cut. */
const MOTIFS_ACROSS = 4;

/** The size of a motif, in mm, where none is set. */
export function usualMotifSize(job: Pick<Job, 'card' | 'turn' | 'margin'>): number {
  return motifSizeFor(sheetOf(job), job.margin);
}

/** Never under what can be set: a margin that leaves no room is refused for itself. */
function motifSizeFor({ widthMm, heightMm }: Sheet, margin: number): number {
  const size = (Math.min(widthMm, heightMm) - 2 * margin) / MOTIFS_ACROSS;
  return Math.max(settings.motifSize.min, Math.round(size * 10) / 10);
}

/** A blur whose σ is a fifth of the narrowest thing kept: finer detail could not be cut anyway. */
function smoothingFor(job: Job): number {
  return Math.round(Math.min(job.narrowestOpening, job.narrowestStrip) * 20) / 100;
}

/**
 * Checks values against settings that are described, each by itself.
 *
 * @throws Problem for an unknown name, or a value of the wrong kind or out of range
 */
export function checkAgainst(
  described: Readonly<Record<string, Setting>>,
  given: Readonly<Record<string, unknown>>,
  origin: SettingsOrigin,
): void {
  for (const [name, value] of Object.entries(given)) checkValue(described, name, value, origin);
}

const EVERY_SETTING = 'A report.json holds every setting by its name, under "job"';

function checkValue(
  described: Readonly<Record<string, Setting>>,
  name: string,
  value: unknown,
  { where, spell }: SettingsOrigin,
): void {
  if (!Object.hasOwn(described, name)) {
    throw new Problem(
      `There is no setting called "${name}"`,
      where,
      didYouMean(name, Object.keys(described), EVERY_SETTING),
    );
  }
  if (value === null || value === undefined) return;
  const setting = described[name];
  const wrong = wrongValue(setting, value);
  if (wrong) throw new Problem(`${spell(name)} can't be ${shown(value)}`, where, wrong);
}

/** Characters of a wrong value that are told: enough to know it by. */
const MOST_SHOWN = 60;

function shown(value: unknown): string {
  const text = written(value);
  return text.length > MOST_SHOWN ? `${text.slice(0, MOST_SHOWN)}…` : text;
}

function written(value: unknown): string {
  try {
    return JSON.stringify(value) ?? String(value);
  } catch {
    // Lists in lists beyond what can be written, or an object that holds itself.
    return 'what is given';
  }
}

/** What to do about a value that a setting can't take; undefined when it can. */
function wrongValue(setting: Setting, value: unknown): string | undefined {
  switch (setting.kind) {
    case 'number':
      return typeof value === 'number' && value >= setting.min && value <= setting.max
        ? undefined
        : `Give a number from ${setting.min} to ${setting.max} ${setting.unit}`;
    case 'choice':
      return setting.choices.some((choice) => choice === value)
        ? undefined
        : didYouMean(
            String(value),
            setting.choices,
            `Choose one of: ${setting.choices.join(', ')}`,
          );
    case 'switch':
      return typeof value === 'boolean' ? undefined : 'Say true or false';
    case 'text':
      return typeof value === 'string' && setting.pattern.test(value)
        ? undefined
        : `Write it like this: ${setting.form}`;
    case 'data':
      return setting.wrong(value);
  }
}

/** Inside the margin the widest limit fits so often at least: an opening, film, and an opening. */
const LEAST_ACROSS = 3;

/** The least card for a margin, and the most margin for the card where there is one. */
function noRoomRemedy({ margin, card: given }: Job, room: number): string {
  const card = `Take a card of at least ${leastSide(given, 2 * margin + DRAWABLE_MM)} a side`;
  const most = Math.floor((room + 2 * margin - DRAWABLE_MM) / 2);
  return most < settings.margin.min ? card : `${card}, or a margin of ${most} mm at most`;
}

function checkTogether(job: Job, sheet: Sheet, spell: SettingsOrigin['spell']): Job {
  const named = (...names: SettingName[]) => names.map(spell).join(', ');
  const room = Math.min(sheet.widthMm, sheet.heightMm) - 2 * job.margin;
  if (room < DRAWABLE_MM) {
    throw new Problem(
      `A margin of ${job.margin} mm on each side leaves no room for the picture on a card of ${job.card}`,
      named('margin'),
      noRoomRemedy(job, room),
    );
  }
  if (job.as === 'stencil' && job.margin < job.narrowestStrip) {
    throw new Problem(
      `A margin of ${job.margin} mm is narrower than the narrowest strip of film, ${job.narrowestStrip} mm: the frame would not hold`,
      named('margin', 'narrowestStrip'),
      `Give a margin of ${job.narrowestStrip} mm or more, or make ${spell('narrowestStrip')} smaller`,
    );
  }
  if (job.registerMarks && job.margin < registerMargin(job)) {
    throw new Problem(
      `A margin of ${job.margin} mm has no room for register marks`,
      named('margin', 'registerMarks'),
      `Give a margin of ${Math.ceil(registerMargin(job))} mm or more, or do without the marks`,
    );
  }
  if (job.as !== 'stencil' && job.registerMarks) {
    throw new Problem(
      'A mask has no film round it for register marks',
      named('as', 'registerMarks'),
      'Make a stencil, or do without the marks',
    );
  }
  checkGlue(job, room, spell);
  const maskMargin = job.narrowestOpening + MASK_MARGIN_MM;
  if (job.as !== 'stencil' && job.margin < maskMargin) {
    throw new Problem(
      job.as === 'mask'
        ? `A margin of ${job.margin} mm is too narrow to cut round a mask`
        : `A margin of ${job.margin} mm is too narrow for lines of glue that are ${job.beadWidth} mm wide`,
      named('margin'),
      `Make it ${maskMargin} mm or more`,
    );
  }
  if (job.narrowestOpening <= job.meltWidth) {
    throw new Problem(
      `A line of ${job.meltWidth} mm can't cut an opening of ${job.narrowestOpening} mm`,
      named('meltWidth', 'narrowestOpening'),
      `Make ${spell('narrowestOpening')} larger than ${spell('meltWidth')}`,
    );
  }
  if (job.bridgeWidth < job.narrowestStrip) {
    throw new Problem(
      `Bridges of ${job.bridgeWidth} mm would be narrower than the narrowest strip, ${job.narrowestStrip} mm`,
      named('bridgeWidth', 'narrowestStrip'),
      `Make ${spell('bridgeWidth')} at least as large as ${spell('narrowestStrip')}`,
    );
  }
  const widest = Math.max(job.narrowestOpening, job.narrowestStrip, job.bridgeWidth);
  checkFold(job, sheet, named);
  if (widest > room / LEAST_ACROSS) {
    throw new Problem(
      `The limits are too wide for the ${room.toFixed(0)} mm inside the margin`,
      named('narrowestOpening', 'narrowestStrip', 'bridgeWidth'),
      `Take a card of at least ${leastSide(job.card, LEAST_ACROSS * widest + 2 * job.margin)} a side, or smaller limits`,
    );
  }
  return job;
}

/** Sides of a square that differ by less, in mm, still fold onto each other. */
const SQUARE_MM = 0.5;
/** A panel, or a wedge at its open edge, holds so many strips and slots beside each other at least. */
const LEAST_IN_PACKET = 2;

function checkFold(job: Job, sheet: Sheet, named: (...names: SettingName[]) => string): void {
  if (job.fold === 'none') return;
  const layers = layersOf(job);
  if (job.tool === 'hot-tip') {
    throw new Problem(
      'A hot tip melts the layers of a folded sheet together',
      named('tool', 'fold'),
      'Cut it with scissors, or with a craft knife on a mat',
    );
  }
  if (layers > Number(job.mostLayers)) {
    throw new Problem(
      `This fold lays ${layers} layers over one another, more than the ${job.mostLayers} that you allow`,
      named('fold', 'mostLayers'),
      'Fold it less often, or allow more layers',
    );
  }
  if (job.repeat !== 'none') {
    throw new Problem(
      'A folded sheet repeats the picture by its folds, and not as a motif',
      named('fold', 'repeat'),
      'Take one of the two',
    );
  }
  if (job.registerMarks) {
    throw new Problem(
      'Register marks can’t be cut into a folded sheet: each would come out in every layer',
      named('fold', 'registerMarks'),
      'Do without the marks, or lay the opened sheet by its corners',
    );
  }
  const longer = Math.max(sheet.widthMm, sheet.heightMm);
  const shorter = Math.min(sheet.widthMm, sheet.heightMm);
  if (job.fold === 'eighth' && longer - shorter > SQUARE_MM) {
    throw new Problem(
      'Only a square folds to a wedge of eight layers',
      named('fold', 'card'),
      `Take a square card, such as ${Math.floor(shorter)}x${Math.floor(shorter)}mm, or fold a quarter`,
    );
  }
  if (job.fold === 'to-and-fro' && job.as === 'stencil' && layers % 2 === 1) {
    throw new Problem(
      `A strip with a frame, folded in ${layers} panels, has no fold that a cut can start from: both kinds of fold lie at an end of it`,
      named('foldPanels'),
      'Take an even number of panels, or make a mask, which is cut free all round',
    );
  }
  const across = packetWidth(job, sheet);
  const need = LEAST_IN_PACKET * (job.narrowestStrip + job.narrowestOpening);
  if (across < need) {
    throw new Problem(
      `Folded, the sheet is ${Math.max(0, Math.floor(across))} mm wide inside its margin: too small for two slots and two strips, which take ${Math.ceil(need)} mm`,
      named('card', 'fold'),
      job.fold === 'to-and-fro'
        ? 'Take fewer panels, or a longer strip'
        : 'Take a larger sheet, or fold it less often',
    );
  }
}

/** How wide the packet is inside the margin, in mm; a wedge, across its open edge. */
function packetWidth(job: Job, { widthMm, heightMm }: Sheet): number {
  const [across, down] = [widthMm - 2 * job.margin, heightMm - 2 * job.margin];
  const shorter = Math.min(across, down);
  if (job.fold === 'sixth') return (shorter / 2) * Math.tan(Math.PI / 6);
  if (job.fold !== 'to-and-fro') return shorter / 2;
  return job.as === 'mask'
    ? across / Number(job.foldPanels)
    : widthMm / Number(job.foldPanels) - job.margin;
}
/** Across the room inside the margin there are so many beads and gaps at least: a ring, and something in it. */
const LEAST_BEADS = 4;

/** Refuses what can't be drawn with glue. */
function checkGlue(job: Job, room: number, spell: SettingsOrigin['spell']): void {
  if (job.as !== 'glue-line') return;
  if (job.fold !== 'none') {
    throw new Problem(
      'Glue is drawn on a flat surface, not on a folded sheet',
      `${spell('as')}, ${spell('fold')}`,
      'Take one of the two',
    );
  }
  const least = LEAST_BEADS * job.beadWidth;
  if (room < least) {
    throw new Problem(
      `A line of glue of ${job.beadWidth} mm is too wide for the ${room.toFixed(0)} mm inside the margin`,
      `${spell('beadWidth')}, ${spell('card')}`,
      `Take a card of at least ${leastSide(job.card, least + 2 * job.margin)} a side, or a narrower line`,
    );
  }
  if (job.highestCrossing < job.beadHeight) {
    throw new Problem(
      `A line of glue that stands ${job.beadHeight} mm high is higher than the ${job.highestCrossing} mm allowed where lines meet`,
      `${spell('beadHeight')}, ${spell('highestCrossing')}`,
      `Make ${spell('highestCrossing')} ${job.beadHeight} mm or more; from ${2 * job.beadHeight} mm on lines may cross`,
    );
  }
  if (job.beadHeight > job.beadWidth) {
    throw new Problem(
      `A line of glue can't stand ${job.beadHeight} mm high and be ${job.beadWidth} mm wide: it would fall over while it is soft`,
      `${spell('beadHeight')}, ${spell('beadWidth')}`,
      `Make ${spell('beadHeight')} ${job.beadWidth} mm or less`,
    );
  }
}
