import type { Sheet } from '../../settings/card.js';
import { EmbeddedFont, utf16Hex } from './embedded.js';
import { layName, type NamePiece } from './name-line.js';
import { codePointInWords, shownName, tagOf, type NamePart } from './names.js';
import { blankPdf, collect, INK, POINTS_PER_MM, type Pdf } from './print.js';
import { loadTypefaces, SPACE, type Typeface } from './typefaces.js';
import { isStandard, nameIn, type NamedLine } from './wording.js';

export const REGULAR = 'Helvetica';
export const BOLD = 'Helvetica-Bold';

/** Places in the text's own frame, in mm; sizes of type in points. */
export interface TextLine {
  /** With a name in it by `printable`, that is written in its own script. */
  readonly text: string;
  /** The line's middle, or where it starts. */
  readonly x: number;
  readonly baseline: number;
  readonly points: number;
  readonly font?: string;
  readonly colour?: string;
  readonly align?: 'centre' | 'left';
  readonly widestMm?: number;
}

/** What the lines of one document share. */
interface Letters {
  readonly fonts: Map<string, EmbeddedFont>;
  /** Typefaces that were not loaded when a line asked for them. */
  readonly wanted: Map<string, Typeface>;
}

const lettersOf = new WeakMap<Pdf, Letters>();

/**
 * Makes a document. Where its names ask for typefaces that are not loaded yet, they are loaded, and it is drawn once
 * more: a name in plain letters loads nothing.
 *
 * @param size of its first page
 * @param title what a reader shows above it
 * @param draw the same every time
 */
export async function printed(
  size: Sheet,
  title: string,
  draw: (pdf: Pdf) => void,
): Promise<Uint8Array> {
  for (;;) {
    const pdf = blankPdf(size, title);
    const letters: Letters = { fonts: new Map(), wanted: new Map() };
    lettersOf.set(pdf, letters);
    const bytes = collect(pdf);
    draw(pdf);
    for (const font of letters.fonts.values()) font.embed();
    pdf.end();
    const made = await bytes;
    if (letters.wanted.size === 0) return made;
    await loadTypefaces([...letters.wanted.values()]);
  }
}

/** Writes one line of text. */
export function write(pdf: Pdf, line: TextLine): void {
  const { align = 'centre', font = REGULAR, colour = INK, widestMm = Infinity } = line;
  pdf.font(font).fontSize(line.points).fillColor(colour);
  const widest = widestMm * POINTS_PER_MM;
  const laid = layLine(pdf, line, widest);
  const width = typeof laid === 'string' ? pdf.widthOfString(laid) : laid.width;
  const shift = align === 'centre' ? width / 2 : 0;
  const [x, y] = [line.x * POINTS_PER_MM - shift, line.baseline * POINTS_PER_MM];
  if (typeof laid === 'string') writePlain(pdf, laid, x, y);
  else writePieces(pdf, laid, x, y, colour);
}

/** How long a text is. */
export function widthMm(
  pdf: Pdf,
  { text, points, font = REGULAR }: Pick<TextLine, 'text' | 'points' | 'font'>,
): number {
  pdf.font(font).fontSize(points);
  const laid = layLine(pdf, { text, points, font }, Infinity);
  return (typeof laid === 'string' ? pdf.widthOfString(laid) : laid.width) / POINTS_PER_MM;
}

function writePlain(pdf: Pdf, text: string, x: number, y: number): void {
  pdf.text(text, x, y, { lineBreak: false, baseline: 'alphabetic' });
}

/** Points: sums of widths that are not exact in binary may be off by less. */
const ROUNDING = 0.01;

/** A line that is more than one text in one standard font; lengths in points. */
interface Composed {
  readonly pieces: readonly LinePiece[];
  readonly font: string;
  readonly points: number;
  readonly width: number;
}

type LinePiece = NamePiece | { readonly kind: 'tag'; readonly text: string };

