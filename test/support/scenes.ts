import sharp from 'sharp';
import { seeded } from './bitmaps.js';

/*
 * Pictures of ours in which something is easily lost or invented: chalk on a board, a light that lies on light, lamps out
 * of focus, colours of one lightness, an uneven scan, small letters. Drawn by rule, with a camera's grain and blur.
 */

/** A picture, 900 px a side. */
export interface Scene {
  readonly name: string;
  readonly png: () => Promise<Buffer>;
}

const SIDE = 900;

const svg = (drawn: string, defs = ''): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}" height="${SIDE}"><defs>${defs}</defs>${drawn}</svg>`;
const ground = (colour: string): string =>
  `<rect width="${SIDE}" height="${SIDE}" fill="${colour}"/>`;
const line = (d: string, width: number, colour: string): string =>
  `<path d="${d}" fill="none" stroke="${colour}" stroke-width="${width}" stroke-linecap="round" stroke-linejoin="round"/>`;

/** What light adds at a place, in levels of 255. */
type Light = (x: number, y: number) => number;
const even: Light = () => 0;

/** A scene as a camera sees it: blurred (σ in px), with grain (σ in levels) and its light. */
function seen(
  name: string,
  drawn: string | (() => Promise<string>),
  { grain, blur = 0.8, light = even }: { grain: number; blur?: number; light?: Light },
): Scene {
  const png = async (): Promise<Buffer> => {
    const source = typeof drawn === 'string' ? drawn : await drawn();
    const { data, info } = await sharp(Buffer.from(source))
      .flatten({ background: '#fff' })
      .blur(blur)
      .raw()
      .toBuffer({ resolveWithObject: true });
    const random = seeded(name.length);
    for (let i = 0; i < SIDE * SIDE; i++) {
      // The sum of four even numbers is nearly normal, of variance 1/3.
      const noise = (random() + random() + random() + random() - 2) * Math.sqrt(3) * grain;
      const added = noise + light(i % SIDE, Math.floor(i / SIDE));
      for (let c = 0; c < info.channels; c++) {
        const k = i * info.channels + c;
        data[k] = Math.max(0, Math.min(255, data[k] + added));
      }
    }
    const raw = { width: SIDE, height: SIDE, channels: info.channels };
    return sharp(data, { raw }).png().toBuffer();
  };
  return { name, png };
}

const face = (colour: string, width: number): string =>
  `<ellipse cx="450" cy="450" rx="210" ry="270" fill="none" stroke="${colour}" stroke-width="${width}"/>` +
  [370, 530]
    .map(
      (x) =>
        line(`M${x - 40} 400 q40 -30 80 0 q-40 25 -80 0Z`, 0.8 * width, colour) +
        `<circle cx="${x}" cy="400" r="11" fill="${colour}"/>`,
    )
    .join('') +
  line(
    'M450 420 Q420 500 440 520 L465 520 M370 590 Q450 650 530 590 M320 350 Q370 320 415 350 M485 350 Q530 320 580 350',
    width,
    colour,
  ) +
  line('M250 380 Q240 150 450 150 Q660 150 650 380 M300 250 Q450 330 600 250', width, colour);

const flower = (colour: string, width: number): string =>
  line('M450 720 Q440 600 450 480 M446 620 Q380 560 340 600 Q380 640 446 640', width, colour) +
  Array.from(
    { length: 6 },
    (_, k) =>
      `<ellipse cx="450" cy="400" rx="26" ry="58" transform="rotate(${60 * k} 450 450)" fill="none" stroke="${colour}" stroke-width="${width}"/>`,
  ).join('') +
  `<circle cx="450" cy="450" r="24" fill="${colour}"/>`;

const wheel = (x: number): string =>
  `<circle cx="${x}" cy="560" r="150" fill="none" stroke="#222" stroke-width="8"/><circle cx="${x}" cy="560" r="138" fill="none" stroke="#222" stroke-width="3"/>` +
  Array.from({ length: 14 }, (_, k) => {
    const [c, s] = [Math.cos((k * Math.PI) / 7), Math.sin((k * Math.PI) / 7)];
    return line(`M${x} 560 l${138 * c} ${138 * s}`, 2, '#333');
  }).join('');

const dandelion = Array.from({ length: 60 }, (_, k) => {
  const angle = (k * 137.5 * Math.PI) / 180;
  const reach = 60 + (k % 5) * 48;
  const [x, y] = [450 + reach * Math.cos(angle), 380 + reach * Math.sin(angle)];
  const tuft = Array.from({ length: 5 }, (_tuft, j) => {
    const turned = angle + (j - 2) * 0.45;
    return line(`M${x} ${y} l${22 * Math.cos(turned)} ${22 * Math.sin(turned)}`, 2, '#555');
  });
  return line(`M450 380 L${x} ${y}`, 2.5, '#444') + tuft.join('');
}).join('');

