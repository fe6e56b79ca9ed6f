import type { PageState } from './page-model.js';
import type { Viewport } from './viewport.js';

/** Where the bridges lie, while one looks. */
export function BridgePlaces({ state, viewport }: { state: PageState; viewport: Viewport }) {
  return (
    <g class="bridge-marks" aria-hidden="true">
      {state.sketch?.bridges.map(({ from, to }, i) => (
        <line
          key={i}
          x1={from.x}
          y1={from.y}
          x2={to.x}
          y2={to.y}
          stroke-width={2.5 / viewport.pxPerMm}
        />
      ))}
    </g>
  );
}

/** Where a promise is broken. */
export function FindingMarks({ state, viewport }: { state: PageState; viewport: Viewport }) {
  const { screen, sketch } = state;
  if (!screen || screen !== sketch) return null;
  const radius = 9 / viewport.pxPerMm;
  return (
    <g class="marks" aria-hidden="true">
      {screen.findings.map(({ level, at }, i) =>
        at && level !== 'note' ? (
          <circle
            key={i}
            class={level}
            cx={at[0]}
            cy={at[1]}
            r={radius}
            stroke-width={2 / viewport.pxPerMm}
          />
        ) : null,
      )}
    </g>
  );
}
