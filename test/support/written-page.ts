import { typeface } from './glyphs.js';

const LINES = [
  'the boat lay below the house',
  'and nobody came to look for it',
  'until the river fell in June',
  'and the children found the oars',
];

/** Lines of type in an open typeface, on white; their size in shares of the picture. */
export function writtenPage(face: string, em: number, lines: readonly string[] = LINES): Buffer {
  const font = typeface(face);
  const path = lines
    .flatMap((line, i) => font.getPath(line, 40, 60 + 1.3 * em * (i + 1), em).commands)
    .map(({ type, x, y, x1, y1, x2, y2 }) => {
      const numbers = [x1, y1, x2, y2, x, y].filter((value) => value !== undefined);
      return `${type}${numbers.map((value) => value.toFixed(2)).join(' ')}`;
    })
    .join('');
  return Buffer.from(
    `<svg xmlns="http://www.w3.org/2000/svg" width="1000" height="1000"><rect width="1000" height="1000" fill="#fff"/><path d="${path}"/></svg>`,
  );
}