const blossom = (x: number, y: number, colour: string): string =>
  Array.from(
    { length: 6 },
    (_, k) =>
      `<ellipse cx="${x}" cy="${y - 60}" rx="36" ry="62" transform="rotate(${60 * k} ${x} ${y})" fill="${colour}"/>`,
  ).join('') + `<circle cx="${x}" cy="${y}" r="30" fill="#f2d060"/>`;

const SKY = '<linearGradient id="sky" x1="0" y1="0" x2="0" y2="1"><stop offset="0" stop-color="#35506e"/><stop offset="0.75" stop-color="#f3dcc0"/></linearGradient>'; // prettier-ignore
const DUSK = '<radialGradient id="dusk" cx="0.72" cy="0.29" r="0.9"><stop offset="0" stop-color="#ffd9a0"/><stop offset="1" stop-color="#4a4f7c"/></radialGradient>'; // prettier-ignore

/** Lamps out of focus, so many in rows, and something sharp before them. */
async function lightsBehind(count: number, before: string): Promise<string> {
  const lights = Array.from(
    { length: count },
    (_, k) =>
      `<circle cx="${60 + ((k * 271) % 800)}" cy="${60 + ((k * 157) % 780)}" r="${30 + ((k * 7) % 40)}" fill="#e0b070" fill-opacity="${0.5 + 0.02 * k}"/>`,
  ).join('');
  const behind = await sharp(Buffer.from(svg(ground('#2a2630') + lights)))
    .blur(16)
    .png()
    .toBuffer();
  return svg(
    `<image href="data:image/png;base64,${behind.toString('base64')}" width="${SIDE}" height="${SIDE}"/>${before}`,
  );
}

const HUT = '<path d="M300 620 Q310 420 450 380 Q600 420 610 620 Z M380 620 v-90 h70 v90" fill="none" stroke="#2e2c2a" stroke-width="9"/>'; // prettier-ignore
const BIRD = '<path d="M600 300 q40 -45 80 0 q40 -45 80 0 q-40 -20 -80 20 q-40 -40 -80 -20Z" fill="#111"/>'; // prettier-ignore
const EVENING = '<linearGradient id="evening" x1="0" y1="0" x2="0" y2="1"><stop offset="0" stop-color="#1c2c48"/><stop offset="1" stop-color="#f3dcc0"/></linearGradient>'; // prettier-ignore

const STEEP = '<linearGradient id="steep" x1="0" y1="0" x2="0.3" y2="1"><stop offset="0.25" stop-color="#28303c"/><stop offset="0.6" stop-color="#e8d8c0"/></linearGradient>'; // prettier-ignore

/** A person, sharp, before lamps that are out of focus. */
async function lamps(): Promise<string> {
  const lights = Array.from(
    { length: 20 },
    (_, k) =>
      `<circle cx="${40 + ((k * 271) % 840)}" cy="${40 + ((k * 157) % 460)}" r="${28 + ((k * 7) % 30)}" fill="#e0b070" fill-opacity="${0.45 + 0.02 * k}"/>`,
  ).join('');
  const behind = await sharp(Buffer.from(svg(ground('#3a3038') + lights)))
    .blur(16)
    .png()
    .toBuffer();
  const person =
    '<path d="M450 330 a75 85 0 1 1 1 0 Z M330 900 Q320 520 420 430 L480 430 Q580 520 570 900Z" fill="#c9a58c"/><path d="M370 270 Q360 150 450 150 Q545 150 532 270 Q500 200 450 205 Q400 200 370 270Z" fill="#2a1c18"/><circle cx="422" cy="262" r="8" fill="#221"/><circle cx="478" cy="262" r="8" fill="#221"/><path d="M425 305 Q450 320 475 305" stroke="#7a3030" stroke-width="7" fill="none"/><path d="M330 900 Q320 520 420 430 L450 470 L480 430 Q580 520 570 900Z" fill="#5b6f8a"/>';
  return svg(
    `<image href="data:image/png;base64,${behind.toString('base64')}" width="${SIDE}" height="${SIDE}"/>${person}`,
  );
}

