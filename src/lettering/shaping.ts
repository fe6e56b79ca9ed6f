import type * as HarfBuzz from 'harfbuzzjs';

/** A part of a text that goes one way; `end` is the place after its last character. */
export interface TextRun {
  readonly start: number;
  readonly end: number;
  readonly leftward: boolean;
}

/**
 * Shapes a run of a text by a font; its neighbours count, as in Arabic. Glyphs come in the order of the page from left to
 * right, their places in the font's units.
 */
export function shapeRun(
  harfbuzz: typeof HarfBuzz,
  font: HarfBuzz.Font,
  text: string,
  { start, end, leftward }: TextRun,
) {
  const buffer = new harfbuzz.Buffer();
  buffer.addText(text, start, end - start);
  buffer.setClusterLevel(harfbuzz.ClusterLevel.MONOTONE_CHARACTERS);
  buffer.setDirection(leftward ? harfbuzz.Direction.RTL : harfbuzz.Direction.LTR);
  // Else it is the computer's.
  buffer.setLanguage('en');
  buffer.guessSegmentProperties();
  harfbuzz.shape(font, buffer);
  return { infos: buffer.getGlyphInfos(), positions: buffer.getGlyphPositions() };
}
