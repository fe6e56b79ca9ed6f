import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import { counted } from '../../settings/words/counted.js';
import { largerCard } from '../../settings/words/lengths.js';
import type { FacesKept } from '../features/features.js';
import type { Finding } from './finding.js';

/** A larger card is advised up to this many times the size. */
const MOST_LARGER = 4;

/**
 * Which faces lost an eye or the mouth, and what would bring them back.
 *
 * Where at least half of them keep none of their eyes and mouth as a mark of its own, the stencil as a whole falls short by it: a face
 * that keeps an eye or its mouth is known by that, and by what is dark round the other.
 */
export function facesLost(
  kept: FacesKept | null,
  why: string,
  sheet: Sheet,
  { card, repeat, fold, tool }: Pick<Job, 'card' | 'repeat' | 'fold' | 'tool'>,
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
  const isRepeated = repeat !== 'none';
  const sentences = [
    larger > 1
      ? `${which}: the narrowest is ${round(narrowest.widthMm)} mm wide, and from ${round(wideEnoughMm)} mm on they can be kept.`
      : `${which}: there is no room for a mark of its own between what is dark beside it.`,
    larger > 1 &&
      larger <= MOST_LARGER &&
      (isRepeated
        ? `Motifs (\`motifSize\`) ${round(larger)} times as large would do.`
        : `A card of about ${largerCard(card, sheet, larger)} would do.`),
    larger > 1 &&
      crop !== null &&
      `So would the crop ${crop}${isRepeated ? '' : ' on this card'}, to the faces.`,
    larger <= 1 &&
      isRepeated &&
      'Try larger motifs (`motifSize`), a closer crop, or a knife, which cuts finer.',
    larger <= 1 &&
      fold !== 'none' &&
      (tool === 'scissors'
        ? 'Scissors begin at a fold, so that an eye is joined to it: a knife (`tool`) cuts it by itself.'
        : 'Try another place in the packet (`foldPlace`), fewer folds, or a larger sheet.'),
  ];
  const message = sentences.filter((sentence) => sentence !== false).join(' ');
  const gone = losing.filter(({ had, lost }) => lost.length >= Math.max(2, had.length));
  const code = 2 * gone.length >= kept.faces.length ? 'faces-gone' : 'faces-lost';
  return [...told, { level: 'warning', code, message, at: narrowest.at }];
}

const round = (mm: number): number => Math.round(10 * mm) / 10;
