/** One picture: the name of its file beside draw.ts and what fills it. */
export interface Sample {
  readonly file: string;
  /**
   * @param scale photographs only: pixels computed for each pixel of the picture along a side; small for a quick look
   */
  readonly draw: (scale?: number) => Promise<Uint8Array>;
}
