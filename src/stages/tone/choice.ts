import { gaussianBlur } from '../../raster/blur.js';
import { toneStatistics, type ToneStatistics } from '../../raster/tone-statistics.js';
import { GRID_MM } from './ground.js';
import type { View } from './view.js';

/** What a choice came to, and why, in one sentence. */
export interface Choice {
  /** `photograph`: the candidates that suit one are to be ranked. */
  readonly mode: 'auto' | 'local' | 'photograph';
  readonly why: string;
}

// The limits below stand in the gaps that were measured between the kinds, on nine open photographs, this
// project's samples and drawings made for the tests. In brackets: the nearest picture on either side.

/** A flat drawing: this share is plainly dark or light (drawings from 0.91, photographs up to 0.80) … */
const FLAT_PLAIN = 0.86;
/** … and two values account for this much of it, Otsu's η (drawings from 0.92, photographs up to 0.907). */
const FLAT_SEPARABILITY = 0.91;

/** A page: bare paper shows in this share of its 2 mm blocks (pages from 0.99, photographs up to 0.96) … */
const PAGE_SHOWS = 0.97;
/** … and this share of it is bare (pages from 0.79; the photograph of 0.96 above has 0.63). */
const PAGE_BARE = 0.7;
/** A page with marks that are less than this much darker than the paper has nothing drawn on it. */
const PAGE_CONTRAST = 0.04;

/** Over this much dark, an artist may want the light parts cut instead. */
const MOSTLY_DARK = 0.6;
/** Paper whose lightness drifts less than this is evenly lit. */
const EVEN_LIGHT = 0.1;

/** Looks at the picture and picks what suits it. */
export function choose({ field, pixelsPerMm }: View): Choice {
  const character = toneStatistics(field, pixelsPerMm);
  if (isFlat(character)) return { mode: 'auto', why: flatDrawing(character) };
  if (isPage(character)) return { mode: 'local', why: page(character) };
  return { mode: 'photograph', why: photograph(character) };
}

function isFlat({ plain, separability }: ToneStatistics): boolean {
  return plain >= FLAT_PLAIN && separability >= FLAT_SEPARABILITY;
}

function isPage({ page: { contrast, shows, bare } }: ToneStatistics): boolean {
  return contrast < PAGE_CONTRAST || (shows >= PAGE_SHOWS && bare >= PAGE_BARE);
}

function flatDrawing({ plain, dark }: ToneStatistics): string {
  const hint = dark > MOSTLY_DARK ? '; most of it is dark, so swap may suit it' : '';
  return `This looks like a flat drawing (${percent(plain)} of it is plainly dark or plainly light), so one level parts it: auto${hint}.`;
}

function page({ page: { contrast, drift } }: ToneStatistics): string {
  if (contrast < PAGE_CONTRAST) {
    return 'This looks like bare paper with nothing drawn on it, so each part is judged against the paper round it: local.';
  }
  const light =
    drift < EVEN_LIGHT
      ? 'a drawing on paper'
      : `a page in uneven light (the paper is ${percent(drift)} darker in one place than in another)`;
  return `This looks like ${light}, so each part is judged against the paper round it: local.`;
}

function photograph({ plain }: ToneStatistics): string {
  return `This looks like a photograph (${percent(1 - plain)} of it is neither plainly dark nor plainly light), so its lines and masses are drawn as far as the card can carry them.`;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}

/** Fewer levels than this from the darkest to the lightest, once grain is smoothed away, is one even tone. */
const FEWEST_LEVELS = 12;

/** The lightness of a picture that is one even tone, grain aside; undefined when there is anything in it. */
export function evenLightness({ field, pixelsPerMm }: View): number | undefined {
  const { data } = gaussianBlur(field, GRID_MM * pixelsPerMm);
  let [least, most, sum] = [Infinity, -Infinity, 0];
  for (let i = 0; i < data.length; i++) {
    least = Math.min(least, data[i]);
    most = Math.max(most, data[i]);
    sum += data[i];
  }
  return most - least < FEWEST_LEVELS ? sum / data.length : undefined;
}
