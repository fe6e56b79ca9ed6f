import sharp from 'sharp';
import { chance, layeredNoise, noise } from './noise.js';
import { stroke, type XY } from './pen.js';
import type { Sample } from './sample.js';

const SIDE = 1500;

/** Collects ink and bare paper in the order they are drawn, so that what is nearer covers what is behind it. */
class Page {
  private readonly parts: string[] = [];
  private seed = 1;

  line(width: number, ...through: XY[]): void {
    this.parts.push(`<path d="${stroke(through, { width, seed: this.seed++ })}"/>`);
  }

  /** A closed polygon of straight pen lines; paper inside. */
  box(width: number, ...corners: XY[]): void {
    this.bare(corners);
    corners.forEach((corner, i) => this.line(width, corner, corners[(i + 1) % corners.length]));
  }

  /** Nothing drawn before shows here. */
  bare(corners: readonly XY[]): void {
    this.parts.push(
      `<polygon points="${corners.map((p) => p.join(',')).join(' ')}" fill="white"/>`,
    );
  }

  solid(d: string): void {
    this.parts.push(`<path d="${d}"/>`);
  }

  svg(): string {
    return (
      `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}" height="${SIDE}">` +
      `<rect width="${SIDE}" height="${SIDE}" fill="white"/>${this.parts.join('')}</svg>`
    );
  }
}

const mix = (a: XY, b: XY, t: number): XY => [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];

const circle = (x: number, y: number, r: number): XY[] =>
  Array.from({ length: 25 }, (_, i): XY => {
    const a = 0.4 + (i / 24) * 2 * Math.PI;
    return [x + r * Math.cos(a), y + r * Math.sin(a)];
  });

function shore(page: Page): void {
  page.line(6, [1100, 560], [1210, 470], [1310, 455], [1420, 520]);
  page.line(4, [70, 700], [130, 620], [210, 590], [300, 640]);
  page.line(7, [1150, 790], [1300, 778], [1432, 790]);
  page.line(8, ...circle(1235, 205, 84));
  for (let i = 0; i < 9; i++) {
    const a = (i / 9) * 2 * Math.PI + 0.2;
    const [c, s, long] = [Math.cos(a), Math.sin(a), i % 2 ? 162 : 182];
    page.line(6, [1235 + 122 * c, 205 + 122 * s], [1235 + long * c, 205 + long * s]);
  }
  page.line(6, [150, 190], [188, 150], [226, 186], [262, 146], [306, 184]);
  page.line(4.5, [270, 318], [298, 288], [328, 314], [358, 284], [390, 316]);
}

function beanPoles(page: Page): void {
  for (const [foot, top] of [
    [70, 196],
    [160, 164],
    [254, 122],
  ])
    page.line(9, [foot, 934], [(foot + top) / 2 + 3, 690], [top, 420]);
  const leaves: readonly [number, number, number][] = [
    [206, 838, 0.5],
    [124, 752, 3.6],
    [196, 690, 0.1],
    [122, 590, 3.5],
    [190, 560, 5.9],
    [108, 860, 2.8],
  ];
  for (const [x, y, turn] of leaves) {
    const at = (r: number, a: number): string =>
      `${(x + r * Math.cos(turn + a)).toFixed(1)} ${(y + r * Math.sin(turn + a)).toFixed(1)}`;
    page.solid(`M${at(0, 0)}Q${at(44, -0.75)} ${at(74, 0)}Q${at(44, 0.75)} ${at(0, 0)}Z`);
  }
  page.line(8, [48, 940], [160, 948], [276, 938]);
}

