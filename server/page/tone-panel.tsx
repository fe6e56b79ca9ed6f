import { memo } from './memo.js';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { JobInput, Sketch } from '../../src/index.js';
import { completeJob, settings } from '../../src/settings/job.js';
import { api, type PictureInfo } from './api.js';
import { CONTACT_FINENESS, sketchFineness } from './fineness.js';
import { counted, labelOf, metres } from './labels.js';
import { without } from './without.js';
import { errorMessage, type PageState, type PageModel } from './page-model.js';

/** One of the contact sheet: a way to tell dark from light, and what comes of it. */
interface Variant {
  readonly label: string;
  readonly part: Pick<JobInput, 'tone' | 'level'>;
}

/** What is made unless another is taken. */
const CHOSEN: Variant = { label: 'Chosen for you', part: { tone: 'best' } };

const OWN_LEVEL: readonly Variant[] = settings.tone.choices
  .filter((tone) => tone !== 'best' && tone !== 'level')
  .map((tone) => ({ label: labelOf(tone), part: { tone } }));

/** A small stencil, or why there is none. */
type SketchOrReason = Sketch | string;

/** What was made, by its label, and a word for the picture and the settings that it was made of. */
type SketchesByLabel = ReadonlyMap<string, { readonly key: string; readonly told: SketchOrReason }>;

/** Levels at which these shares of the picture are dark. */
const SHARES = [0.08, 0.16, 0.25, 0.35, 0.45, 0.57, 0.7] as const;
/** And this far apart at least, in levels of 100: a flat drawing has but two lightnesses. */
const LEAST_APART = 6;
/**
 * Asked for at a time; the rest of the browser's connections, six to a host in most (common practice, no source), stay
 * free.
 */
const AT_A_TIME = 3;
/**
 * Milliseconds without a change before the small stencils are made anew: longer than between two moves of a control.
 */
const PAUSE_MS = 300;

/** The choice of dark and light: by looking at small stencils, then with a slider. */
export function TonePanel({
  model,
  state,
  picture,
}: {
  model: PageModel;
  state: PageState;
  picture: PictureInfo;
}) {
  return (
    <>
      <LevelSlider model={model} state={state} />
      <SwapSwitch model={model} state={state} />
      <ContactSheet model={model} state={state} picture={picture} />
    </>
  );
}

function LevelSlider({ model, state }: { model: PageModel; state: PageState }) {
  const job = state.draft ?? state.history.now;
  const level = job.level ?? settings.level.default;
  const isLevel = job.tone === 'level';
  const set = (value: number, live: boolean) => model.set({ tone: 'level', level: value }, live);
  return (
    <div class={isLevel ? 'slider' : 'slider resting'}>
      <label for="level">
        Level <strong>{isLevel ? `${level} %` : 'move to set your own'}</strong>
      </label>
      <div class="scale">
        <Histogram shares={state.screen?.histogram ?? []} level={isLevel ? level : undefined} />
        <input
          id="level"
          type="range"
          min={settings.level.min}
          max={settings.level.max}
          step="1"
          value={level}
          onInput={({ currentTarget }) => set(currentTarget.valueAsNumber, true)}
          onChange={({ currentTarget }) => set(currentTarget.valueAsNumber, false)}
        />
      </div>
      <p class="quiet">
        What is darker than this is cut. The hills show how much of your picture has each lightness.
      </p>
    </div>
  );
}

/** What is dark and what is light change places. */
function SwapSwitch({ model, state }: { model: PageModel; state: PageState }) {
  const isSwapped = (state.draft ?? state.history.now).swap === true;
  return (
    <button
      class="plain swap"
      aria-pressed={isSwapped}
      title={isSwapped ? 'The light parts are cut' : 'The dark parts are cut'}
      onClick={() => model.set({ swap: isSwapped ? undefined : true })}
    >
      <svg viewBox="0 0 24 16" aria-hidden="true">
        <path d="M0 0H12V16H0Z" class={isSwapped ? 'pale' : 'dark'} />
        <path d="M12 0H24V16H12Z" class={isSwapped ? 'dark' : 'pale'} />
      </svg>
      Swap dark and light
    </button>
  );
}

