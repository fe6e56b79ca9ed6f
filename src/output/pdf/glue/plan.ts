import type { Sheet } from '../../../settings/card.js';
import type { Job } from '../../../settings/job.js';
import { counted } from '../../../settings/words/counted.js';
import type { CutPlan } from '../../../stages/plan/plan.js';
import type { DrawnStrokes, GlueStroke } from '../../../stages/strokes/strokes.js';
import type { Broken } from '../../broken.js';
import { drawBroken } from '../broken-rings.js';
import { numbersInARow, toTenths, writeTable, type PdfTable } from '../table.js';
import { BOLD, printed, write } from '../text.js';
import { paperFor, paperSizes } from '../paper.js';
import { HELP, INK, POINTS_PER_MM, SOFT_INK, type Pdf } from '../print.js';
import { EDGE_MM, heading, LINE_POINTS, paragraph } from '../prose.js';
import { printable, sizeInWords } from '../wording.js';
import { mirroredBroken } from '../true-size.js';
import { drawBeads, pathAlong } from './guide.js';
import { mirroredStrokes } from './template.js';

/** What a plan for glue is made from. */
export interface GluePlanned {
  readonly name: string;
  readonly says?: string;
  readonly strokes: DrawnStrokes;
  readonly plan: Pick<CutPlan, 'minutes' | 'warmUpMinutes'>;
  readonly sheet: Sheet;
  readonly job: Pick<
    Job,
    | 'paper'
    | 'handedness'
    | 'glueUse'
    | 'beadWidth'
    | 'beadHeight'
    | 'stickThickness'
    | 'stickLength'
    | 'cuttingSpeed'
    | 'warmUp'
  >;
  readonly locale: string;
  readonly broken?: Broken;
}

/** Baselines and edges from the page's top, in mm, and points: as the plan of a stencil has them. */
const [TITLE_Y_MM, SIZE_Y_MM, PICTURE_Y_MM, FACTS_Y_MM] = [21, 27, 34, 38];
const [TITLE_POINTS, SIZE_POINTS, LABEL_POINTS, FACT_POINTS] = [16, 9.5, 7.5, 10];
const [BESIDE_MM, FACT_MM, FACT_GAP_MM, TEXT_GAP_MM, CAUTION_IN_MM] = [8, 4.2, 2.2, 3.4, 3];
/** The longer side of the small picture, mm, and its lines. */
const PICTURE_MM = 84;
const [FRAME_MM, MIDDLE_MM, NUMBER_POINTS] = [0.2, 0.25, 6];
/** After a caution; a start's dot, and where its number stands from there, mm. */
const CAUTION_GAP_MM = 0.6;
const [START_MM, BESIDE_START_MM, ABOVE_START_MM] = [0.6, 1.8, 0.5];
/** A string is likely where the gun moves on by more than this, mm. Common practice, from memory, no source. */
const STRING_FROM_MM = 15;

const ORDER: Readonly<Record<Job['handedness'], string>> = {
  right:
    'From the far side to the near and from left to right, so that a right hand and its sleeve do not pass over fresh glue; within that, the shortest way. A line that would cross another stops at its side, so that the mask lies flat; starts and stops, where a blob stays, are laid where lines meet as far as that goes.',
  left: 'From the far side to the near and from right to left, so that a left hand and its sleeve do not pass over fresh glue; within that, the shortest way. A line that would cross another stops at its side, so that the mask lies flat; starts and stops, where a blob stays, are laid where lines meet as far as that goes.',
};

/** Usual cautions. Common practice, from memory, no published source; the gun's manual goes before them. */
const CAUTIONS: readonly string[] = [
  'The nozzle and the glue burn, the glue sticks to skin: touch a line only when it has cooled. On a burn: cold water at once, and leave the glue on.',
  'Fresh air: hot glue gives off fumes. Work on a smooth surface that bears heat: glass with taped edges, or a silicone sheet over the print.',
  'Put the gun on its stand, never on its side. Unplug it when you leave it, and let it cool before you put it away.',
  'Lay the print under the glass, hold the nozzle close, and move evenly. At the end of a line stop pressing, draw the nozzle away along the line and snap the string; trim what is left when all is cold.',
  'Let all of it cool before you lift it, slowly, from one corner. Follow the gun’s own manual and your local rules; they go before anything here.',
];

