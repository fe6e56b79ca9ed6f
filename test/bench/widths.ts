import { basename } from 'node:path';
import { completeJob, makeStencil, Problem } from '../../src/index.js';
import { toolLimits } from '../../src/settings/job.js';
import { photographFile, photographs, sampleFiles } from '../support/photographs.js';
import { measureNecks, type MeasuredNeck } from '../support/widths.js';

/**
 * Prints the narrowest place of film and of openings in the stencils of the samples and the open photographs, on four
 * cards, with both tools, by a measure that shares nothing with the program (`test/support/widths.ts`); and fails when
 * one that is called good is short by more than 0.05 mm. Given paths, it does the same for those pictures; `CARDS` names
 * other cards.
 */

const MOST_SHORT_MM = 0.05;
const CARDS = (process.env.CARDS ?? '4x4in,5x7in,a6,9x12in').split(',');
const TOOLS = Object.keys(toolLimits) as (keyof typeof toolLimits)[];

interface Told {
  readonly good: boolean;
  readonly short: boolean;
}

async function tell(file: string, name: string, card: string, tool: string): Promise<Told> {
  const job = completeJob({ card, tool });
  const made = await makeStencil(file, job, { name, outputs: ['stencil'] });
  const { read, check } = made.run.values;
  const limits = { film: job.narrowestStrip, opening: job.narrowestOpening };
  const necks = measureNecks(String(made.files.get('stencil.svg')), read.sheet, limits);
  const lack = ({ region, widthMm }: MeasuredNeck): number => limits[region] - widthMm;
  const narrowest = (region: MeasuredNeck['region']): string => {
    const neck = necks.find((one) => one.region === region);
    if (!neck) return `${limits[region]} or more`.padEnd(24);
    const at = `(${neck.x.toFixed(1)}, ${neck.y.toFixed(1)})`;
    return `${neck.widthMm.toFixed(3)} for ${limits[region]} ${at}`.padEnd(24);
  };
  const errors = check.findings.filter(({ level }) => level === 'error').map(({ code }) => code);
  const short = made.good && necks.some((neck) => lack(neck) > MOST_SHORT_MM);
  const says = made.good ? (short ? 'TOO NARROW' : 'good') : `told: ${errors.join(', ')}`;
  const cells = [name.padEnd(24), card.padEnd(8), tool.padEnd(12)];
  console.log([...cells, narrowest('film'), narrowest('opening'), says].join(' '));
  return { good: made.good, short };
}

const given = process.argv.slice(2).map((file): [string, string] => [basename(file), file]);
const files =
  given.length > 0
    ? given
    : [
        ...sampleFiles.map((file): [string, string] => [basename(file), file]),
        ...photographs.map((name): [string, string] => [name, photographFile(name)]),
      ];
const told: Told[] = [];
console.log('picture                  card     tool         film, mm                 opening, mm');
for (const [name, file] of files) {
  for (const card of CARDS) {
    for (const tool of TOOLS) {
      try {
        told.push(await tell(file, name, card, tool));
      } catch (error) {
        if (!(error instanceof Problem)) throw error;
        console.log(`${name.padEnd(24)} ${card.padEnd(8)} ${tool.padEnd(12)} ${error.what}`);
      }
    }
  }
}
const count = (is: (one: Told) => boolean): number => told.filter(is).length;
console.log(
  `${told.length} stencils, ${count(({ good }) => good)} called good, ${count(({ short }) => short)} of those more than ${MOST_SHORT_MM} mm too narrow`,
);
if (count(({ short }) => short) > 0) process.exitCode = 1;
