/** How a picture is made into layers of paint; what is left out is found. */
export interface LayersInput {
  readonly count: string;
  readonly laid?: 'nested' | 'separate';
  /** One colour for each layer, with commas between. */
  readonly paints?: string;
}
