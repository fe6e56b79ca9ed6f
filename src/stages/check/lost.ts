import type { Sheet } from '../../settings/card.js';
import { counted } from '../../settings/words/counted.js';
import { largerCard } from '../../settings/words/lengths.js';
import type { Advice } from '../advice/advice.js';
import type { Bridged } from '../bridge/bridge.js';
import type { Survival } from '../survival/survival.js';
import type { Widened } from '../widen/widen.js';
import type { Finding } from './finding.js';

/**
 * Above this share of the card changed, the picture is too fine for the card: photographs change 1.1 to 3.3 %, a pen
 * sketch 9.8 % (docs/measurements.md).
 */
const MUCH_CHANGED = 0.12;

export function detailLost(fidelity: number): Finding[] {
  if (fidelity <= MUCH_CHANGED) return [];
  return [
    {
      level: 'warning',
      code: 'detail-lost',
      message: `The picture is finer than this card can carry: ${Math.round(100 * fidelity)} % of the card differs. Try a larger card, a closer crop or another tone.`,
    },
  ];
}

/**
 * Under this share of the picture's contours a print is a shape that nobody knows again: a portrait, a hen, a sketch and a
 * moth keep 0.86 to 0.93 on 4 × 4 in, 0.10 to 0.35 on 30 × 30 mm. By eye.
 */
const LITTLE_KEPT = 0.4;

/** @param kept share of the picture's contours, 0 to 1; undefined where nobody compared */
export function littleKept(kept: number | undefined): Finding[] {
  if (kept === undefined || kept >= LITTLE_KEPT) return [];
  const [share, least] = [kept, LITTLE_KEPT].map((part) => Math.round(100 * part));
  return [
    {
      level: 'warning',
      code: 'little-kept',
      message: `Little of the picture is left: ${share} % of its contours, and with under ${least} % hardly anyone knows it again. Try a larger card, a closer crop or another tone.`,
    },
  ];
}

/** @param isMostlyLost of what was marked as the subject */
export function subjectLost({ isMostlyLost }: { readonly isMostlyLost?: boolean }): Finding[] {
  if (isMostlyLost !== true) return [];
  const message =
    'Most of what was marked as the subject went with the background. Stroke over what is missing, or draw the box or the line closer round it.';
  return [{ level: 'warning', code: 'subject-lost', message }];
}

/** What would help, and the card that it is told for, as that was given. */
interface Help {
  readonly advice: Advice;
  readonly sheet: Sheet;
  readonly card: string;
}

/** What the widths cost, in numbers, and what would help where that was looked for. */
export function partsLost(survived: Survival | null, help?: Help): Finding[] {
  if (!survived?.notable) return [];
  const { parts, dropped, merged } = survived;
  if (dropped + merged === 0) {
    const message =
      parts === 1
        ? 'The one part of the picture survives on this card.'
        : `All ${parts} parts of the picture survive on this card.`;
    return [{ level: 'note', code: 'parts-lost', message }];
  }
  const share = Math.round((100 * (dropped + merged)) / parts);
  const { enlargement = null, crop = null } = help?.advice ?? {};
  const sentences = [
    `This card is small for the picture: of its ${counted(parts, 'part')} ${dropped} ${dropped === 1 ? 'is too small and goes' : 'are too small and go'}, and ${merged} ${merged === 1 ? 'runs' : 'run'} together with others (${share} %); the report says where.`,
    help !== undefined &&
      enlargement !== null &&
      `On a card of about ${largerCard(help.card, help.sheet, enlargement)} nine tenths of them would survive.`,
    crop !== null && `The crop ${crop.box} keeps ${crop.kept} of them on this card.`,
  ];
  const message = sentences.filter((sentence) => sentence !== false).join(' ');
  return [{ level: 'warning', code: 'parts-lost', message }];
}

/** What was done for light parts that the widths would have taken. */
export function lightPartsTold({
  lightPartsGrown,
  lightPartsJoined,
}: Pick<Widened, 'lightPartsGrown' | 'lightPartsJoined'>): Finding[] {
  const grown =
    lightPartsGrown > 0 &&
    `${counted(lightPartsGrown, 'light part')} too small for an island ${lightPartsGrown === 1 ? 'is' : 'are'} made as large as one has to be.`;
  const joined =
    lightPartsJoined > 0 &&
    `${counted(lightPartsJoined, 'light part')} with no room to grow ${lightPartsJoined === 1 ? 'is' : 'are'} open to film beside ${lightPartsJoined === 1 ? 'it' : 'them'}, as the insides of a stencil's letters are.`;
  const sentences = [grown, joined].filter((sentence) => sentence !== false);
  if (sentences.length === 0) return [];
  return [{ level: 'note', code: 'light-parts', message: sentences.join(' ') }];
}

export function leftOut(
  { specksDropped, islandsDropped }: Pick<Widened, 'specksDropped' | 'islandsDropped'>,
  bridged: Bridged,
): Finding[] {
  const told = [
    [
      specksDropped + bridged.openingsDropped,
      'opening',
      'openings',
      'too small to cut, left as film',
    ],
    [
      islandsDropped + bridged.islandsDropped,
      'speck of film',
      'specks of film',
      'too small for a bridge, cut away',
    ],
    [
      bridged.islandsDear,
      'light part',
      'light parts',
      'so far from other film that bridges would show more than the part itself, cut away',
    ],
  ] as const;
  return told.flatMap(([count, one, many, why]): Finding[] =>
    count === 0
      ? []
      : [
          {
            level: 'note',
            code: 'left-out',
            message: `${count} ${count === 1 ? one : many} ${why}.`,
          },
        ],
  );
}
