import { describe, expect, it } from 'vitest';
import sharp from 'sharp';
import { completeJob, createPipeline, type JobInput } from '../../src/index.js';
import { halfCovered } from '../../src/geometry/coverage.js';
import type { Bitmap } from '../../src/raster/raster.js';

/*
 * Which tone a picture gets when all may compete, and what is drawn of it that no tone keeps: drawings of ours, judged by
 * what is left of them in the finished print.
 */

const SIDE = 600;
const CARD: JobInput = { card: '4x4in' };
const svg = (drawn: string, defs = ''): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}" height="${SIDE}"><defs>${defs}</defs>${drawn}</svg>`;
const onPaper = (drawn: string): string =>
  svg(`<rect width="600" height="600" fill="#fff"/>${drawn}`);

const pictureOf = (drawn: string, blurPx: number): Promise<Buffer> =>
  sharp(Buffer.from(drawn)).blur(blurPx).png().toBuffer();

async function made(drawn: string, blurPx = 0.6, given: JobInput = {}) {
  const values = await createPipeline().runFor(
    ['read', 'tone', 'widen', 'frame', 'likeness'],
    await pictureOf(drawn, blurPx),
    completeJob({ ...CARD, ...given }),
  );
  const { width, height } = values.widen.bitmap;
  const print = halfCovered(values.frame.openings, width, height, values.read.pixelsPerMm);
  return { ...values, print };
}

type Made = Awaited<ReturnType<typeof made>>;

/** The tone alone. */
async function toneOf(drawn: string, given: JobInput = {}) {
  const job = completeJob({ ...CARD, ...given });
  const { tone } = await createPipeline().runFor(['tone'], await pictureOf(drawn, 0.6), job);
  return tone;
}

/** Whether the print is open at a place of the picture, in px of it. */
const isOpen = ({ print, read }: Made, x: number, y: number): boolean =>
  at(print, read, x, y) === 1;

function at({ width, data }: Bitmap, { pictureBox }: Made['read'], x: number, y: number): number {
  const column = Math.floor(pictureBox.x + (x / SIDE) * pictureBox.width);
  const row = Math.floor(pictureBox.y + (y / SIDE) * pictureBox.height);
  return data[row * width + column];
}

/** The share of a circle's places, in px of the picture, that are open in the print. */
function openRound(values: Made, x: number, y: number, radius: number): number {
  const places = Array.from({ length: 90 }, (_, k) => (k * Math.PI) / 45);
  const open = places.filter((a) =>
    isOpen(values, x + radius * Math.cos(a), y + radius * Math.sin(a)),
  );
  return open.length / places.length;
}

const wheel = (x: number): string =>
  `<circle cx="${x}" cy="370" r="100" fill="none" stroke="#222" stroke-width="5.3"/><circle cx="${x}" cy="370" r="92" fill="none" stroke="#222" stroke-width="2"/>` +
  Array.from({ length: 14 }, (_, k) => {
    const [c, s] = [Math.cos((k * Math.PI) / 7), Math.sin((k * Math.PI) / 7)];
    return `<path d="M${x} 370 l${92 * c} ${92 * s}" stroke="#333" stroke-width="1.33"/>`;
  }).join('');
const BICYCLE = onPaper(
  `${wheel(160)}${wheel(440)}<path d="M160 370 L253 240 L400 240 L440 370 M253 240 L293 370 L400 240 M160 370 H293" fill="none" stroke="#222" stroke-width="6.7"/>`,
);
const LEAF = onPaper('<path d="M300 60 Q520 300 300 540 Q80 300 300 60Z" fill="#111"/>');
/** A bird and a ray: of nothing else there is so little. */
const SKETCH = onPaper(
  `<path d="M120 260 L300 130 L480 260 V480 H120 Z M120 260 H480 M260 480 V360 H340 V480" fill="none" stroke="#333" stroke-width="9"/><path d="M60 90 q20 -22 40 0 q20 -22 40 0" fill="none" stroke="#333" stroke-width="5"/>`,
);

let madeBicycle: Promise<Made> | undefined;
/** The bicycle by the default settings, made once for the tests that look at it. */
const bicycle = (): Promise<Made> => (madeBicycle ??= made(BICYCLE));

