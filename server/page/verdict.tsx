import type { ViewPoint } from './viewport.js';
import { counted, inLabels, metres, short } from './words.js';
import type { State, PageState } from './work.js';

/** Findings that are told one by one: as many as stay in sight beside the stencil; the report has them all. */
const MOST_TOLD = 6;
/** Notes that are told along with what is worse: she may have wanted something else. */
const ALWAYS_TOLD: ReadonlySet<string> = new Set([
  'unused-setting',
  'first-of-many',
  'letters-heavier',
  'letters-spaced',
]);

/** In a sentence, whether it can be cut; then what to look at. */
export function Verdict(props: { work: PageState; state: State; onFind: (at: ViewPoint) => void }) {
  const { work, state, onFind } = props;
  const { sketch, screen, advised } = state;
  if (!sketch) {
    return (
      <section class="verdict" aria-live="polite">
        <p class="lead">{state.trouble ? 'No stencil yet.' : 'Making the stencil …'}</p>
      </section>
    );
  }
  if (state.outdated) return <Outdated />;
  const { pieces, bridges, cutMm, looseCount, strokeCount, glueMm, tone } = sketch;
  const isGlue = strokeCount > 0;
  const exact = screen === sketch ? screen : undefined;
  const findings = (exact && (advised ?? exact))?.findings ?? [];
  const errors = findings.filter(({ level }) => level === 'error');
  const told = findings.filter(({ level, code }) => level !== 'note' || ALWAYS_TOLD.has(code));
  const bad = looseCount > 0 || errors.length > 0;
  return (
    <section class={bad ? 'verdict bad' : 'verdict'}>
      <p class="lead" aria-live="polite">
        {looseCount > 0
          ? `${counted(looseCount, 'island')} would fall out.`
          : errors.length > 0
            ? `Look before you ${isGlue ? 'draw' : 'cut'}.`
            : exact
              ? isGlue
                ? 'Good: one piece, it can be drawn.'
                : 'Good: one piece, it holds, it can be cut.'
              : 'One piece so far.'}
      </p>
      <p class="facts">
        {isGlue
          ? `${counted(strokeCount, 'stroke')} · ${metres(glueMm)} of glue`
          : `${counted(pieces, 'piece')} to cut away · ${counted(bridges.length, 'bridge')} · ${metres(cutMm)} of cutting`}
        {exact &&
          !isGlue &&
          ` · the print changes ${(exact.fidelity * 100).toFixed(1)} % of the card`}
      </p>
      {told.length > 0 && (
        <ul class="findings">
          {told.slice(0, MOST_TOLD).map(({ level, code, message, at }, i) => (
            <li key={i} class={level}>
              <Message words={inLabels(message)} />
              {at && (
                <button class="link" onClick={() => onFind({ x: at[0], y: at[1] })}>
                  Show it ({short(at[0])}, {short(at[1])} mm)
                </button>
              )}
              {code === 'parts-lost' && advised?.closerCrop && (
                <button class="link" onClick={() => work.set({ crop: advised.closerCrop })}>
                  Crop to where most of it survives
                </button>
              )}
              {code === 'faces-lost' && advised?.facesCrop && (
                <button class="link" onClick={() => work.set({ crop: advised.facesCrop })}>
                  Crop to the faces
                </button>
              )}
            </li>
          ))}
          {told.length > MOST_TOLD && <li>… and {told.length - MOST_TOLD} more in the report</li>}
        </ul>
      )}
      <details class="why">
        <summary>Why it looks like this</summary>
        <p class="quiet">{tone.why}</p>
      </details>
    </section>
  );
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

/** Why there is none is told at the top of the page. */
function Outdated() {
  return (
    <section class="verdict bad" aria-live="polite">
      <p class="lead">No stencil of these settings.</p>
      <p class="quiet">What you see is the last one that could be made. Change them, or undo.</p>
    </section>
  );
}
