import { createHash } from 'node:crypto';
import { declareClassPlugin, PluginKind } from '@stryker-mutator/api/plugin';

/**
 * Whether a mutant is one of a share of all, the same ones each time: those whose hash is small. Every mutant has the
 * same chance, so that the share's score is an estimate of the whole's.
 *
 * @param {{ fileName: string, location: object, mutatorName: string, replacement: string }} mutant
 * @param {number} share from 0 to 1
 */
export function isInShare({ fileName, location, mutatorName, replacement }, share) {
  const file = fileName.replaceAll('\\', '/').replace(/^.*\/src\//, 'src/');
  const what = JSON.stringify([file, location, mutatorName, replacement]);
  return createHash('sha256').update(what).digest().readUInt32BE(0) / 2 ** 32 < share;
}

/** Lets a share through; the other mutants count as code that can't be run, which is in no score. */
class MutantsShare {
  #share = Number(process.env.MUTANTS_SHARE ?? 1);

  async init() {}

  async check(mutants) {
    return Object.fromEntries(mutants.map((mutant) => [mutant.id, this.#judged(mutant)]));
  }

  #judged(mutant) {
    return isInShare(mutant, this.#share)
      ? { status: 'passed' }
      : { status: 'compileError', reason: 'Not in the share' };
  }
}

export const strykerPlugins = [declareClassPlugin(PluginKind.Checker, 'share', MutantsShare)];
