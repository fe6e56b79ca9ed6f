import { getDocument, OPS, type PDFPageProxy } from 'pdfjs-dist/legacy/build/pdf.mjs';

/*
 * A PDF read by an independent reader (pdfjs-dist). Lengths: ISO 32000-1, 8.3.2.3: one unit is 1/72 in.
 */

const MM_PER_UNIT = 25.4 / 72;

type Matrix = readonly number[];

/** A path as it lies on the page, in mm. */
export interface Drawn {
  readonly colour: string;
  readonly left: number;
  readonly top: number;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly lineMm: number;
}

interface Written {
  readonly text: string;
  /** Its size. */
  readonly points: number;
  /** The box of the text on the page, in mm, from its baseline up by its size. */
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** One page, as a reader sees it. */
export interface ReadPage {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly drawn: readonly Drawn[];
  readonly written: readonly Written[];
  readonly text: string;
  readonly info: Readonly<Record<string, unknown>>;
  readonly preferences: Readonly<Record<string, unknown>>;
}

const onPage = (x: number, y: number, [a, b, c, d, e, f]: Matrix): readonly [number, number] => [
  a * x + c * y + e,
  b * x + d * y + f,
];

function times(outer: Matrix, inner: Matrix): Matrix {
  const [a, b] = onPage(inner[0], inner[1], [...outer.slice(0, 4), 0, 0]);
  const [c, d] = onPage(inner[2], inner[3], [...outer.slice(0, 4), 0, 0]);
  return [a, b, c, d, ...onPage(inner[4], inner[5], outer)];
}

function boxOf(points: readonly (readonly [number, number])[], pageHeight: number) {
  const xs = points.map(([x]) => x * MM_PER_UNIT);
  const ys = points.map(([, y]) => (pageHeight - y) * MM_PER_UNIT);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [top, bottom] = [Math.min(...ys), Math.max(...ys)];
  return { left, right, top, bottom, widthMm: right - left, heightMm: bottom - top };
}

interface Operators {
  readonly fnArray: readonly number[];
  readonly argsArray: readonly unknown[];
}

/** Follows the page's operators and keeps every stroked path. */
function pathsOf({ fnArray, argsArray }: Operators, pageHeight: number): readonly Drawn[] {
  const drawn: Drawn[] = [];
  const kept: { matrix: Matrix; colour: string; line: number }[] = [];
  let now = { matrix: [1, 0, 0, 1, 0, 0] as Matrix, colour: '#000000', line: 1 };
  fnArray.forEach((operator, i) => {
    const args = argsArray[i] as readonly never[];
    if (operator === OPS.save) kept.push({ ...now });
    else if (operator === OPS.restore) now = kept.pop() ?? now;
    else if (operator === OPS.transform) now.matrix = times(now.matrix, args);
    else if (operator === OPS.setStrokeRGBColor) now.colour = args[0];
    else if (operator === OPS.setLineWidth) now.line = args[0];
    else if (operator === OPS.constructPath) {
      const [x0, y0, x1, y1] = args[2] as readonly number[];
      const corners = [onPage(x0, y0, now.matrix), onPage(x1, y1, now.matrix)];
      const unit = Math.hypot(now.matrix[0], now.matrix[1]);
      const lineMm = now.line * unit * MM_PER_UNIT;
      drawn.push({ ...boxOf(corners, pageHeight), colour: now.colour, lineMm });
    }
  });
  return drawn;
}

/** The pages of a document, in order. */
export async function readPdf(bytes: Uint8Array): Promise<ReadPage[]> {
  const document = await getDocument({ data: new Uint8Array(bytes), verbosity: 0 }).promise;
  const info = (await document.getMetadata()).info as Record<string, unknown>;
  const preferences = (await document.getViewerPreferences()) as Record<string, unknown>;
  const pages: ReadPage[] = [];
  for (let number = 1; number <= document.numPages; number++) {
    pages.push({ ...(await readPage(await document.getPage(number))), info, preferences });
  }
  await document.destroy();
  return pages;
}

async function readPage(page: PDFPageProxy): Promise<Omit<ReadPage, 'info' | 'preferences'>> {
  const [left, bottom, right, top] = page.view;
  const { items } = await page.getTextContent();
  const written = items.flatMap((item) => {
    if (!('str' in item) || item.str.trim() === '') return [];
    const [a, b, c, d, e, f] = item.transform as Matrix;
    const points = Math.hypot(c, d);
    const along = item.width / Math.hypot(a, b);
    const ends = [onPage(0, 0, [a, b, c, d, e, f]), onPage(along, 0.72, [a, b, c, d, e, f])];
    return [{ text: item.str, points, ...boxOf(ends, top) }];
  });
  return {
    widthMm: (right - left) * page.userUnit * MM_PER_UNIT,
    heightMm: (top - bottom) * page.userUnit * MM_PER_UNIT,
    drawn: pathsOf(await page.getOperatorList(), top),
    written,
    text: written.map(({ text }) => text).join('\n'),
  };
}
