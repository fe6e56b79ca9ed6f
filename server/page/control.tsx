import { useState } from 'preact/hooks';
import {
  completeJob,
  type JobInput,
  type Setting,
  type SettingName,
} from '../../src/settings/job.js';
import { parseCard } from '../../src/settings/card.js';
import { Problem } from '../../src/settings/problem.js';
import type { EditingTool } from './editing-tool.js';
import { UNMARKED } from './held-photo.js';
import { cardNames, describe, labelOf, short } from './labels.js';
import { settingsOf } from './typed.js';
import type { PageState, PageModel } from './page-model.js';

interface ControlProps {
  readonly name: SettingName;
  readonly model: PageModel;
  readonly state: PageState;
  readonly onTool: (tool: EditingTool) => void;
}

/** Choices up to this many stand side by side: more do not fit beside each other in a panel. */
const MOST_SIDE_BY_SIDE = 3;

/** One setting: its name, its value with its unit, and what it does. Made from its description alone. */
export function Control({ name, model, state, onTool }: ControlProps) {
  const setting = describe(name);
  const job = settingsOf(state.draft ?? state.history.now);
  const given = job[name];
  const value = given ?? valueOf(name, job);
  const id = `set-${name}`;
  const about = { id, name, value, model };
  const isGiven = given !== undefined && given !== null;
  return (
    <div class="control">
      <div class="line">
        {setting.kind === 'choice' && setting.choices.length <= MOST_SIDE_BY_SIDE ? (
          <span class="label" id={`${id}-label`}>
            {labelOf(name)}
          </span>
        ) : setting.kind === 'data' ? (
          <span class="label">{labelOf(name)}</span>
        ) : (
          <label class="label" for={id}>
            {labelOf(name)}
          </label>
        )}
        <Field setting={setting} {...about} onTool={onTool} />
      </div>
      <p class="quiet" id={`${id}-says`}>
        {setting.says}
        {setting.default === null && !isGiven && ` ${followsIn(setting)}`}
        {isGiven && setting.kind !== 'data' && (
          <>
            {' '}
            <button class="link" onClick={() => model.set({ [name]: undefined })}>
              Back to {setting.default === null ? 'following' : 'the usual'}
              <span class="hidden-text"> for {labelOf(name)}</span>
            </button>
          </>
        )}
      </p>
    </div>
  );
}

/** What an unset setting follows, as the help says it. */
const followsIn = ({ follows = 'the rest' }: Setting): string =>
  follows === 'the tool' ? 'Follows the tool.' : `Unless set: ${follows}.`;

/** What a setting comes to when it is not given. */
function valueOf(name: SettingName, job: JobInput): unknown {
  const others = Object.fromEntries(Object.entries(job).filter(([other]) => other !== name));
  try {
    return completeJob(others)[name];
  } catch (error) {
    // Two settings that contradict each other are told where they are used.
    if (!(error instanceof Problem)) throw error;
    return usualOf(name, job);
  }
}

/** What a setting comes to with the card and the tool alone: the rest contradicts itself. */
function usualOf(name: SettingName, { card, tool }: JobInput): unknown {
  for (const few of [{ card, tool }, { tool }, {}]) {
    try {
      return completeJob(few)[name];
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
    }
  }
  return describe(name).default;
}

interface FieldProps {
  readonly setting: Setting;
  readonly id: string;
  readonly name: SettingName;
  readonly value: unknown;
  readonly model: PageModel;
  readonly onTool: (tool: EditingTool) => void;
}

function Field({ setting, id, name, value, model, onTool }: FieldProps) {
  const set = (next: unknown) => model.set({ [name]: next });
  const described = { id, 'aria-describedby': `${id}-says` };
  switch (setting.kind) {
    case 'number':
      return (
        <NumberField
          {...described}
          setting={setting}
          value={value as number}
          onSet={(next) => model.set({ [name]: next }, false, name)}
        />
      );
    case 'choice':
      return setting.choices.length <= MOST_SIDE_BY_SIDE ? (
        <div class="segments" role="radiogroup" aria-labelledby={`${id}-label`}>
          {setting.choices.map((choice) => (
            <label key={choice}>
              <input
                type="radio"
                name={name}
                checked={choice === value}
                onChange={() => set(choice)}
              />
              <span>{choice}</span>
            </label>
          ))}
        </div>
      ) : (
        <select
          {...described}
          value={String(value)}
          onChange={({ currentTarget }) => set(currentTarget.value)}
        >
          {setting.choices.map((choice) => (
            <option key={choice} value={choice}>
              {choice}
            </option>
          ))}
        </select>
      );
    case 'switch':
      return (
        <input
          {...described}
          type="checkbox"
          class="switch"
          checked={value === true}
          onChange={({ currentTarget }) => set(currentTarget.checked ? true : undefined)}
        />
      );
    case 'text':
      if (name === 'crop') {
        return (
          <span class="pair">
            <TextField {...described} value={value} form={setting.form} onSet={set} empty="whole" />
            <button class="plain" onClick={() => onTool('crop')}>
              Drag a frame
            </button>
          </span>
        );
      }
      if (name === 'page') {
        return (
          <span class="pair">
            <TextField
              {...described}
              value={value}
              form={setting.form}
              onSet={set}
              empty="as it is"
            />
            <button class="plain" onClick={() => model.set({ ...UNMARKED, page: 'find' })}>
              Find it
            </button>
          </span>
        );
      }
      if (setting.form.startsWith('#')) {
        return (
          <input
            {...described}
            type="color"
            value={String(value)}
            onInput={({ currentTarget }) => model.set({ [name]: currentTarget.value }, true)}
            onChange={({ currentTarget }) => set(currentTarget.value)}
          />
        );
      }
      return (
        <TextField
          {...described}
          value={value}
          form={setting.form}
          onSet={set}
          empty=""
          options={name === 'card' ? cardNames : []}
        />
      );
    case 'data':
      return <DataField name={name} value={value} onSet={set} onTool={onTool} />;
  }
}

/** What has an editor of its own on the large view. */
const EDITORS: Readonly<Record<string, EditingTool | undefined>> = {
  marks: 'subject',
  faceBoxes: 'faces',
  finer: 'finer',
  bridgeFree: 'areas',
  bridgeEdits: 'bridges',
  regionEdits: 'regions',
  strokeEdits: 'strokes',
};

function DataField({
  name,
  value,
  onSet,
  onTool,
}: {
  name: string;
  value: unknown;
  onSet: (value: undefined) => void;
  onTool: (tool: EditingTool) => void;
}) {
  const tool = EDITORS[name];
  const count = Array.isArray(value) ? value.length : 0;
  return (
    <span class="pair">
      <span>{count === 0 ? 'none' : count}</span>
      {tool && (
        <button class="plain" onClick={() => onTool(tool)}>
          Draw<span class="hidden-text"> {labelOf(name)}</span>
        </button>
      )}
      {count > 0 && (
        <button class="plain" onClick={() => onSet(undefined)}>
          Clear<span class="hidden-text"> {labelOf(name)}</span>
        </button>
      )}
    </span>
  );
}

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

function TextField(props: {
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
