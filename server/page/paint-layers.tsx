import { useState } from 'preact/hooks';
import { layerSettings } from '../../src/settings/layer-settings.js';
import { sheetSettings } from '../../src/settings/lettering-settings.js';
import { settings } from '../../src/settings/job.js';
import { NumberField } from './fields.js';
import type { LayersInput } from './layers-input.js';
import { without } from './without.js';
import { counted } from './labels.js';
import type { PageModel, PageState } from './page-model.js';

/** Which of the layers are looked at: all of them painted, or one sheet, from 0. */
export type LayerShown = 'all' | number;

/** The paints that are chosen, which need no new layers to be seen; else those that the layers came with. */
function paintsOf({ layers, layered }: Pick<PageState, 'layers' | 'layered'>): readonly string[] {
  const chosen = layers?.paints?.split(',').map((paint) => paint.trim()) ?? [];
  const made = layered?.layers.map(({ paint }) => paint) ?? [];
  return made.length === 0 || chosen.length === made.length ? chosen : made;
}

/** Layers as they are painted, or one of their sheets; SVG in mm. */
export function PaintedLayers(props: { state: PageState; shown: LayerShown }) {
  const { state, shown } = props;
  if (!state.layered) return null;
  const { sheet, layers: made } = state.layered;
  const paints = paintsOf(state);
  const layers = made.map(({ openings }, i) => ({ openings, paint: paints[i] }));
  const seen = shown === 'all' ? layers : layers.slice(shown, shown + 1);
  return (
    <>
      <rect
        width={sheet.widthMm}
        height={sheet.heightMm}
        fill={shown === 'all' ? groundOf(state) : '#fdfcf9'}
      />
      {seen.map(({ openings, paint }, i) => (
        <path key={i} d={openings} fill={paint} fill-rule="evenodd" />
      ))}
    </>
  );
}

const groundOf = ({ draft, history }: PageState): string =>
  (draft ?? history.now).ground ?? settings.ground.default;

/** How many layers, how they lie, and the colour of each paint, in the order of painting. */
export function LayersPanel({ model, state }: { model: PageModel; state: PageState }) {
  const { layers, layered, history } = state;
  const [mixing, setMixing] = useState<readonly string[] | undefined>();
  if (!layers) return null;
  const paints = mixing ?? paintsOf(state);
  const { words } = history.now;
  const put = (part: Partial<LayersInput>) => {
    setMixing(undefined);
    model.aim(history.now, { ...layers, ...part });
  };
  // Paints are one for each layer: another number of layers has others.
  const putWithoutPaints = (part: Partial<LayersInput>) => {
    setMixing(undefined);
    model.aim(history.now, { ...without(layers, 'paints'), ...part });
  };
  const choosing = { layers, words, put, putWithoutPaints };
  return (
    <section class="layers-panel" aria-label="Layers of paint">
      {(!words || words.picture !== undefined) && <PictureLayers {...choosing} />}
      {words && <UnderTheLetters {...choosing} />}
      <ol class="paints">
        {paints.map((paint, i) => (
          <li key={i}>
            <label>
              <input
                type="color"
                value={paint}
                onInput={({ currentTarget: { value } }) => setMixing(paints.with(i, value))}
                onChange={({ currentTarget: { value } }) =>
                  put({ paints: paints.with(i, value).join(',') })
                }
              />
              {i === 0 ? 'Painted first' : i === paints.length - 1 ? 'Painted last' : 'Then'}
            </label>
            <span class="quiet">
              {layered?.layers[i]
                ? `${counted(layered.layers[i].pieces, 'piece')}, ${counted(Math.ceil(layered.layers[i].cuttingMinutes), 'minute')}`
                : ''}
            </span>
          </li>
        ))}
      </ol>
      <p class="quiet">
        The lightest paint goes on first. Each sheet has its own template and plan in the download.
        Register marks, under Cutting, help to lay each sheet true.
      </p>
    </section>
  );
}

interface LayersChoosing {
  readonly layers: LayersInput;
  readonly words: PageState['history']['now']['words'];
  readonly put: (part: Partial<LayersInput>) => void;
  /** For what changes the number of layers. */
  readonly putWithoutPaints: (part: Partial<LayersInput>) => void;
}

const isPaintedUnder = ({ under = 'none' }: LayersInput): boolean => under !== 'none';

/** In how many layers a picture is painted, and how they lie on one another. */
function PictureLayers({ layers, words, put, putWithoutPaints }: LayersChoosing) {
  return (
    <>
      <Segments
        name="count"
        label={words ? 'The picture in' : 'Layers'}
        choices={
          isPaintedUnder(layers) ? sheetSettings.layers.choices : layerSettings.count.choices
        }
        chosen={layers.count}
        onChoose={(count) => putWithoutPaints({ count })}
      />
      {layers.count !== '1' && (
        <>
          <Segments
            name="laid"
            label="They lie"
            choices={layerSettings.laid.choices}
            chosen={layers.laid ?? layerSettings.laid.default}
            onChoose={(laid) => put({ laid })}
          />
          <p class="quiet">{layerSettings.laid.says}</p>
        </>
      )}
    </>
  );
}

/** What is painted under letters, and how far beyond them. */
function UnderTheLetters({ layers, words, put, putWithoutPaints }: LayersChoosing) {
  return (
    <>
      <Segments
        name="under"
        label="Under the letters"
        // Something has to be painted first: the picture's lightest layer, or this.
        choices={sheetSettings.under.choices.filter(
          (under) => under !== 'none' || (words?.picture !== undefined && layers.count !== '1'),
        )}
        chosen={layers.under ?? sheetSettings.under.default}
        onChoose={(under) => putWithoutPaints({ under })}
      />
      {isPaintedUnder(layers) && (
        <div class="line">
          <label class="label" for="layers-under-by">
            Beyond them by
          </label>
          <NumberField
            id="layers-under-by"
            setting={sheetSettings.underBy}
            value={layers.underBy ?? sheetSettings.underBy.default}
            onSet={(underBy) => underBy !== undefined && put({ underBy })}
          />
        </div>
      )}
      <p class="quiet">The letters are on the last sheet.</p>
    </>
  );
}

/** Choices side by side, one of which holds. */
function Segments<C extends string>(props: {
  name: string;
  label: string;
  choices: readonly C[];
  chosen: string;
  onChoose: (choice: C) => void;
}) {
  const { name, label, choices, chosen, onChoose } = props;
  return (
    <div class="line">
      <span class="label" id={`layers-${name}`}>
        {label}
      </span>
      <div class="segments" role="group" aria-labelledby={`layers-${name}`}>
        {choices.map((choice) => (
          <button key={choice} aria-pressed={choice === chosen} onClick={() => onChoose(choice)}>
            {choice}
          </button>
        ))}
      </div>
    </div>
  );
}
