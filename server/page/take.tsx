import { useState } from 'preact/hooks';
import type { OutputName } from '../../src/index.js';
import type { PageState, PageModel } from './page-model.js';

/** What each file is called here; a new output has to have its words. */
const LABELS: Readonly<Record<OutputName | 'job', string>> = {
  template: 'Template to print (PDF)',
  plan: 'Plan of cutting (PDF)',
  stencil: 'Cut lines (SVG)',
  strokes: 'Lines of glue, in order (SVG)',
  preview: 'Preview (PNG)',
  packet: 'Folded packet (SVG)',
  mirrored: 'Mirrored template (PDF)',
  masks: 'Masks: the pieces that drop out',
  dxf: 'Cut lines (DXF)',
  png: 'Cut areas (PNG)',
  report: 'Report (JSON)',
  job: 'Job file: these settings',
};

/** What is made, by what is wanted of the picture. */
const CALLED = { stencil: 'stencil', mask: 'mask', 'glue-line': 'lines of glue' } as const;

/** The files that there are: lines of glue have strokes, and no pieces that drop out. */
function filesOf(state: PageState): (readonly [string, string])[] {
  const { as, fold } = state.history.now;
  const isFolded = (fold ?? 'none') !== 'none';
  if (state.layers) return Object.entries(LABELS).filter(([which]) => which === 'job');
  return Object.entries(LABELS).filter(
    ([which]) =>
      which !== (as === 'glue-line' ? 'masks' : 'strokes') && (which !== 'packet' || isFolded),
  );
}

/** The result, to take away. */
export function Take({ model, state }: { model: PageModel; state: PageState }) {
  const [taking, setTaking] = useState<string | undefined>();
  const take = async (which: string) => {
    setTaking(which);
    await model.take(which);
    setTaking(undefined);
  };
  const ready = state.screen !== undefined && !state.outdated;
  return (
    <section class="take" aria-label="Take it away">
      <div class="row">
        <button
          class="main"
          disabled={!ready || taking !== undefined}
          onClick={() => void take('all')}
        >
          {taking === 'all'
            ? 'Packing …'
            : state.layers
              ? 'Download all sheets'
              : `Download the ${CALLED[state.history.now.as ?? 'stencil']}`}
        </button>
        {!state.layers && (
          <button
            class="plain"
            disabled={!ready || taking !== undefined}
            title="Opens the true-size template; print it at 100 %"
            onClick={() => void model.print()}
          >
            Print the template
          </button>
        )}
      </div>
      <details>
        <summary>One file alone</summary>
        <ul class="files">
          {filesOf(state).map(([which, label]) => (
            <li key={which}>
              <button
                class="link"
                disabled={which !== 'job' && (!ready || taking !== undefined)}
                onClick={() => void take(which)}
              >
                {label}
              </button>
            </li>
          ))}
          <li>
            <OpenJob model={model} />
          </li>
        </ul>
        <p class="quiet">
          The same files as the command line makes from the same job file; only the times in the
          report differ.
        </p>
      </details>
    </section>
  );
}

function OpenJob({ model }: { model: PageModel }) {
  return (
    <label class="link file">
      Open a job file …
      <input
        type="file"
        accept=".json,application/json"
        onChange={({ currentTarget }) => {
          const file = currentTarget.files?.[0];
          if (file) void model.openJob(file);
          currentTarget.value = '';
        }}
      />
    </label>
  );
}
