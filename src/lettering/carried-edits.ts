import type { BridgeEdit, Place } from '../settings/edits.js';
import type { LetterPlace } from '../settings/lettering-settings.js';

/** What became of edits when the words changed. */
export interface CarriedEdits {
  readonly edits: readonly BridgeEdit[];
  /** Edits that were made on letters that are no longer there. */
  readonly left: number;
}

/**
 * Carries edits of bridges along with the letters that they were made on: each is moved, turned and enlarged as its
 * letter is. Which letter is still which is told by the longest text that both have in common, letter by letter.
 *
 */
export function carriedEdits(
  edits: readonly BridgeEdit[],
  before: readonly LetterPlace[],
  now: readonly LetterPlace[],
): CarriedEdits {
  if (edits.length === 0 || before.length === 0) return { edits, left: 0 };
  const still = pairs(before, now);
  const carried: BridgeEdit[] = [];
  let left = 0;
  for (const edit of edits) {
    const letter = nearestLetter(before, edit.do === 'remove' ? edit.at : middleOfBridge(edit));
    const other = letter && still.get(letter);
    if (!letter) carried.push(edit);
    else if (other === undefined) left++;
    else carried.push(movedWithLetter(edit, letter, other));
  }
  return { edits: carried, left };
}

const middleOfBridge = ({ from, to }: { readonly from: Place; readonly to: Place }): Place => [
  (from[0] + to[0]) / 2,
  (from[1] + to[1]) / 2,
];

/** A letter reaches so far along its line and up from it, in ems, and down: that of any usual face. */
const REACH = { before: 0.1, after: 1.2, up: 1.2, down: 0.4 };

/** The letter that a place belongs to: the last on its line that begins before it. */
function nearestLetter(letters: readonly LetterPlace[], place: Place): LetterPlace | undefined {
  const near = letters
    .map((letter) => ({ letter, at: inEms(place, letter) }))
    .filter(
      ({ at: [x, y] }) => x > -REACH.before && x < REACH.after && y > -REACH.up && y < REACH.down,
    );
  return near.reduce<(typeof near)[number] | undefined>(
    (best, one) => (best && best.at[0] <= one.at[0] && best.at[0] >= 0 ? best : one),
    undefined,
  )?.letter;
}

function inEms([x, y]: Place, letter: LetterPlace): Place {
  const [dx, dy] = [x - letter.x, y - letter.y];
  const [cos, sin] = [Math.cos(letter.angle), Math.sin(letter.angle)];
  return [(cos * dx + sin * dy) / letter.scale, (cos * dy - sin * dx) / letter.scale];
}

function onSheet([x, y]: Place, letter: LetterPlace): Place {
  const [cos, sin] = [Math.cos(letter.angle) * letter.scale, Math.sin(letter.angle) * letter.scale];
  return [toThousandth(letter.x + cos * x - sin * y), toThousandth(letter.y + sin * x + cos * y)];
}

const toThousandth = (mm: number): number => Math.round(mm * 1000) / 1000;

function movedWithLetter(edit: BridgeEdit, from: LetterPlace, to: LetterPlace): BridgeEdit {
  const move = (place: Place): Place => onSheet(inEms(place, from), to);
  if (edit.do === 'remove') return { ...edit, at: move(edit.at) };
  const ends = { from: move(edit.from), to: move(edit.to) };
  return edit.do === 'move' ? { ...edit, ...ends, at: move(edit.at) } : { ...edit, ...ends };
}

/** The letters that two texts have in common, in order: a longest common subsequence (Wagner & Fischer 1974). */
function pairs(
  before: readonly LetterPlace[],
  now: readonly LetterPlace[],
): ReadonlyMap<LetterPlace, LetterPlace> {
  const [n, m] = [before.length, now.length];
  const longest = new Int32Array((n + 1) * (m + 1));
  const at = (i: number, k: number): number => i * (m + 1) + k;
  for (let i = n - 1; i >= 0; i--) {
    for (let k = m - 1; k >= 0; k--) {
      longest[at(i, k)] =
        before[i].text === now[k].text
          ? longest[at(i + 1, k + 1)] + 1
          : Math.max(longest[at(i + 1, k)], longest[at(i, k + 1)]);
    }
  }
  const found = new Map<LetterPlace, LetterPlace>();
  for (let [i, k] = [0, 0]; i < n && k < m;) {
    if (before[i].text === now[k].text) found.set(before[i++], now[k++]);
    else if (longest[at(i + 1, k)] >= longest[at(i, k + 1)]) i++;
    else k++;
  }
  return found;
}
