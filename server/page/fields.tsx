import { useState } from 'preact/hooks';
import { parseCard } from '../../src/settings/card.js';
import type { Setting } from '../../src/settings/job.js';
import { Problem } from '../../src/settings/problem.js';
import { short } from './labels.js';

/**
 * What stands in a field: what is being typed, which an answer that comes meanwhile leaves alone, or what is set; and
 * what is wrong with what was typed. It gives way when another value is set, as by undo, and to the Escape key.
 */
function useTyped(set: string) {
  const [typed, setTyped] = useState<{ text: string; over: string; wrong?: string | undefined }>();
  const now = typed?.over === set ? typed : undefined;
  const forget = () => setTyped(undefined);
  return {
    wrong: now?.wrong,
    refuse: (text: string, wrong: string) => setTyped({ text, over: set, wrong }),
    forget,
    field: {
      value: now?.text ?? set,
      onInput: ({ currentTarget: { value } }: { readonly currentTarget: HTMLInputElement }) =>
        setTyped({ text: value, over: set, wrong: now?.wrong }),
      onKeyDown: ({ key }: KeyboardEvent) => {
        if (key === 'Escape') forget();
      },
    },
  };
}

/** What a step of a number field is by its unit: about as much as is seen. By eye. */
const STEP = { mm: 0.1, 'mm²': 0.5, '%': 1, 'px/mm': 0.5 } as const;

/** A number with its unit, told its range where it is out of it; without one the placeholder says what follows. */
export function NumberField(props: {
  id: string;
  setting: Extract<Setting, { kind: 'number' }>;
  value: number | undefined;
  placeholder?: string;
  onSet: (value: number | undefined) => void;
}) {
  const { setting, value, onSet, ...described } = props;
  const { min, max, unit } = setting;
  const { wrong, refuse, forget, field } = useTyped(value === undefined ? '' : short(value));
  return (
    <span class="number text">
      <span>
        <input
          {...described}
          type="number"
          inputMode="decimal"
          min={min}
          max={max}
          step={(STEP as Readonly<Record<string, number>>)[unit] ?? 'any'}
          {...field}
          aria-invalid={wrong !== undefined}
          onBlur={() => {
            if (wrong === undefined) forget();
          }}
          onChange={({ currentTarget }) => {
            const next = currentTarget.valueAsNumber;
            if (next < min || next > max)
              return refuse(currentTarget.value, `From ${min} to ${max} ${unit}.`);
            forget();
            onSet(Number.isNaN(next) ? undefined : next);
          }}
        />
        <span class="unit">{unit}</span>
      </span>
      {wrong !== undefined && (
        <span class="wrong" role="alert">
          {wrong}
        </span>
      )}
    </span>
  );
}

/** A text as it is set, told what is wrong with a card. */
export function TextField(props: {
  id: string;
  value: unknown;
  form: string;
  empty: string;
  onSet: (value: string | undefined) => void;
  options?: readonly string[];
}) {
  const { id, value, form, onSet, empty, options = [], ...described } = props;
  const { wrong, refuse, forget, field } = useTyped(typeof value === 'string' ? value : '');
  return (
    <span class="text">
      <input
        id={id}
        {...described}
        type="text"
        placeholder={empty === '' ? form : empty}
        {...field}
        list={options.length > 0 ? `${id}-options` : undefined}
        spellcheck={false}
        autocomplete="off"
        aria-invalid={wrong !== undefined}
        onChange={({ currentTarget }) => {
          const text = currentTarget.value.trim();
          const says = id === 'set-card' && text !== '' ? wrongCard(text) : undefined;
          if (says !== undefined) return refuse(currentTarget.value, says);
          forget();
          onSet(text === '' ? undefined : text);
        }}
        onBlur={() => {
          if (wrong === undefined) forget();
        }}
      />
      {options.length > 0 && (
        <datalist id={`${id}-options`}>
          {options.map((option) => (
            <option key={option} value={option} />
          ))}
        </datalist>
      )}
      {wrong !== undefined && (
        <span class="wrong" role="alert">
          {wrong}
        </span>
      )}
    </span>
  );
}

function wrongCard(text: string): string | undefined {
  try {
    parseCard(text);
    return undefined;
  } catch (error) {
    if (error instanceof Problem) return `${error.what}. ${error.remedy}.`;
    throw error;
  }
}
