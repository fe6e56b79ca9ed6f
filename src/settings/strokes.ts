/** More strokes than a person draws in one sitting. By eye. */
export const MANY_STROKES = 80;
