import {
  cornersIn,
  rectified,
  isUnrectified,
  type RectifiedPlaces,
  type PageCorners,
  type Rectification,
} from '../../settings/rectification.js';
import { Problem } from '../../settings/problem.js';
import { covering } from '../../raster/placement.js';
import type { Box } from '../../raster/raster.js';
import type { PixelSize } from './decoding.js';
import { greyOf } from './grey.js';
import type { Opened } from './opened.js';
import { findPageCorners } from './page-corners.js';

/** Px of the longer side on which a page is looked for. */
const LOOK_PX = 320;

/**
 * A picture rectified: its page laid flat, turned by quarters, straightened. What follows sees that picture and no
 * other: a crop, a box or a mark is in percent of it.
 *
 * @throws Problem when a page is to be found and there is none
 */
export async function rectifiedPicture(opened: Opened, how: Rectification): Promise<Opened> {
  if (isUnrectified(how)) return opened;
  const places = rectified(opened, how, await pageCornersOf(opened, how));
  const { width, height } = places;
  return {
    ...opened,
    width,
    height,
    shown: (part, size, fit) =>
      sampled(opened, places, fit === 'fill' ? covering(part, size) : part, size),
  };
}

async function pageCornersOf(
  opened: Opened,
  { page }: Rectification,
): Promise<PageCorners | undefined> {
  if (page === null || page.trim() !== 'find') return cornersIn(page);
  const found = await pageIn(opened);
  if (found) return found;
  throw new Problem(
    'No page was found in the picture',
    '`page`',
    'Give its four corners, or photograph it on something darker, with all of its corners in the picture',
  );
}

/** The corners of the page in a picture, in percent of it; undefined where there is none. */
export async function pageIn(opened: Opened): Promise<PageCorners | undefined> {
  const size = fitted(opened, LOOK_PX);
  const { width, height } = opened;
  const data = await opened.shown({ x: 0, y: 0, width, height }, size, 'whole');
  return findPageCorners({ ...size, data: (await greyOf({ ...size, data })).data });
}

/** A picture's size once its longer side is no longer than that, in whole px; it is not enlarged. */
export function fitted({ width, height }: PixelSize, longest: number): PixelSize {
  const scale = Math.min(1, longest / Math.max(width, height));
  return {
    width: Math.max(1, Math.round(width * scale)),
    height: Math.max(1, Math.round(height * scale)),
  };
}

/**
 * Decodes the source about as fine as it is wanted, and takes each pixel from between the four that lie round its place
 * (bilinear).
 */
async function sampled(
  opened: Opened,
  places: RectifiedPlaces,
  part: Box,
  size: PixelSize,
): Promise<Uint8Array> {
  const around = sourceBox(places, part, opened);
  const finest = Math.max(size.width / part.width, size.height / part.height);
  const scale = Math.min(1, finest);
  const given: PixelSize = {
    width: Math.max(1, Math.round(around.width * scale)),
    height: Math.max(1, Math.round(around.height * scale)),
  };
  const source = await opened.shown(around, given, 'whole');
  const out = new Uint8Array(size.width * size.height * 3);
  const perX = given.width / around.width;
  const perY = given.height / around.height;
  for (let j = 0, o = 0; j < size.height; j++) {
    const y = part.y + ((j + 0.5) / size.height) * part.height;
    for (let i = 0; i < size.width; i++, o += 3) {
      const [sx, sy] = places.from(part.x + ((i + 0.5) / size.width) * part.width, y);
      sampleBilinear(
        source,
        given,
        (sx - around.x) * perX - 0.5,
        (sy - around.y) * perY - 0.5,
        out,
        o,
      );
    }
  }
  return out;
}

/** The box of the source that a part comes from, a pixel larger, within the picture. */
function sourceBox(places: RectifiedPlaces, part: Box, { width, height }: PixelSize): Box {
  const corners = [0, 1].flatMap((across) =>
    [0, 1].map((down) => places.from(part.x + across * part.width, part.y + down * part.height)),
  );
  const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)];
  const left = Math.min(width - 1, Math.max(0, Math.floor(Math.min(...xs)) - 1));
  const top = Math.min(height - 1, Math.max(0, Math.floor(Math.min(...ys)) - 1));
  const right = Math.max(left + 1, Math.min(width, Math.ceil(Math.max(...xs)) + 1));
  const bottom = Math.max(top + 1, Math.min(height, Math.ceil(Math.max(...ys)) + 1));
  return { x: left, y: top, width: right - left, height: bottom - top };
}

function sampleBilinear(
  source: Uint8Array,
  { width, height }: PixelSize,
  x: number,
  y: number,
  out: Uint8Array,
  at: number,
): void {
  const [cx, cy] = [Math.min(Math.max(x, 0), width - 1), Math.min(Math.max(y, 0), height - 1)];
  const [x0, y0] = [Math.floor(cx), Math.floor(cy)];
  const [fx, fy] = [cx - x0, cy - y0];
  const [x1, y1] = [Math.min(x0 + 1, width - 1), Math.min(y0 + 1, height - 1)];
  for (let c = 0; c < 3; c++) {
    const value = (column: number, row: number): number => source[(row * width + column) * 3 + c];
    const upper = value(x0, y0) * (1 - fx) + value(x1, y0) * fx;
    const lower = value(x0, y1) * (1 - fx) + value(x1, y1) * fx;
    out[at + c] = Math.round(upper * (1 - fy) + lower * fy);
  }
}
