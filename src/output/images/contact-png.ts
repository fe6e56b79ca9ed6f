import { createRequire } from 'node:module';
import type sharp from 'sharp';
import { costOf, toneTitle } from '../../settings/words/tone.js';
import type { TriedTone } from '../html/contact.js';
import { escapeHtml } from '../html/html.js';
import { SMALL_PX } from './small-print.js';

/**
 * In px: a print, between prints, and two lines below one; four prints in a row are as wide as a screen or a page shows
 * well.
 */
const TILE_PX = SMALL_PX;
const GAP_PX = 40;
const CAPTION_PX = 84;
const MOST_COLUMNS = 4;
/** Below a print, in px: the baselines of both lines, and the size of their type. By eye. */
const TITLE = { down: 32, px: 22 };
const FIGURES = { down: 60, px: 18 };
/**
 * Colours of the file, and how hard it is packed (1 to 10): prints are blends of a paint and a card, so more colours make
 * it larger and are not seen; packed harder, it takes longer.
 */
const PACKED = { palette: true, colours: 128, effort: 7 };
const [GROUND, INK, SOFT, LINE] = ['#f7f4ee', '#23282b', '#62696c', '#ddd6c9'];
const FONT = 'font-family="Helvetica, Arial, Liberation Sans, DejaVu Sans, sans-serif"';

/** The contact sheet of `contactHtml` as one picture, to look at or to print: the prints in rows, each with its number, tone and figures. */
export async function contactPng(tones: readonly TriedTone[]): Promise<Uint8Array> {
  const load = createRequire(import.meta.url)('sharp') as typeof sharp;
  const columns = Math.min(MOST_COLUMNS, tones.length);
  const rows = Math.ceil(tones.length / columns);
  const width = GAP_PX + columns * (TILE_PX + GAP_PX);
  const height = GAP_PX + rows * (TILE_PX + CAPTION_PX + GAP_PX);
  const at = (i: number): { left: number; top: number } => ({
    left: GAP_PX + (i % columns) * (TILE_PX + GAP_PX),
    top: GAP_PX + Math.floor(i / columns) * (TILE_PX + CAPTION_PX + GAP_PX),
  });
  const captions = tones.map((tried, i) => caption(tried, i + 1, at(i))).join('');
  const ground = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><rect width="100%" height="100%" fill="${GROUND}"/>${captions}</svg>`;
  const prints = await Promise.all(
    tones.map(async (tried, i) => {
      if (tried.fate === 'failed') return [];
      const { width: across, height: down } = await load(tried.print).metadata();
      const { left, top } = at(i);
      // In the middle, at the foot: the captions stand in a row under prints of any shape.
      return [
        {
          input: Buffer.from(tried.print),
          left: left + ((TILE_PX - across) >> 1),
          top: top + TILE_PX - down,
        },
      ];
    }),
  );
  return load(Buffer.from(ground)).composite(prints.flat()).removeAlpha().png(PACKED).toBuffer();
}

function caption(tried: TriedTone, number: number, at: { left: number; top: number }): string {
  const foot = at.top + TILE_PX;
  const line = (text: string, { down, px }: typeof TITLE, fill: string): string =>
    `<text x="${at.left}" y="${foot + down}" ${FONT} font-size="${px}" fill="${fill}">${escapeHtml(text)}</text>`;
  const title = line(`${number}. ${toneTitle(tried)}`, TITLE, INK);
  if (tried.fate === 'failed') {
    const frame = `<rect x="${at.left}" y="${at.top}" width="${TILE_PX}" height="${TILE_PX}" fill="none" stroke="${LINE}"/>`;
    return `${frame}${title}${line('nothing to cut by this tone', FIGURES, SOFT)}`;
  }
  const { figures, fate } = tried;
  const look = fate === 'good' ? '' : ', look before you cut';
  return title + line(`${costOf(figures)}${look}`, FIGURES, SOFT);
}
