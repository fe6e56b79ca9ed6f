/** Something about the stencil that a person should know. */
export interface Finding {
  /** An error is a promise that the stencil does not keep. */
  readonly level: 'error' | 'warning' | 'note';
  readonly code:
    | 'loose-island'
    | 'weak-hold'
    | 'narrow-opening'
    | 'small-opening'
    | 'tight-turn'
    | 'in-margin'
    | 'detail-lost'
    | 'parts-lost'
    | 'left-out'
    | 'unused-edit'
    | 'removed-bridge-drops-island';
  readonly message: string;
  /** Where, in mm from the sheet's left and top edge. */
  readonly at?: readonly [number, number];
}
