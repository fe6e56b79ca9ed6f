import sharp from 'sharp';
import type { Sample } from './sample.js';

const SIDE = 1200;

/** Black and white by turns, from the largest ring inwards. */
function rings(x: number, y: number, radii: readonly number[], first: 'black' | 'white'): string {
  const other = first === 'white' ? 'black' : 'white';
  return radii
    .map((r, i) => `<circle cx="${x}" cy="${y}" r="${r}" fill="${i % 2 ? other : first}"/>`)
    .join('');
}

/** The right half, drawn about the middle line x = 0; the left is its mirror. */
function half(): string {
  const fore =
    'M16 -128 C70 -250 190 -372 330 -430 C392 -455 462 -470 548 -470 C536 -420 532 -380 540 -330' +
    ' Q492 -290 512 -222 Q456 -186 466 -122 Q408 -92 400 -26 C290 -2 150 -8 16 -44 Z';
  const hind =
    'M30 2 C150 30 270 28 390 14 C446 62 470 130 462 196 Q420 216 428 268 Q378 284 378 336' +
    ' C350 410 300 470 236 522 C206 430 138 380 96 318 C62 268 40 200 30 130 Z';
  const cell =
    'M146 -84 C158 -170 196 -246 250 -296 C240 -240 248 -150 276 -72 C230 -66 186 -70 146 -84 Z';
  const drop = 'M236 456 C206 408 212 372 246 346 C276 378 272 418 236 456 Z';
  return (
    `<path d="${fore}"/><path d="${hind}"/>` +
    rings(384, -258, [98, 70, 42, 16], 'white') +
    rings(306, 168, [110, 80, 50, 20], 'white') +
    [cell, drop].map((d) => `<path d="${d}" fill="white"/>`).join('') +
    // the feeler: a tapering hook with a bud at its end
    '<path d="M8 -262 C40 -356 100 -440 186 -486 C206 -516 256 -520 276 -490 C262 -450 226 -438 200 -452' +
    ' C138 -412 76 -344 40 -250 Z"/>' +
    '<path d="M452 250 L500 298 L452 346 L404 298 Z" transform="translate(36 92)"/>'
  );
}

function body(): string {
  // film 30 px wide stays between the body and the wings
  const trunk =
    'M0 -300 C46 -296 62 -262 52 -230 C44 -206 44 -190 50 -160 C62 -110 60 -40 54 20' +
    ' C62 130 56 260 0 384 C-56 260 -62 130 -54 20 C-60 -40 -62 -110 -50 -160 C-44 -190 -44 -206 -52 -230 C-62 -262 -46 -296 0 -300 Z';
  const bands = [60, 124, 188]
    .map((y, i) => {
      const w = 74 - i * 8;
      return `<path fill="white" d="M${-w} ${y} Q0 ${y + 34} ${w} ${y} L${w} ${y + 28} Q0 ${y + 62} ${-w} ${y + 28} Z"/>`;
    })
    .join('');
  return (
    `<path d="${trunk}" fill="white" stroke="white" stroke-width="60" stroke-linejoin="round"/>` +
    `<path d="${trunk}"/>${bands}` +
    '<path fill="white" d="M0 -120 L26 -76 L0 -32 L-26 -76 Z"/>'
  );
}

/** A moth of nobody's kind: flat black on white, eyed wings whose rings lie in rings, true corners at the wing tips. */
export const moth: Sample = {
  file: 'moth.png',
  draw: async () => {
    const svg =
      `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}" height="${SIDE}" viewBox="-600 -600 1200 1200">` +
      `<rect x="-600" y="-600" width="1200" height="1200" fill="white"/>` +
      `<g>${half()}</g><g transform="scale(-1 1)">${half()}</g>${body()}</svg>`;
    return sharp(Buffer.from(svg))
      .flatten({ background: 'white' })
      .grayscale()
      .png({ compressionLevel: 9 })
      .toBuffer();
  },
};
