import { useState } from 'preact/hooks';
import { settings } from '../../src/settings/job.js';
import { splitLines, settingsOf } from './typed.js';
import { cardNames } from './labels.js';
import type { PageModel } from './page-model.js';

/** A plain place to type words; what comes of them is shown, and chosen on, where a picture's stencil is. */
export function TypeWords({ model }: { model: PageModel }) {
  const [text, setText] = useState('');
  // The page may have begun with the limits of a hand, or a card.
  const begun = settingsOf(model.state.history.now);
  const [card, setCard] = useState(begun.card ?? settings.card.default);
  const [tool, setTool] = useState(begun.tool ?? settings.tool.default);
  return (
    <section class="type-words" aria-label="Words">
      <h2>Or type words</h2>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          model.openWords({ lines: splitLines(text), set: {} }, { ...begun, card, tool });
        }}
      >
        <label>
          Words, a line each
          <textarea
            rows={3}
            value={text}
            onInput={({ currentTarget }) => setText(currentTarget.value)}
          />
        </label>
        <div class="choices">
          <Choice
            label="Card"
            value={card}
            of={[...new Set([card, settings.card.default, ...cardNames])]}
            choose={setCard}
          />
          <Choice label="Tool" value={tool} of={settings.tool.choices} choose={setTool} />
        </div>
        <button class="main" disabled={text.trim() === ''}>
          Show the stencil
        </button>
      </form>
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
            {one}
          </option>
        ))}
      </select>
    </label>
  );
}
