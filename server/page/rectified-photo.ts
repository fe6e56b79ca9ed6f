import type { JobInput } from '../../src/index.js';
import { cornersIn, rectified } from '../../src/settings/rectification.js';
import { api, type PictureInfo } from './api.js';
import type { PageState } from './page-model.js';

/** The photo rectified: laid flat, turned, straightened. */
export interface RectifiedPhoto {
  readonly url: string;
  /** In px of the picture, or in its shape at least. */
  readonly width: number;
  readonly height: number;
}

/** What a stencil is made of, as the browser shows it. */
export function rectifiedPhoto(
  picture: PictureInfo,
  job: JobInput,
  { pageSeen }: Pick<PageState, 'pageSeen'>,
): RectifiedPhoto {
  const pictureTurn = job.pictureTurn ?? 'none';
  const straighten = job.straighten ?? 0;
  const page = job.page ?? null;
  const words = new URLSearchParams();
  if (pictureTurn !== 'none') words.set('pictureTurn', pictureTurn);
  if (straighten !== 0) words.set('straighten', String(straighten));
  if (page !== null) words.set('page', page);
  const asked = words.toString();
  // A page that is to be found has its shape once it was.
  const isFound = page?.trim() === 'find' && pageSeen?.of === picture.id;
  const corners = cornersIn(isFound ? pageSeen.corners : page);
  const { width, height } = rectified(picture, { pictureTurn, straighten }, corners);
  return { url: `${api.copyUrl(picture.id)}${asked === '' ? '' : `?${asked}`}`, width, height };
}

/** What is drawn on a photo, and does not fit another rectification of it. */
export const UNMARKED = {
  crop: undefined,
  subject: undefined,
  marks: undefined,
  faceBoxes: undefined,
  finer: undefined,
} as const;