/** The plan to draw by: what it takes, the order, cautions, and a list of the strokes. */
export async function gluePlanPdf(planned: GluePlanned): Promise<Uint8Array> {
  const { name, says = '', job, locale } = planned;
  const page = paperSizes[paperFor(job.paper, locale)];
  return printed(page, `${name}${says}, plan`, (pdf) => {
    const end = drawFirstPage(pdf, page, planned);
    writeTable(pdf, page, planned.strokes.strokes, end, STROKES);
  });
}

function drawFirstPage(pdf: Pdf, page: Sheet, planned: GluePlanned): number {
  const { name, says = '', sheet, job } = planned;
  const widestMm = page.widthMm - 2 * EDGE_MM;
  const line = { x: EDGE_MM, align: 'left', widestMm } as const;
  const small = { ...line, colour: SOFT_INK };
  write(pdf, {
    ...line,
    text: `${printable(name, 'Glue')}${says}: plan for glue`,
    baseline: TITLE_Y_MM,
    points: TITLE_POINTS,
    font: BOLD,
  });
  write(pdf, { ...small, text: sizeInWords(sheet), baseline: SIZE_Y_MM, points: SIZE_POINTS });
  const picture = drawPicture(pdf, page, planned);
  const textWidth = widestMm - picture.widthMm - BESIDE_MM;
  let y = FACTS_Y_MM;
  for (const [label, text] of facts(planned)) {
    // What does not fit beside the picture goes on below it.
    const isBeside = y < picture.bottom;
    write(pdf, { ...small, text: label, baseline: y, points: LABEL_POINTS });
    const at = { x: EDGE_MM, y: y + FACT_MM, widthMm: isBeside ? textWidth : widestMm };
    y = paragraph(pdf, text, at, FACT_POINTS) + FACT_GAP_MM;
  }
  y = Math.max(y, picture.bottom + BESIDE_MM) + TEXT_GAP_MM;
  y = heading(pdf, 'The order', y);
  y = paragraph(pdf, ORDER[job.handedness], { x: EDGE_MM, y, widthMm: widestMm }, LINE_POINTS) + TEXT_GAP_MM; // prettier-ignore
  y = heading(pdf, 'With care', y);
  for (const text of CAUTIONS) {
    write(pdf, { ...line, text: '•', baseline: y, points: LINE_POINTS });
    const at = { x: EDGE_MM + CAUTION_IN_MM, y, widthMm: widestMm - CAUTION_IN_MM };
    y = paragraph(pdf, text, at, LINE_POINTS) + CAUTION_GAP_MM;
  }
  return y + TEXT_GAP_MM;
}

function facts({
  strokes,
  plan,
  job,
  broken,
}: GluePlanned): (readonly [label: string, text: string])[] {
  const { glue, joins, parts, fewest, lost, runTogether } = strokes;
  const list = strokes.strokes;
  const { minutes } = plan;
  const drawing = minutes - plan.warmUpMinutes;
  const rings = joins.filter(({ kind }) => kind === 'ring').length;
  const seconds = joins.filter(({ isSecond }) => isSecond).length;
  const lines = joins.length - rings;
  const by = [lines > 0 && counted(lines, 'line'), rings > 0 && counted(rings, 'ring')]
    .filter((one) => one !== false)
    .join(' and ');
  const strings = list
    .slice(1)
    .filter(({ travelMm }) => travelMm > STRING_FROM_MM)
    .map(({ number }) => number - 1);
  const closed = lost.closed + runTogether.length;
  return [
    ...(broken ? [['A promise is broken', `${broken.says}.`] as const] : []),
    [
      'Time',
      `About ${counted(Math.ceil(minutes), 'minute')}: ${toTenths(job.warmUp)} min to warm up and ${Math.ceil(drawing)} min to draw, at ${toTenths(job.cuttingSpeed / 60)} mm a second; then let it cool`,
    ],
    [
      'Glue',
      `${glue.sticks.toFixed(1)} sticks of ${toTenths(job.stickThickness)} × ${toTenths(job.stickLength)} mm: have ${counted(Math.ceil(glue.sticks * SPARE), 'stick')} ready`,
    ],
    ['Reckoned so', glue.formula],
    [
      'Lines',
      `${counted(list.length, 'stroke')}, ${(glue.lengthMm / 1000).toFixed(2)} m of glue ${toTenths(job.beadWidth)} mm wide; the fewest, if every line crossed every other, would be ${fewest}`,
    ],
    [
      'In one piece',
      parts < 2
        ? 'All lines hang together as they are in the picture'
        : by === ''
          ? `${parts} parts of the picture, and nothing that joins them`
          : `${parts} parts of the picture, joined by ${by}${seconds > 0 ? `; long parts are held twice` : ''}`,
    ],
    [
      'Strings',
      strings.length === 0
        ? 'No long way between strokes: few strings, if any'
        : `Likely after ${numbersInARow(strings, MOST_LISTED)}, where the next line begins further off: snap them, or trim them when cold`,
    ],
    ...(closed === 0
      ? []
      : ([
          [
            'Runs together',
            `${counted(closed, 'place')} between lines too narrow to stay open: there the glue runs together, as it was planned`,
          ],
        ] as const)),
    [
      'For',
      job.glueUse === 'print-with'
        ? 'Printing with: the template is mirrored, the print comes out as the picture is'
        : 'Spraying round: the template is as the picture is',
    ],
  ];
}

