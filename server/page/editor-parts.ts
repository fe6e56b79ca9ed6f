import type { ViewPoint } from './viewport.js';

/** What an editor adds to the canvas. */
export interface EditorParts {
  /** Takes a press; false leaves it to panning. */
  readonly down: (at: ViewPoint, event: PointerEvent) => boolean;
  readonly move: (at: ViewPoint, event: PointerEvent) => void;
  readonly up: (at: ViewPoint, event: PointerEvent) => void;
  readonly cancel: () => void;
  /** Takes a key; false leaves it to the canvas. */
  readonly key: (event: KeyboardEvent) => boolean;
}