function layLine(
  pdf: Pdf,
  { text, points, font = REGULAR }: Pick<TextLine, 'text' | 'points' | 'font'>,
  widest: number,
): string | Composed {
  const line = nameIn(text);
  if (!line) return shortened(pdf, text, widest);
  const { parts, tag } = shownName(line.name);
  const plain = `${line.before}${line.name}${line.after}`;
  const isPlain = tag === undefined && isStandard(line.name) && parts.length === 1;
  if (isPlain && pdf.widthOfString(plain) <= widest + ROUNDING) return plain;
  const whole = compose(pdf, line, { parts, tag, font, points });
  if (whole.width <= widest + ROUNDING) return whole;
  const sign = { tag: tagOf(line.name), font };
  return shortenedName(parts, { widest, points }, (shown, size) =>
    compose(pdf, line, { ...sign, parts: shown, points: size }),
  );
}

/** The text, its end cut off behind an ellipsis where it is wider than `widest` points. */
function shortened(pdf: Pdf, text: string, widest: number): string {
  if (pdf.widthOfString(text) <= widest + ROUNDING) return text;
  let end = text.length - 1;
  while (end > 0 && pdf.widthOfString(`${text.slice(0, end)}…`) > widest) end--;
  return `${text.slice(0, end)}…`;
}

/** Characters of a name that stay, in smaller type where they have to: four at either end still call a name to mind. */
const LEAST_KEPT = 8;
const ELLIPSIS: NamePart = { kind: 'text', text: '…' };

/**
 * A name with its middle left out, as much of it as it takes: its start and its end stay, and its tag tells it from
 * others that have the same.
 */
function shortenedName(
  parts: readonly NamePart[],
  { widest, points }: { readonly widest: number; readonly points: number },
  lay: (parts: readonly NamePart[], points: number) => Composed,
): Composed {
  const units = parts.flatMap((part): NamePart[] =>
    part.kind === 'code' ? [part] : graphemesOf(part.text).map((text) => ({ kind: 'text', text })),
  );
  const keeping = (count: number, size = points): Composed => {
    const head = Math.ceil(count / 2);
    const tail = units.length - (count - head);
    return lay(joinedTexts([...units.slice(0, head), ELLIPSIS, ...units.slice(tail)]), size);
  };
  const least = Math.min(LEAST_KEPT, units.length - 1);
  const narrowest = keeping(least).width;
  if (narrowest > widest) return keeping(least, (points * widest) / narrowest);
  let [fits, tooMany] = [least, units.length];
  while (tooMany - fits > 1) {
    const middle = (fits + tooMany) >> 1;
    if (keeping(middle).width <= widest + ROUNDING) fits = middle;
    else tooMany = middle;
  }
  return keeping(fits);
}

function graphemesOf(text: string): string[] {
  const segmenter = new Intl.Segmenter('en', { granularity: 'grapheme' });
  return Array.from(segmenter.segment(text), ({ segment }) => segment);
}

/** Texts that follow each other as one, so that its letters join. */
function joinedTexts(parts: readonly NamePart[]): NamePart[] {
  return parts.reduce<NamePart[]>((all, part) => {
    const last = all.at(-1);
    if (last?.kind !== 'text' || part.kind !== 'text') return [...all, part];
    return [...all.slice(0, -1), { kind: 'text', text: last.text + part.text }];
  }, []);
}

interface NameStyle {
  readonly parts: readonly NamePart[];
  readonly tag: string | undefined;
  readonly font: string;
  readonly points: number;
}

function compose(pdf: Pdf, line: NamedLine, { parts, tag, font, points }: NameStyle): Composed {
  const pieces: LinePiece[] = [
    ...textPieces(line.before),
    ...namePieces(pdf, parts, font),
    ...(tag === undefined ? [] : [{ kind: 'tag', text: tag } as const]),
    ...textPieces(line.after),
  ];
  const width = pieces.reduce((sum, piece) => sum + widthOf(pdf, piece, font, points), 0);
  return { pieces, font, points, width };
}

const textPieces = (text: string): LinePiece[] => (text === '' ? [] : [{ kind: 'plain', text }]);

function namePieces(pdf: Pdf, parts: readonly NamePart[], font: string): readonly NamePiece[] {
  if (parts.every((part) => part.kind === 'code' || isStandard(part.text)))
    return parts.map((part) => (part.kind === 'code' ? part : { ...part, kind: 'plain' }));
  const laid = layName(parts, font === BOLD ? 700 : 400);
  if ('pieces' in laid) return laid.pieces;
  const letters = lettersOf.get(pdf);
  for (const typeface of laid.wanted) letters?.wanted.set(typeface.name, typeface);
  return [];
}

