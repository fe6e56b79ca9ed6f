import { useState } from 'preact/hooks';
import { typefaceKinds } from '../../src/settings/lettering-settings.js';
import { api, type WordsAsked, type WordsTold } from './api.js';
import { cardNames, inLabels, plain } from './words.js';
import { inWords, save } from './work.js';

/** What is typed, and how it is to be cut. */
interface Typed {
  readonly text: string;
  readonly face: string;
  readonly along: string;
  readonly card: string;
  readonly tool: 'hot-tip' | 'craft-knife';
}

const FIRST: Typed = { text: '', face: 'sans', along: 'line', card: '4x4in', tool: 'hot-tip' };

const asked = ({ text, face, along, card, tool }: Typed): WordsAsked => ({
  lines: text.split('\n'),
  set: { face, along },
  job: { card, tool },
});

/** A plain place to type words: what comes of them, and their files. */
export function TypeWords() {
  const [typed, setTyped] = useState(FIRST);
  const [told, setTold] = useState<WordsTold | undefined>();
  const [trouble, setTrouble] = useState('');
  const [busy, setBusy] = useState(false);
  const change = (part: Partial<Typed>) => {
    setTyped({ ...typed, ...part });
    setTold(undefined);
  };
  const during = async (work: () => Promise<void>) => {
    setBusy(true);
    setTrouble('');
    await work().catch((error: unknown) => {
      const { what, remedy } = inWords(error);
      setTrouble(`${what}. ${remedy}.`);
    });
    setBusy(false);
  };
  return (
    <section class="type-words" aria-label="Words">
      <h2>Or type words</h2>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void during(async () => setTold(await api.words(asked(typed))));
        }}
      >
        <label>
          Words, a line each
          <textarea
            rows={3}
            value={typed.text}
            onInput={({ currentTarget }) => change({ text: currentTarget.value })}
          />
        </label>
        <div class="choices">
          <Choice
            label="Typeface"
            value={typed.face}
            of={typefaceKinds}
            choose={(face) => change({ face })}
          />
          <Choice
            label="Along"
            value={typed.along}
            of={['line', 'arch', 'circle']}
            choose={(along) => change({ along })}
          />
          <Choice
            label="Card"
            value={typed.card}
            of={['4x4in', ...cardNames]}
            choose={(card) => change({ card })}
          />
          <Choice
            label="Tool"
            value={typed.tool}
            of={['hot-tip', 'craft-knife']}
            choose={(tool) => change({ tool })}
          />
        </div>
        <button class="main" disabled={busy || typed.text.trim() === ''}>
          {busy ? 'Cutting …' : 'Show the stencil'}
        </button>
      </form>
      {trouble !== '' && <p role="alert">{trouble}</p>}
      {told && (
        <div class="shown">
          <img
            src={`data:image/png;base64,${told.preview}`}
            alt={`What the paint leaves of the words ${typed.text.replaceAll('\n', ', ')}`}
          />
          <ul>
            {told.findings.map(({ code, message }) => (
              <li key={code}>{inLabels(message)}</li>
            ))}
          </ul>
          <button
            disabled={busy}
            onClick={() =>
              void during(async () => {
                const { name, blob } = await api.wordsFiles(asked(typed));
                save(name, blob);
              })
            }
          >
            Download the stencil
          </button>
        </div>
      )}
    </section>
  );
}

function Choice<C extends string>({
  label,
  value,
  of,
  choose,
}: {
  label: string;
  value: C;
  of: readonly C[];
  choose: (value: C) => void;
}) {
  return (
    <label>
      {label}
      <select value={value} onChange={({ currentTarget }) => choose(currentTarget.value as C)}>
        {of.map((one) => (
          <option key={one} value={one}>
            {plain(one)}
          </option>
        ))}
      </select>
    </label>
  );
}