describe('the tone of a drawing', () => {
  it('is another than that of its kind where that runs lines to lumps', async () => {
    const best = await bicycle();
    const ofKind = await made(BICYCLE, 0.6, { tone: 'auto' });
    expect(best.tone.mode).toBe('mixed');
    expect(best.tone.why).toMatch(/^This looks like a .*keeps its contours best/);
    expect(best.likeness!.f).toBeGreaterThan(0.9);
    expect(best.likeness!.f).toBeGreaterThan(ofKind.likeness!.f + 0.05);
    // Beside the hub and inside the rim there is film, where lumps would be.
    for (const x of [160, 440]) expect(openRound(best, x, 370, 60)).toBeLessThan(0.4);
  });

  it('is that of its kind where nothing is lost', async () => {
    const tone = await toneOf(LEAF);
    expect(tone.mode).toBe('auto');
    expect(tone.chosen).toEqual({ tone: 'auto' });
  });

  it('keeps the small parts of a drawing: a bird counts as much as a house', async () => {
    const values = await made(SKETCH);
    const open = [70, 80, 90, 110, 120, 130].filter((x) =>
      [74, 78, 82, 86, 90].some((y) => isOpen(values, x, y)),
    );
    expect(open.length).toBeGreaterThan(3);
  });

  it('lays over the job as it was chosen', async () => {
    const best = (await bicycle()).tone;
    const again = await toneOf(BICYCLE, best.chosen);
    expect(again.bitmap).toEqual(best.bitmap);
  });

  it('is its own for lines of glue, which need no room beside each other', async () => {
    const tone = await toneOf(BICYCLE, { as: 'glue-line' });
    expect(['auto', 'local']).toContain(tone.mode);
  });
});

const DUSK = svg(
  '<rect width="600" height="600" fill="url(#sky)"/><circle cx="430" cy="170" r="55" fill="#fff8e8"/><path d="M40 520 L200 290 L290 380 L380 240 L570 520Z" fill="#3a434c"/>',
  '<radialGradient id="sky" cx="0.72" cy="0.29" r="0.9"><stop offset="0" stop-color="#f8cf96"/><stop offset="1" stop-color="#5a5f88"/></radialGradient>',
);
const NIGHT = svg(
  '<rect width="600" height="600" fill="#1f242c"/><path d="M150 600 V300 L300 200 L450 300 V600Z" fill="#5a6474"/><rect x="225" y="370" width="34" height="42" fill="#ffedb0"/><rect x="340" y="370" width="34" height="42" fill="#ffedb0"/>',
);

describe('a contour that no tone keeps', () => {
  it('is drawn as a line where a light shape lies on light: the sun', async () => {
    const values = await made(DUSK, 1);
    expect(values.tone.mode).toBe('mixed');
    expect(openRound(values, 430, 170, 55)).toBeGreaterThan(0.6);
    expect(isOpen(values, 430, 170)).toBe(false);
    expect(isOpen(values, 80, 80)).toBe(false);
  });

  it('is left out where it is faint: a cloud that hardly shows', async () => {
    const cloud =
      '<ellipse cx="170" cy="150" rx="80" ry="40" fill="#fff" fill-opacity="0.09"/></svg>';
    const values = await made(DUSK.replace('</svg>', cloud), 1);
    const round = Array.from({ length: 60 }, (_, k) => (k * Math.PI) / 30);
    const open = round.filter((a) =>
      isOpen(values, 170 + 80 * Math.cos(a), 150 + 40 * Math.sin(a)),
    );
    expect(open).toEqual([]);
    expect(openRound(values, 430, 170, 55)).toBeGreaterThan(0.6);
  });

  it('is filled where what it closes round is small: windows', async () => {
    const values = await made(NIGHT, 1);
    for (const x of [242, 357]) expect(isOpen(values, x, 391)).toBe(true);
    expect(isOpen(values, 300, 330)).toBe(false);
  });
});

/** A figure, sharp, before lamps that are out of focus. */
async function lamps(): Promise<string> {
  const lights = Array.from(
    { length: 9 },
    (_, k) =>
      `<circle cx="${60 + ((k * 173) % 480)}" cy="${60 + ((k * 97) % 230)}" r="34" fill="#e8b060"/>`,
  ).join('');
  const ground = await sharp(
    Buffer.from(svg(`<rect width="600" height="600" fill="#33292f"/>${lights}`)),
  )
    .blur(16)
    .png()
    .toBuffer();
  return svg(
    `<image href="data:image/png;base64,${ground.toString('base64')}" width="600" height="600"/><path d="M300 330 Q410 400 420 600 H180 Q190 400 300 330Z" fill="#d8c0a8"/>`,
  );
}

describe('what is out of focus', () => {
  it('is not cut: lamps behind a figure', async () => {
    // Its ground would end before the frame otherwise.
    const values = await made(await lamps(), 0.6, { vignette: 'none' });
    const top = Array.from(
      { length: 60 },
      (_, k) => [20 + (k % 12) * 50, 30 + Math.floor(k / 12) * 55] as const,
    );
    expect(top.filter(([x, y]) => !isOpen(values, x, y)).length).toBeLessThan(6);
    expect(isOpen(values, 300, 500)).toBe(false);
  });
});
