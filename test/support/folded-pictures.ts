import sharp from 'sharp';
import {
  completeJob,
  makeStencil,
  Problem,
  sheetOf,
  type JobInput,
  type Made,
} from '../../src/index.js';
import { createPipeline, type Pipeline, type StencilValues } from '../../src/pipeline/pipeline.js';
import { packetSvg } from '../../src/output/svg/packet-svg.js';
import { stencilSvg } from '../../src/output/svg/svg.js';
import { seeded } from './bitmaps.js';
import { randomKinds, randomPicture } from './random-pictures.js';

/*
 * Random pictures in a packet. What does not hang on the picture, the reading of one and the sheet's grid, is done once
 * for all pictures of a fold; a share of them goes the whole way all the same, from the bytes of a file on, and its place
 * in the packet is looked for.
 */

/** What a person would set to have it quick and coarse; the tone is what was drawn. */
export const USUAL: JobInput = {
  fineness: 3,
  tone: 'level',
  smoothing: 0,
  strands: 'never',
  faces: 'none',
};
/** One in so many pictures goes the whole way. */
const WHOLE_WAY_EVERY = 100;

/** Px of the pictures that go the whole way, and of their rim of paper. */
const [FILE_PX, RIM_PX] = [240, 6];
/** Px of those that are laid from their bitmap, at most: their lines are as wide as a slot. */
const MOST_PX = 120;

/** What is looked at of a sheet. */
export interface FoldedMade extends Pick<Made, 'job' | 'files' | 'good'> {
  readonly run: { readonly values: Pick<StencilValues, 'frame' | 'packet' | 'check'> };
}

/** A random picture, of a kind by its number; figures of a row hold hands, or nothing would hold it together. */
function drawnPicture(seed: number, side: number, isRow: boolean): Uint8Array {
  const rim = isRow ? 0 : Math.ceil((side * RIM_PX) / FILE_PX);
  const { data } = randomPicture(randomKinds[seed % randomKinds.length], seed, side, rim);
  if (isRow) data.fill(1, Math.round(side / 3) * side, Math.round(side / 2) * side);
  return data;
}

export async function fileOf(seed: number, isRow: boolean): Promise<Buffer> {
  const data = drawnPicture(seed, FILE_PX, isRow);
  return sharp(
    data.map((value) => (value === 1 ? 0 : 255)),
    { raw: { width: FILE_PX, height: FILE_PX, channels: 1 } },
  )
    .png()
    .toBuffer();
}

/** Makes the sheets of one fold. */
export class FoldedPictures {
  readonly #given: JobInput;
  readonly #isRow: boolean;
  readonly #pipeline: Pipeline = createPipeline();
  #read: Promise<Pick<StencilValues, 'read' | 'subject' | 'faces' | 'tone'>> | undefined;

  constructor(given: JobInput) {
    this.#given = { ...USUAL, ...given };
    this.#isRow = given.as === 'mask';
  }

  /** The sheet of a random picture; undefined where we say in words that nothing is left to cut. */
  async make(seed: number): Promise<FoldedMade | undefined> {
    try {
      return await (seed % WHOLE_WAY_EVERY === 1 ? this.#fromFile(seed) : this.#fromBitmap(seed));
    } catch (error) {
      if (error instanceof Problem && /^(Nothing|There is nothing)/.test(error.what))
        return undefined;
      throw error;
    }
  }

  async #fromFile(seed: number): Promise<FoldedMade> {
    const outputs = ['stencil', 'packet'] as const;
    const job = completeJob(this.#given);
    return makeStencil(await fileOf(seed, this.#isRow), job, { name: `fold ${seed}`, outputs });
  }

  async #fromBitmap(seed: number): Promise<FoldedMade> {
    const foldPlace = placeOf(seed, this.#isRow);
    const job = completeJob({ ...this.#given, foldPicture: 'part', foldPlace });
    this.#read ??= createPipeline().runFor(
      ['read', 'subject', 'faces', 'tone'],
      await fileOf(1, this.#isRow),
      job,
    );
    const { tone, ...rest } = await this.#read;
    const { width, height } = tone.bitmap;
    const side = Math.min(width, height, MOST_PX);
    const picture = drawnPicture(seed, side, this.#isRow);
    const data = new Uint8Array(width * height);
    for (let y = 0; y < side; y++) {
      data.set(picture.subarray(y * side, (y + 1) * side), y * width);
    }
    const pictureBox = { x: 0, y: 0, width, height };
    const source = {
      ...rest,
      read: { ...rest.read, pictureBox },
      tone: { ...tone, bitmap: { width, height, data } },
    };
    // As `makeStencil` does, without the plan of the cutting and the report.
    const values = await this.#pipeline.runFor(['frame', 'packet', 'check'], source, job);
    const sheet = sheetOf(job);
    const files = new Map([
      ['stencil.svg', stencilSvg(values.frame.openings, sheet)],
      ['packet.svg', packetSvg(values.packet!, sheet)],
    ]);
    const good = values.check.findings.every(({ level }) => level !== 'error');
    return { job, run: { values }, files, good };
  }
}

/** Anywhere over the packet and at any turn; a row's figures stand, in the middle of their panel. */
function placeOf(seed: number, isRow: boolean): string {
  const random = seeded(seed);
  const between = (least: number, most: number): string =>
    (least + (most - least) * random()).toFixed(1);
  return isRow
    ? [between(40, 60), between(40, 60), between(150, 300), 0].join(',')
    : [between(0, 100), between(20, 80), between(180, 350), between(0, 360)].join(',');
}
