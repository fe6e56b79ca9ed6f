import { isDeepStrictEqual } from 'node:util';
import { completeJob, overlay, type Job, type JobInput } from '../settings/job.js';
import { makeStencil, type Made } from './stencil.js';
import { createPipeline, toneChoices, type Picture, type Pipeline } from '../pipeline/pipeline.js';
import { Problem } from '../settings/problem.js';
import { contactHtml, type TriedTone } from '../output/html/contact.js';
import { contactPng } from '../output/images/contact-png.js';
import type { Provenance } from '../disk/made-from.js';
import { writePage } from '../disk/page-files.js';
import { diskFor, type WriteOptions } from '../disk/result.js';
import { figuresIn, type StoredReport } from '../output/report/row.js';
import { smallPrint } from '../output/images/small-print.js';
import type { ToneInput } from '../settings/words/tone.js';

export type { TriedTone } from '../output/html/contact.js';

/** How much of the picture is dark at the levels that are tried. */
const DARK_SHARES = [0.1, 0.25, 0.4, 0.55, 0.7, 0.85];
/** Beyond this share there is nothing left to see. */
const MOST_DARK = 0.98;
/** Levels closer than this, in percent, look alike. */
const LEAST_STEP = 3;

/**
 * Makes a stencil by each of several tones, all else being equal: the one that is chosen unless told, the others that
 * find their own level, the likest first, then levels from few darks to many. A tone by which none can be made is told
 * as such.
 *
 * @param onTone called when a tone begins: its place from 0, and how many there are
 * @throws Problem when the picture can't be read, or is one even tone, or a setting is wrong
 */
export async function tryTones(
  picture: string,
  job: JobInput,
  onTone?: (place: number, count: number) => void,
): Promise<readonly TriedTone[]> {
  // One for all, so that the picture is read once.
  const pipeline = createPipeline();
  const tryOne = (settings: ToneInput): Promise<TriedTone> =>
    tryTone(picture, completeJob(overlay(job, settings)), settings, pipeline);
  const looked = await pipeline.runFor(['read', 'faces'], picture, completeJob(job));
  const ranked = await toneChoices(looked, completeJob(job));
  const best = await tryOne({ tone: 'best' });
  const others = [
    ...ranked.map(({ settings }) => settings),
    ...levelsFor(looked.read).map((level) => ({ tone: 'level', level }) as const),
  ].filter((settings) => best.fate === 'failed' || !isDeepStrictEqual(settings, best.became));
  const tried = [best];
  for (const [place, settings] of others.entries()) {
    onTone?.(place + 1, others.length + 1);
    tried.push(await tryOne(settings));
  }
  return tried;
}

/** The levels, in percent, below which the shares of the picture are dark. */
function levelsFor({ gray, pictureBox }: Picture): readonly number[] {
  const counts = new Uint32Array(256);
  for (let y = pictureBox.y; y < pictureBox.y + pictureBox.height; y++) {
    const start = y * gray.width + pictureBox.x;
    for (let i = start; i < start + pictureBox.width; i++) counts[gray.data[i]]++;
  }
  const all = pictureBox.width * pictureBox.height;
  const levels: number[] = [];
  let grey = 0;
  let dark = 0;
  for (const share of DARK_SHARES) {
    while (grey < 255 && dark < share * all) dark += counts[grey++];
    if (dark > MOST_DARK * all) break;
    const level = Math.min(Math.max(Math.ceil((grey / 255) * 100), 1), 99);
    if (levels.length === 0 || level - levels[levels.length - 1] >= LEAST_STEP) levels.push(level);
  }
  return levels;
}

async function tryTone(
  picture: string,
  job: Job,
  settings: ToneInput,
  pipeline: Pipeline,
): Promise<TriedTone> {
  try {
    const made = await makeStencil(picture, job, { name: 'tone', outputs: ['preview'], pipeline });
    return await tried(settings, made);
  } catch (error) {
    if (error instanceof Problem) return { settings, fate: 'failed', why: error.what };
    throw error;
  }
}

async function tried(settings: ToneInput, { files, good }: Made): Promise<TriedTone> {
  const report = JSON.parse(String(files.get('report.json'))) as StoredReport;
  const preview = files.get('preview.png');
  if (!(preview instanceof Uint8Array)) throw new Error('The preview is missing');
  return {
    settings,
    fate: good ? 'good' : 'broken',
    figures: figuresIn(report),
    became: report.tone.chosen ?? { ...settings, tone: report.tone.mode },
    print: await smallPrint(preview),
  };
}

/**
 * Writes a contact sheet of tones that were tried, as a picture and as a page, in the place of earlier ones of the
 * same picture.
 *
 * @param about `name`: what the picture's stencil is called; `picture`: what the person calls the picture; `of`: what
 *   it is known by, see `pictureAt`
 * @returns the files
 * @throws Problem when they can't be written
 */
export async function writeTones(
  tones: readonly TriedTone[],
  about: { readonly name: string; readonly picture: string; readonly of?: Provenance },
  outDir: string,
  { signal }: Pick<WriteOptions, 'signal'> = {},
): Promise<readonly string[]> {
  const { files } = await writePage(
    outDir,
    {
      name: `${about.name}-tones`,
      of: { ...about.of, made: 'tones', picture: about.picture },
      html: contactHtml(tones, about.picture),
      beside: { ending: '.png', bytes: await contactPng(tones) },
    },
    diskFor({ durably: true, ...(signal && { signal }) }),
  );
  return files;
}
