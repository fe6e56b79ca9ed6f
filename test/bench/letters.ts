/**
 * How good letters are, by others: their bridges beside those of published stencil faces, and how many words an
 * independent text recognition (tesseract.js with its English model) reads in their prints. `npm run letters`;
 * `npm run letters bridges` or `npm run letters reading` for one of the two, `npm run letters reading slab` for one face;
 * `npm run letters sizes` prints the smallest sizes that `src/lettering/least-sizes.ts` keeps.
 */
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import sharp from 'sharp';
import { createWorker, type Worker } from 'tesseract.js';
import { halfCovered } from '../../src/geometry/coverage.js';
import type { Shape } from '../../src/geometry/shape.js';
import { completeJob, completeLettering, makeWords } from '../../src/index.js';
import { openTypeface } from '../../src/lettering/open-typeface.js';
import { leastCapHeight } from '../../src/lettering/least-size.js';
import { CAPITALS, LETTERS } from '../../src/lettering/least-sizes.js';
import { setLine } from '../../src/lettering/typeset.js';
import { typefaceKinds } from '../../src/settings/lettering-settings.js';
import {
  countersOf,
  NEAR,
  PAIRS,
  SAME,
  SAME_WAY,
  shareAlike,
  shareNear,
  shareOfBridges,
  type CounterOf,
  type Way,
} from '../support/letter-pairs.js';

/** Rows as a table of Markdown. */
const inRows = ([head, ...rows]: readonly (readonly string[])[]): string =>
  [head, head.map(() => '---'), ...rows].map((row) => `| ${row.join(' | ')} |`).join('\n');

const WAYS: readonly Way[] = ['ours', 'general', 'random'];
const percent = (share: number): string => `${Math.round(100 * share)} %`;

async function bridges(): Promise<void> {
  const rows: string[][] = [];
  const all = new Map<string, readonly CounterOf[]>();
  for (const pair of PAIRS) {
    const counters = await countersOf(pair, 'beside the general stage');
    all.set(pair[0], counters);
    const mean = (way: Exclude<keyof CounterOf, 'letter'>): string =>
      (counters.reduce((sum, counter) => sum + counter[way].length, 0) / counters.length).toFixed(
        2,
      );
    rows.push([
      pair[0],
      String(counters.length),
      ...WAYS.map((way) => percent(shareNear(counters, way))),
      ...WAYS.map((way) => percent(shareOfBridges(counters, way))),
      ...WAYS.map((way) => percent(shareOfBridges(counters, way, SAME, SAME_WAY))),
      ...WAYS.map((way) => percent(shareAlike(counters, way))),
      `${mean('designers')}, ${mean('ours')}, ${mean('general')}`,
    ]);
  }
  console.log(
    `Near is within ${NEAR} of the cap height, the same place within ${SAME}, the same way within 10°.`,
  );
  console.log(
    inRows([
      [
        'face',
        'counters',
        ...WAYS.map((way) => `counters near: ${way}`),
        ...WAYS.map((way) => `bridges near: ${way}`),
        ...WAYS.map((way) => `same place and way: ${way}`),
        ...WAYS.map((way) => `counters alike: ${way}`),
        'bridges a counter: theirs, ours, general',
      ],
      ...rows,
    ]),
  );
  console.log(`\nDesigners among each other, counters near:`);
  for (const [name, counters] of all) {
    for (const [other, others] of all) {
      if (name === other) continue;
      const both = paired(counters, others);
      console.log(
        `  ${name} by ${other}: ${percent(shareNear(both, 'ours'))}, same place and way ${percent(shareOfBridges(both, 'ours', SAME, SAME_WAY))}, counters alike ${percent(shareAlike(both, 'ours'))}`,
      );
    }
  }
}

/** Counters with another designer's bridges in the place of ours. */
function paired(counters: readonly CounterOf[], others: readonly CounterOf[]): CounterOf[] {
  const nth = (list: readonly CounterOf[], i: number): number =>
    list.slice(0, i).filter(({ letter }) => letter === list[i].letter).length;
  return counters.flatMap((counter, i) => {
    const other = others.find(
      ({ letter }, k) => letter === counter.letter && nth(others, k) === nth(counters, i),
    );
    return other ? [{ ...counter, ours: other.designers }] : [];
  });
}

