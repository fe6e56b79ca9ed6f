/**
 * Draws the two pictures of the README again: `npx tsx samples/strip.ts`.
 *
 * strip.png shows the way of nana.jpg from photo to print, gallery.png the prints of the other samples. What they
 * show is made here and now by the library; only the table that it lies on is drawn for the page.
 */
import { readFileSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import sharp, { type PngOptions } from 'sharp';
import { completeJob, makeStencil, sheetOf, type JobInput, type Made } from '../src/index.js';

/** A square card on the page, and what is written under it. */
interface Panel {
  readonly caption: string;
  /** SVG in a box of SIDE × SIDE from 0, 0; shadows may fall outside. */
  readonly art: string;
}

/** Lengths on the page, in pixels of the PNG. */
const SIDE = 396;
const GAP = 42;
const EDGE = 48;
const CAPTION_SIZE = 25;
const CAPTION_DROP = 58;
const ROUND = 24;
const TABLE_RIM = 11;
const PAGE_HEIGHT = EDGE + SIDE + CAPTION_DROP + 38;

const PAGE = '#fbf9f5';
const INK = '#5a554d';
const PAPER = '#fffefc';
const DARK = '#2c2a28';

const PAGE_DEFS = `
<filter id="soft" x="-20%" y="-20%" width="140%" height="140%"><feGaussianBlur stdDeviation="7"/></filter>
<filter id="near" x="-5%" y="-5%" width="110%" height="110%"><feGaussianBlur stdDeviation="0.6"/></filter>
<radialGradient id="film" r="0.75"><stop offset="0.2" stop-color="#a9d2e7"/><stop offset="1" stop-color="#8cbcd8"/></radialGradient>
<linearGradient id="gloss" x1="0" y1="0" x2="1" y2="1">
<stop offset="0.10" stop-color="#fff" stop-opacity="0"/><stop offset="0.18" stop-color="#fff" stop-opacity="0.34"/>
<stop offset="0.28" stop-color="#fff" stop-opacity="0.3"/><stop offset="0.29" stop-color="#fff" stop-opacity="0"/>
<stop offset="0.33" stop-color="#fff" stop-opacity="0"/><stop offset="0.34" stop-color="#fff" stop-opacity="0.24"/>
<stop offset="0.42" stop-color="#fff" stop-opacity="0"/>
</linearGradient>`;

/** The part of nana.jpg that fills the card with her face. */
const FACE: JobInput = { fit: 'fill', crop: '4,18,92,74' };

const GALLERY: readonly {
  readonly file: string;
  readonly caption: string;
  readonly job: JobInput;
}[] = [
  {
    file: 'hen.jpg',
    caption: 'a photo of a hen',
    job: { fit: 'fill', crop: '12.5,0,75,100', smoothing: 0.7, paint: '#8a3d26' },
  },
  { file: 'boathouse-sketch.jpg', caption: 'a sketch under a lamp', job: { paint: '#1f3a4d' } },
  { file: 'moth.png', caption: 'a bold motif', job: { paint: '#5b3557' } },
  { file: 'fern-border.svg', caption: 'a border of ferns', job: { paint: '#30543b' } },
];

const letters = captionFace();

await save('strip.png', await strip());
// Paint on paper needs few colours, and its grain would make a large file.
await save('gallery.png', await gallery(), { palette: true, quality: 90 });

async function strip(): Promise<readonly Panel[]> {
  const made = await make('nana.jpg', FACE);
  return [
    { caption: 'the photo', art: inRim(await photo('nana.jpg', made), made) },
    { caption: 'dark and light', art: inRim(await darkAndLight(made), made) },
    { caption: 'the stencil to cut', art: film(made) },
    { caption: 'the print on the card', art: await card(made) },
  ];
}

async function gallery(): Promise<readonly Panel[]> {
  const panels: Panel[] = [];
  for (const { file, caption, job } of GALLERY) {
    panels.push({ caption, art: await card(await make(file, job)) });
  }
  return panels;
}

/** Makes a stencil and says on the terminal and in the exit status whether it keeps its promises. */
async function make(file: string, given: JobInput): Promise<Made> {
  const made = await makeStencil(beside(file), completeJob(given), {
    name: file,
    outputs: ['stencil', 'preview'],
  });
  const { bridge, check } = made.run.values;
  console.log(
    `${file}: ${made.good ? 'good' : 'NOT GOOD'}, ${bridge.openings.length} openings, ${bridge.bridges.length} bridges`,
  );
  if (!made.good) process.exitCode = 1;
  for (const { level, message, at } of check.findings) {
    if (level === 'error') console.log(`  ${message} (${at?.join(', ') ?? 'anywhere'} mm)`);
  }
  return made;
}

/** The place on the panel that the picture was read into; whole pixels, so that nothing is resampled twice. */
function frameOf({ run }: Made): { x: number; y: number; width: number; height: number } {
  const { pictureBox, gray } = run.values.read;
  const scale = SIDE / gray.width;
  return {
    x: Math.round(pictureBox.x * scale),
    y: Math.round(pictureBox.y * scale),
    width: Math.round(pictureBox.width * scale),
    height: Math.round(pictureBox.height * scale),
  };
}

/** A PNG of the part of the photo that was read, in its colours. */
async function photo(file: string, made: Made): Promise<Uint8Array> {
  const { width, height } = made.run.values.read.source;
  const [left, top, across, down] = (made.job.crop ?? '0,0,100,100').split(',').map(Number);
  const pictureBox = frameOf(made);
  return sharp(beside(file))
    .extract({
      left: Math.round((left / 100) * width),
      top: Math.round((top / 100) * height),
      width: Math.round((across / 100) * width),
      height: Math.round((down / 100) * height),
    })
    .resize(pictureBox.width, pictureBox.height, { fit: 'cover' })
    .png()
    .toBuffer();
}

/** A PNG of the tone picture inside the frame, dark on nothing. */
async function darkAndLight(made: Made): Promise<Uint8Array> {
  const { read, tone } = made.run.values;
  const { width, height, data } = tone.bitmap;
  const { pictureBox } = read;
  const size = frameOf(made);
  const dark = await sharp(
    data.map((opening) => 255 * opening),
    { raw: { width, height, channels: 1 } },
  )
    .extract({
      left: pictureBox.x,
      top: pictureBox.y,
      width: pictureBox.width,
      height: pictureBox.height,
    })
    .resize(size.width, size.height)
    .toColourspace('b-w')
    .raw()
    .toBuffer();
  const raw = { width: size.width, height: size.height, channels: 1 } as const;
  return sharp({ create: { ...raw, channels: 3, background: DARK } })
    .joinChannel(dark, { raw })
    .png()
    .toBuffer();
}

/** A photographic print: the picture in a white rim, where the card has its margin. */
function inRim(png: Uint8Array, made: Made): string {
  const { x, y, width, height } = frameOf(made);
  return `${lying(PAPER)}<image x="${x}" y="${y}" width="${width}" height="${height}" href="${dataUrl(png)}"/>`;
}

/** The card with the paint on it: the library's own preview. */
async function card(made: Made): Promise<string> {
  const png = await sharp(fileOf(made, 'preview.png')).resize(SIDE, SIDE).png().toBuffer();
  return `${lying(made.job.ground)}<image width="${SIDE}" height="${SIDE}" href="${dataUrl(png)}"/>`;
}

/** The stencil as clear film on a light table: its openings show the table, its edges throw a thin shadow. */
function film(made: Made): string {
  const { widthMm } = sheetOf(made.job);
  const openings = / id="openings".* d="([^"]+)"/.exec(fileOf(made, 'stencil.svg').toString())?.[1];
  if (openings === undefined) throw new Error('The stencil has no openings');
  const px = widthMm / SIDE;
  const sheet = `<path fill-rule="evenodd" d="M0 0H${widthMm}V${widthMm}H0Z${openings}"`;
  const edge = SIDE + 2 * TABLE_RIM;
  // The shadow is drawn where light falls through only: under the film it would make it look thick.
  return `
<clipPath id="through"><path clip-rule="evenodd" d="${openings}"/></clipPath>
<rect x="${-TABLE_RIM}" y="${-TABLE_RIM}" width="${edge}" height="${edge}" rx="9" fill="#f5f2ea" stroke="#e4ddcf"/>
<g transform="scale(${SIDE / widthMm})">
<rect x="${px}" y="${2.5 * px}" width="${widthMm}" height="${widthMm}" fill="#27506b" opacity="0.3" filter="url(#near)"/>
<rect width="${widthMm}" height="${widthMm}" fill="#fff"/>
<g clip-path="url(#through)"><g transform="translate(${2 * px} ${4 * px})" opacity="0.5" filter="url(#near)">${sheet} fill="#2d5f7f"/></g></g>
${sheet} fill="url(#film)" fill-opacity="0.7"/>
${sheet} fill="url(#gloss)"/>
${sheet} fill="none" stroke="#35718f" stroke-width="${px}" stroke-linejoin="round"/>
</g>`;
}