function house(page: Page): void {
  const eaveLeft: XY = [300, 560];
  const eaveRight: XY = [780, 574];
  const apex: XY = [536, 262];
  const footLeft: XY = [300, 980];
  const footRight: XY = [780, 1018];
  const backEave: XY = [1216, 548];
  const backFoot: XY = [1216, 924];
  page.box(10, eaveRight, backEave, backFoot, footRight);
  for (const t of [0.3, 0.55, 0.8])
    page.line(5, mix(eaveRight, footRight, t), mix(backEave, backFoot, t));
  const at = (u: number, v: number): XY =>
    mix(mix(eaveRight, backEave, u), mix(footRight, backFoot, u), v);
  page.box(9, at(0.27, 0.22), at(0.79, 0.22), at(0.79, 0.76), at(0.27, 0.76));
  page.line(7, at(0.53, 0.22), at(0.53, 0.76));
  page.line(7, at(0.27, 0.49), at(0.79, 0.49));
  page.box(10, eaveLeft, apex, eaveRight, footRight, footLeft);
  roof(page);
  doors(page);
}

function roof(page: Page): void {
  const ridge: XY = [536, 226];
  const ridgeBack: XY = [1010, 222];
  const drip: XY = [826, 612];
  const dripBack: XY = [1262, 580];
  page.box(10, ridge, ridgeBack, dripBack, drip);
  const rows = 3;
  for (let row = 1; row <= rows; row++) {
    const [left, right] = [mix(ridge, drip, row / rows), mix(ridgeBack, dripBack, row / rows)];
    if (row < rows) page.line(7, left, mix(left, right, 0.5), right);
    const [upLeft, upRight] = [
      mix(ridge, drip, (row - 1) / rows),
      mix(ridgeBack, dripBack, (row - 1) / rows),
    ];
    for (let u = row % 2 ? 0.28 : 0.5; u < 0.9; u += 0.42)
      page.line(5, mix(upLeft, upRight, u), mix(left, right, u));
  }
  // barge boards along the gable
  page.box(10, [536, 226], [226, 596], [278, 652], [536, 334]);
  page.box(10, [536, 226], [826, 612], [784, 676], [536, 334]);
  // a pennant
  page.line(9, [536, 226], [534, 70]);
  page.solid('M540 72 C580 92 640 96 690 118 C640 130 590 140 540 156 Z');
}

function doors(page: Page): void {
  page.bare(circle(536, 510, 76));
  page.line(9, ...circle(536, 510, 74));
  page.line(7, [462, 510], [610, 510]);
  page.box(10, [396, 668], [690, 682], [690, 1010], [396, 986]);
  page.line(9, [543, 676], [543, 998]);
  page.line(8, [398, 984], [541, 680]);
  page.line(8, [546, 680], [688, 1006]);
}

function jetty(page: Page): void {
  for (const [x, foot] of [
    [318, 1150],
    [850, 1150],
    [1240, 1060],
  ]) {
    page.solid(
      `M${x} 1010 L${x + 40} 1010 L${x + 37} ${foot} Q${x + 20} ${foot + 8} ${x + 3} ${foot} Z`,
    );
  }
  page.box(10, [230, 980], [780, 1020], [1330, 922], [1344, 982], [786, 1088], [226, 1040]);
  for (const t of [0.14])
    page.line(5, [230 + 550 * t, 980 + 40 * t], [229 + 550 * t, 1044 + 40 * t]);
  for (const t of [0.25, 0.5, 0.75])
    page.line(5, [780 + 550 * t, 1020 - 98 * t], [786 + 554 * t, 1086 - 102 * t]);
  // the slipway
  const [a, b, c, d]: XY[] = [
    [396, 1000],
    [690, 1018],
    [600, 1352],
    [244, 1322],
  ];
  page.box(10, a, b, c, d);
  for (let i = 1; i < 4; i++) page.line(7, mix(a, d, i / 4), mix(b, c, i / 4));
}

function boat(page: Page): void {
  page.bare([
    [740, 1150],
    [960, 1220],
    [1430, 1140],
    [1380, 1280],
    [1220, 1370],
    [920, 1360],
    [800, 1270],
  ]);
  page.line(
    12,
    [736, 1146],
    [790, 1260],
    [890, 1344],
    [1060, 1376],
    [1230, 1350],
    [1360, 1264],
    [1432, 1126],
  );
  page.line(10, [736, 1146], [900, 1214], [1080, 1232], [1270, 1204], [1432, 1126]);
  page.line(8, [736, 1146], [900, 1106], [1080, 1096], [1270, 1100], [1432, 1126]);
  page.line(6, [790, 1236], [920, 1292], [1070, 1306], [1240, 1282], [1376, 1216]);
  for (const x of [930, 1030, 1180]) page.line(7, [x, 1106], [x + 22, 1218]);
}

