import type { Sheet } from '../../settings/card.js';
import { circle, rectangle, roundedSquare } from '../../geometry/basic-outlines.js';
import { flatten } from '../../geometry/flatten.js';
import { perimeter } from '../../geometry/perimeter.js';
import type { Outline, Point, Shape } from '../../geometry/shape.js';
import type { Label, Practice } from '../../output/pdf/practice.js';

/** What is practised, row by row. */
export type Skill = 'slot' | 'dot' | 'corner' | 'strip' | 'bridge' | 'turn';

/** One row of the practice strip: the same thing in graded sizes. */
interface PracticeRow {
  readonly title: string;
  /** What the size is. */
  readonly measure: string;
  /** In mm, from the easiest to the hardest. */
  readonly sizes: readonly number[];
  /** The openings for a size, in a box of CELL_MM × ITEM_MM whose top middle is x, y. */
  readonly draw: (size: number, at: Point) => readonly Outline[];
}

/** The length of a row's things down the strip, and the room across for each, in mm. */
const ITEM_MM = 9;
const CELL_MM = 21;
/**
 * The slots on both sides of a strip of film, and the openings on both sides of a bridge and how long it is, in mm:
 * wide and easy, so that the strip alone is what is tried.
 */
const BESIDE_STRIP_MM = 3;
const BESIDE_BRIDGE_MM = 6;
const BRIDGED_MM = 4;

/**
 * The rows, top to bottom. The sizes lie round the tools' own limits. Common practice, from memory, no published
 * source.
 */
export const practiceRows: Readonly<Record<Skill, PracticeRow>> = {
  slot: {
    title: 'Slots',
    measure: 'mm wide',
    sizes: [3, 2.6, 2.2, 1.8, 1.5, 1.2, 1],
    draw: (size, { x, y }) => [rectangle(x - size / 2, y, size, ITEM_MM)],
  },
  dot: {
    title: 'Dots',
    measure: 'mm across',
    sizes: [4, 3.5, 3, 2.5, 2, 1.5, 1.2],
    draw: (size, { x, y }) => [circle(x, y + ITEM_MM / 2, size / 2)],
  },
  corner: {
    title: 'Corners',
    measure: 'mm a side',
    sizes: [5, 4, 3.5, 3, 2.5, 2, 1.5],
    draw: (size, { x, y }) => [rectangle(x - size / 2, y + (ITEM_MM - size) / 2, size, size)],
  },
  turn: {
    title: 'Turns',
    measure: 'mm radius',
    sizes: [4, 3, 2, 1.5, 1, 0.8, 0.5],
    draw: (size, { x, y }) => [roundedSquare(x - ITEM_MM / 2, y, ITEM_MM, size)],
  },
  strip: {
    title: 'Strips',
    measure: 'mm of film',
    sizes: [3, 2.4, 2, 1.6, 1.2, 1, 0.8],
    draw: (size, { x, y }) => [
      rectangle(x - size / 2 - BESIDE_STRIP_MM, y, BESIDE_STRIP_MM, ITEM_MM),
      rectangle(x + size / 2, y, BESIDE_STRIP_MM, ITEM_MM),
    ],
  },
  bridge: {
    title: 'Bridges',
    measure: 'mm of film',
    sizes: [3.2, 2.8, 2.4, 2, 1.6, 1.3, 1],
    draw: (size, { x, y }) => {
      const top = y + (ITEM_MM - BRIDGED_MM) / 2;
      return [
        rectangle(x - size / 2 - BESIDE_BRIDGE_MM, top, BESIDE_BRIDGE_MM, BRIDGED_MM),
        rectangle(x + size / 2, top, BESIDE_BRIDGE_MM, BRIDGED_MM),
      ];
    },
  },
};

/** It fits beside its notes on letter and A4 upright, and on an offcut of a 9 × 12 in sheet. */
const SHEET: Sheet = { widthMm: 186, heightMm: 146 };
/**
 * Slots that scissors cut in from the strip's lower edge, in mm wide: with them alone, in one layer and in a packet. The
 * sizes lie round the scissors' own limits. Common practice, from memory, no published source.
 */
