import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Bitmap } from '../../src/raster/raster.js';
import { paintedBy } from './resvg.js';

/** What is used of opentype.js, which reads fonts. */
interface Opentype {
  parse(font: ArrayBuffer): Face;
}

/** A font that was read. */
export interface Face {
  getPath(text: string, x: number, y: number, size: number): GlyphPath;
}

interface GlyphPath {
  readonly commands: readonly (Readonly<Record<string, number>> & { readonly type: string })[];
  getBoundingBox(): { x1: number; y1: number; x2: number; y2: number };
}

const require = createRequire(import.meta.url);

/**
 * A typeface of the open collection on npm, `@fontsource/*`, under the SIL Open Font License.
 *
 * @param name the package's name and, where it is not regular, the weight: "allerta", "stardos-stencil 700"
 */
export function typeface(name: string): Face {
  const [family, weight = '400'] = name.split(' ');
  const file = require.resolve(`@fontsource/${family}/files/${family}-latin-${weight}-normal.woff`);
  const bytes = Uint8Array.from(readFileSync(file));
  return (require('opentype.js') as Opentype).parse(bytes.buffer);
}

/** Units an em in a letter's drawing. */
const SIZE = 200;
/** White round a letter's drawing. */
const RIM = 4;

/** A letter by itself as an SVG picture, dark on nothing, as large as it is and a rim. */
export function letterSvg(font: Face, letter: string): string {
  const path = font.getPath(letter, 0, 0, SIZE);
  const { x1, y1, x2, y2 } = path.getBoundingBox();
  const [width, height] = [x2 - x1 + 2 * RIM, y2 - y1 + 2 * RIM];
  const data = path.commands.map((command) =>
    [
      command.type,
      ...['x1', 'y1', 'x2', 'y2', 'x', 'y']
        .filter((name) => name in command)
        .map((name) => command[name].toFixed(3)),
    ].join(' '),
  );
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="${x1 - RIM} ${y1 - RIM} ${width} ${height}"><path d="${data.join('')}"/></svg>`;
}

/** A letter drawn by an independent renderer (resvg): 1 is ink. */
export function letterBitmap(font: Face, letter: string): Bitmap {
  return paintedBy(letterSvg(font, letter));
}
