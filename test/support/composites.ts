import sharp from 'sharp';
import { photographFile, type Photograph } from './photographs.js';

/*
 * Drawings of ours laid over open photographs: what is subject and what is background is known to the pixel.
 */

const shaded = (id: string, from: string, to: string): string =>
  `<linearGradient id="${id}" x1="0" y1="0" x2="1" y2="1"><stop offset="0" stop-color="${from}"/><stop offset="1" stop-color="${to}"/></linearGradient>`;

/** Drawings in a box of 100 × 100: shaded, of several colours, none of them a plain blob. */
export const drawings = {
  jug: `<defs>${shaded('a', '#c8412b', '#7c1d16')}${shaded('b', '#f3d9a0', '#c99a4a')}</defs>
    <path d="M30 12h32l-3 14q17 12 17 34q0 28 -29 28t-29 -28q0 -22 16 -34z" fill="url(#a)"/>
    <path d="M72 40q18 -4 18 14t-20 20l-2 -8q13 -2 13 -12t-11 -7z" fill="url(#a)"/>
    <path d="M20 56q26 10 56 0l0 8q-28 10 -55 0z" fill="url(#b)"/>`,
  bird: `<defs>${shaded('a', '#f2c21a', '#d6781a')}${shaded('b', '#2b6fb3', '#123a63')}</defs>
    <path d="M14 40q4 -18 22 -16q16 2 22 18q14 6 34 30q-24 -2 -34 2q-12 10 -26 6q-18 -6 -18 -40z" fill="url(#a)"/>
    <path d="M34 46q18 -2 30 20q-24 10 -34 -4z" fill="url(#b)"/>
    <path d="M15 36l-11 5l10 4z" fill="#b5301f"/><circle cx="25" cy="34" r="3" fill="#16130f"/>
    <path d="M38 80l-3 16h4l3 -15zM50 80l-1 16h4l2 -17z" fill="#b5301f"/>`,
  figure: `<defs>${shaded('a', '#e9c3a2', '#b98663')}${shaded('b', '#27496d', '#0f1f33')}</defs>
    <path d="M16 98q0 -34 26 -38h16q26 4 26 38z" fill="url(#b)"/>
    <ellipse cx="50" cy="38" rx="19" ry="25" fill="url(#a)"/>
    <path d="M28 40q-4 -34 22 -34t22 34q-4 -18 -18 -20q-20 2 -26 20z" fill="#3a2113"/>
    <path d="M40 40h6M54 40h6" stroke="#2a1a10" stroke-width="2.5"/><path d="M43 53q7 5 14 0" stroke="#8c3a30" stroke-width="2.5" fill="none"/>`,
  leaf: `<defs>${shaded('a', '#9ed14b', '#2f7a2c')}</defs>
    <path d="M50 4q34 26 28 52q-6 20 -24 26l2 16h-7l0 -16q-22 -4 -26 -26q-4 -26 27 -52z" fill="url(#a)"/>
    <path d="M51 16l1 66M51 36l16 -8M51 36l-15 -8M51 54l20 -8M51 54l-20 -8" stroke="#e6f3b8" stroke-width="2" fill="none"/>`,
  fish: `<defs>${shaded('a', '#e8e2f4', '#8d63b5')}${shaded('b', '#ff8a5c', '#c23a2a')}</defs>
    <path d="M8 52q22 -30 54 -8l26 -18q-6 26 2 50l-28 -16q-30 22 -54 -8z" fill="url(#a)"/>
    <path d="M38 34q10 -16 24 -10q-6 10 -4 18zM44 66q6 14 18 12q-6 -6 -6 -14z" fill="url(#b)"/>
    <circle cx="22" cy="48" r="4" fill="#fff"/><circle cx="22" cy="48" r="2" fill="#111"/>`,
} as const;

export type Drawing = keyof typeof drawings;

/** A drawing over a photograph, and the truth about it. */
export interface Composite {
  readonly width: number;
  readonly height: number;
  /** sRGB, three bytes a pixel. */
  readonly rgb: Uint8Array;
  /** 1 where the drawing is. */
  readonly truth: Uint8Array;
  readonly png: Buffer;
  /** The box round the drawing, with some room on each side: left, top, width, height in percent of the picture. */
  readonly box: readonly [number, number, number, number];
}

const ROOM = 3;

/** Lays a drawing over a photograph that is shrunk to `width` px; it takes up to 70 % of the shorter side. */
export async function composite(
  drawing: Drawing,
  photograph: Photograph,
  width = 900,
): Promise<Composite> {
  const ground = sharp(photographFile(photograph)).toColourspace('srgb').resize(width);
  const { data, info } = await ground.removeAlpha().raw().toBuffer({ resolveWithObject: true });
  const { height } = info;
  const photo =
    info.channels === 3 ? data : Buffer.from(Array.from(data).flatMap((v) => [v, v, v]));
  const side = Math.round(0.7 * Math.min(width, height));
  const [left, top] = [Math.round(0.42 * (width - side)), Math.round(0.55 * (height - side))];
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" width="${side}" height="${side}">${drawings[drawing]}</svg>`;
  const drawn = await sharp(Buffer.from(svg)).ensureAlpha().raw().toBuffer();
  const rgb = Uint8Array.from(photo);
  const truth = new Uint8Array(width * height);
  let [x0, y0, x1, y1] = [width, height, 0, 0];
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      const from = 4 * (y * side + x);
      const share = drawn[from + 3] / 255;
      const to = (top + y) * width + left + x;
      for (let k = 0; k < 3; k++) {
        rgb[3 * to + k] = Math.round(share * drawn[from + k] + (1 - share) * rgb[3 * to + k]);
      }
      if (share < 0.5) continue;
      truth[to] = 1;
      [x0, y0] = [Math.min(x0, left + x), Math.min(y0, top + y)];
      [x1, y1] = [Math.max(x1, left + x + 1), Math.max(y1, top + y + 1)];
    }
  }
  const png = await sharp(rgb, { raw: { width, height, channels: 3 } })
    .png()
    .toBuffer();
  const percent = (px: number, of: number) => (100 * px) / of;
  const [boxLeft, boxTop] = [percent(x0, width) - ROOM, percent(y0, height) - ROOM];
  const box = [
    boxLeft,
    boxTop,
    percent(x1, width) + ROOM - boxLeft,
    percent(y1, height) + ROOM - boxTop,
  ] as const;
  return { width, height, rgb, truth, png, box };
}
