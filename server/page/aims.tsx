import type { JobInput } from '../../src/index.js';
import type { LayersInput } from './layers-input.js';
import { isWords } from './typed.js';
import type { PageModel, PageState } from './page-model.js';

/** What a person wants of a picture, in plain words, with what is set for it. */
interface Aim {
  readonly name: string;
  readonly label: string;
  readonly says: string;
  readonly part: JobInput;
  readonly layers?: LayersInput;
  /** A small picture: what is dark in it, and what is pale; SVG in 24 × 24. */
  readonly dark: string;
  readonly pale?: string;
}

/** What words can be: they read backwards in a folded sheet. */
const OF_WORDS: readonly string[] = ['stencil', 'mask', 'texture', 'layers'];
/** Words alone have no tones: their other paint lies under them. */
const UNDER_WORDS: LayersInput = { count: '1', under: 'outline' };

/** What all of them set anew. */
const PLAIN: JobInput = { as: null, repeat: null, fold: null, foldPlace: null };

const LEAF = 'M12 4C17 8 17 15 12 20C7 15 7 8 12 4Z';

const AIMS: readonly Aim[] = [
  {
    name: 'stencil',
    label: 'Stencil',
    says: 'Cut the dark parts away and paint through them',
    part: PLAIN,
    dark: LEAF,
  },
  {
    name: 'mask',
    label: 'Mask',
    says: 'Keep the dark parts in one piece and paint round them',
    part: { ...PLAIN, as: 'mask' },
    dark: `M2 2H22V22H2Z${LEAF}`,
  },
  {
    name: 'texture',
    label: 'Repeated texture',
    says: 'The picture small, many times over the page',
    part: { ...PLAIN, repeat: 'brick' },
    dark: [
      [6, 5],
      [18, 5],
      [12, 12],
      [0, 12],
      [24, 12],
      [6, 19],
      [18, 19],
    ]
      .map(([x, y]) => `M${x} ${y - 3}q3 3 0 6q-3-3 0-6Z`)
      .join(''),
  },
  {
    name: 'layers',
    label: 'Layers of paint',
    says: 'A sheet for each of two to five paints, laid one over the other',
    part: PLAIN,
    layers: { count: '3' },
    pale: 'M12 2C20 8 20 16 12 22C4 16 4 8 12 2Z',
    dark: 'M12 8C15 11 15 14 12 18C9 14 9 11 12 8Z',
  },
  {
    name: 'fold',
    label: 'Folded sheet',
    says: 'Fold the sheet, cut all layers at once, open it',
    part: { ...PLAIN, fold: 'quarter' },
    pale: 'M2 2H12V12H2Z',
    dark: 'M12 4C15 7 15 9 12 12C9 9 9 7 12 4ZM12 12C15 15 15 17 12 20C9 17 9 15 12 12ZM4 12C7 9 9 9 12 12C9 15 7 15 4 12ZM12 12C15 9 17 9 20 12C17 15 15 15 12 12Z',
  },
  {
    name: 'glue',
    label: 'Lines of glue',
    says: 'Draw it with a glue gun, to spray round or to print with',
    part: { ...PLAIN, as: 'glue-line' },
    dark: 'M12 4C17 8 17 15 12 20C7 15 7 8 12 4ZM12 6C8.500 9.500 8.500 14.500 12 18C15.500 14.500 15.500 9.500 12 6Z',
  },
];

/** The aim that settings say. */
function aimOf({ history: { now }, layers }: Pick<PageState, 'history' | 'layers'>): string {
  if (layers) return 'layers';
  if (now.as === 'mask') return 'mask';
  if (now.as === 'glue-line') return 'glue';
  if ((now.fold ?? 'none') !== 'none') return 'fold';
  return (now.repeat ?? 'none') === 'none' ? 'stencil' : 'texture';
}

/** What is to be made, as plain choices near the picture. */
export function Aims({
  model,
  state,
  onWords,
}: {
  model: PageModel;
  state: PageState;
  onWords?: () => void;
}) {
  const now = aimOf(state);
  const { picture, history } = state;
  const { words } = history.now;
  const isAlone = words !== undefined && words.picture === undefined;
  const ofThese = picture && isWords(picture) ? OF_WORDS : AIMS.map(({ name }) => name);
  return (
    <div class="aims" role="group" aria-label="What you want to make">
      {AIMS.filter(({ name }) => ofThese.includes(name)).map(
        ({ name, label, says, part, layers, dark, pale }) => (
          <button
            key={name}
            aria-pressed={name === now}
            title={says}
            onClick={() =>
              name !== now && model.aim(part, layers && isAlone ? UNDER_WORDS : layers)
            }
          >
            <Small dark={dark} pale={pale} />
            {label}
          </button>
        ),
      )}
      {onWords && (
        <button title="Letters with their bridges, typed here" onClick={onWords}>
          <Small dark="M5 20L11 4H13L19 20H16L14.500 15.500H9.500L8 20ZM10.500 12.500H13.500L12 8Z" />
          Words
        </button>
      )}
    </div>
  );
}

function Small({ dark, pale }: { dark: string; pale?: string | undefined }) {
  return (
    <svg viewBox="0 0 24 24" aria-hidden="true">
      <rect width="24" height="24" rx="2.500" class="card" />
      {pale !== undefined && <path class="pale" d={pale} />}
      <path class="dark" d={dark} fill-rule="evenodd" />
    </svg>
  );
}
