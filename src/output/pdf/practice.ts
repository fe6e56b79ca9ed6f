import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import type { Point, Shape } from '../../geometry/shape.js';
import { BOLD, REGULAR, write } from './text.js';
import { shapePath } from '../svg/path-data.js';
import { roundMm } from '../pen.js';
import { INK, pathOfShapes, SOFT_INK } from './print.js';
import { printTrueSize } from './true-size.js';
import { sizeInWords } from './wording.js';

const TITLE = 'Practice strip';
const PALE = '#e9e9ec';
/** Finer than a template's line, in mm: sizes that differ by two tenths are to be seen. */
const LINE_MM = 0.2;
/** In mm; never needed: the strip fits all papers. */
const TILE_OVERLAP_MM = 10;
/** Points of a label on the print … */
const POINTS_PER_LABEL = 7.5;
/** … and the same in mm, as the units of the SVG are. */
const LABEL_MM = 2.6;

/** What is written on the strip: its left or middle end at a baseline, in mm on the strip. */
export interface Label extends Point {
  readonly text: string;
  readonly align: 'left' | 'centre';
  readonly bold: boolean;
}

/** A strip of film to practise on. */
export interface Practice {
  readonly sheet: Sheet;
  readonly openings: readonly Shape[];
  readonly labels: readonly Label[];
  /** The length of all cuts, in mm. */
  readonly lengthMm: number;
}

/** The practice strip as a true-size print, with the two bars to check its scale by. */
export async function practicePdf(
  { sheet, openings, labels }: Practice,
  paper: Job['paper'],
  locale: string,
): Promise<Uint8Array> {
  const notes = { name: TITLE, size: sizeInWords(sheet) };
  const job = { paper, margin: 0, tileOverlap: TILE_OVERLAP_MM };
  return printTrueSize(
    { title: TITLE, notes, sheet, job, locale },
    {
      lines: (pdf) => {
        pathOfShapes(pdf, openings);
        pdf.lineWidth(LINE_MM).lineJoin('miter').fillAndStroke(PALE, INK, 'even-odd');
      },
      letters: (pdf) => {
        for (const { text, x, y, align, bold } of labels) {
          const look = bold ? { font: BOLD, colour: INK } : { font: REGULAR, colour: SOFT_INK };
          write(pdf, { text, x, baseline: y, points: POINTS_PER_LABEL, align, ...look });
        }
      },
    },
  );
}

/** The same for a drawing program, in mm: `#openings` is what is cut, `#sheet` the strip's edge, `#labels` the sizes. */
export function practiceSvg({ sheet, openings, labels }: Practice): string {
  const [width, height] = [roundMm(sheet.widthMm), roundMm(sheet.heightMm)];
  return `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}">
<title>${TITLE}</title>
<rect id="sheet" x="0" y="0" width="${width}" height="${height}" fill="none" stroke="#9aa0a6" stroke-width="0.1"/>
<path id="openings" fill="${PALE}" stroke="${INK}" stroke-width="${LINE_MM}" fill-rule="evenodd" d="${shapePath(openings)}"/>
<g id="labels" font-family="sans-serif" font-size="${LABEL_MM}" fill="${SOFT_INK}">
${labels.map(labelSvg).join('\n')}
</g>
</svg>
`;
}

function labelSvg({ text, x, y, align, bold }: Label): string {
  const anchor = align === 'centre' ? ' text-anchor="middle"' : '';
  const weight = bold ? ` font-weight="bold" fill="${INK}"` : '';
  return `<text x="${roundMm(x)}" y="${roundMm(y)}"${anchor}${weight}>${text}</text>`;
}
