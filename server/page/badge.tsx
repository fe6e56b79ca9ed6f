import type { PageState } from './page-model.js';
import { leadOf } from './verdict.js';

/** What is going on, on the picture itself. */
export function Badge({ state, isHeld }: { state: PageState; isHeld: boolean }) {
  const { sketch, screen, working, outdated, failure } = state;
  const isCoarse = sketch !== undefined && sketch !== screen;
  const { lead, isBad } = leadOf(state);
  if (isBad && !isCoarse && !working && !isHeld && !outdated)
    return (
      // What was announced by the verdict, for whose eyes are on the picture: it may be out of sight.
      <p class="badge bad" aria-hidden="true">
        {lead}
      </p>
    );
  return (
    <p class="badge" role="status">
      {isCoarse
        ? 'A quick sketch while you move it'
        : working
          ? sketch
            ? 'Working …'
            : 'Making the stencil …'
          : isHeld
            ? 'Your picture'
            : outdated
              ? `From before: ${failure?.by === 'server' ? 'the server does not answer' : 'no stencil of these settings'}`
              : ''}
    </p>
  );
}
