import type { Pdf } from './print.js';
import { heightsOf, subsetOf, widthOf, type Glyph, type Typeface } from './typefaces.js';

/** Of an em, in thousandths, as a PDF measures type: less is lost when a number is written, so it is no move. */
const LEAST_MOVE = 0.001;
/**
 * What a PDF asks to be told of a typeface for a reader that has to stand in another for it, which none has to here: the
 * height of Noto's capitals (as its fonts say), and how thick upright strokes are, by eye; in thousandths of an em.
 */
const CAP_HEIGHT = 714;
const [BOLD_STEM, REGULAR_STEM] = [140, 80];

/** A number as a PDF has it: no exponent, no more digits than can be seen. */
const figure = (value: number): string => String(Math.round(value * 1000) / 1000 || 0);

const hex = (value: number): string => value.toString(16).toUpperCase().padStart(4, '0');

/** Text in UTF-16, big-endian, as a PDF's hexadecimal string without its brackets. */
export const utf16Hex = (text: string): string =>
  Array.from({ length: text.length }, (_, i) => hex(text.charCodeAt(i))).join('');

/** A glyph and how far from the line's beginning it is drawn, in ems. */
interface PlacedGlyph {
  readonly glyph: Glyph;
  readonly at: number;
}

/** What a page's list of fonts refers to, which the library's types leave out. */
interface Resources {
  readonly fonts: Record<string, PDFKit.PDFKitReference>;
}

/**
 * A typeface inside a PDF: of its glyphs only those that are written, each under a number of its own for each text
 * that it stands for, so that a reader finds the text again (ISO 32000-1, 9.7 and 9.10.3).
 */
export class EmbeddedFont {
  private readonly codes = new Map<string, number>();
  private readonly glyphs: {
    readonly id: number;
    readonly text: string;
    readonly width: number;
  }[] = [];
  private readonly reference: PDFKit.PDFKitReference;

  /** @param label its name on the document's pages */
  constructor(
    private readonly pdf: Pdf,
    private readonly typeface: Typeface,
    private readonly label: string,
  ) {
    this.reference = pdf.ref({});
  }

  /** Writes glyphs from a place in points; the fill's colour is what it is. */
  write(glyphs: readonly Glyph[], x: number, baseline: number, points: number): void {
    const { pdf, label } = this;
    (pdf.page as unknown as Resources).fonts[label] = this.reference;
    // The library's pages have their origin at the top.
    pdf.save().transform(1, 0, 0, -1, x, baseline);
    pdf.addContent(`BT /${label} ${figure(points)} Tf`);
    let pen = 0;
    const placed = glyphs.map((glyph): PlacedGlyph => {
      const at = pen + glyph.right;
      pen += glyph.advance;
      return { glyph, at };
    });
    const isOver = ({ glyph }: PlacedGlyph): boolean => glyph.text === '' && glyph.advance === 0;
    this.show(
      placed.filter((one) => !isOver(one)),
      points,
    );
    const over = placed.filter(isOver);
    if (over.length > 0) {
      // Dots and marks over the letters come last, as no text (ISO 32000-1, 14.9.4): no reader takes them for spaces.
      pdf.addContent('/Span <</ActualText <FEFF>>> BDC 1 0 0 1 0 0 Tm');
      this.show(over, points);
      pdf.addContent('EMC');
    }
    pdf.addContent('ET');
    pdf.restore();
  }

  /** Glyphs from the beginning of the line on. */
  private show(placed: readonly PlacedGlyph[], points: number): void {
    const { pdf } = this;
    let [end, rise, shown] = [0, 0, ''];
    const flush = (): void => {
      if (shown !== '') pdf.addContent(`[${shown}] TJ`);
      shown = '';
    };
    const lift = (up: number): void => {
      if (up === rise) return;
      flush();
      rise = up;
      pdf.addContent(`${figure(rise * points)} Ts`);
    };
    for (const { glyph, at } of placed) {
      lift(glyph.up);
      const code = this.codeOf(glyph);
      const move = 1000 * (end - at);
      if (Math.abs(move) >= LEAST_MOVE) shown += figure(move);
      shown += `<${hex(code)}>`;
      end = at + this.glyphs[code - 1].width / 1000;
    }
    flush();
    lift(0);
  }

