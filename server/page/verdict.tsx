import { useEffect, useState } from 'preact/hooks';
import { shortfallIn } from '../../src/settings/words/shortfall.js';
import { toLookAt, type ToLookAt } from './findings.js';
import { UNMARKED } from './rectified-photo.js';
import { placeIn } from './place-in-words.js';
import type { ViewPoint } from './viewport.js';
import { counted, inLabels, metres } from './labels.js';
import type { PageState, PageModel } from './page-model.js';

/**
 * In a sentence, whether it can be cut; then what to look at, one after the other. It takes as much room whatever it
 * says, so that what stands below stays under the hand.
 */
export function Verdict(props: {
  model: PageModel;
  state: PageState;
  onFind: (at: ViewPoint) => void;
}) {
  const { model, state, onFind } = props;
  const { lead, isBad } = leadOf(state);
  return (
    <section class={isBad ? 'verdict bad' : 'verdict'} aria-label="What came of it">
      <p class="lead" aria-live="polite">
        {lead}
      </p>
      {state.failure ? (
        <p class="facts why-not" role="alert" tabIndex={0}>
          {state.failure.by === 'settings' && `${state.failure.what}. `}
          {state.failure.remedy}.
        </p>
      ) : (
        <p class="facts">{state.layers ? layersFacts(state) : facts(state)}</p>
      )}
      <Findings model={model} state={state} onFind={onFind} />
      <details class={state.sketch && !state.failure ? 'why' : 'why unseen'}>
        <summary>Why it looks like this</summary>
        <p class="quiet">{state.sketch?.tone.why}</p>
      </details>
    </section>
  );
}

/** The verdict in a sentence, and whether it is a bad one. */
export function leadOf(state: PageState): { readonly lead: string; readonly isBad: boolean } {
  const { sketch, screen, failure, layers, layered } = state;
  const bad = (lead: string) => ({ lead, isBad: true });
  const good = (lead: string) => ({ lead, isBad: false });
  if (failure?.by === 'server') return bad('The server does not answer.');
  if (failure) return bad('No stencil of these settings.');
  if (!sketch) return good('Making the stencil …');
  if (layers) {
    if (!layered) return good('Making the layers …');
    const broken = layered.layers.filter((layer) => !layer.good).length;
    return broken > 0
      ? bad(`Look before you cut: ${counted(broken, 'layer')} would not hold.`)
      : good(`Good: ${layered.layers.length} layers, each in one piece.`);
  }
  if (sketch.looseCount > 0) return bad(`${counted(sketch.looseCount, 'island')} would fall out.`);
  if (screen !== sketch) return good('One piece so far.');
  const isGlue = sketch.strokeCount > 0;
  const { findings } = state.advised ?? screen;
  if (findings.some(({ level }) => level === 'error'))
    return bad(`Look before you ${isGlue ? 'draw' : 'cut'}.`);
  const short = shortfallIn(findings);
  if (short) return bad(`${short[0].toUpperCase()}${short.slice(1)}, though it can be cut.`);
  return good(
    isGlue ? 'Good: one piece, it can be drawn.' : 'Good: one piece, it holds, it can be cut.',
  );
}

function facts({ sketch, screen }: PageState): string {
  if (!sketch) return '';
  const { pieces, bridges, cutMm, strokeCount, glueMm } = sketch;
  const isGlue = strokeCount > 0;
  const exact = screen === sketch ? screen : undefined;
  const about = isGlue
    ? `${counted(strokeCount, 'stroke')} · ${metres(glueMm)} of glue`
    : `${counted(pieces, 'piece')} to cut away · ${counted(bridges.length, 'bridge')} · ${metres(cutMm)} of cutting`;
  if (!exact) return about;
  const hand = exact.minutes - exact.warmUpMinutes;
  const time = ` · about ${counted(Math.max(1, Math.ceil(hand)), 'minute')} to ${isGlue ? 'draw' : 'cut'}`;
  const change = isGlue ? '' : ` · the print differs on ${(exact.fidelity * 100).toFixed(1)} % of the card`; // prettier-ignore
  return about + time + change;
}

