import { useState } from 'preact/hooks';
import { linesOf } from './typed.js';
import { cardNames, plain } from './words.js';
import type { PageState } from './work.js';

const TOOLS = ['hot-tip', 'craft-knife'] as const;

/** A plain place to type words; what comes of them is shown, and chosen on, where a picture's stencil is. */
export function TypeWords({ work }: { work: PageState }) {
  const [text, setText] = useState('');
  const [card, setCard] = useState('4x4in');
  const [tool, setTool] = useState<(typeof TOOLS)[number]>('hot-tip');
  return (
    <section class="type-words" aria-label="Words">
      <h2>Or type words</h2>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          work.openWords({ lines: linesOf(text), set: {} }, { card, tool });
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
          <Choice label="Card" value={card} of={['4x4in', ...cardNames]} choose={setCard} />
          <Choice label="Tool" value={tool} of={TOOLS} choose={setTool} />
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
            {plain(one)}
          </option>
        ))}
      </select>
    </label>
  );
}