export const SNIPS: readonly number[] = [6, 5, 4, 3.5, 3, 2.5, 2];
/** The packet that they are cut into the second time has so many layers. */
export const SNIP_LAYERS = 8;
/** From the strip's lower edge up to the labels of the slots, and to the two lines that say what they are, in mm. */
const [SNIP_LABEL_MM, SNIP_TITLE_MM, SNIP_MEASURE_MM] = [10.4, 5.6, 2];
/**
 * Where rows, headings and labels stand, in mm: six rows of things 9 mm high with their labels, and seven cells beside
 * the headings.
 */
const FIRST_ROW_MM = 7;
const ROW_MM = 17.8;
const HEADING_MM = 6;
const FIRST_CELL_MM = 42;
const LABEL_DROP_MM = 4.2;
const [TITLE_DROP_MM, MEASURE_DROP_MM] = [4.4, 8];
/** How far a polygon may lie off its curve, in mm: too fine to change a length that anyone reads. */
const TOLERANCE_MM = 0.005;

/** The strip: six rows, each with seven sizes, and their labels; and at its lower edge a row for scissors. */
export function practiceStrip(): Practice {
  const openings: Shape[] = [];
  const labels: Label[] = [];
  Object.values(practiceRows).forEach(({ title, measure, sizes, draw }, row) => {
    const y = FIRST_ROW_MM + row * ROW_MM;
    labels.push(
      { text: title, x: HEADING_MM, y: y + TITLE_DROP_MM, align: 'left', bold: true },
      { text: measure, x: HEADING_MM, y: y + MEASURE_DROP_MM, align: 'left', bold: false },
    );
    sizes.forEach((size, column) => {
      const x = FIRST_CELL_MM + column * CELL_MM;
      openings.push(...draw(size, { x, y }).map((outer) => ({ outer, holes: [] })));
      const baseline = y + ITEM_MM + LABEL_DROP_MM;
      labels.push({ text: String(size), x, y: baseline, align: 'centre', bold: false });
    });
  });
  labels.push(...lastLines(FIRST_ROW_MM + Object.keys(practiceRows).length * ROW_MM));
  const lengthMm = openings.reduce(
    (sum, { outer }) => sum + perimeter(flatten(outer, TOLERANCE_MM)),
    0,
  );
  // Scissors are no hot tip and no knife: their row counts for no minutes of these.
  return {
    sheet: SHEET,
    openings: [...openings, ...snips()],
    labels: [...labels, ...snipLabels()],
    lengthMm,
  };
}

function snips(): Shape[] {
  return SNIPS.map((size, column) => {
    const x = FIRST_CELL_MM + column * CELL_MM;
    return { outer: rectangle(x - size / 2, SHEET.heightMm - ITEM_MM, size, ITEM_MM), holes: [] };
  });
}

function snipLabels(): Label[] {
  const line = { x: HEADING_MM, align: 'left' } as const;
  return [
    { ...line, text: 'Scissors', y: SHEET.heightMm - SNIP_TITLE_MM, bold: true },
    {
      ...line,
      text: `1 layer, then ${SNIP_LAYERS}`,
      y: SHEET.heightMm - SNIP_MEASURE_MM,
      bold: false,
    },
    ...SNIPS.map((size, column): Label => {
      const x = FIRST_CELL_MM + column * CELL_MM;
      return {
        text: String(size),
        x,
        y: SHEET.heightMm - SNIP_LABEL_MM,
        align: 'centre',
        bold: false,
      };
    }),
  ];
}

const HOW =
  'Cut every piece, from the left. Note the minutes, and for each row the smallest that came out clean:';
/**
 * From note to note across the strip, from the last row down to the sentence, and to the notes, in mm: seven notes share
 * its width.
 */
const NOTE_MM = 24.5;
const HOW_DROP_MM = 1.5;
const NOTES_DROP_MM = 8.5;

/** What to do, and a line to write down what came of it. */
function lastLines(y: number): Label[] {
  const notes = [...Object.keys(practiceRows), 'minutes'];
  return [
    { text: HOW, x: HEADING_MM, y: y + HOW_DROP_MM, align: 'left', bold: false },
    ...notes.map((note, i): Label => {
      const x = HEADING_MM + i * NOTE_MM;
      return { text: `${note} ______`, x, y: y + NOTES_DROP_MM, align: 'left', bold: true };
    }),
  ];
}
