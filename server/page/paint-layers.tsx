import { useState } from 'preact/hooks';
import { layerSettings } from '../../src/settings/layer-settings.js';
import { settings } from '../../src/settings/job.js';
import { counted } from './words.js';
import type { PageState, State } from './work.js';

/** Which of the layers are looked at: all of them painted, or one sheet, from 0. */
export type LayerShown = 'all' | number;

/** The paints that are chosen, which need no new layers to be seen; else those that the layers came with. */
function paintsOf({ layers, layered }: Pick<State, 'layers' | 'layered'>): readonly string[] {
  const chosen = layers?.paints?.split(',').map((paint) => paint.trim()) ?? [];
  const made = layered?.layers.map(({ paint }) => paint) ?? [];
  return made.length === 0 || chosen.length === made.length ? chosen : made;
}

/** Layers as they are painted, or one of their sheets; SVG in mm. */
export function PaintedLayers(props: { state: State; shown: LayerShown }) {
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

const groundOf = ({ draft, history }: State): string =>
  (draft ?? history.now).ground ?? settings.ground.default;

/** How many layers, how they lie, and the colour of each paint, in the order of painting. */
export function LayersPanel({ work, state }: { work: PageState; state: State }) {
  const { layers, layered, history } = state;
  const [mixing, setMixing] = useState<readonly string[] | undefined>();
  if (!layers) return null;
  const paints = mixing ?? paintsOf(state);
  const put = (part: Partial<typeof layers>) => {
    setMixing(undefined);
    work.aim(history.now, { ...layers, ...part });
  };
  return (
    <section class="layers-panel" aria-label="Layers of paint">
      <div class="line">
        <span class="label" id="layers-count">
          Layers
        </span>
        <div class="segments" role="group" aria-labelledby="layers-count">
          {layerSettings.count.choices.map((count) => (
            <button
              key={count}
              aria-pressed={count === layers.count}
              // Paints are one for each layer: another count has others.
              onClick={() =>
                work.aim(history.now, { count, ...(layers.laid && { laid: layers.laid }) })
              }
            >
              {count}
            </button>
          ))}
        </div>
      </div>
      <div class="line">
        <span class="label" id="layers-laid">
          They lie
        </span>
        <div class="segments" role="group" aria-labelledby="layers-laid">
          {layerSettings.laid.choices.map((laid) => (
            <button
              key={laid}
              aria-pressed={(layers.laid ?? layerSettings.laid.default) === laid}
              onClick={() => put({ laid })}
            >
              {laid}
            </button>
          ))}
        </div>
      </div>
      <p class="quiet">{layerSettings.laid.says}</p>
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