/** A stick is never used to its end, and a line is begun again now and then. Common practice, no source. */
const SPARE = 1.2;
/** Numbers of strokes that are told in a row, at most: what a line of the plan has room for. */
const MOST_LISTED = 16;

/** The drawing small, with the number of each stroke at its start. */
function drawPicture(
  pdf: Pdf,
  page: Sheet,
  { strokes, sheet, job, broken }: GluePlanned,
): { readonly widthMm: number; readonly bottom: number } {
  const scale = PICTURE_MM / Math.max(sheet.widthMm, sheet.heightMm);
  const across = scale * sheet.widthMm;
  const at = { x: page.widthMm - EDGE_MM - across, y: PICTURE_Y_MM };
  const isMirrored = job.glueUse === 'print-with';
  const shown = isMirrored ? mirroredStrokes(strokes.strokes, sheet) : strokes.strokes;
  pdf.save().scale(POINTS_PER_MM).translate(at.x, at.y).scale(scale);
  pdf
    .rect(0, 0, sheet.widthMm, sheet.heightMm)
    .lineWidth(FRAME_MM / scale)
    .stroke(SOFT_INK);
  drawBeads(pdf, shown, job.beadWidth, '#dcdce1');
  for (const stroke of shown) pathAlong(pdf, stroke);
  pdf.lineWidth(MIDDLE_MM / scale).stroke(INK);
  for (const { x, y } of shown) pdf.circle(x[0], y[0], START_MM / scale);
  pdf.fill(HELP);
  drawBroken(pdf, isMirrored ? mirroredBroken({ broken }, sheet).broken : broken, scale);
  pdf.restore();
  for (const { number, x, y } of shown)
    write(pdf, {
      text: String(number),
      x: at.x + scale * x[0] + BESIDE_START_MM,
      baseline: at.y + scale * y[0] - ABOVE_START_MM,
      points: NUMBER_POINTS,
      font: BOLD,
      colour: HELP,
    });
  return { widthMm: across, bottom: at.y + scale * sheet.heightMm };
}

const COLUMNS = ['No.', 'cm', 'cm to it', ''] as const;
/** Where each column ends, and the last one begins, from the block's left; and a block with its gap to the next; in mm. */
const COLUMN_ENDS = [8, 19, 32] as const;
const LAST_COLUMN_MM = 34.5;
const BLOCK_MM = 58;

const KINDS: Readonly<Record<GlueStroke['kind'], string>> = {
  line: '',
  dot: 'dot: press, lift',
  fill: 'fills a part',
};

function cellsOf({ number, lengthMm, travelMm, kind, isClosed }: GlueStroke): string[] {
  const what = isClosed ? 'closed' : KINDS[kind];
  return [String(number), (lengthMm / 10).toFixed(1), travelMm < 1 ? '' : (travelMm / 10).toFixed(1), what]; // prettier-ignore
}

const STROKES: PdfTable<GlueStroke> = {
  columns: COLUMNS,
  columnEnds: COLUMN_ENDS,
  lastColumnMm: LAST_COLUMN_MM,
  blockMm: BLOCK_MM,
  blockGapMm: 0,
  cellsOf,
};
