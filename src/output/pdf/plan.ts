import type { Sheet } from '../../settings/card.js';
import type { Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { CutPlan, PlannedPiece } from '../../stages/plan/plan.js';
import { BOLD, printed, widthMm, write } from './text.js';
import { numbersInARow, toTenths, writeTable, type PdfTable } from './table.js';
import { counted } from '../../settings/words/counted.js';
import { paperFor, paperSizes } from './paper.js';
import type { Broken } from '../broken.js';
import { drawBroken } from './broken-rings.js';
import { HELP, INK, drawInMm, pathOfShapes, POINTS_PER_MM, SOFT_INK, type Pdf } from './print.js';
import { EDGE_MM, heading, LINE_POINTS, paragraph } from './prose.js';
import { printable, sizeInWords } from './wording.js';

/** A stencil's place on a sheet of film that holds several. */
interface OnFilm extends Sheet {
  readonly name: string;
  readonly x: number;
  readonly y: number;
}

/** What the plan is made from. */
export interface Planned {
  readonly name: string;
  /** What stands after it. */
  readonly says?: string;
  readonly openings: readonly Shape[];
  readonly plan: CutPlan;
  readonly sheet: Sheet;
  /** Where the sheet holds several stencils: all of them. */
  readonly cards?: readonly OnFilm[];
  readonly job: Pick<Job, 'paper' | 'tool' | 'cuttingSpeed' | 'smallestMask'>;
  readonly locale: string;
  /** Which promises it does not keep. */
  readonly broken?: Broken;
}

const PALE = '#e9e9ec';
/** From line to line of the marks, in mm: 1.4 times the type (9 pt are 3.2 mm). Common practice, no source. */
const LINE_MM = 4.4;
/**
 * The first page from the paper's edge down: baselines of title and size, the small picture's upper edge, and the baseline
 * of the first fact beside it, in mm; and type in points. By eye.
 */
const [TITLE_Y_MM, SIZE_Y_MM, PICTURE_Y_MM, FACTS_Y_MM] = [21, 27, 34, 38];
const [TITLE_POINTS, SIZE_POINTS, LABEL_POINTS, FACT_POINTS] = [16, 9.5, 7.5, 10.5];
/**
 * In mm: from text to picture; from a fact's label to the fact, and from there to the next label; after a text, a list of cautions and one of them; and how far in a caution stands from its dot. By eye.
 */
const [BESIDE_MM, FACT_MM, FACT_GAP_MM] = [8, 4.2, 2.4];
const [TEXT_GAP_MM, PART_GAP_MM, CAUTION_GAP_MM, CAUTION_IN_MM] = [3.4, 6, 0.6, 3];

const ORDER =
  'Smallest first and what is enclosed before what is round it, so that the film stays stiff to the end; pieces with thin film between them not one right after the other, so that it can cool and lie still; then the shortest way for the hand. Each outline is one cut: begin at the ring, go all the way round, and stop only at corners.';

/** Usual cautions. Common practice, from memory, no published source; the tool's manual goes before them. */
const CAUTIONS: readonly string[] = [
  'A hot tip and hot glue burn, and stay hot after they are unplugged. Put the tool on its stand. Blades: cut away from the hand that holds.',
  'Melting film gives off fumes: fresh air, a window or a fan that draws away from you.',
  'Work on a smooth surface that bears heat: stone, or glass with its edges covered.',
  'Along straight runs use a metal ruler, never wood or plastic.',
  'Let go of a piece that does not come, and cut the place again. Don’t pull.',
  'Unplug and let cool before you put it away. Follow the tool’s own manual and your local rules; they go before anything here.',
];

const SIGNS: readonly (readonly [
  sign: 'line' | 'dot' | 'cross' | 'ruler' | 'start',
  says: string,
])[] = [
  ['line', 'cut here'],
  ['dot', 'stop and turn'],
  ['cross', 'cut a little past the corner, so that the piece comes free'],
  ['ruler', 'straight from tick to tick: ruler'],
  ['start', 'begin and end here'],
];

/**
 * The plan to cut by, on pages of the printer's paper: what it takes, why it is hard or easy, the order and its rule,
 * how the template's marks are read, cautions, and a list of the pieces.
 */
export async function planPdf(planned: Planned): Promise<Uint8Array> {
  const { name, says = '', plan, job, locale } = planned;
  const page = paperSizes[paperFor(job.paper, locale)];
  return printed(page, `${name}${says}, plan`, (pdf) => {
    const end = drawFirstPage(pdf, page, planned);
    writeTable(pdf, page, plan.pieces, end, PIECES);
  });
}

/** Gives the height at which the list of pieces may begin. */
function drawFirstPage(pdf: Pdf, page: Sheet, planned: Planned): number {
  const { name, says = '', sheet } = planned;
  const widestMm = page.widthMm - 2 * EDGE_MM;
  const line = { x: EDGE_MM, align: 'left', widestMm } as const;
  write(pdf, {
    ...line,
    text: `${printable(name, 'Stencil')}${says}: plan`,
    baseline: TITLE_Y_MM,
    points: TITLE_POINTS,
    font: BOLD,
  });
  const small = { ...line, colour: SOFT_INK };
  write(pdf, { ...small, text: sizeInWords(sheet), baseline: SIZE_Y_MM, points: SIZE_POINTS });
  const picture = drawPicture(pdf, page, planned);
  const textWidth = page.widthMm - 2 * EDGE_MM - picture.widthMm - BESIDE_MM;
  let y = FACTS_Y_MM;
  for (const [label, text] of facts(planned)) {
    write(pdf, { ...small, text: label, baseline: y, points: LABEL_POINTS });
    const at = { x: EDGE_MM, y: y + FACT_MM, widthMm: textWidth };
    y = paragraph(pdf, text, at, FACT_POINTS) + FACT_GAP_MM;
  }
  y = Math.max(y, picture.bottom) + PART_GAP_MM;
  y = heading(pdf, 'The order', y);
  y = paragraph(pdf, ORDER, { x: EDGE_MM, y, widthMm: widestMm }, LINE_POINTS) + TEXT_GAP_MM;
  y = heading(pdf, 'The template’s marks', y);
  y = drawMarks(pdf, y) + TEXT_GAP_MM;
  y = heading(pdf, 'With care', y);
  for (const text of CAUTIONS) {
    write(pdf, { ...line, text: '•', baseline: y, points: LINE_POINTS });
    const at = { x: EDGE_MM + CAUTION_IN_MM, y, widthMm: widestMm - CAUTION_IN_MM };
    y = paragraph(pdf, text, at, LINE_POINTS) + CAUTION_GAP_MM;
  }
  return y + PART_GAP_MM;
}

/** "moth, leaf (3), fern border" */
function stencilsOn(cards: readonly OnFilm[]): string {
  const counts = new Map<string, number>();
  for (const { name } of cards) counts.set(name, (counts.get(name) ?? 0) + 1);
  const named = [...counts].map(
    ([name, count]) => printable(name, 'Stencil') + (count > 1 ? ` (${count})` : ''),
  );
  const more = named.length - MOST_STENCILS;
  return more > 0 ? `${named.slice(0, MOST_STENCILS).join(', ')} and ${more} more` : named.join(', '); // prettier-ignore
}

/** Stencils that are named: some three lines of the page. */
const MOST_STENCILS = 12;

function facts({ plan, job, cards, broken }: Planned): (readonly [label: string, text: string])[] {
  const cutting = plan.minutes - plan.warmUpMinutes;
  const warm = plan.warmUpMinutes > 0 ? `${toTenths(plan.warmUpMinutes)} min to warm up and ` : '';
  const masks = plan.pieces.filter(({ keep }) => keep).map(({ number }) => number);
  const { level, because } = plan.difficulty;
  return [
    ...(broken ? [['A promise is broken', `${broken.says}.`] as const] : []),
    ...(cards ? [['Stencils', stencilsOn(cards)] as const] : []),
    [
      'Time',
      `About ${counted(Math.ceil(plan.minutes), 'minute')}: ${warm}${Math.ceil(cutting)} min to cut`,
    ],
    ['Difficulty', `${level[0].toUpperCase()}${level.slice(1)}: ${because.join('; ')}`],
    [
      'Cutting',
      `${counted(plan.pieces.length, 'piece')}, ${(plan.cuttingMm / 1000).toFixed(2)} m, ${counted(plan.corners, 'corner')}, ${counted(plan.straightRuns, 'run')} for the ruler`,
    ],
    ['Way of the hand between pieces', `${(plan.travelMm / 10).toFixed(0)} cm`],
    ...(plan.thinInARow === 0
      ? []
      : ([
          [
            'Mind',
            `${counted(plan.thinInARow, 'time')} thin film lies between a piece and the next one: let it cool first`,
          ],
        ] as const)),
    [
      'Pieces worth keeping as masks',
      masks.length === 0
        ? `None is as large as ${toTenths(job.smallestMask)} mm²`
        : numbersInARow(masks, MOST_LISTED),
    ],
    [
      'Reckoned with',
      `${toTenths(job.cuttingSpeed)} mm a minute${plan.warmUpMinutes > 0 ? ' and the warm-up' : ''}, usual for a ${job.tool === 'hot-tip' ? 'hot tip' : 'craft knife'} unless you set your own`,
    ],
  ];
}

/** Numbers that are listed: one or two lines of the page. */
const MOST_LISTED = 24;

/**
 * The longer side of the small picture, in mm: half the width of a page, beside the text; then the line of the way on
 * it, and the radius of a start.
 */
const PICTURE_MM = 84;
const PATH_MM = 0.3;
const START_MM = 0.55;
/** Lines round the small picture, and round a stencil on it, in mm. */
const [FRAME_MM, CARD_MM] = [0.2, 0.12];
/** "first" and "last" above their places, in mm and points: on white, so wide and high, that hides the way under them. */
const SPOT = { points: 7, up: 1.8, top: 4, heightMm: 2.9, padMm: 1.2 };

/** The stencil small, with the way of the hand from start to start. */
function drawPicture(
  pdf: Pdf,
  page: Sheet,
  { openings, plan, sheet, cards = [], broken }: Planned,
): { readonly widthMm: number; readonly bottom: number } {
  const scale = PICTURE_MM / Math.max(sheet.widthMm, sheet.heightMm);
  const across = scale * sheet.widthMm;
  const at = { x: page.widthMm - EDGE_MM - across, y: PICTURE_Y_MM };
  pdf.save().scale(POINTS_PER_MM).translate(at.x, at.y).scale(scale);
  pdf
    .rect(0, 0, sheet.widthMm, sheet.heightMm)
    .lineWidth(FRAME_MM / scale)
    .stroke(SOFT_INK);
  for (const { x, y, widthMm: wide, heightMm: high } of cards)
    pdf
      .rect(x, y, wide, high)
      .lineWidth(CARD_MM / scale)
      .stroke(SOFT_INK);
  if (openings.length > 0) {
    pathOfShapes(pdf, openings);
    pdf.fill('#d5d5da', 'even-odd');
  }
  if (plan.pieces.length > 0) drawWay(pdf, plan.pieces, scale);
  drawBroken(pdf, broken, scale);
  pdf.restore();
  for (const [piece, says] of [
    [plan.pieces.at(0), 'first'],
    [plan.pieces.length > 1 ? plan.pieces.at(-1) : undefined, 'last'],
  ] as const) {
    if (!piece) continue;
    const [x, y] = [at.x + scale * piece.start.x, at.y + scale * piece.start.y];
    const { points, up, top, heightMm, padMm } = SPOT;
    const wide = widthMm(pdf, { text: says, points }) + padMm;
    drawInMm(pdf, { x: 0, y: 0 }, () =>
      pdf.rect(x - wide / 2, y - top, wide, heightMm).fill('#ffffff'),
    );
    write(pdf, { text: says, x, baseline: y - up, points, colour: HELP });
  }
  return { widthMm: across, bottom: at.y + scale * sheet.heightMm };
}

/** The way of the hand; a single piece is a point. */
function drawWay(pdf: Pdf, pieces: readonly PlannedPiece[], scale: number): void {
  pieces.forEach(({ start: { x, y } }, i) => (i === 0 ? pdf.moveTo(x, y) : pdf.lineTo(x, y)));
  pdf
    .lineWidth(PATH_MM / scale)
    .lineJoin('round')
    .stroke(HELP);
  for (const { start } of pieces) pdf.circle(start.x, start.y, START_MM / scale);
  pdf.fill(HELP);
}

/** How far above its line's baseline a sign's middle lies, and from the edge to what it means, in mm. */
const [SIGN_RISE_MM, SAYS_MM] = [1.1, 14];

function drawMarks(pdf: Pdf, top: number): number {
  let y = top;
  for (const [sign, says] of SIGNS) {
    drawInMm(pdf, { x: EDGE_MM, y: y - SIGN_RISE_MM }, () => drawSign(pdf, sign));
    write(pdf, {
      text: says,
      x: EDGE_MM + SAYS_MM,
      baseline: y,
      points: LINE_POINTS,
      align: 'left',
    });
    y += LINE_MM;
  }
  return y;
}

/** The template's marks in small, 9 mm long, in mm from the left edge and the middle of the line that they stand on. */
function drawSign(pdf: Pdf, sign: (typeof SIGNS)[number][0]): void {
  switch (sign) {
    case 'line':
      pdf.moveTo(1, 0).lineTo(10, 0).lineWidth(0.25).stroke(INK);
      break;
    case 'dot':
      pdf.moveTo(1, 0.8).lineTo(5.5, -0.8).lineTo(10, 0.8).lineWidth(0.25).stroke(INK);
      pdf.circle(5.5, -0.8, 0.375).fill(INK);
      break;
    case 'cross':
      pdf.moveTo(1, 1.2).lineTo(6.3, -1.15).moveTo(4.7, -1.15).lineTo(10, 1.2);
      pdf.lineWidth(0.25).stroke(INK);
      break;
    case 'ruler':
      pdf.rect(1, -0.4, 9, 1.6).fill(PALE);
      pdf.moveTo(1, -0.4).lineTo(10, -0.4).lineWidth(0.25).stroke(INK);
      pdf
        .moveTo(1, 0.15)
        .lineTo(10, 0.15)
        .moveTo(1, -0.4)
        .lineTo(1, 0.7)
        .moveTo(10, -0.4)
        .lineTo(10, 0.7);
      pdf.lineWidth(0.15).stroke(HELP);
      break;
    case 'start':
      pdf.moveTo(1, 0).lineTo(10, 0).lineWidth(0.25).stroke(INK);
      pdf.circle(5.5, 0, 0.7).lineWidth(0.24).stroke(HELP);
      break;
  }
}

const COLUMNS = ['No.', 'mm across', 'mm cut', 'corners', 'ruler', 'min', 'keep'] as const;
/** Where each column ends, from the block's left, in mm. */
const COLUMN_ENDS = [8, 24, 36, 47, 56, 65, 74] as const;
/** A block of columns with the gap to the next, and that gap, in mm. */
const BLOCK_MM = 84;
const BLOCK_GAP_MM = 10;

const PIECES: PdfTable<PlannedPiece> = {
  columns: COLUMNS,
  columnEnds: COLUMN_ENDS,
  blockMm: BLOCK_MM,
  blockGapMm: BLOCK_GAP_MM,
  cellsOf: (piece) => [
    String(piece.number),
    `${Math.round(piece.widthMm)} × ${Math.round(piece.heightMm)}`,
    `${Math.round(piece.lengthMm)}`,
    String(piece.corners),
    piece.runs.length > 0 ? String(piece.runs.length) : '',
    piece.minutes.toFixed(1),
    piece.keep ? 'mask' : '',
  ],
};
