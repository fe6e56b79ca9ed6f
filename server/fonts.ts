import type { FontGiven } from '../src/index.js';
import { newId } from './pictures.js';
import { Refusal } from './trouble.js';

/** Font files kept, the one that was given first making room: a person tries a few. */
const MOST = 8;

/** The font files that people gave, in memory and nowhere else. */
export interface Fonts {
  /** @returns the id that it goes by: 128 random bits */
  add(font: FontGiven): string;
  /** @throws Refusal 404 when it is not here, or no more */
  get(id: string): FontGiven;
}

export function createFonts(): Fonts {
  const kept = new Map<string, FontGiven>();
  return {
    add(font) {
      const id = newId();
      kept.set(id, font);
      const [oldest] = kept.keys();
      if (kept.size > MOST) kept.delete(oldest);
      return id;
    },
    get(id) {
      const font = kept.get(id);
      if (font) return font;
      throw new Refusal(
        404,
        'Your font file is not here any more',
        'font',
        'Choose it again, or another typeface; your words and settings are kept',
      );
    },
  };
}
