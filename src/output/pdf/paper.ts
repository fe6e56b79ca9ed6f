import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';

/** A paper in its printer, upright. */
export type Paper = Exclude<Job['paper'], 'auto' | 'one-page'>;

/** ANSI/ASME Y14.1 size A (8.5 × 11 in); ISO 216 A4. */
export const paperSizes: Readonly<Record<Paper, Sheet>> = {
  letter: { widthMm: 215.9, heightMm: 279.4 },
  a4: { widthMm: 210, heightMm: 297 },
};

/**
 * Regions where letter is the paper in the shops: those to which Unicode's Common Locale Data Repository
 * (supplemental data, `paperSize type="US-Letter"`) gives it. The list is from memory of that table.
 */
const LETTER_REGIONS = new Set('BZ CA CL CO CR GT MX NI PA PH PR SV US VE'.split(' '));

/**
 * The paper for a job: the one chosen, or else the one of the locale's region.
 *
 * @param locale a BCP 47 tag ("en-US") or the form of the LANG variable ("en_US.UTF-8"); without a region
 *   ("en", "C") it means a4
 */
export function paperFor(choice: Job['paper'], locale: string): Paper {
  if (choice === 'letter' || choice === 'a4') return choice;
  const tag = locale.replace(/[.@].*$/, '').replaceAll('_', '-');
  const region = tag
    .split('-')
    .slice(1)
    .find((part) => /^[a-z]{2}$/i.test(part));
  return region && LETTER_REGIONS.has(region.toUpperCase()) ? 'letter' : 'a4';
}