const Histogram = memo(
  ({ shares, level }: { shares: readonly number[]; level: number | undefined }) => (
    <svg class="histogram" viewBox="0 0 100 40" preserveAspectRatio="none" aria-hidden="true">
      {shares.map((share, i) => {
        const height = Math.max(0.6, Math.sqrt(share) * 38);
        return (
          <rect
            key={i}
            class={level !== undefined && i < level ? 'dark' : ''}
            x={i}
            width="1.04"
            y={40 - height}
            height={height}
          />
        );
      })}
    </svg>
  ),
);

function ContactSheet({
  model,
  state,
  picture,
}: {
  model: PageModel;
  state: PageState;
  picture: PictureInfo;
}) {
  const { history, screen, draft, working, outdated, failure } = state;
  const now = draft ?? history.now;
  const levels = useMemo(() => levelsFor(screen?.histogram ?? []), [screen?.histogram]);
  const list = useRef<HTMLUListElement>(null);
  const isSeen = useSeen(list);
  const rests = !working && !draft && !outdated && screen !== undefined;
  // Where nothing can be cut of these settings, another way to tell dark from light may help.
  const idle = isSeen && (rests || (failure?.by === 'settings' && !working && !draft));
  const { key, made, ranked } = useSketches(picture, history.now, levels, idle);

  return (
    <ul ref={list} class="contact" aria-label="Ways to tell dark from light">
      {[CHOSEN, ...ranked, ...levels].map(({ label, part }) => {
        const latest = made.get(label);
        const isTaken =
          (now.tone ?? settings.tone.default) === part.tone &&
          (part.tone !== 'level' || now.level === part.level);
        // Of the one that is made the figures are known.
        const exact = isTaken && rests ? screen : undefined;
        const sketch = exact ?? latest?.told;
        return (
          <li key={label}>
            <button
              aria-pressed={isTaken}
              onClick={() =>
                model.set(part.level === undefined ? { ...part, level: undefined } : part)
              }
            >
              <Small
                sketch={typeof sketch === 'object' ? sketch : undefined}
                isOld={!exact && latest?.key !== key}
              />
              <span class="what">{label}</span>
              <span class="how">
                {sketch === undefined
                  ? '…'
                  : typeof sketch === 'string'
                    ? sketch
                    : figures(sketch, exact !== undefined)}
              </span>
            </button>
          </li>
        );
      })}
    </ul>
  );
}

/**
 * Sketches of a picture in all tones, made one after another while the page is idle.
 *
 * @returns what is made so far, by label; `key` tells those of the job as it is now from older ones; `ranked` are the
 *   tones that find their own level, the likest first
 */
function useSketches(
  picture: PictureInfo,
  job: PageState['history']['now'],
  levels: readonly Variant[],
  idle: boolean,
) {
  const base = useMemo(() => without(job, 'tone', 'level'), [job]);
  const key = JSON.stringify([picture.id, base, levels.map(({ part }) => part)]);
  const [made, setMade] = useState<SketchesByLabel>(new Map());
  const last = useRef(made);
  const ranking = useRef<readonly string[]>([]);
  ranking.current = rankedBy(made, key) ?? ranking.current;
  const place = ({ label }: Variant) => ranking.current.indexOf(label);
  useEffect(() => {
    const missing = [CHOSEN, ...OWN_LEVEL, ...levels].filter(
      ({ label }) => last.current.get(label)?.key !== key,
    );
    if (!idle || missing.length === 0) return undefined;
    const stop = new AbortController();
    const timer = setTimeout(() => {
      void makeAll(picture.id, base, missing, stop.signal, (label, told) => {
        last.current = new Map(last.current).set(label, { key, told });
        setMade(last.current);
      });
    }, PAUSE_MS);
    return () => {
      clearTimeout(timer);
      stop.abort();
    };
  }, [idle, key]);
  return { key, made, ranked: OWN_LEVEL.toSorted((a, b) => place(a) - place(b)) };
}