function layersFacts({ layered }: PageState): string {
  if (!layered) return '';
  const { layers } = layered;
  const sum = (of: (layer: (typeof layers)[number]) => number) =>
    layers.reduce((total, layer) => total + of(layer), 0);
  return `${counted(sum(({ pieces }) => pieces), 'piece')} to cut away · ${counted(sum(({ bridges }) => bridges), 'bridge')} · about ${counted(Math.ceil(sum(({ cuttingMinutes }) => cuttingMinutes)), 'minute')} to cut in all`; // prettier-ignore
}

/** What to look at, one after the other, each with the way to its place on the picture. */
function Findings(props: { model: PageModel; state: PageState; onFind: (at: ViewPoint) => void }) {
  const { model, state, onFind } = props;
  const all = toLookAt(state);
  // Parts that were lost are told one by one only to who asks.
  const first = all[0]?.code === 'lost-part' ? -1 : 0;
  const [place, setPlace] = useState<number | undefined>();
  useEffect(() => setPlace(undefined), [state.screen]);
  const at = Math.min(place ?? first, all.length - 1);
  const now = all.length === 0 ? undefined : at < 0 ? 'folded' : all[at];
  const show = ({ at: where }: ToLookAt) => where && onFind({ x: where[0], y: where[1] });
  const go = (by: number) => {
    const next = (at + by + all.length) % all.length;
    setPlace(next);
    show(all[next]);
  };
  if (now === undefined) return <div class="findings-room" />;
  if (now === 'folded')
    return (
      <div class="findings-room">
        <div class="findings note">
          <p>{counted(all.length, 'small part')} of the picture could not be kept.</p>
          <p class="row">
            <button class="link" onClick={() => go(1)}>
              Show {all.length === 1 ? 'it' : 'them one by one'}
            </button>
          </p>
        </div>
      </div>
    );
  return (
    <div class="findings-room">
      <div class={`findings ${now.level}`}>
        <Message key={`${now.code} ${now.message}`} words={inLabels(now.message)} />
        <p class="row">
          {all.length > 1 && (
            <span class="steps">
              <button class="plain round" aria-label="The one before" onClick={() => go(-1)}>
                ‹
              </button>
              <span role="status">
                {at + 1} of {all.length}
              </span>
              <button class="plain round" aria-label="The next one" onClick={() => go(1)}>
                ›
              </button>
            </span>
          )}
          {now.at && (
            <button class="link" onClick={() => show(now)}>
              Show it ({placeIn(state, { x: now.at[0], y: now.at[1] })})
            </button>
          )}
          <Remedy model={model} state={state} of={now} />
        </p>
      </div>
    </div>
  );
}

/** What would help at one click. */
function Remedy({ model, state, of }: { model: PageModel; state: PageState; of: ToLookAt }) {
  const { advised, pageSeen } = state;
  if (of.code === 'page-seen' && pageSeen)
    return (
      <button class="link" onClick={() => model.set({ ...UNMARKED, page: pageSeen.corners })}>
        Lay it flat
      </button>
    );
  if (of.code === 'light-on-dark')
    return (
      <button class="link" onClick={() => model.set({ swap: true })}>
        Cut the lines
      </button>
    );
  if ((of.code === 'parts-lost' || of.code === 'little-kept') && advised?.closerCrop)
    return (
      <button
        class="link"
        title="To the part where most of the picture survives"
        onClick={() => model.set({ crop: advised.closerCrop })}
      >
        Crop closer
      </button>
    );
  if ((of.code === 'faces-lost' || of.code === 'faces-gone') && advised?.facesCrop)
    return (
      <button class="link" onClick={() => model.set({ crop: advised.facesCrop })}>
        Crop to the faces
      </button>
    );
  return null;
}

/** The first sentence; what follows it is there for who asks. */
function Message({ words }: { words: string }) {
  const [, first, rest] = /^(.*?[.!?]) (.+)$/.exec(words) ?? [];
  if (first === undefined) return <p>{words}</p>;
  return (
    <details>
      <summary>{first}</summary>
      <p class="quiet">{rest}</p>
    </details>
  );
}
