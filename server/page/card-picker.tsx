import { MM_PER_INCH, namedCards, parseCard, type NamedCard } from '../../src/settings/card.js';
import { settings } from '../../src/settings/job.js';
import type { PageModel, PageState } from './page-model.js';

/** Sheets for a printer or a roll of film, which no card is as large as. */
const NO_CARDS: readonly string[] = ['film-sheet', 'letter', 'a3', 'id-card'];
const CARDS = namedCards.filter(({ name }) => !NO_CARDS.includes(name));
/** The longest side of them, in mm: their pictures are to one scale. */
const LONGEST_MM = Math.max(...CARDS.map(({ widthMm, heightMm }) => Math.max(widthMm, heightMm)));

/** The usual cards, to one scale, each with its size in both units. */
export function CardPicker({ model, state }: { model: PageModel; state: PageState }) {
  const job = state.draft ?? state.history.now;
  const now = sheetOf(job.card ?? settings.card.default);
  return (
    <div class="cards" role="group" aria-label="Usual cards">
      {CARDS.map((card) => (
        <button
          key={card.name}
          aria-pressed={isSameSize(card, now)}
          onClick={() => model.set({ card: card.name === 'art-card' ? undefined : card.name })}
        >
          <svg viewBox={`0 0 ${LONGEST_MM} ${LONGEST_MM}`} aria-hidden="true">
            <rect
              x={(LONGEST_MM - card.widthMm) / 2}
              y={LONGEST_MM - card.heightMm}
              width={card.widthMm}
              height={card.heightMm}
              rx="3"
            />
          </svg>
          <span class="what">{card.name}</span>
          <span class="how">{sizeOf(card)}</span>
        </button>
      ))}
    </div>
  );
}

function sheetOf(card: string): Pick<NamedCard, 'widthMm' | 'heightMm'> | undefined {
  try {
    return parseCard(card);
  } catch {
    // The field below says what is wrong with it.
    return undefined;
  }
}

const isSameSize = (card: NamedCard, sheet: ReturnType<typeof sheetOf>): boolean =>
  sheet !== undefined &&
  Math.abs(card.widthMm - sheet.widthMm) < 0.5 &&
  Math.abs(card.heightMm - sheet.heightMm) < 0.5;

/** In the unit that the card is known by first. */
function sizeOf({ widthMm, heightMm, name }: NamedCard): string {
  const mm = `${Math.round(widthMm)} × ${Math.round(heightMm)} mm`;
  const [across, down] = [widthMm, heightMm].map((side) => Math.round((side / MM_PER_INCH) * 10) / 10); // prettier-ignore
  return /^a\d/.test(name) ? mm : `${across} × ${down} in, ${mm}`;
}
