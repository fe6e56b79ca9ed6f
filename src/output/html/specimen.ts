import { createRequire } from 'node:module';
import type sharp from 'sharp';
import type { Point, Shape } from '../../geometry/shape.js';
import { shapePath } from '../svg/path-data.js';
import { escapeHtml, pageHtml } from './html.js';

/** A typeface on a sheet of specimens; lengths in mm. */
export interface SpecimenLeaf {
  readonly kind: string;
  readonly name: string;
  readonly says: string;
  /** The smallest capitals, alone, and with small letters. */
  readonly capitals: number;
  readonly letters: number;
  /** For the words that were given. */
  readonly words: number | undefined;
  /** The sample; undefined where the typeface lacks letters of it. */
  readonly drawing:
    | {
        readonly shapes: readonly Shape[];
        readonly bridges: readonly {
          readonly from: Point;
          readonly to: Point;
          readonly widthMm: number;
        }[];
        readonly width: number;
        readonly height: number;
      }
    | undefined;
}

const STYLE = `main { margin-top: 1.6rem; }
.row { border-top: 1px solid var(--line); padding: 1.2rem 0; }
.row svg { display: block; height: auto; margin-bottom: 0.6rem; max-height: 9rem; max-width: 100%; }
.row path { fill: var(--ink); }
.row line { stroke: var(--ground); }
h3 { font-size: 1.05rem; margin: 0; }
`;

/** A page that shows typefaces, each with the smallest capitals that can be cut in it. */
export function specimenHtml(leaves: readonly SpecimenLeaf[], tool: string): string {
  return pageHtml(
    'Typefaces',
    STYLE,
    `<header><h1>Typefaces</h1>
<p>As they are cut, with their bridges. The smallest capitals are for a ${escapeHtml(tool)} with the limits of your job.</p></header>
<main>${leaves.map(rowOf).join('\n')}</main>`,
  );
}

function rowOf(leaf: SpecimenLeaf): string {
  const drawn = leaf.drawing
    ? drawingOf(leaf.drawing, '')
    : '<p class="soft">It has not all of these letters.</p>';
  return `<section class="row">${drawn}
<h3>${escapeHtml(leaf.kind)}</h3>
<p class="soft">${escapeHtml(captionOf(leaf))}<br>${escapeHtml(sizesOf(leaf))}</p></section>`;
}

/** What it is like, and how small it can be cut: two lines, as far as a picture is wide. */
const captionOf = ({ name, says }: SpecimenLeaf): string => `${name}: ${says}.`;

const sizesOf = ({ capitals, letters, words }: SpecimenLeaf): string =>
  [
    `Smallest capitals: ${said(capitals)} mm`,
    `${said(letters)} mm with small letters`,
    ...(words === undefined ? [] : [`${said(words)} mm for these words`]),
  ].join(', ');

const said = (mm: number): string => (Math.ceil(mm * 10) / 10).toFixed(1);

type Drawing = NonNullable<SpecimenLeaf['drawing']>;

/** @param attributes of the svg element */
function drawingOf(drawing: Drawing, attributes: string): string {
  const { width, height } = drawing;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${4 * width}" height="${4 * height}" ${attributes}>${inkOf(drawing)}</svg>`;
}

/** Letters, and over them the bridges in the colour of what lies under them. */
function inkOf({ shapes, bridges }: Drawing): string {
  const strips = bridges.map(({ from, to, widthMm }) => {
    const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
    const [dx, dy] = [((to.x - from.x) / length) * OVER_MM, ((to.y - from.y) / length) * OVER_MM];
    return `<line x1="${from.x - dx}" y1="${from.y - dy}" x2="${to.x + dx}" y2="${to.y + dy}" stroke-width="${widthMm}"/>`;
  });
  return `<path fill-rule="evenodd" d="${shapePath(shapes)}"/>${strips.join('')}`;
}

/** Beyond a stroke, so that nothing of it shows at a bridge's end. */
const OVER_MM = 0.3;

/** In px: a row's height, what its letters have of it, the picture's width, and its margin. By eye. */
const [ROW_PX, INK_PX, WIDTH_PX, RIM_PX] = [212, 110, 1200, 40];
const [GROUND, INK, SOFT, LINE] = ['#f7f4ee', '#23282b', '#62696c', '#ddd6c9'];
const FONT = 'font-family="Helvetica, Arial, Liberation Sans, DejaVu Sans, sans-serif"';

/** The same as one picture. */
export async function specimenPng(leaves: readonly SpecimenLeaf[]): Promise<Uint8Array> {
  const load = createRequire(import.meta.url)('sharp') as typeof sharp;
  const rows = leaves.map((leaf, i) => pictured(leaf, RIM_PX + i * ROW_PX)).join('');
  const height = 2 * RIM_PX + leaves.length * ROW_PX;
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH_PX}" height="${height}"><rect width="100%" height="100%" fill="${GROUND}"/>${rows}</svg>`;
  return load(Buffer.from(svg)).removeAlpha().png({ palette: true }).toBuffer();
}

function pictured(leaf: SpecimenLeaf, top: number): string {
  const text = (down: number, px: number, fill: string, words: string): string =>
    `<text x="${RIM_PX}" y="${top + down}" ${FONT} font-size="${px}" fill="${fill}">${escapeHtml(words)}</text>`;
  const { drawing } = leaf;
  const rule = `<rect x="${RIM_PX}" y="${top - 12}" width="${WIDTH_PX - 2 * RIM_PX}" height="1" fill="${LINE}"/>`;
  const labels =
    text(INK_PX + 28, 20, INK, leaf.kind) +
    text(INK_PX + 52, 16, SOFT, captionOf(leaf)) +
    text(INK_PX + 73, 16, SOFT, sizesOf(leaf));
  if (!drawing)
    return rule + labels + text(INK_PX / 2, 18, SOFT, 'It has not all of these letters.');
  const scale = Math.min(INK_PX / drawing.height, (WIDTH_PX - 2 * RIM_PX) / drawing.width);
  return `${rule}<g transform="translate(${RIM_PX} ${top}) scale(${scale})" fill="${INK}" stroke="none"><g stroke="${GROUND}">${inkOf(drawing).replace('<path', '<path stroke="none"')}</g></g>${labels}`;
}
