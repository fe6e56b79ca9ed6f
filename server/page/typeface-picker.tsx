import { useEffect, useState } from 'preact/hooks';
import type { JobInput, TypefaceSample } from '../../src/index.js';
import { typefaceKinds } from '../../src/settings/lettering-settings.js';
import { api } from './api.js';
import { errorMessage } from './page-model.js';

/** Milliseconds after the last change before the typefaces are drawn anew. */
const PAUSE_MS = 300;

/** The typefaces, each with a person's own words in it, and the smallest capitals that her tool and limits can cut. */
export function TypefacePicker({
  lines,
  job,
  font,
  chosen,
  onChoose,
}: {
  lines: readonly string[];
  job: JobInput;
  /** A font file of her own that the server holds. */
  font: string | undefined;
  chosen: string;
  onChoose: (kind: string) => void;
}) {
  const [samples, setSamples] = useState<readonly TypefaceSample[]>([]);
  const [trouble, setTrouble] = useState('');
  const { tool, narrowestOpening, narrowestStrip, smallestOpening, bridgeWidth } = job;
  const limits = { tool, narrowestOpening, narrowestStrip, smallestOpening, bridgeWidth };
  const key = JSON.stringify([lines, limits, font]);
  useEffect(() => {
    const asking = new AbortController();
    const given = Object.entries(limits).filter(([, value]) => value !== undefined);
    const timer = setTimeout(() => {
      api.typefaces(lines, Object.fromEntries(given), font, asking.signal).then(
        (told) => {
          setSamples(told);
          setTrouble('');
        },
        (error: unknown) => {
          if (!asking.signal.aborted) setTrouble(`${errorMessage(error).what}.`);
        },
      );
    }, PAUSE_MS);
    return () => {
      clearTimeout(timer);
      asking.abort();
    };
  }, [key]);
  return (
    <fieldset class="typefaces">
      <legend>Typeface</legend>
      {/* As much room as the typefaces take, so that nothing below moves when they come. */}
      {samples.length === 0 &&
        typefaceKinds.map((kind, i) => (
          <p key={kind} class="to-come" role={i === 0 ? 'status' : undefined}>
            {i === 0 && trouble === '' && 'Drawing your words …'}
          </p>
        ))}
      {samples.map((sample) => (
        <label key={sample.kind} class={sample.kind === chosen ? 'chosen' : ''}>
          <input
            type="radio"
            name="typeface"
            value={sample.kind}
            checked={sample.kind === chosen}
            disabled={sample.least === undefined}
            onChange={() => sample.kind !== 'own' && onChoose(sample.kind)}
          />
          <Sample {...sample} />
          <span>
            <strong>{sample.kind === 'own' ? sample.name : sample.kind}</strong>{' '}
            {sample.least === undefined
              ? 'has not all of your letters'
              : `capitals from ${(Math.ceil(sample.least * 10) / 10).toFixed(1)} mm`}
          </span>
        </label>
      ))}
      {trouble !== '' && <p role="status">{trouble}</p>}
    </fieldset>
  );
}

/** Words as they are cut in a typeface: bridges in the colour of what lies under them. */
function Sample({ letters, bridges = [], widthMm = 0, heightMm = 0, says }: TypefaceSample) {
  if (letters === undefined) return null;
  return (
    <svg viewBox={`0 0 ${widthMm} ${heightMm}`} preserveAspectRatio="xMinYMid meet" role="img">
      <title>{says}</title>
      <path d={letters} fill-rule="evenodd" />
      {bridges.map(({ from, to, widthMm: wide }, i) => {
        const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
        const [dx, dy] = [(to.x - from.x) / length, (to.y - from.y) / length].map(
          (way) => way * OVER_MM,
        );
        return (
          <line
            key={i}
            x1={from.x - dx}
            y1={from.y - dy}
            x2={to.x + dx}
            y2={to.y + dy}
            stroke-width={wide}
          />
        );
      })}
    </svg>
  );
}

/** Beyond a stroke, so that nothing of it shows at a bridge's end. */
const OVER_MM = 0.3;
