import type { Sample } from './sample.js';

const WIDTH = 420;
const HEIGHT = 560;

/** The right half of a child in a wide skirt, whose hand runs out at the edge, and its mirror image. */
const HALF =
  'M206 186C226 184 238 188 250 192C300 206 350 190 384 158L420 150V214C380 236 320 252 270 248C262 280 268 300 284 330C312 384 340 424 352 452C330 470 300 470 284 460L280 520C300 524 312 534 312 546H238L234 466H206Z';

function dancer(): string {
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}" viewBox="0 0 ${WIDTH} ${HEIGHT}">\n` +
    `<rect width="${WIDTH}" height="${HEIGHT}" fill="#fff"/>\n` +
    `<g fill="#2b2b33">\n` +
    `<path d="${HALF}"/>\n<path transform="translate(${WIDTH} 0) scale(-1 1)" d="${HALF}"/>\n` +
    `<path d="M210 20C258 20 282 58 280 98C279 140 252 178 236 182V200H184V182C168 178 141 140 140 98C138 58 162 20 210 20Z"/>\n` +
    `<path d="M140 70C110 60 96 40 108 24C128 20 146 36 150 56ZM280 70C310 60 324 40 312 24C292 20 274 36 270 56Z"/>\n` +
    `</g>\n</svg>\n`
  );
}

/** A child with its arms spread, for a row of figures that hold hands: the hands run out at the sides. */
export const dancerFigure: Sample = {
  file: 'dancer.svg',
  draw: () => Promise.resolve(Buffer.from(dancer())),
};
