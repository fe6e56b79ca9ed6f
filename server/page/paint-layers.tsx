import { useState } from 'preact/hooks';
import { layerSettings } from '../../src/settings/layer-settings.js';
import { settings } from '../../src/settings/job.js';
import type { LayersLook } from '../../src/index.js';
import { counted } from './words.js';
import type { PageState, State } from './work.js';

/** Which of the layers are looked at: all of them painted, or one sheet, from 0. */
export type LayerShown = 'all' | number;

/** Layers as they are painted, or one of their sheets; SVG in mm. */
export function PaintedLayers(props: { layered: LayersLook; shown: LayerShown; ground: string }) {
  const { layered, shown, ground } = props;
  const { sheet, layers } = layered;
  const seen = shown === 'all' ? layers : layers.slice(shown, shown + 1);
  return (
    <>
      <rect
        width={sheet.widthMm}
        height={sheet.heightMm}
        fill={shown === 'all' ? ground : '#fdfcf9'}
      />
      {seen.map(({ openings, paint }, i) => (
        <path key={i} d={openings} fill={paint} fill-rule="evenodd" />
      ))}
    </>
  );
}

export const groundOf = ({ draft, history }: State): string =>
  (draft ?? history.now).ground ?? settings.ground.default;

/** How many layers, how they lie, and the colour of each paint, in the order of painting. */
export function LayersPanel({ work, state }: { work: PageState; state: State }) {
  const { layers, layered, history } = state;
  const [mixing, setMixing] = useState<readonly string[] | undefined>();
  if (!layers) return null;
  const paints = mixing ?? layered?.layers.map(({ paint }) => paint) ?? [];
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
          {(
            [
              ['nested', 'Each under the next'],
              ['separate', 'Side by side'],
            ] as const
          ).map(([laid, label]) => (
            <button
              key={laid}
              aria-pressed={(layers.laid ?? 'nested') === laid}
              onClick={() => put({ laid })}
            >
              {label}
            </button>
          ))}
        </div>
      </div>
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
                ? `${counted(layered.layers[i].pieces, 'piece')}, ${counted(Math.ceil(layered.layers[i].minutes), 'minute')}`
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
