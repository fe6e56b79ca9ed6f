import { labelled, spelt } from '../../settings/words/spelling.js';
import { visible } from '../../settings/words/visible.js';
import type { Gone, SummaryRow } from './row.js';

/** Lets spreadsheet programs know that accents are UTF-8. */
const BYTE_ORDER_MARK = '\uFEFF';

const COLUMNS = [
  'picture',
  'result',
  'reason',
  'folder',
  'card width mm',
  'card height mm',
  'tone',
  'pieces',
  'islands',
  'bridges',
  'cutting mm',
  'minutes to cut',
  'difficulty',
  'print differs %',
  'errors',
  'warnings',
  'findings',
] as const;

/** A table of what became of each picture: RFC 4180, with a row of headings. */
export function summaryCsv(rows: readonly SummaryRow[], gone: readonly Gone[]): string {
  const lines = [COLUMNS, ...rows.map(cells), ...gone.map(cellsOfGone)].map((row) =>
    row.map(cell).join(','),
  );
  return `${BYTE_ORDER_MARK}${lines.join('\r\n')}\r\n`;
}

function cells(row: SummaryRow): readonly (string | number)[] {
  if (row.fate === 'failed') {
    const reason = spelt(`${row.what} (${row.where}). ${row.remedy}.`, labelled);
    return [
      row.picture,
      'not made',
      reason,
      ...Array.from({ length: COLUMNS.length - 3 }, () => ''),
    ];
  }
  const { sheet, tone, openings, islands, bridges, cutMm, minutes, difficulty } = row.figures;
  const { fidelity, findings } = row.figures;
  const count = (wanted: string): number => findings.filter(({ level }) => level === wanted).length;
  return [
    row.picture,
    row.fate === 'good' ? 'good' : 'look before you cut',
    '',
    row.folder,
    sheet.widthMm,
    sheet.heightMm,
    tone,
    openings,
    islands,
    bridges,
    Math.round(cutMm),
    minutes,
    difficulty,
    Number((100 * fidelity).toFixed(2)),
    count('error'),
    count('warning'),
    findings.map(({ message }) => spelt(message, labelled)).join(' '),
  ];
}

function cellsOfGone({ picture, folder }: Gone): readonly string[] {
  const reason = 'The picture is not in the folder any more; its stencil still is in the output.';
  return [
    picture,
    'picture gone',
    reason,
    folder,
    ...Array.from({ length: COLUMNS.length - 4 }, () => ''),
  ];
}

/** A spreadsheet program takes text that begins so for a sum to work out; behind an apostrophe it stays text. */
const FORMULA = /^[=+\-@\t\r]/;

function cell(value: string | number): string {
  if (typeof value === 'number') return String(value);
  const plain = visible(value);
  const text = FORMULA.test(plain) ? `'${plain}` : plain;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
