import {
  checkSettings,
  completeJob,
  findHand,
  handSettingsFor,
  overlay,
  Problem,
  readHands,
  readLayersTold,
  readSettingsFile,
  readWordsTold,
  type Job,
  type JobInput,
  type LayersTold,
} from '../src/index.js';
import {
  textOf,
  positionalArguments,
  type CommandArguments,
  type OptionsByName,
} from './command.js';
import { configFolder } from './config-folder.js';
import { commandLine, settingsGiven } from './options.js';
import { settingOptions } from './setting-option.js';

/** The options that a job is read from. */
export const jobOptions: OptionsByName = {
  ...settingOptions(),
  settings: {
    type: 'string',
    value: 'FILE',
    group: 'Files',
    describe:
      'Takes settings from a JSON file, {"card": "4x4in", "narrowestOpening": 2}, or from the report.json of a stencil. What you set on the command line goes before it.',
  },
  hand: {
    type: 'string',
    value: 'NAME',
    group: 'Files',
    describe:
      'Takes the limits of your own hand, as saved with stencilwright hand, in place of the tool’s.',
  },
};

/**
 * The whole job of a command line.
 *
 * @param usual settings that hold unless the command line or its hand says otherwise; over those of a settings file
 * @throws Problem for a settings file that can't be read, and for settings that can't be
 */
export async function readJob(options: CommandArguments, usual: JobInput = {}): Promise<Job> {
  const file = textOf(options, 'settings');
  const origin = file === undefined ? commandLine : { ...commandLine, where: file };
  return completeJob(await readSettings(options, usual), origin);
}

/** The settings of the file, if any, and over them those of the command line. */
export async function readSettings(
  options: CommandArguments,
  usual: JobInput = {},
): Promise<JobInput> {
  const file = textOf(options, 'settings');
  const under = file === undefined ? {} : await readSettingsFile(file);
  const given = { ...usual, ...(await settingsOfHand(options, { ...under, ...usual })) };
  return file === undefined ? given : overlay(under, given);
}

/** What the file of settings, if any, says of layers: it may be the report of a set, or of one of its layers. */
export async function readLayers(options: CommandArguments): Promise<LayersTold | undefined> {
  const file = textOf(options, 'settings');
  return file === undefined ? undefined : readLayersTold(file);
}

/**
 * Sends a person who gives the report of words, and no picture, to the command that makes words.
 *
 * @throws Problem that says so
 */
export async function refuseWordsReport(options: CommandArguments): Promise<void> {
  const file = textOf(options, 'settings');
  if (file === undefined || positionalArguments(options).length > 0) return;
  if (!(await readWordsTold(file))) return;
  throw new Problem(
    'No picture is named, and this is the report of words',
    file,
    `To make the words again, write: stencilwright words --settings ${file}`,
  );
}

/**
 * The one picture that a command takes.
 *
 * @param remedy what to do when none or several are named
 * @throws Problem that says so
 */
export function onePicture(given: CommandArguments, remedy: string): string {
  const words = positionalArguments(given);
  if (words.length === 1) return words[0];
  throw new Problem(
    words.length === 0 ? 'No picture is named' : `Several pictures are named: ${words.join(', ')}`,
    commandLine.where,
    remedy,
  );
}

/**
 * The settings of a command line: those of the hand that it names, if any, and over them its own.
 *
 * @param usual settings that hold unless the command line says otherwise
 * @throws Problem for a setting that can't be, and for a hand that is not there or has another tool
 */
async function settingsOfHand(options: CommandArguments, usual: JobInput): Promise<JobInput> {
  const given = checkSettings(settingsGiven(options), commandLine);
  const name = textOf(options, 'hand');
  if (name === undefined) return given;
  const saved = findHand(await readHands(configFolder()), name);
  const { as, fold, foldPanels, tool } = { ...usual, ...given };
  const hand = handSettingsFor(saved, {
    as: as ?? 'stencil',
    ...(fold && { fold }),
    ...(foldPanels && { foldPanels }),
    ...(tool && { tool }),
  });
  if (given.tool && hand.tool && given.tool !== hand.tool) {
    throw new Problem(
      `The hand "${name}" was tried with the tool ${hand.tool}`,
      '--hand, --tool',
      `Leave --tool out, or name a hand for ${given.tool}`,
    );
  }
  return { ...hand, ...given };
}
