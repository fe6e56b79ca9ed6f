import type { Sheet } from '../../settings/card.js';
import type { Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { CutPlan, PlannedPiece } from '../../stages/plan/plan.js';
import { BOLD, printed, REGULAR, widthMm, write } from './lettering.js';
import { paperFor, paperSizes } from './paper.js';
import { HELP, INK, inMm, pathOf, POINTS_PER_MM, SOFT_INK, type Pdf } from './print.js';
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
}

/** From the edge of the page to the text, in mm, with room for a punch. Common practice, no source. */
const EDGE_MM = 16;
const PALE = '#e9e9ec';
/**
 * Points of the running text, and mm from line to line: 1.4 times the type (9 pt are 3.2 mm). Common practice, no
 * source.
 */
const LINE_POINTS = 9;
const LINE_MM = 4.4;

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
    listPieces(pdf, page, plan.pieces, end);
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
    baseline: 21,
    points: 16,
    font: BOLD,
  });
  write(pdf, { ...line, text: sizeInWords(sheet), baseline: 27, points: 9.5, colour: SOFT_INK });
  const picture = drawPicture(pdf, page, planned);
  const textWidth = page.widthMm - 2 * EDGE_MM - picture.widthMm - 8;
  let y = 38;
  for (const [label, text] of facts(planned)) {
    write(pdf, { ...line, text: label, baseline: y, points: 7.5, colour: SOFT_INK });
    y = paragraph(pdf, text, { x: EDGE_MM, y: y + 4.2, widthMm: textWidth }, 10.5) + 2.4;
  }
  y = Math.max(y, picture.bottom) + 6;
  y = heading(pdf, 'The order', y);
  y = paragraph(pdf, ORDER, { x: EDGE_MM, y, widthMm: widestMm }, LINE_POINTS) + 3.4;
  y = heading(pdf, 'The template’s marks', y);
  y = drawMarks(pdf, y) + 3.4;
  y = heading(pdf, 'With care', y);
  for (const text of CAUTIONS) {
    write(pdf, { ...line, text: '•', baseline: y, points: LINE_POINTS });
    y = paragraph(pdf, text, { x: EDGE_MM + 3, y, widthMm: widestMm - 3 }, LINE_POINTS) + 0.6;
  }
  return y + 6;
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

function facts({ plan, job, cards }: Planned): (readonly [label: string, text: string])[] {
  const cutting = plan.minutes - plan.warmUpMinutes;
  const warm = plan.warmUpMinutes > 0 ? `${rounded(plan.warmUpMinutes)} min to warm up and ` : '';
  const masks = plan.pieces.filter(({ keep }) => keep).map(({ number }) => number);
  const { level, because } = plan.difficulty;
  return [
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
      masks.length === 0 ? `None is as large as ${rounded(job.smallestMask)} mm²` : listed(masks),
    ],
    [
      'Reckoned with',
      `${rounded(job.cuttingSpeed)} mm a minute${plan.warmUpMinutes > 0 ? ' and the warm-up' : ''}, usual for a ${job.tool === 'hot-tip' ? 'hot tip' : 'craft knife'} unless you set your own`,
    ],
  ];
}

/** Numbers that are listed: one or two lines of the page. */
const MOST_LISTED = 24;

function listed(numbers: readonly number[]): string {
  const shown = numbers.slice(0, MOST_LISTED).join(', ');
  const more = numbers.length - MOST_LISTED;
  return more > 0 ? `${shown} and ${more} more` : shown;
}

/**
 * The longer side of the small picture, in mm: half the width of a page, beside the text; then the line of the way on
 * it, and the radius of a start.
 */
const PICTURE_MM = 84;
const PATH_MM = 0.3;
const START_MM = 0.55;