/**
 * A code point or a tag stands in a thin frame in small type, this share of the line's size, so that it is not taken
 * for the name's own letters.
 */
const SMALL = 0.6;
/** In the small type's size: kept free between frame and text, and outside the frame. The frame's line is in points. */
const FRAME_PAD = 0.3;
const FRAME_GAP = 0.25;
const FRAME_LINE = 0.4;
/** From the baseline up, in the line's size: the frame's foot. */
const FRAME_FOOT = 0.02;
/**
 * The height of capitals and digits, in the type's size: Helvetica's is 0.718 (font metrics of the standard 14 fonts).
 */
const CAPITALS = 0.72;

function widthOf(pdf: Pdf, piece: LinePiece, font: string, points: number): number {
  switch (piece.kind) {
    case 'plain':
      return pdf.font(font).fontSize(points).widthOfString(piece.text);
    case 'glyphs':
      return points * piece.glyphs.reduce((sum, { advance }) => sum + advance, 0);
    case 'code':
    case 'tag':
      return labelWidth(pdf, labelOf(piece), points) + 2 * FRAME_GAP * SMALL * points;
  }
}

type Labelled = Extract<LinePiece, { readonly kind: 'code' | 'tag' }>;

function labelOf(piece: Labelled): string {
  if (piece.kind === 'tag') return piece.text;
  return piece.codePoint === SPACE ? 'space' : codePointInWords(piece.codePoint);
}

function labelWidth(pdf: Pdf, label: string, points: number): number {
  const small = SMALL * points;
  return pdf.font(REGULAR).fontSize(small).widthOfString(label) + 2 * FRAME_PAD * small;
}

function writePieces(pdf: Pdf, composed: Composed, x: number, y: number, colour: string): void {
  const { pieces, font, points } = composed;
  let at = x;
  for (const piece of pieces) {
    const width = widthOf(pdf, piece, font, points);
    switch (piece.kind) {
      case 'plain':
        writePlain(pdf.font(font).fontSize(points), piece.text, at, y);
        break;
      case 'glyphs':
        fontFor(pdf, piece.typeface).write(piece.glyphs, at, y, points);
        break;
      case 'code':
      case 'tag':
        asSpelled(pdf, piece, () =>
          writeLabel(pdf, labelOf(piece), at + FRAME_GAP * SMALL * points, y, points, colour),
        );
        break;
    }
    at += width;
  }
}

/** What a reader copies or looks for is the character, not what stands for it: ISO 32000-1, 14.9.4. */
function asSpelled(pdf: Pdf, piece: Labelled, draw: () => void): void {
  const character = piece.kind === 'code' ? String.fromCodePoint(piece.codePoint) : '';
  const isText = character !== '' && !/\p{C}/u.test(character);
  if (isText) pdf.addContent(`/Span <</ActualText <FEFF${utf16Hex(character)}>>> BDC`);
  draw();
  if (isText) pdf.addContent('EMC');
}

function writeLabel(
  pdf: Pdf,
  label: string,
  x: number,
  y: number,
  points: number,
  colour: string,
): void {
  const width = labelWidth(pdf, label, points);
  const small = SMALL * points;
  const foot = y - FRAME_FOOT * points;
  const height = CAPITALS * small + 2 * FRAME_PAD * small;
  pdf
    .save()
    .rect(x, foot - height, width, height)
    .lineWidth(FRAME_LINE)
    .stroke(colour)
    .restore();
  const shown = pdf.font(REGULAR).fontSize(small).fillColor(colour);
  writePlain(shown, label, x + FRAME_PAD * small, foot - FRAME_PAD * small);
}

function fontFor(pdf: Pdf, typeface: Typeface): EmbeddedFont {
  const fonts = lettersOf.get(pdf)?.fonts;
  if (!fonts) throw new Error('A document with names is made by printed()');
  const known = fonts.get(typeface.name);
  if (known) return known;
  const font = new EmbeddedFont(pdf, typeface, `N${fonts.size + 1}`);
  fonts.set(typeface.name, font);
  return font;
}