/** Pictures in which there is one thing to cut, and where in px it is: left, top, right, bottom. All else would be invented. */
export const oneThing: readonly (Scene & {
  readonly thing: readonly [number, number, number, number];
})[] = [
  {
    ...seen('a bird in a gradient', svg(ground('url(#evening)') + BIRD, EVENING), { grain: 5 }),
    thing: [600, 270, 760, 325],
  },
  {
    ...seen('a bird under a steep gradient', svg(`${ground('url(#steep)')}<g transform="translate(0 400)">${BIRD}</g>`, STEEP), { grain: 6 }), // prettier-ignore
    thing: [600, 670, 760, 725],
  },
  {
    ...seen('a shoot on rough paper', svg(`${ground('#e4dcc8')}<path d="M450 470 q-20 -50 0 -80 q25 30 0 80 M450 470 v60 M450 500 q25 -20 40 -15" fill="none" stroke="#4a443c" stroke-width="7"/>`), { grain: 14, blur: 1.2, light: (x, y) => 14 * Math.sin(x / 90 + y / 130) * Math.cos(y / 110 - x / 200) }), // prettier-ignore
    thing: [435, 385, 495, 535],
  },
  {
    ...seen('a hut in a vignette', svg(ground('#d8d0c0') + HUT), {
      grain: 5,
      blur: 1,
      light: (x, y) => -190 * (Math.hypot(x - 450, y - 450) / 636) ** 5,
    }),
    thing: [295, 375, 615, 625],
  },
  {
    ...seen('a scan with dark corners', svg(`${ground('#edeae2')}<path d="M0 0 H120 Q40 30 0 160Z M900 900 H730 Q860 850 900 700Z" fill="#4c4a48"/>${flower('#33312e', 7)}`), { grain: 4, blur: 1, light: (x, y) => -35 * (Math.hypot(x - 450, y - 450) / 640) ** 4 }), // prettier-ignore
    thing: [340, 330, 560, 725],
  },
  {
    ...seen('a hut on a dark table', svg(`${ground('#3a3838')}<path d="M70 20 L900 60 V860 L30 900 Z" fill="#ece8de"/>${HUT}`), { grain: 4, blur: 1 }), // prettier-ignore
    thing: [295, 375, 615, 625],
  },
];

/** A post, sharp, before lamps that are out of focus: most edges of the picture are theirs. */
export const post: Scene = seen(
  'a post before lamps',
  () =>
    lightsBehind(18, '<path d="M430 900 V380 H400 L450 300 L500 380 H470 V900Z" fill="#e8e4dc"/>'),
  { grain: 5 },
);

export const scenes: readonly Scene[] = [
  seen(
    'a bicycle',
    svg(
      ground('#f8f8f6') +
        wheel(240) +
        wheel(660) +
        line('M240 560 L380 360 L600 360 L660 560 M380 360 L440 560 L600 360 M240 560 L440 560 M370 330 L350 300 L410 300 M600 360 L590 290 L640 280', 10, '#222'), // prettier-ignore
    ),
    { grain: 3 },
  ),
  seen(
    'a dandelion',
    svg(
      ground('#f6f6f0') +
        dandelion +
        line('M450 400 Q470 650 440 880', 8, '#444') +
        '<circle cx="450" cy="380" r="26" fill="#444"/>',
    ),
    { grain: 3 },
  ),
  seen('a face in chalk', svg(ground('#2c3a34') + face('#e9ece6', 8)), {
    grain: 9,
    blur: 1.2,
    light: (x, y) => 18 * Math.sin(x / 170) * Math.sin(y / 210),
  }),
  seen('a face in pencil', svg(ground('#f4f1ea') + face('#5a5a60', 4)), { grain: 4 }),
  seen('a sun in a light sky', svg(`${ground('url(#dusk)')}<circle cx="650" cy="260" r="70" fill="#fff6e0"/><path d="M80 760 L300 420 L420 560 L560 350 L840 760Z" fill="#39424c"/>`, DUSK), { grain: 5 }), // prettier-ignore
  seen('a sky over hills', svg(`${ground('url(#sky)')}<path d="M0 700 Q200 560 380 660 T700 620 T900 680 V900 H0Z" fill="#20262a"/>`, SKY), { grain: 4 }), // prettier-ignore
  seen(
    'windows at night',
    svg(
      ground('#20242c') +
        '<path d="M200 900 V520 L330 430 L460 520 V900Z M520 900 V600 H760 V900Z" fill="#404858"/>' +
        [
          [260, 600],
          [350, 600],
          [570, 660],
          [660, 660],
        ]
          .map(([x, y]) => `<rect x="${x}" y="${y}" width="44" height="56" fill="#ffe9a0"/>`)
          .join(''),
    ),
    { grain: 5, blur: 1 },
  ),
  seen('lamps out of focus', lamps, { grain: 5 }),
  seen('flowers of one lightness', svg(ground('#6f9a4e') + blossom(250, 300, '#d8604e') + blossom(600, 260, '#6a7fd8') + blossom(430, 600, '#d8604e') + blossom(700, 640, '#6a7fd8') + line('M250 400 Q300 700 260 900 M600 350 Q560 650 620 900', 14, '#3c6a3a')), { grain: 4 }), // prettier-ignore
  seen('a flower on empty paper', svg(ground('#e9e4d8') + flower('#6b665e', 6)), {
    grain: 9,
    blur: 1,
    light: (x, y) => 12 * Math.sin(x / 300 + y / 400),
  }),
  ...oneThing,
  post,
];
