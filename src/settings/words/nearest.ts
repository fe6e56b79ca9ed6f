/**
 * A word this many letters long may be mistaken in one of them, twice as long a one in two, and so on. Common practice,
 * no source.
 */
const LETTERS_A_MISTAKE = 3;
/** A shorter word is no hint by itself: "in" stands in too many others. */
const LEAST_HINT = 4;

/**
 * Of the words that there are, the one that was most likely meant; undefined when none is near.
 *
 * Capitals, dashes and spaces make no difference. A word is near by what has to be changed in it (Damerau, "A technique
 * for computer detection and correction of spelling errors", 1964: a letter too many, one too few, another one, or two
 * in the wrong order), or else because the one stands whole in the other, as strip in narrowest strip.
 */
export function nearestWord(word: string, known: readonly string[]): string | undefined {
  const meant = letters(word);
  if (meant === '') return undefined;
  const allowed = Math.max(1, Math.floor(meant.length / LETTERS_A_MISTAKE));
  const near = known
    .map((each) => ({ each, off: mistakes(meant, letters(each)) }))
    .filter(({ off }) => off <= allowed)
    .sort((a, b) => a.off - b.off);
  if (near.length > 0) return near[0].each;
  if (meant.length < LEAST_HINT) return undefined;
  return known
    .filter((each) => {
      const other = letters(each);
      return other.includes(meant) || (other.length >= LEAST_HINT && meant.includes(other));
    })
    .sort((a, b) => a.length - b.length)[0];
}

/** "Did you mean margin?", or else what to do when no word is near. */
export function didYouMean(word: string, known: readonly string[], otherwise: string): string {
  const near = nearestWord(word, known);
  // It ends a remedy, which gets its full stop from the Problem.
  return near === undefined ? otherwise : `Did you mean ${near}? ${otherwise}`;
}

function letters(word: string): string {
  return word.toLowerCase().replaceAll(/[^\p{L}\p{N}]/gu, '');
}

/** How many changes of a letter part two words, two in the wrong order being one change. */
function mistakes(a: string, b: string): number {
  const rows: number[][] = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      const swapped = a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      row[j] = Math.min(
        rows[i - 1][j] + 1,
        row[j - 1] + 1,
        rows[i - 1][j - 1] + same,
        swapped ? rows[i - 2][j - 2] + 1 : Infinity,
      );
    }
    rows.push(row);
  }
  return rows[a.length][b.length];
}