/** The stencil small, with the way of the hand from start to start. */
function drawPicture(
  pdf: Pdf,
  page: Sheet,
  { openings, plan, sheet, cards = [] }: Planned,
): { readonly widthMm: number; readonly bottom: number } {
  const scale = PICTURE_MM / Math.max(sheet.widthMm, sheet.heightMm);
  const across = scale * sheet.widthMm;
  const at = { x: page.widthMm - EDGE_MM - across, y: 34 };
  pdf.save().scale(POINTS_PER_MM).translate(at.x, at.y).scale(scale);
  pdf
    .rect(0, 0, sheet.widthMm, sheet.heightMm)
    .lineWidth(0.2 / scale)
    .stroke(SOFT_INK);
  for (const { x, y, widthMm: wide, heightMm: high } of cards)
    pdf
      .rect(x, y, wide, high)
      .lineWidth(0.12 / scale)
      .stroke(SOFT_INK);
  if (openings.length > 0) {
    pathOf(pdf, openings);
    pdf.fill('#d5d5da', 'even-odd');
  }
  if (plan.pieces.length > 0) drawWay(pdf, plan.pieces, scale);
  pdf.restore();
  for (const [piece, says] of [
    [plan.pieces.at(0), 'first'],
    [plan.pieces.length > 1 ? plan.pieces.at(-1) : undefined, 'last'],
  ] as const) {
    if (!piece) continue;
    const [x, y] = [at.x + scale * piece.start.x, at.y + scale * piece.start.y];
    const wide = widthMm(pdf, { text: says, points: 7 }) + 1.2;
    inMm(pdf, { x: 0, y: 0 }, () => pdf.rect(x - wide / 2, y - 4, wide, 2.9).fill('#ffffff'));
    write(pdf, { text: says, x, baseline: y - 1.8, points: 7, colour: HELP });
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

function drawMarks(pdf: Pdf, top: number): number {
  let y = top;
  for (const [sign, says] of SIGNS) {
    inMm(pdf, { x: EDGE_MM, y: y - 1.1 }, () => drawSign(pdf, sign));
    write(pdf, { text: says, x: EDGE_MM + 14, baseline: y, points: LINE_POINTS, align: 'left' });
    y += LINE_MM;
  }
  return y;
}

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

function heading(pdf: Pdf, text: string, y: number): number {
  write(pdf, { text, x: EDGE_MM, baseline: y, points: 10.5, font: BOLD, align: 'left' });
  return y + 5;
}

/** Writes text in lines no wider than there is room. Gives the baseline after the last. */
function paragraph(
  pdf: Pdf,
  text: string,
  at: { readonly x: number; readonly y: number; readonly widthMm: number },
  points: number,
): number {
  const step = points * 0.48;
  let y = at.y;
  let line = '';
  const put = (): void => {
    write(pdf, { text: line, x: at.x, baseline: y, points, align: 'left', font: REGULAR });
    y += step;
  };
  for (const word of text.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && widthMm(pdf, { text: longer, points }) > at.widthMm) {
      put();
      line = word;
    } else {
      line = longer;
    }
  }
  put();
  return y;
}

const COLUMNS = ['No.', 'mm across', 'mm cut', 'corners', 'ruler', 'min', 'keep'] as const;
/** Where each column ends, from the block's left, in mm. */
const COLUMN_ENDS = [8, 24, 36, 47, 56, 65, 74] as const;
/**
 * A block of columns with the gap to the next, and a row, in mm; points of a row (1.45 times the type from row to row).
 */
const BLOCK_MM = 84;
const ROW_MM = 4.1;
const ROW_POINTS = 8;
/** Kept free at the foot of a page, in mm: the edge that printers leave white, and air. */
const BOTTOM_MM = 14;

/** The pieces in rows, in as many blocks side by side and as many pages as it takes. */
function listPieces(
  pdf: Pdf,
  page: Sheet,
  pieces: readonly PlannedPiece[],
  firstTop: number,
): void {
  const blocks = Math.floor((page.widthMm - 2 * EDGE_MM + 10) / BLOCK_MM);
  let top = firstTop;
  let next = 0;
  while (next < pieces.length) {
    const rows = Math.floor((page.heightMm - BOTTOM_MM - top - 2 * ROW_MM) / ROW_MM);
    if (rows < 3) {
      pdf.addPage({
        size: [page.widthMm * POINTS_PER_MM, page.heightMm * POINTS_PER_MM],
        margin: 0,
      });
      top = 22;
      continue;
    }
    const here = Math.min(rows, Math.ceil((pieces.length - next) / blocks));
    for (let block = 0; block < blocks && next < pieces.length; block++) {
      const part = pieces.slice(next, next + here);
      writeBlock(pdf, EDGE_MM + block * BLOCK_MM, top, part);
      next += part.length;
    }
    top = Infinity;
  }
}

function writeBlock(pdf: Pdf, left: number, top: number, pieces: readonly PlannedPiece[]): void {
  writeRow(pdf, left, top, COLUMNS, SOFT_INK);
  pieces.forEach((piece, i) => {
    writeRow(
      pdf,
      left,
      top + (i + 1) * ROW_MM,
      [
        String(piece.number),
        `${Math.round(piece.widthMm)} × ${Math.round(piece.heightMm)}`,
        `${Math.round(piece.lengthMm)}`,
        String(piece.corners),
        piece.runs.length > 0 ? String(piece.runs.length) : '',
        piece.minutes.toFixed(1),
        piece.keep ? 'mask' : '',
      ],
      INK,
    );
  });
}

function writeRow(
  pdf: Pdf,
  left: number,
  baseline: number,
  cells: readonly string[],
  colour: string,
): void {
  cells.forEach((text, i) => {
    const look = { text, points: ROW_POINTS, font: i === 0 ? BOLD : REGULAR };
    const x = left + COLUMN_ENDS[i] - widthMm(pdf, look);
    write(pdf, { ...look, x, baseline, colour, align: 'left' });
  });
}

const rounded = (value: number): string => String(Math.round(value * 10) / 10);

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
