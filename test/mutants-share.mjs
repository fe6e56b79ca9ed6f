import { createHash } from 'node:crypto';
import { relative } from 'node:path';
import { declareClassPlugin, PluginKind } from '@stryker-mutator/api/plugin';

/**
 * Lets a share of all mutants through, the same ones each time: those whose hash is small. Every mutant has the same
 * chance, so that the share's score is an estimate of the whole's. The others count as code that can't be run, which
 * is in no score.
 */
class MutantsShare {
  #most = Number(process.env.SHARE ?? 1);

  async init() {
    if (!(this.#most > 0 && this.#most <= 1)) throw new Error('SHARE is a number from 0 to 1');
  }

  async check(mutants) {
    return Object.fromEntries(mutants.map((mutant) => [mutant.id, this.#judged(mutant)]));
  }

  #judged({ fileName, location, replacement, mutatorName }) {
    const file = relative(process.cwd(), fileName);
    const { start, end } = location;
    const what = JSON.stringify([file, start, end, mutatorName, replacement]);
    const place = createHash('sha256').update(what).digest().readUInt32BE(0) / 2 ** 32;
    return place < this.#most
      ? { status: 'passed' }
      : { status: 'compileError', reason: 'Not in the share' };
  }
}

export const strykerPlugins = [declareClassPlugin(PluginKind.Checker, 'share', MutantsShare)];
