import {
  completeJob,
  type JobInput,
  type Setting,
  type SettingName,
} from '../../src/settings/job.js';
import { Problem } from '../../src/settings/problem.js';
import type { EditingTool } from './editing-tool.js';
import { NumberField, TextField } from './fields.js';
import { UNMARKED } from './rectified-photo.js';
import { cardNames, describe, labelOf } from './labels.js';
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

/** What a setting is set by, by its kind. */
function Field(props: FieldProps) {
  const { setting, id, name, value, model, onTool } = props;
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
      return <ChoiceField {...props} setting={setting} />;
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
      return <WordsField {...props} setting={setting} />;
    case 'data':
      return <DataField name={name} value={value} onSet={set} onTool={onTool} />;
  }
}

type FieldOf<K extends Setting['kind']> = FieldProps & {
  readonly setting: Extract<Setting, { kind: K }>;
};

/** Few choices side by side, many in a list. */
function ChoiceField({ setting, id, name, value, model }: FieldOf<'choice'>) {
  const set = (next: unknown) => model.set({ [name]: next });
  return setting.choices.length <= MOST_SIDE_BY_SIDE ? (
    <div class="segments" role="radiogroup" aria-labelledby={`${id}-label`}>
      {setting.choices.map((choice) => (
        <label key={choice}>
          <input type="radio" name={name} checked={choice === value} onChange={() => set(choice)} />
          <span>{choice}</span>
        </label>
      ))}
    </div>
  ) : (
    <select
      id={id}
      aria-describedby={`${id}-says`}
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
}

/** A text; beside it what sets it by hand, where there is something; a colour is chosen. */
function WordsField({ setting, id, name, value, model, onTool }: FieldOf<'text'>) {
  const onSet = (next: unknown) => model.set({ [name]: next });
  const about = { id, 'aria-describedby': `${id}-says`, value, form: setting.form, onSet };
  if (name === 'crop') {
    return (
      <span class="pair">
        <TextField {...about} empty="whole" />
        <button class="plain" onClick={() => onTool('crop')}>
          Drag a frame
        </button>
      </span>
    );
  }
  if (name === 'page') {
    return (
      <span class="pair">
        <TextField {...about} empty="as it is" />
        <button class="plain" onClick={() => model.set({ ...UNMARKED, page: 'find' })}>
          Find it
        </button>
      </span>
    );
  }
  if (setting.form.startsWith('#')) {
    return (
      <input
        id={id}
        aria-describedby={`${id}-says`}
        type="color"
        value={String(value)}
        onInput={({ currentTarget }) => model.set({ [name]: currentTarget.value }, true)}
        onChange={({ currentTarget }) => onSet(currentTarget.value)}
      />
    );
  }
  return <TextField {...about} empty="" options={name === 'card' ? cardNames : []} />;
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
