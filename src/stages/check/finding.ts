import type { Shortfall } from '../../settings/words/shortfall.js';

/** Something about the stencil that a person should know. */
export interface Finding {
  /** An error is a promise that the stencil does not keep. */
  readonly level: 'error' | 'warning' | 'note';
  readonly code:
    | Shortfall
    | 'loose-island'
    | 'weak-hold'
    | 'narrow-opening'
    | 'small-opening'
    | 'tight-turn'
    | 'in-margin'
    | 'detail-lost'
    | 'subject-lost'
    | 'parts-lost'
    | 'left-out'
    | 'faces-lost'
    | 'faces-not-found'
    | 'line-lost'
    | 'light-on-dark'
    | 'light-parts'
    | 'lines-merged'
    | 'beads-merge'
    | 'tight-bend'
    | 'many-strokes'
    | 'one-mass'
    | 'parts-joined'
    | 'unused-edit'
    | 'unused-setting'
    | 'first-of-many'
    | 'letters-small'
    | 'letters-heavier'
    | 'lines-thinned'
    | 'letters-spaced'
    | 'removed-bridge-drops-island'
    | 'removed-join-drops-part'
    | 'fold-place'
    | 'evened-out'
    | 'many-layers'
    | 'creep'
    | 'opening-joined'
    | 'opening-moved'
    | 'opening-left-out';
  /** A sentence or more; names of settings between backticks, as in `motifSize`. */
  readonly message: string;
  /** Where, in mm from the sheet's left and top edge. */
  readonly at?: readonly [number, number];
}
