/**
 * Characters that do something instead of standing there: controls (Unicode category Cc), ends of lines and paragraphs,
 * and those that turn the direction of the text behind them (Unicode Standard Annex #9, table of explicit formatting
 * characters).
 */
const ACTING = /[\p{Cc}\u2028\u2029\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu;

/** What Unicode has for a character that can't be shown. */
const STAND_IN = '\ufffd';

/**
 * Text of somebody else's, such as a file's name, on one line and without what a terminal, a browser or a page would
 * act on.
 */
export function visible(text: string): string {
  return text.replaceAll(ACTING, STAND_IN);
}

/** One line of JSON that reads back as the same, with such characters written as their numbers (RFC 8259, 7). */
export function visibleJson(value: unknown): string {
  return JSON.stringify(value).replaceAll(
    ACTING,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
