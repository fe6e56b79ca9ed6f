/** A kind of file, told by its first bytes and not by its name. `heif` holds AVIF and HEIC. */
export type FileKind = 'jpeg' | 'png' | 'webp' | 'tiff' | 'gif' | 'bmp' | 'heif' | 'svg';

const SIGNATURES: readonly (readonly [FileKind, RegExp])[] = [
  ['jpeg', /^\xff\xd8\xff/], // ITU-T T.81, B.2.1: start of image, then a marker
  ['png', /^\x89PNG\r\n\cZ\n/], // ISO/IEC 15948, 5.2
  ['gif', /^GIF8[79]a/], // GIF89a, section 17
  ['bmp', /^BM[^]{12}[\f(48@l|]\0\0\0/], // Microsoft, BITMAPFILEHEADER, and the length of the header behind it
  ['webp', /^RIFF[^]{4}WEBP/], // RFC 9649, 2.4
  ['tiff', /^(?:II[*+]\0|MM\0[*+])/], // TIFF 6.0, section 2; + is the kind with 64-bit offsets
];

/** ISO/IEC 23008-12 (HEVC pictures and sequences, and the container's own brands) and AV1 Image File Format. */
const PICTURE_BRANDS = new Set(
  'heic heix heim heis hevc hevx hevm hevs avif avis mif1 mif2 msf1 miaf'.split(' '),
);

/** How far into a file an SVG's root is looked for. */
const HEAD_BYTES = 65_536;

/** The kind of picture file that `bytes` begins as; undefined when it is none that this tool reads. */
export function kindOf(bytes: Uint8Array): FileKind | undefined {
  const head = headOf(bytes);
  const signed = SIGNATURES.find(([, signature]) => signature.test(head))?.[0];
  if (signed) return signed;
  if (isPictureContainer(head)) return 'heif';
  return svgRoot(head) === undefined ? undefined : 'svg';
}

/** Pixels of a drawing's largest unit, the inch, at the renderer's usual density. */
const MOST_PIXELS_A_UNIT = 72;

/**
 * The most pixels that a side of an SVG may take by the size that its root states (width, height, viewBox); 0 when it
 * states none.
 */
export function mostPixelsStated(svg: Uint8Array): number {
  const root = svgRoot(headOf(svg)) ?? '';
  const stated = [...root.matchAll(/\s(?:width|height|viewBox)\s*=\s*["']([^"']*)/g)];
  const sides = stated
    .flatMap(([, value = '']) => value.split(/[\s,]+/))
    .map((side) => parseFloat(side) * (/\d(?!px)[a-z]+$/i.test(side) ? MOST_PIXELS_A_UNIT : 1));
  return Math.max(0, ...sides.filter((side) => side > 0));
}

function headOf(bytes: Uint8Array): string {
  const length = Math.min(bytes.byteLength, HEAD_BYTES);
  return Buffer.from(bytes.buffer, bytes.byteOffset, length).toString('latin1');
}

/** A side in numbers and not in percent. */
const SIDE = String.raw`\s*=\s*["']\s*\+?\d[\d.]*[a-z]*\s*["']`;
const IS_SIZED = new RegExp(
  `\\sviewBox\\s*=|\\swidth${SIDE}[^]*\\sheight${SIDE}|\\sheight${SIDE}[^]*\\swidth${SIDE}`,
  'i',
);

/** A drawing's root element without what is in it; undefined where it states no size, which then follows from that. */
export function emptyRoot(svg: Uint8Array): Uint8Array | undefined {
  const root = svgRoot(headOf(svg)) ?? '';
  if (!IS_SIZED.test(root)) return undefined;
  const end = headOf(svg).indexOf(root) + root.length;
  // Cut off by the end of the head, it is no whole tag.
  if (svg[end] !== '>'.charCodeAt(0)) return undefined;
  return Buffer.concat([svg.subarray(0, end), Buffer.from(root.endsWith('/') ? '>' : '/>')]);
}

/** Films share the container with pictures; the brands in its first box tell them apart. */
function isPictureContainer(head: string): boolean {
  if (head.length < 16 || head.slice(4, 8) !== 'ftyp') return false;
  const length = Buffer.from(head.slice(0, 4), 'latin1').readUInt32BE();
  const brands = [head.slice(8, 12), ...(head.slice(16, length).match(/[^]{4}/g) ?? [])];
  return brands.some((brand) => PICTURE_BRANDS.has(brand));
}

/** What may stand before an XML document's root element: its start, and the text that ends it. */
const BEFORE_ROOT: readonly (readonly [start: string, end: RegExp])[] = [
  ['<?', /\?>/g],
  ['<!--', /-->/g],
  ['<!DOCTYPE', /\]\s*>|^[^[]*?>/g],
];

/** The start tag of an SVG's root element, as far as the head holds it. */
function svgRoot(head: string): string | undefined {
  let rest = head.replace(/^\xef\xbb\xbf/, '').trimStart();
  for (;;) {
    const item = BEFORE_ROOT.find(([start]) => rest.startsWith(start));
    if (!item) break;
    const [end] = rest.matchAll(item[1]);
    if (!end) return undefined;
    rest = rest.slice(end.index + end[0].length).trimStart();
  }
  return /^<(?:[\w-]+:)?svg[\s/>][^>]*/.exec(rest)?.[0];
}
