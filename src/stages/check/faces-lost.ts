import type { Sheet } from '../../settings/card.js';
import { counted } from '../../settings/words/counted.js';
import { largerCard } from '../../settings/words/lengths.js';
import type { FacesKept } from '../features/features.js';
import type { Finding } from './finding.js';

/** A larger card is advised up to this many times the size. */
const MOST_LARGER = 4;

/**
 * Which faces lost an eye or the mouth, and what would bring them back.
 *
 * @param card as it was given
 */
export function facesLost(
  kept: FacesKept | null,
  why: string,
  sheet: Sheet,
  card: string,
): Finding[] {
  const told: Finding[] =
    why === '' ? [] : [{ level: 'warning', code: 'faces-not-found', message: why }];
  if (!kept) return told;
  const losing = kept.faces.filter(({ lost }) => lost.length > 0);
  if (losing.length === 0) return told;
  const narrowest = losing.reduce((a, b) => (b.widthMm < a.widthMm ? b : a));
  const { wideEnoughMm, crop } = kept;
  const larger = wideEnoughMm / narrowest.widthMm;
  const which = `${losing.length} of ${counted(kept.faces.length, 'face')} ${losing.length === 1 ? 'has' : 'have'} lost an eye or the mouth`;
  const sentences = [
    larger > 1
      ? `${which}: the narrowest is ${round(narrowest.widthMm)} mm wide, and from ${round(wideEnoughMm)} mm on they can be kept.`
      : `${which}: there is no room for a mark of its own between what is dark beside it.`,
    larger > 1 &&
      larger <= MOST_LARGER &&
      `A card of about ${largerCard(card, sheet, larger)} would do.`,
    larger > 1 && crop !== null && `So would the crop ${crop} on this card, to the faces.`,
  ];
  const message = sentences.filter((sentence) => sentence !== false).join(' ');
  return [...told, { level: 'warning', code: 'faces-lost', message, at: narrowest.at }];
}

const round = (mm: number): number => Math.round(10 * mm) / 10;
