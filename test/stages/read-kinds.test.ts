import { readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import { Problem } from '../../src/settings/problem.js';
import { firstOfMany } from '../../src/stages/check/first-of-many.js';
import { readPicture, type Picture } from '../../src/stages/read/read.js';
import { bmpHeader, decodeBmp } from '../../src/stages/read/bmp.js';
import { draw, flag, lumaOf, lumas, toSharp, type Colour } from '../support/pictures.js';

const read = (source: Uint8Array, given: JobInput = {}): Promise<Picture> =>
  readPicture(source, completeJob({ card: '30x30mm', margin: 4, ...given }));

async function refusal(source: Uint8Array): Promise<Problem> {
  const outcome: unknown = await read(source).catch((error: unknown) => error);
  if (!(outcome instanceof Problem)) throw new Error('Not refused', { cause: outcome });
  return outcome;
}

const bmp = (name: string): Buffer =>
  readFileSync(new URL(`../fixtures/bmp/${name}.bmp`, import.meta.url));

describe('a BMP', () => {
  const drawn = flag(91, 61);

  // Written by two general-purpose tools that share nothing with ours: see test/fixtures/README.md.
  it.each([
    ['4', 0],
    ['8-core', 0],
    ['8-runs', 0],
    ['24', 0],
    ['32-alpha', 0],
    // Five and six bits a colour: what is left over is cut off.
    ['16-masks', 7],
  ])('of %s bits is what was drawn, within %i', (name, within) => {
    const { width, height, channels, data } = decodeBmp(bmp(name), bmpHeader(bmp(name)));
    expect([width, height]).toEqual([91, 61]);
    let worst = 0;
    for (let i = 0; i < width * height; i++) {
      for (let c = 0; c < 3; c++) {
        worst = Math.max(worst, Math.abs(data[channels * i + c] - drawn.data[3 * i + c]));
      }
      if (channels === 4) expect(data[4 * i + 3]).toBe(255);
    }
    expect(worst).toBeLessThanOrEqual(within);
  });

  it('of 1 bit is black where the flag is dark', () => {
    const { data } = decodeBmp(bmp('1'), bmpHeader(bmp('1')));
    lumas(drawn).forEach((luma, i) => expect(data[3 * i]).toBe(luma > 128 ? 255 : 0));
  });

  it('lies on the card like any picture', async () => {
    const picture = await read(bmp('24'));
    expect(picture.source).toEqual({ width: 91, height: 61, format: 'bmp' });
    const png = await read(await toSharp(drawn).png().toBuffer());
    expect(picture.gray).toEqual(png.gray);
  });

  it('from the top down is not upside down', () => {
    const turned = Buffer.from(bmp('24'));
    turned.writeInt32LE(-61, 22);
    const [up, down] = [bmp('24'), turned].map((each) => decodeBmp(each, bmpHeader(each)).data);
    for (let row = 0; row < 61; row++) {
      const other = 60 - row;
      expect(down.subarray(row * 273, (row + 1) * 273)).toEqual(
        up.subarray(other * 273, (other + 1) * 273),
      );
    }
  });

  it.each(['1', '4', '8-core', '8-runs', '16-masks', '24', '32-alpha'])(
    'of %s bits that is cut short or changed is refused in words, or read',
    async (name) => {
      for (const share of [0.01, 0.3, 0.9]) {
        const whole = bmp(name);
        const cut = whole.subarray(0, Math.round(whole.length * share));
        expect((await refusal(cut)).what).toMatch(/damaged|not a picture/);
      }
      for (let at = 2; at < 70; at += 1) {
        const changed = Buffer.from(bmp(name));
        changed[at] ^= 0xff;
        const outcome: unknown = await read(changed).catch((error: unknown) => error);
        if (outcome instanceof Error) expect(outcome, String(at)).toBeInstanceOf(Problem);
      }
    },
  );
});

describe('a drawing that is packed or written in UTF-16', () => {
  const svg = `<?xml version="1.0" encoding="UTF-16"?><svg xmlns="http://www.w3.org/2000/svg" width="30" height="20"><title>Großmutter</title><path d="M0 0h15v20H0z"/></svg>`;
  const plain = Buffer.from(svg.replace(' encoding="UTF-16"', ''));
  const swapped = (bytes: Buffer): Buffer => Buffer.from(bytes).swap16();
  const mark = '\ufeff';

  it.each<[string, Buffer]>([
    ['svgz', gzipSync(plain)],
    ['UTF-16, the low byte first', Buffer.from(mark + svg, 'utf16le')],
    ['UTF-16, the high byte first', swapped(Buffer.from(mark + svg, 'utf16le'))],
    ['UTF-16 without a mark', Buffer.from(svg, 'utf16le')],
    ['UTF-16 without a mark, the high byte first', swapped(Buffer.from(svg, 'utf16le'))],
    ['UTF-16, packed', gzipSync(Buffer.from(mark + svg, 'utf16le'))],
  ])('%s is read', async (_what, bytes) => {
    const picture = await read(bytes);
    expect(picture.source).toEqual({ width: 30, height: 20, format: 'svg' });
    expect(picture.gray).toEqual((await read(plain)).gray);
  });

  it.each<[string, Buffer, RegExp]>([
    ['something else, packed', gzipSync('Dear Nana'), /compressed file.*no drawing/],
    ['a damaged pack', gzipSync(plain).subarray(0, 60), /compressed drawing is damaged/],
    ['a pack that swells', gzipSync(Buffer.alloc(2 ** 27 + 1, ' ')), /too large: unpacked/],
  ])('%s is refused in words', async (_what, bytes, says) => {
    expect((await refusal(bytes)).what).toMatch(says);
  });
});

describe('a drawing of very many shapes', () => {
  /** The left half is dark, the right one light; what else there is can't be seen. */
  function half(others: number, root = 'width="1in" height="0.5in" viewBox="0 0 200 100"'): Buffer {
    const shapes = `<path d="M0 0h100v100H0z"/>${'<path d="M9 9"/>'.repeat(others)}`;
    return Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg" ${root}>${shapes}</svg>`);
  }

  it('is drawn as one of few, and part of it too', async () => {
    const few = half(0);
    const many = half(40_000);
    for (const given of [{}, { crop: '25,0,50,100' }, { fit: 'fill' }] as const) {
      const [one, other] = [await read(few, given), await read(many, given)];
      expect(other.source).toEqual(one.source);
      expect(other.pictureBox).toEqual(one.pictureBox);
      const { x, y, width, height } = one.pictureBox;
      let differ = 0;
      for (let row = y; row < y + height; row++) {
        for (let at = row * one.gray.width + x; at < row * one.gray.width + x + width; at++) {
          if (Math.abs(one.gray.data[at] - other.gray.data[at]) > 64) differ++;
        }
      }
      // Along the one edge a pixel may go the other way.
      expect(differ).toBeLessThanOrEqual(height);
    }
  });

  it('beyond what can be held, or without a size, is refused in words', async () => {
    expect((await refusal(half(300_000))).what).toMatch(/too many shapes: 300,002/);
    expect((await refusal(half(40_000, ''))).what).toMatch(/many shapes, and states no size/);
  });
});

describe('a file of several', () => {
  const colours: readonly Colour[] = [
    [10, 10, 10],
    [200, 200, 200],
    [90, 90, 90],
  ];
  const several = async () => {
    const pictures = colours.map((colour) =>
      toSharp(draw(40, 30, () => colour))
        .png()
        .toBuffer(),
    );
    return sharp(await Promise.all(pictures), { join: { animated: true } });
  };

  it.each([
    ['gif', 'frames'],
    ['webp', 'frames'],
    ['tiff', 'pages'],
  ] as const)('in %s is read as its first, and that is said', async (format, what) => {
    const bytes = await (await several()).toFormat(format, { lossless: true }).toBuffer();
    const picture = await read(bytes);
    expect(picture.source).toMatchObject({ width: 40, height: 30, format, holds: 3 });
    const { pictureBox, gray } = picture;
    const middle = gray.data[(pictureBox.y + 5) * gray.width + pictureBox.x + 5];
    expect(Math.abs(middle - lumaOf(colours[0]))).toBeLessThan(2);
    expect(firstOfMany(picture)).toEqual([
      {
        level: 'note',
        code: 'first-of-many',
        message: `The file holds 3 ${what}; the stencil is made of the first.`,
      },
    ]);
  });

  it('is not spoken of where there is one', async () => {
    const one = await toSharp(flag(40, 30)).gif().toBuffer();
    expect(firstOfMany(await read(one))).toEqual([]);
  });
});
