import { lumaOf, type Colour } from './pictures.js';

/**
 * A colour of a hue and a luma, as colourful as sRGB has it: the pure hue, darkened, or paled with white.
 *
 * @param hue in degrees: red 0, green 120, blue 240
 * @param luma 0 to 255, by Rec. ITU-R BT.709-6
 */
export function ofLuma(hue: number, luma: number): Colour {
  const share = (n: number): number => {
    const place = (n + hue / 60) % 6;
    return 255 * (1 - Math.max(0, Math.min(place, 4 - place, 1)));
  };
  const pure = [share(5), share(3), share(1)] as const;
  const own = lumaOf(pure);
  const paled = (luma - own) / (255 - own);
  const [red, green, blue] = pure.map((value) =>
    Math.round(own > luma ? (value * luma) / own : value + (255 - value) * paled),
  );
  return [red, green, blue];
}

/** As CSS has it. */
const css = (colour: Colour): string => `rgb(${colour.join()})`;

/** A strawberry on a ground, drawn as SVG of 900 by 900. */
export function strawberry(berry: Colour, ground: Colour, seeds: Colour): Buffer {
  const places = [[340, 430], [450, 420], [560, 430], [380, 520], [520, 520], [450, 600]]; // prettier-ignore
  return Buffer.from(
    `<svg xmlns="http://www.w3.org/2000/svg" width="900" height="900"><rect width="900" height="900" fill="${css(ground)}"/>
    <path d="M450 780C250 660 180 480 230 360c40-90 150-90 220-40 70-50 180-50 220 40 50 120-20 300-220 420z" fill="${css(berry)}"/>
    ${places.map(([x, y]) => `<ellipse cx="${x}" cy="${y}" rx="14" ry="22" fill="${css(seeds)}"/>`).join('')}</svg>`,
  );
}
