import { createRequire } from 'node:module';
import type bidiFactory from 'bidi-js';

/*
 * Text of both directions, by the Unicode Bidirectional Algorithm (Unicode Standard Annex #9).
 */

const require = createRequire(import.meta.url);
let bidi: ReturnType<typeof bidiFactory> | undefined;

/** The embedding level of each UTF-16 unit of a text; odd ones run from right to left. Loaded when it is first asked. */
export function levelsOf(text: string): Uint8Array {
  bidi ??= (require('bidi-js') as typeof bidiFactory)();
  return bidi.getEmbeddingLevels(text).levels;
}

/** Rule L2: from the highest level down to the lowest odd one, what lies at that level or higher is turned round. */
export function inOrderOfPage<Run extends { readonly level: number }>(runs: readonly Run[]): Run[] {
  const ordered = [...runs];
  for (let level = Math.max(0, ...runs.map((run) => run.level)); level > 0; level--) {
    for (let i = 0; i < ordered.length; i++) {
      let end = i;
      while (end < ordered.length && ordered[end].level >= level) end++;
      if (end > i) ordered.splice(i, end - i, ...ordered.slice(i, end).reverse());
      i = end;
    }
  }
  return ordered;
}