function water(page: Page): void {
  for (const [x, y, long, width] of [
    [660, 1420, 420, 6],
    [1150, 1428, 250, 4],
    [330, 1404, 240, 5],
    [1350, 880, 90, 4],
  ])
    page.line(
      width,
      [x, y],
      [x + long * 0.25, y + 10],
      [x + long * 0.5, y - 4],
      [x + long * 0.75, y + 9],
      [x + long, y],
    );
}

function reeds(page: Page): void {
  for (const [x, y, lean, width] of [
    [60, 1230, -8, 5],
    [236, 1180, 26, 4],
  ])
    page.line(width, [x, 1440], [x + lean * 0.3, 1330], [x + lean, y]);
  for (const [x, y, lean] of [
    [104, 1090, 6],
    [176, 1130, 14],
  ]) {
    page.line(7, [x - lean, 1440], [x - lean * 0.4, 1280], [x, y]);
    page.line(4, [x, y], [x + 3, y - 52]);
    page.solid(
      `M${x - 17} ${y + 4} C${x - 19} ${y - 14} ${x + 19} ${y - 14} ${x + 18} ${y + 4} L${x + 12} ${y + 104} C${x + 8} ${y + 120} ${x - 22} ${y + 120} ${x - 21} ${y + 104} Z`,
    );
  }
}

/** How much of the lamp's light reaches a place on the table, 0 to 1. */
function lamp(x: number, y: number): number {
  const far = Math.hypot((x - 190) / 1500, (y - 130) / 1500);
  const pool = 1 / (1 + (far / 0.72) ** 2.6);
  // the shadow of whoever holds the camera lies over the far corner
  const shadow = 1 / (1 + Math.exp((x * 0.75 + y - 1850) / 110));
  return (0.09 + 0.91 * pool) * (0.42 + 0.58 * shadow);
}

/** Where the ink is: 0 full ink to 255 bare paper, a byte a pixel, `SIDE` × `SIDE`. */
export async function ink(): Promise<Uint8Array> {
  const page = new Page();
  for (const part of [shore, beanPoles, house, water, jetty, boat, reeds]) part(page);
  return sharp(Buffer.from(page.svg())).flatten().grayscale().blur(0.8).raw().toBuffer();
}

/** A pen drawing of a boathouse, photographed on a table with a lamp on one side. */
export const boathouse: Sample = {
  file: 'boathouse-sketch.jpg',
  draw: async () => {
    const drawn = await ink();
    const random = chance(77);
    const out = new Uint8Array(SIDE * SIDE * 3);
    for (let y = 0; y < SIDE; y++) {
      for (let x = 0; x < SIDE; x++) {
        const grain =
          0.965 +
          0.05 * layeredNoise(x / 5, y / 3.6, 1, 2) +
          0.05 * (noise(x / 260, y / 260, 8) - 0.5);
        const covered =
          (1 - drawn[y * SIDE + x] / 255) * (0.66 + 0.12 * noise(x / 2.5, y / 2.5, 3));
        const light = lamp(x, y) * grain * (1 - covered);
        const level = 250 * Math.min(1, light) + 3 * (random() + random() - 1);
        const at = 3 * (y * SIDE + x);
        // lamplight is warm, and the shadows fill from the window
        out[at] = Math.max(0, Math.min(255, level * 1.0 + 3));
        out[at + 1] = Math.max(0, Math.min(255, level * 0.955 + 4));
        out[at + 2] = Math.max(0, Math.min(255, level * 0.86 + 8));
      }
    }
    return sharp(out, { raw: { width: SIDE, height: SIDE, channels: 3 } })
      .jpeg({ quality: 82 })
      .toBuffer();
  },
};
