import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { checkHand, type SavedHand, type HandInput } from './hands.js';
import { didYouMean } from '../../settings/words/nearest.js';
import { Problem } from '../../settings/problem.js';
import { openFolder, writeWhole } from '../../disk/write.js';

const FILE = 'hands.json';

/**
 * The hands that a person saved, in the order in which they were saved; none where there is no file yet.
 *
 * @param folder the folder for the program's own settings
 * @throws Problem when the file can't be read, or holds something else; it is left as it is
 */
export async function readHands(folder: string): Promise<readonly SavedHand[]> {
  const path = join(folder, FILE);
  const text = await readIfThere(path);
  if (text === undefined) return [];
  const found = parse(text, path);
  return found.map((hand) => checkHand(hand, path));
}

/**
 * Saves a hand, in the place of one of the same name. The file is written whole or not at all.
 *
 * @throws Problem when the file can't be read or written; what was in it is then still there
 */
export async function saveHand(folder: string, hand: SavedHand): Promise<void> {
  const others = (await readHands(folder)).filter(({ name }) => name !== hand.name);
  await write(folder, [...others, hand]);
}

/**
 * Forgets a hand.
 *
 * @throws Problem when there is none of that name, or the file can't be read or written
 */
export async function forgetHand(folder: string, name: string): Promise<void> {
  const hands = await readHands(folder);
  const { name: known } = findHand(hands, name);
  await write(
    folder,
    hands.filter((hand) => hand.name !== known),
  );
}

/**
 * The hand of a name.
 *
 * @throws Problem that names those that there are
 */
export function findHand(hands: readonly SavedHand[], name: string): SavedHand {
  const found = hands.find((hand) => hand.name === name.trim());
  if (found) return found;
  const names = hands.map((hand) => hand.name);
  throw new Problem(
    `There is no hand called "${name}"`,
    'hand',
    names.length > 0
      ? didYouMean(name, names, `The hands that were saved are: ${names.join(', ')}`)
      : 'None was saved yet: cut a practice strip (stencilwright practice), then save what came out (stencilwright hand NAME …)',
  );
}

async function readIfThere(path: string): Promise<string | undefined> {
  try {
    return await readFile(path, 'utf8');
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw new Problem("The saved hands can't be read", path, 'Check that you may read that file', {
      cause,
    });
  }
}

function parse(text: string, path: string): readonly HandInput[] {
  const hands = asJson(text);
  const isList = Array.isArray(hands) && hands.every((hand) => typeof hand === 'object' && hand);
  if (isList) return hands as readonly HandInput[];
  throw new Problem(
    'The file with the saved hands is damaged, so it was left alone',
    path,
    'Mend it, or move it away and save your hand again',
  );
}

/** What a text says in JSON; undefined when it is none. */
function asJson(text: string): unknown {
  try {
    return (JSON.parse(text) as { readonly hands?: unknown } | null)?.hands;
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}

/** Whole or not at all. */
async function write(folder: string, hands: readonly SavedHand[]): Promise<void> {
  await openFolder(folder);
  await writeWhole(folder, { name: FILE, bytes: `${JSON.stringify({ hands }, null, 2)}\n` });
}
