/** What the pointer does on the large view. */
export type EditingTool =
  | 'look'
  | 'strokes'
  | 'bridges'
  | 'regions'
  | 'areas'
  | 'subject'
  | 'faces'
  | 'finer'
  | 'crop';
