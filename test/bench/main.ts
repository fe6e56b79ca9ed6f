/**
 * `npm run bench [pairs | page [part…]]`: how fast, how much memory, and how the time grows, as ratios in one run.
 * `page` measures the server of the page alone, or only some parts of that: drop, move, fold, drag, large,
 * contact, crowd.
 * Takes some minutes; nothing else should run meanwhile.
 */
import { availableParallelism, cpus } from 'node:os';
import { printGrowth } from './growth.js';
import { pageParts, printPage } from './page.js';
import { printPieces } from './pieces.js';
import { printTable } from './table.js';
import { printIslands } from './islands.js';
import { printWhole } from './whole.js';

const DEFAULT_PAIRS = 9;

const [, , asked, ...words] = process.argv;
const pairs = asked === 'page' ? DEFAULT_PAIRS : Number(asked ?? DEFAULT_PAIRS);
if (!Number.isInteger(pairs) || pairs < 1) throw new Error('Give a number of pairs, 1 or more');

console.log(
  `Node ${process.versions.node}, ${availableParallelism()} cores, ${cpus()[0]?.model ?? 'unknown'}\n`,
);
if (asked !== 'page') {
  await printWhole(pairs);
  await printGrowth(Math.min(pairs, 5));
  await printTable(Math.min(pairs, 5));
  await printIslands(Math.min(pairs, 5));
  await printPieces(Math.min(pairs, 5));
}
const parts = pageParts.filter((part) => words.includes(part));
if (parts.length < words.length) throw new Error(`Parts of the page: ${pageParts.join(', ')}`);
await printPage(words.length > 0 ? parts : pageParts);