  private codeOf({ id, text }: Glyph): number {
    const key = `${id} ${text}`;
    const known = this.codes.get(key);
    if (known !== undefined) return known;
    this.glyphs.push({ id, text, width: Math.round(1000 * widthOf(this.typeface, id)) });
    this.codes.set(key, this.glyphs.length);
    return this.glyphs.length;
  }

  /** Puts the font itself into the document, when nothing more is written with it. */
  embed(): void {
    const { pdf, typeface, glyphs, label } = this;
    const name = `${prefixOf(label)}+${typeface.name}`;
    const { ascent, descent } = heightsOf(typeface);
    const [up, down] = [Math.round(1000 * ascent), Math.round(1000 * descent)];
    const widest = Math.max(...glyphs.map(({ width }) => width));
    const descriptor = finished(pdf, {
      Type: 'FontDescriptor',
      FontName: name,
      // Symbolic: the font's own glyphs, no standard encoding.
      Flags: 4,
      FontBBox: [-widest, down, 2 * widest, up],
      ItalicAngle: 0,
      Ascent: up,
      Descent: down,
      CapHeight: CAP_HEIGHT,
      StemV: typeface.weight === 700 ? BOLD_STEM : REGULAR_STEM,
      FontFile2: stream(
        pdf,
        subsetOf(
          typeface,
          glyphs.map(({ id }) => id),
        ),
      ),
    });
    const descendant = finished(pdf, {
      Type: 'Font',
      Subtype: 'CIDFontType2',
      BaseFont: name,
      CIDSystemInfo: {
        Registry: new String('Adobe'),
        Ordering: new String('Identity'),
        Supplement: 0,
      },
      FontDescriptor: descriptor,
      W: [1, glyphs.map(({ width }) => width)],
      CIDToGIDMap: stream(
        pdf,
        Uint8Array.from([0, 0, ...glyphs.flatMap(({ id }) => [id >> 8, id & 255])]),
      ),
    });
    Object.assign(this.reference.data as object, {
      Type: 'Font',
      Subtype: 'Type0',
      BaseFont: name,
      Encoding: 'Identity-H',
      DescendantFonts: [descendant],
      ToUnicode: stream(pdf, Buffer.from(toUnicode(glyphs.map(({ text }) => text)), 'latin1')),
    });
    this.reference.end(undefined);
  }
}

/** Six letters that tell this part of the typeface from others in the document (ISO 32000-1, 9.6.4). */
function prefixOf(label: string): string {
  const letters = Array.from(label, (letter) =>
    String.fromCharCode(65 + (letter.charCodeAt(0) % 26)),
  );
  return letters.join('').padStart(6, 'S').slice(-6);
}

function finished(pdf: Pdf, data: object): PDFKit.PDFKitReference {
  const made = pdf.ref(data);
  made.end(undefined);
  return made;
}

function stream(pdf: Pdf, bytes: Uint8Array): PDFKit.PDFKitReference {
  const made = pdf.ref({});
  made.end(bytes);
  return made;
}

/** Entries: Adobe Technical Note #5014, "Adobe CMap and CIDFont Files Specification", lets a block have no more. */
const MOST_IN_A_BLOCK = 100;

/** What readers leave out of a text: word joiner. */
const NOTHING = '\u2060';

/** The texts that the codes from 1 on stand for (ISO 32000-1, 9.10.3). */
function toUnicode(texts: readonly string[]): string {
  const lines = texts.map((text, i) => `<${hex(i + 1)}> <${utf16Hex(text || NOTHING)}>`);
  const blocks: string[] = [];
  for (let i = 0; i < lines.length; i += MOST_IN_A_BLOCK) {
    const block = lines.slice(i, i + MOST_IN_A_BLOCK);
    blocks.push(`${block.length} beginbfchar\n${block.join('\n')}\nendbfchar`);
  }
  return `/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def
/CMapName /Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000> <FFFF>
endcodespacerange
${blocks.join('\n')}
endcmap
CMapName currentdict /CMap defineresource pop
end
end
`;
}