/** Whether any of an element can be seen: what nobody looks at is not worth the model. */
function useSeen(element: { readonly current: Element | null }): boolean {
  const [isSeen, setIsSeen] = useState(false);
  useEffect(() => {
    if (!element.current) return undefined;
    const observer = new IntersectionObserver((entries) =>
      setIsSeen(entries.some(({ isIntersecting }) => isIntersecting)),
    );
    observer.observe(element.current);
    return () => observer.disconnect();
  }, [element]);
  return isSeen;
}

const Small = memo(({ sketch, isOld }: { sketch: Sketch | undefined; isOld: boolean }) => {
  if (!sketch) return <span class="blank" />;
  const { sheet, openings } = sketch;
  return (
    <svg
      class={isOld ? 'old' : ''}
      viewBox={`0 0 ${sheet.widthMm} ${sheet.heightMm}`}
      aria-hidden="true"
    >
      <rect width={sheet.widthMm} height={sheet.heightMm} fill="#fdfcf9" />
      <path class="ink" d={openings} fill-rule="evenodd" />
    </svg>
  );
});

/** What a small stencil comes to; those of a sketch are rough. */
function figures({ pieces, bridges, cutMm }: Sketch, isExact: boolean): string {
  const told = `${counted(pieces, 'piece')}, ${counted(bridges.length, 'bridge')}, ${metres(cutMm)}`;
  return isExact ? told : `about ${told}`;
}

function levelsFor(histogram: readonly number[]): readonly Variant[] {
  const total = histogram.reduce((sum, share) => sum + share, 0);
  const levels: number[] = [];
  let seen = 0;
  let next = 0;
  histogram.forEach((share, i) => {
    seen += share;
    while (next < SHARES.length && total > 0 && seen >= SHARES[next] * total) {
      const least = (levels[levels.length - 1] ?? 0) + LEAST_APART;
      levels.push(Math.max(i + 1, least));
      next++;
    }
  });
  return levels
    .filter((level) => level <= settings.level.max)
    .map((level) => ({ label: `Level ${level} %`, part: { tone: 'level', level } }));
}

/** The labels of those that find their own level, the likest first; nothing before all of them are made. */
function rankedBy(made: SketchesByLabel, key: string): readonly string[] | undefined {
  const ranked: { readonly label: string; readonly likeness: number }[] = [];
  for (const { label } of OWN_LEVEL) {
    const { key: of, told } = made.get(label) ?? {};
    if (of !== key || told === undefined) return undefined;
    ranked.push({ label, likeness: typeof told === 'object' ? (told.likeness ?? 0) : 0 });
  }
  return ranked.sort((a, b) => b.likeness - a.likeness).map(({ label }) => label);
}

/** Asks for all small stencils, a few at a time. */
async function makeAll(
  id: string,
  base: JobInput,
  variants: readonly Variant[],
  signal: AbortSignal,
  onMade: (label: string, sketch: SketchOrReason) => void,
): Promise<void> {
  const waiting = [...variants.entries()];
  const one = async () => {
    for (let next = waiting.shift(); next && !signal.aborted; next = waiting.shift()) {
      const [i, { label, part }] = next;
      try {
        const fineness = sketchFineness(completeJob(base), CONTACT_FINENESS);
        onMade(
          label,
          await api.sketch(id, { ...base, ...part, fineness }, `contact-${i}`, true, signal),
        );
      } catch (error) {
        if (signal.aborted) return;
        onMade(label, errorMessage(error).what);
      }
    }
  };
  await Promise.all(Array.from({ length: AT_A_TIME }, one));
}
