import { openTypeface } from '../lettering/open-typeface.js';
import { setLine, type SetLine } from '../lettering/typeset.js';
import { typefaceKinds, type LetteringJob } from '../settings/lettering-settings.js';
import { Problem } from '../settings/problem.js';

/** Typefaces that are told where one does not fit. */
const MOST_OFFERED = 2;

/** A few typefaces besides the one that is set, in which the same words do. */
export async function otherFaces(
  lines: readonly SetLine[],
  set: LetteringJob,
  isGood: (lines: readonly SetLine[]) => boolean,
): Promise<readonly string[]> {
  const texts = lines.map(({ text }) => text);
  const found: string[] = [];
  for (const kind of typefaceKinds) {
    if (kind === set.face || found.length === MOST_OFFERED) continue;
    const faces = await openTypeface(kind, texts.join(''));
    const own = unlessLacking(() => texts.map((text) => setLine(text, faces)));
    if (own && isGood(own)) found.push(kind);
  }
  return found;
}

export function unlessLacking<T>(work: () => T): T | undefined {
  try {
    return work();
  } catch (error) {
    if (error instanceof Problem) return undefined;
    throw error;
  }
}
