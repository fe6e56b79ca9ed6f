import { readFile } from 'node:fs/promises';
import { isObject } from './edits.js';
import { checkSettings, type JobInput } from './job.js';
import { Problem } from './problem.js';

/**
 * Reads settings from a JSON file: an object of them by name, or a whole report, whose `job` is one.
 *
 * @param where what to call the file in an error
 * @throws Problem when the file can't be read, is no such JSON, or holds a bad setting
 */
export async function readSettingsFile(path: string, where = path): Promise<JobInput> {
  const found = parse(await read(path, where), where);
  const job = isObject(found) && isObject(found.job) ? found.job : found;
  if (!isObject(job)) {
    throw new Problem(
      'This file holds no settings',
      where,
      'Write {"card": "4x4in"}, or give a report.json',
    );
  }
  return checkSettings(job, { where, spell: (name) => name });
}

async function read(path: string, where: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (cause) {
    throw new Problem(
      "The settings file can't be read",
      where,
      'Check its name, and that it is a file that you may read',
      { cause },
    );
  }
}

function parse(text: string, where: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, '')) as unknown;
  } catch (cause) {
    throw new Problem(
      `The settings file is not JSON: ${cause instanceof Error ? cause.message : 'unreadable'}`,
      where,
      'Write {"card": "4x4in"}, or give the report.json of a stencil',
      { cause },
    );
  }
}
