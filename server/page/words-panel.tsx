import { useEffect, useState } from 'preact/hooks';
import type { Setting } from '../../src/settings/job.js';
import { letteringSettings } from '../../src/settings/lettering-settings.js';
import type { TypedWords } from './api.js';
import { NumberField } from './fields.js';
import { splitLines, settingsOf } from './typed.js';
import { TypefacePicker } from './typeface-picker.js';
import { without } from './without.js';
import { labelOf } from './labels.js';
import type { PageModel, PageState } from './page-model.js';

type WordSetting = Exclude<keyof typeof letteringSettings, 'face' | 'picture'>;

/** What there is to choose about words, in the order in which a person comes to it. */
const NAMES: readonly WordSetting[] = [
  'capHeight',
  'align',
  'along',
  'bend',
  'tilt',
  'letterSpacing',
  'lineSpacing',
  'bridgeRule',
];

/** The words on the bench: what they say, in which typeface, and how they lie. */
export function WordsPanel({
  model,
  state,
  words,
}: {
  model: PageModel;
  state: PageState;
  words: TypedWords;
}) {
  const job = settingsOf(state.history.now);
  const set = (part: Readonly<Record<string, unknown>>): void => {
    const all = Object.entries({ ...words.set, ...part }).filter(([, value]) => value !== null);
    model.openWords({ ...words, set: Object.fromEntries(all) }, job);
  };
  const values = { ...letteringDefaults, ...words.set };
  const isUsed = (name: WordSetting): boolean =>
    name === 'bend'
      ? values.along === 'arch'
      : (name !== 'align' && name !== 'lineSpacing') || words.lines.length > 1;
  const fieldOf = (name: WordSetting) => (
    <Field key={name} name={name} value={values[name]} onSet={(value) => set({ [name]: value })} />
  );
  return (
    <details open class="words-panel">
      <summary>
        <h2>Words</h2>
        <span>What they say, and how they look</span>
      </summary>
      <TheWords
        key={words.lines.join('\n')}
        lines={words.lines}
        onChange={(lines) => model.openWords({ ...words, lines }, job)}
      />
      <TypefacePicker
        lines={words.lines}
        job={job}
        font={words.font}
        chosen={words.font === undefined ? String(values.face) : 'own'}
        onChoose={(face) =>
          model.openWords({ ...without(words, 'font'), set: { ...words.set, face } }, job)
        }
      />
      <p class="row">
        <FileButton
          label={words.font === undefined ? 'A font file of your own …' : 'Another font file …'}
          accept=".ttf,.otf,.woff,.woff2"
          onPick={(file) => void model.setInFont(file)}
        />
      </p>
      <div class="controls">{NAMES.filter(isUsed).map(fieldOf)}</div>
      <p class="row">
        <FileButton
          label={words.picture === undefined ? 'Put a picture beside them …' : 'Another picture …'}
          accept="image/*,.heic,.heif"
          onPick={(file) => void model.putBeside(file)}
        />
        {words.picture !== undefined && (
          <button class="plain" onClick={() => model.openWords(without(words, 'picture'), job)}>
            Words alone
          </button>
        )}
      </p>
      {words.picture !== undefined && <div class="controls">{fieldOf('place')}</div>}
    </details>
  );
}

/** A button that asks for a file. */
function FileButton(props: { label: string; accept: string; onPick: (file: File) => void }) {
  const { label, accept, onPick } = props;
  return (
    <label class="plain button-like">
      {label}
      <input
        type="file"
        class="hidden"
        accept={accept}
        onChange={({ currentTarget }) => {
          const file = currentTarget.files?.[0];
          if (file) onPick(file);
          // The same file picked again is a change, too.
          currentTarget.value = '';
        }}
      />
    </label>
  );
}

const letteringDefaults: Readonly<Record<string, unknown>> = Object.fromEntries(
  Object.entries(letteringSettings).map(([name, setting]) => [name, setting.default]),
);

/** The words, to be typed anew; what is cut follows when they are finished with. */
function TheWords({
  lines,
  onChange,
}: {
  lines: readonly string[];
  onChange: (lines: readonly string[]) => void;
}) {
  const [text, setText] = useState(lines.join('\n'));
  useEffect(() => setText(lines.join('\n')), [lines]);
  const isOther = text !== lines.join('\n');
  const finish = () => {
    if (isOther) onChange(splitLines(text));
  };
  return (
    <div class="the-words">
      <label>
        A line each
        <textarea
          rows={Math.max(2, text.split('\n').length)}
          value={text}
          onInput={({ currentTarget }) => setText(currentTarget.value)}
          onBlur={finish}
          onKeyDown={(event) => {
            if (event.key === 'Enter' && (event.ctrlKey || event.metaKey)) finish();
          }}
        />
      </label>
      <button class="plain" disabled={!isOther} onClick={finish}>
        Cut these
      </button>
    </div>
  );
}

/** One choice about words, as the page shows a setting. */
function Field({
  name,
  value,
  onSet,
}: {
  name: WordSetting;
  value: unknown;
  onSet: (value: unknown) => void;
}) {
  const setting: Setting = letteringSettings[name];
  const id = `words-${name}`;
  return (
    <div class="control">
      <div class="line">
        <label class="label" for={id}>
          {labelOf(name)}
        </label>
        {setting.kind === 'choice' ? (
          <select
            id={id}
            value={String(value)}
            onChange={(event) => onSet(event.currentTarget.value)}
          >
            {setting.choices.map((choice) => (
              <option key={choice} value={choice}>
                {choice}
              </option>
            ))}
          </select>
        ) : (
          setting.kind === 'number' && (
            <NumberField
              id={id}
              aria-describedby={`${id}-says`}
              setting={setting}
              value={typeof value === 'number' ? value : undefined}
              placeholder={name === 'capHeight' ? 'as fits' : ''}
              onSet={(next) => onSet(next ?? null)}
            />
          )
        )}
      </div>
      <p class="quiet" id={`${id}-says`}>
        {setting.says}
      </p>
    </div>
  );
}