/** A square sheet in one colour, with its shadow on the page. */
function lying(colour: string): string {
  return `
<rect y="5" width="${SIDE}" height="${SIDE}" fill="#6b5d45" opacity="0.28" filter="url(#soft)"/>
<rect width="${SIDE}" height="${SIDE}" fill="${colour}"/>`;
}

/** Panels in a row on a page with round corners, so that it looks the same on light and on dark. */
async function save(file: string, panels: readonly Panel[], colours?: PngOptions): Promise<void> {
  const width = panels.length * (SIDE + GAP) - GAP + 2 * EDGE;
  const placed = panels.map(({ caption, art }, place) => {
    const left = EDGE + place * (SIDE + GAP);
    return `<g transform="translate(${left} ${EDGE})">${art}${lettering(caption)}</g>`;
  });
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${PAGE_HEIGHT}">
<defs>${PAGE_DEFS}</defs>
<rect width="${width}" height="${PAGE_HEIGHT}" rx="${ROUND}" fill="${PAGE}"/>${placed.join('')}</svg>`;
  const png = await sharp(Buffer.from(svg))
    .png({ effort: 10, compressionLevel: 9, adaptiveFiltering: !colours, ...colours })
    .toBuffer();
  await writeFile(beside(file), png);
  console.log(`${file}: ${Math.round(png.length / 1000)} kB`);
}

/** What is used of opentype.js, which reads fonts. */
interface Face {
  getAdvanceWidth(text: string, size: number): number;
  getPath(text: string, x: number, y: number, size: number): { toPathData(digits: number): string };
}

/** An open typeface (SIL Open Font License) read from its file: the pictures do not hang on the machine's fonts. */
function captionFace(): Face {
  const require = createRequire(import.meta.url);
  const font = readFileSync(
    require.resolve('@fontsource/allerta/files/allerta-latin-400-normal.woff'),
  );
  const opentype = require('opentype.js') as { parse(font: ArrayBuffer): Face };
  return opentype.parse(Uint8Array.from(font).buffer);
}

/** The caption as outlines, in the middle under a panel. */
function lettering(caption: string): string {
  const left = (SIDE - letters.getAdvanceWidth(caption, CAPTION_SIZE)) / 2;
  const path = letters.getPath(caption, left, SIDE + CAPTION_DROP, CAPTION_SIZE);
  return `<path fill="${INK}" d="${path.toPathData(2)}"/>`;
}

function fileOf({ files }: Made, name: string): Buffer {
  const bytes = files.get(name);
  if (bytes === undefined) throw new Error(`${name} was not made`);
  return Buffer.from(bytes);
}

function dataUrl(png: Uint8Array): string {
  return `data:image/png;base64,${Buffer.from(png).toString('base64')}`;
}

function beside(file: string): string {
  return fileURLToPath(new URL(file, import.meta.url));
}