const WORDS =
  'summer garden window mother father sister brother river mountain ocean bread butter coffee apple orange yellow purple silver golden paper pencil letter number street village church school bridge harbour island winter autumn spring morning evening midnight thunder rainbow feather blanket kitchen doorway journey picture memory birthday wedding welcome forever together'.split(
    ' ',
  );
/** In mm: letters as they are on a card for a line or two. */
const CAP_MM = 22;
/** Pixels a mm of what is read: type of about 130 px, and a rim of white round it. */
const PX = 6;

async function reading(kinds: readonly string[]): Promise<void> {
  const data = dirname(
    createRequire(import.meta.url).resolve('@tesseract.js-data/eng/package.json'),
  );
  const reader = await createWorker('eng', 1, {
    langPath: join(data, '4.0.0'),
    cacheMethod: 'none',
    gzip: true,
  });
  await reader.setParameters({ tessedit_pageseg_mode: '8' as never });
  const rows: string[][] = [['face', 'bridged', 'without bridges', 'bridged, not read']];
  for (const kind of kinds) {
    let [bridged, plain] = [0, 0];
    const missed: string[] = [];
    for (const word of WORDS) {
      const { cut, drawn } = await printsOf(word, kind);
      const read = await isRead(reader, cut, word);
      bridged += Number(read);
      if (!read) missed.push(word);
      plain += Number(await isRead(reader, drawn, word));
    }
    rows.push([
      kind,
      percent(bridged / WORDS.length),
      percent(plain / WORDS.length),
      missed.join(' '),
    ]);
    console.log(rows.at(-1)!.join('  '));
  }
  await reader.terminate();
  console.log(inRows(rows));
}

async function printsOf(word: string, face: string): Promise<{ cut: Buffer; drawn: Buffer }> {
  const job = completeJob({ card: '280x70mm' });
  const set = completeLettering(
    { face, capHeight: CAP_MM },
    { where: 'bench', spell: (name) => name },
  );
  const { run } = await makeWords({ words: [word], set }, job, { name: word, outputs: [] });
  const { frame, ease } = run.values;
  return { cut: await pngOf(frame.openings), drawn: await pngOf(ease.shapes) };
}

async function pngOf(shapes: readonly Shape[]): Promise<Buffer> {
  const [width, height] = [280 * PX, 70 * PX];
  const { data } = halfCovered(shapes, width, height, PX);
  const grey = data.map((value) => 255 * (1 - value));
  return sharp(grey, { raw: { width, height, channels: 1 } })
    .trim({ background: '#fff' })
    .extend({ top: 40, bottom: 40, left: 40, right: 40, background: '#fff' })
    .resize({ height: 160 })
    .png()
    .toBuffer();
}

async function isRead(reader: Worker, png: Buffer, word: string): Promise<boolean> {
  const { data } = await reader.recognize(png);
  return data.text.toLowerCase().replaceAll(/[^a-z]/g, '') === word;
}

async function sizes(): Promise<void> {
  for (const tool of ['hot-tip', 'craft-knife'] as const) {
    const job = completeJob({ tool });
    console.log(`'${tool}': {`);
    for (const kind of typefaceKinds) {
      const faces = await openTypeface(kind, LETTERS);
      const [capitals, letters] = [CAPITALS, LETTERS].map((text) =>
        leastCapHeight([setLine(text, faces)], job).toFixed(4),
      );
      console.log(`  ${kind}: { capitals: ${capitals}, letters: ${letters} },`);
    }
    console.log('},');
  }
}

const [what, ...kinds] = process.argv.slice(2);
if (what === 'sizes') await sizes();
if (what === undefined || what === 'bridges') await bridges();
if (what === undefined || what === 'reading')
  await reading(kinds.length > 0 ? kinds : typefaceKinds);
