/** What is common to everything that is drawn on the printed page. */
export type Pdf = PDFKit.PDFDocument;

/** A PDF's unit is 1/72 in: ISO 32000-1, 8.3.2.3. */
export const POINTS_PER_MM = 72 / 25.4;

export const INK = '#1c1c1e';
export const SOFT_INK = '#6b6b70';
