import { basename } from 'node:path';
import { completeJob, createPipeline, type Pipeline } from '../../src/index.js';
import { beforeAfterFile, drawBeforeAfter } from './before-after.js';
import { photographFile, photographs, sampleFiles } from '../support/photographs.js';

/**
 * Prints how well finished stencils at 4 × 4 in keep the contours of the open photographs and of the samples:
 * by one plain level, by the plain edges tone, and by default. All figures are those of the reports. Given paths, it
 * does the same for those pictures; with the word `picture` it draws the contributors' guide's picture instead.
 */

const SMALL_MM2 = 10;

interface Kept {
  readonly f: number;
  readonly recall: number;
  readonly precision: number;
  readonly lengthMm: number;
  readonly small: number;
  readonly bridges: number;
}

interface Row {
  readonly name: string;
  readonly level: Kept;
  readonly edges: Kept;
  readonly best: Kept;
  readonly how: string;
}

async function keptBy(pipeline: Pipeline, file: string, tone: 'auto' | 'edges' | 'best') {
  const { values } = await pipeline.run(file, completeJob({ tone }));
  const { likeness, check, bridge } = values;
  if (likeness === null) throw new Error(`No likeness of ${file}`);
  const kept: Kept = {
    ...likeness,
    lengthMm: check.openings.reduce((sum, { lengthMm }) => sum + lengthMm, 0),
    small: check.openings.filter(({ areaMm2 }) => areaMm2 < SMALL_MM2).length,
    bridges: bridge.bridges.length,
  };
  const { chosen, mode } = values.tone;
  const how = chosen?.tone === 'mixed' ? `mixed ${chosen.masses}/${chosen.detail}` : mode;
  return { kept, how };
}

async function rowOf(file: string, name: string): Promise<Row> {
  const pipeline = createPipeline();
  const [level, edges] = [
    await keptBy(pipeline, file, 'auto'),
    await keptBy(pipeline, file, 'edges'),
  ];
  const best = await keptBy(pipeline, file, 'best');
  return { name, level: level.kept, edges: edges.kept, best: best.kept, how: best.how };
}

const two = (value: number): string => value.toFixed(2);

function print(cells: readonly string[]): void {
  const [name, ...rest] = cells;
  console.log([name.padEnd(25), ...rest.map((cell) => cell.padStart(8))].join(' '));
}

function printRow({ name, level, edges, best, how }: Row): void {
  print([
    name,
    two(level.f),
    two(edges.f),
    two(best.f),
    two(level.recall),
    two(edges.recall),
    two(best.recall),
    two(best.precision),
    two(best.lengthMm / level.lengthMm),
    `${edges.small}`,
    `${best.small}`,
    `${best.bridges}`,
    `  ${how}`,
  ]);
}

const mean = (rows: readonly Row[], of: (row: Row) => number): number =>
  rows.reduce((sum, row) => sum + of(row), 0) / rows.length;

function printMeans(title: string, rows: readonly Row[]): void {
  const better = Math.max(
    mean(rows, ({ level }) => level.f),
    mean(rows, ({ edges }) => edges.f),
  );
  const over = mean(rows, ({ best, level, edges }) => best.f - Math.max(level.f, edges.f));
  const f = mean(rows, ({ best }) => best.f);
  const [small, crumbs] = [
    rows.reduce((sum, { best }) => sum + best.small, 0),
    rows.reduce((sum, { edges }) => sum + edges.small, 0),
  ];
  console.log(`
${title}
  F ${f.toFixed(3)}: ${(f - better).toFixed(3)} over the better plain tone on average, ${over.toFixed(3)} over the better one of each picture (wanted: 0.05)
  recall ${two(mean(rows, ({ best }) => best.recall))}, least ${two(Math.min(...rows.map(({ best }) => best.recall)))} (wanted: 0.85 on each; ${rows.filter(({ best }) => best.recall >= 0.845).length} of ${rows.length} have it)
  length of cut ${two(mean(rows, ({ best, level }) => best.lengthMm / level.lengthMm))} × the level's (wanted: at most 1.6)
  pieces under ${SMALL_MM2} mm² ${small}, edges ${crumbs}: ${two(small / Math.max(1, crumbs))} × (wanted: at most 0.33)`);
}

const given = process.argv.slice(2);
if (given[0] === 'picture') {
  await drawBeforeAfter();
  console.log(beforeAfterFile);
} else {
  await printTable(
    given.length > 0 ? given : [...photographs.map((name) => photographFile(name)), ...sampleFiles],
  );
}

/** The name of a file; of a packaged photograph, all of which are called the same, its package's. */
function titleOf(file: string): string {
  return photographs.find((name) => photographFile(name) === file) ?? basename(file);
}

async function printTable(files: readonly string[]): Promise<void> {
  print([
    '',
    'F level',
    'edges',
    'default',
    'R level',
    'edges',
    'default',
    'P def.',
    'length ×',
    'sm.edges',
    'sm.def.',
    'bridges',
    '  tone by default: masses/detail',
  ]);
  const rows: Row[] = [];
  for (const file of files) rows.push(await rowOf(file, titleOf(file)));
  rows.forEach(printRow);
  const isPhotograph = ({ how }: Row): boolean => how.startsWith('mixed');
  printMeans('All', rows);
  printMeans('Photographs', rows.filter(isPhotograph));
}
