import type { PageModel, PageState } from './page-model.js';
import type { Viewport, ViewPoint } from './viewport.js';
/** What an editor on the sheet is handed. */
export interface SheetEditorProps {
  readonly model: PageModel;
  readonly state: PageState;
  readonly viewport: Viewport;
  /** What it adds to the canvas is put here. */
  readonly parts: { current: EditorParts | undefined };
  /** Tells a person what was chosen or done, or why nothing was. */
  readonly say: (text: string) => void;
}

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
