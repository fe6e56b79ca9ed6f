/** What the pointer does on the large view. */
export type EditingTool =
  'look' | 'bridges' | 'regions' | 'areas' | 'subject' | 'faces' | 'finer' | 'crop';
