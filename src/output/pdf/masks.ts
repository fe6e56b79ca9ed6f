import { drawLeaders, writeNumbers } from './piece-numbers.js';
import { placeNumbers } from './numbering.js';
import { write } from './text.js';
import { INK, LINE_MM, pathOfShapes, SOFT_INK } from './print.js';
import type { Template } from './template.js';
import { printTrueSize } from './true-size.js';
import { printable, sizeInWords } from './wording.js';

const PALE = '#f3f3f5';
/** In points and mm: what stands in the middle of an empty sheet, and how far from its sides at least. By eye. */
const NOTE_POINTS = 9;
const NOTE_EDGE_MM = 2;

/**
 * The pieces that drop out and are worth keeping as masks, at their places on the sheet and true to size, with the
 * numbers that they have on the template. Where none is large enough, the page says so.
 */
export async function masksPdf(template: Template): Promise<Uint8Array> {
  const { name, says = '', openings, plan, sheet } = template;
  const kept = plan.pieces.filter(({ keep }) => keep);
  const shapes = kept.map(({ opening }) => openings[opening]);
  const numbers = placeNumbers(
    kept.map((piece, opening) => ({ ...piece, opening })),
    shapes,
    sheet,
  );
  const notes = {
    name: `${printable(name, 'Stencil')}${says}, masks`,
    size: `${pieceCount(kept.length)} worth keeping, on ${sizeInWords(sheet)}`,
  };
  return printTrueSize(
    { ...template, title: `${name}${says}, masks`, notes },
    {
      lines: (pdf) => {
        if (shapes.length === 0) return;
        pathOfShapes(pdf, shapes);
        pdf.lineWidth(LINE_MM).lineJoin('round').fillAndStroke(PALE, INK, 'even-odd');
        drawLeaders(pdf, numbers);
      },
      letters: (pdf) => {
        writeNumbers(pdf, numbers);
        if (kept.length > 0) return;
        write(pdf, {
          text: 'No piece is large enough to keep.',
          x: sheet.widthMm / 2,
          baseline: sheet.heightMm / 2,
          points: NOTE_POINTS,
          colour: SOFT_INK,
          widestMm: sheet.widthMm - 2 * NOTE_EDGE_MM,
        });
      },
    },
  );
}

function pieceCount(count: number): string {
  if (count === 0) return 'No piece';
  return `${count} ${count === 1 ? 'piece' : 'pieces'}`;
}
