/** The parts of bidi-js 1.1.0 that are used: it has no types of its own. */
declare module 'bidi-js' {
  export interface EmbeddingLevels {
    readonly levels: Uint8Array;
  }

  export default function bidiFactory(): {
    getEmbeddingLevels(text: string, direction?: 'ltr' | 'rtl'): EmbeddingLevels;
  };
}
