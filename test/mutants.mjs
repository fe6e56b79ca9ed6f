/**
 * `npm run mutants [-- share [path…]]`: changes the code of raster, geometry and stages in small ways, one at a time,
 * and looks which tests notice. A share of 0.05 tries one in twenty of the changes; paths name the files or folders.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Stryker } from '@stryker-mutator/core';
import { Instrumenter } from '@stryker-mutator/instrumenter';
import { isInShare } from './mutants-share.mjs';

const FOLDERS = ['src/raster', 'src/geometry', 'src/stages'];

const [share = '1', ...paths] = process.argv.slice(2);
if (!(Number(share) > 0 && Number(share) <= 1)) throw new Error('Give a share from 0 to 1');
process.env.MUTANTS_SHARE = share;

const mutants = await mutantsIn(sources(paths));
const tried = mutants.filter((mutant) => isInShare(mutant, Number(share)));
console.log(`${tried.length} of ${mutants.length} mutants`);
if (tried.length === 0)
  throw new Error('No mutant is among these: give a larger share or other paths');
// Code that could be changed at every place would run many times as long: it is at those of the share alone.
await new Stryker({ mutate: tried.map(rangeOf) }).runMutationTest();

function sources(wanted) {
  return FOLDERS.flatMap((folder) =>
    readdirSync(folder, { recursive: true }).map((name) => join(folder, name)),
  ).filter(
    (file) =>
      file.endsWith('.ts') && (wanted.length === 0 || wanted.some((path) => file.startsWith(path))),
  );
}

async function mutantsIn(files) {
  const silent = { debug() {}, info() {}, isDebugEnabled: () => false };
  const read = files.map((name) => ({ name, mutate: true, content: readFileSync(name, 'utf8') }));
  const options = { plugins: null, excludedMutations: [], ignorers: [] };
  return (await new Instrumenter(silent).instrument(read, options)).mutants;
}

/** Lines from 1, columns from 0. */
function rangeOf({ fileName, location: { start, end } }) {
  return `${fileName}:${start.line + 1}:${start.column}-${end.line + 1}:${end.column}`;
}
