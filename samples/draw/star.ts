import type { Sample } from './sample.js';

const SIDE = 800;
const MIDDLE = SIDE / 2;

/** An arm straight up, as places from the middle: a blade with two pairs of twigs, as a star of ice has them. */
const LONG_ARM =
  'M0 -395L26 -330L20 -300L84 -352L98 -300L34 -240L26 -205L100 -252L112 -200L40 -150L14 -92H-14L-40 -150L-112 -200L-100 -252L-26 -205L-34 -240L-98 -300L-84 -352L-20 -300L-26 -330Z';
/** A short arm between two long ones: a lozenge on the diagonal, with a lozenge of paper in it, open at its foot. */
const SHORT_ARM = 'M0 -390L52 -300L30 -232L0 -270L-30 -232L-52 -300Z';
/** At the foot of the short arms, round the middle. */
const DROP = 'M0 -150L26 -105L0 -52L-26 -105Z';

function star(): string {
  const arms = Array.from({ length: 4 }, (_, k) => {
    const at = (degrees: number): string => `translate(${MIDDLE} ${MIDDLE}) rotate(${degrees})`;
    return (
      `<path transform="${at(90 * k)}" d="${LONG_ARM}"/>\n` +
      `<path transform="${at(90 * k + 45)}" d="${SHORT_ARM}${DROP}"/>\n`
    );
  });
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}" height="${SIDE}" viewBox="0 0 ${SIDE} ${SIDE}">\n` +
    `<rect width="${SIDE}" height="${SIDE}" fill="#fff"/>\n` +
    `<g fill="#23304a">\n${arms.join('')}</g>\n` +
    `</svg>\n`
  );
}

/** A star of ice, drawn whole: four arms and four lozenges between them, to be folded back into an eighth. */
export const iceStar: Sample = {
  file: 'star.svg',
  draw: () => Promise.resolve(Buffer.from(star())),
};
