import { arrowMm, sheetCentre } from './cursor.js';
import { shiftedBy } from './nudge.js';
import type { PageState } from './page-model.js';
import type { ViewPoint } from './viewport.js';

/** What the keys of an editor on the sheet do to the things that it edits. */
export interface EditorKeys {
  /** Chooses the next one, or the one before. */
  readonly go: (by: 1 | -1) => void;
  /** Removes what is chosen, or says that nothing is. */
  readonly remove: () => void;
  /** Chooses nothing, and leaves off what is being drawn. */
  readonly leaveOff: () => void;
  /** Moves what is chosen by so many mm; false where nothing is chosen that arrows move. */
  readonly nudge: (by: ViewPoint) => boolean;
  /** Where the cursor is that arrow keys move; it begins at the sheet's middle. */
  readonly cursor: ViewPoint | undefined;
  /** The cursor was moved to this place, in mm. */
  readonly point: (at: ViewPoint) => void;
  /** Enter at the cursor: begins something new, or ends what was begun. */
  readonly enter: (at: ViewPoint) => void;
}

/**
 * Takes a key in an editor: N and P go from one thing to the next, Delete removes, Escape leaves off, arrows move what is
 * chosen or else a cursor, and Enter draws with that.
 *
 * @returns false for a key that is left to the canvas
 */
export function takeKey(event: KeyboardEvent, state: PageState, keys: EditorKeys): boolean {
  const key = event.key.toLowerCase();
  const step = arrowMm(event);
  if (key === 'n' || key === 'p') keys.go(key === 'n' ? 1 : -1);
  else if (key === 'delete' || key === 'backspace') keys.remove();
  else if (key === 'escape') keys.leaveOff();
  else if (step) {
    if (keys.nudge(step)) return true;
    keys.point(shiftedBy(keys.cursor ?? sheetCentre(state), step.x, step.y));
  } else if (key === 'enter' && keys.cursor) keys.enter(keys.cursor);
  else return false;
  return true;
}

/** The thing that follows the chosen one, or comes before it, round and round; the first or the last where none is chosen. */
export function nextOf<One>(all: readonly One[], chosen: One | undefined, by: 1 | -1): One {
  const now = chosen === undefined ? (by === 1 ? -1 : 0) : all.indexOf(chosen);
  return all[(now + by + all.length) % all.length];
}
