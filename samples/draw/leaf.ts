import type { Sample } from './sample.js';

const WIDTH = 480;
const HEIGHT = 640;
const MIDDLE = WIDTH / 2;

/** The blade: a pointed oval whose foot stands on the middle line. */
const BLADE = `M${MIDDLE} 40C110 150 60 330 ${MIDDLE} 600C420 330 370 150 ${MIDDLE} 40Z`;

/** A vein from the middle line up to the blade's edge and over it. */
function vein(y: number, side: 1 | -1): string {
  return `M${MIDDLE} ${y}Q${MIDDLE + side * 70} ${y - 40} ${MIDDLE + side * 210} ${y - 175}`;
}

function leaf(): string {
  const veins = [270, 390].flatMap((y) => [vein(y, 1), vein(y, -1)]);
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}" viewBox="0 0 ${WIDTH} ${HEIGHT}">\n` +
    `<rect width="${WIDTH}" height="${HEIGHT}" fill="#fff"/>\n` +
    `<path d="${BLADE}" fill="#1d3a24"/>\n` +
    `<path d="M${MIDDLE} 170V640${veins.join('')}" fill="none" stroke="#fff" stroke-width="40" stroke-linecap="round"/>\n` +
    `</svg>\n`
  );
}

/** One leaf with its veins left light: a motif to repeat. Its veins run out at the edge, so that no part is loose. */
export const leafMotif: Sample = {
  file: 'leaf.svg',
  draw: () => Promise.resolve(Buffer.from(leaf())),
};
