import {
  checkSettings,
  findHand,
  handSettings,
  Problem,
  readHands,
  type JobInput,
} from '../src/index.js';
import { textOf, type Given } from './command.js';
import { configFolder } from './config-folder.js';
import { commandLine, settingsGiven } from './options.js';

/**
 * The settings of a command line: those of the hand that it names, if any, and over them its own.
 *
 * @throws Problem for a setting that can't be, and for a hand that is not there or has another tool
 */
export async function settingsOfHand(options: Given): Promise<JobInput> {
  const given = checkSettings(settingsGiven(options), commandLine);
  const name = textOf(options, 'hand');
  if (name === undefined) return given;
  const hand = handSettings(findHand(await readHands(configFolder()), name));
  if (given.tool && given.tool !== hand.tool) {
    throw new Problem(
      `The hand "${name}" was tried with the tool ${hand.tool}`,
      '--hand, --tool',
      `Leave --tool out, or name a hand for ${given.tool}`,
    );
  }
  return { ...hand, ...given };
}
