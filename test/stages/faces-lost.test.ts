import { describe, expect, it } from 'vitest';
import { completeJob, createPipeline, type JobInput } from '../../src/index.js';
import type { FeatureName } from '../../src/faces/features.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { facesLost } from '../../src/stages/check/faces-lost.js';
import { laidInto, placeInPacket, warpedBack } from '../../src/stages/fold/place.js';
import { motifsOf, repeat } from '../../src/stages/repeat/repeat.js';
import { sampleFiles } from '../support/photographs.js';

const ALL = ['right eye', 'left eye', 'mouth'] as const;
const sheet = { widthMm: 101.6, heightMm: 101.6 };

/** What is told of faces 12 mm wide that have lost these. */
const told = (losses: readonly (readonly FeatureName[])[], given: JobInput = {}, widthMm = 12) =>
  facesLost(
    {
      faces: losses.map((lost) => ({ at: [20, 20] as const, widthMm, had: ALL, lost })),
      wideEnoughMm: 10,
      crop: null,
    },
    '',
    sheet,
    completeJob(given),
  )[0];

describe('faces that lose their features', () => {
  it('lead what is said where at least half of them keep none', () => {
    expect(told([ALL]).code).toBe('faces-gone');
    expect(told([ALL, []]).code).toBe('faces-gone');
    expect(told([ALL, [], []]).code).toBe('faces-lost');
    // A large portrait whose mouth lies in a shadow, and an eye in its glasses.
    expect(told([['right eye', 'mouth']]).code).toBe('faces-lost');
  });

  it('are told with what to do, by how they are printed', () => {
    expect(told([ALL], { repeat: 'straight' }, 5).message).toContain(
      '`motifSize`) 2 times as large',
    );
    expect(told([ALL], {}, 5).message).toContain('A card of about');
    expect(told([ALL], { fold: 'quarter', tool: 'scissors' }).message).toContain(
      'a knife (`tool`)',
    );
    expect(told([ALL], { fold: 'quarter', tool: 'craft-knife' }).message).toContain('`foldPlace`');
  });

  it('are looked for on a folded sheet and in each motif', async () => {
    const nana = sampleFiles.find((file) => file.endsWith('nana.jpg'))!;
    const lost = async (given: JobInput) => {
      const job = completeJob({ card: '60x60mm', fineness: 5, ...given });
      const { read, features } = await createPipeline().runFor(['read', 'features'], nana, job);
      const [first] = facesLost(features, '', read.sheet, job);
      return [first?.code, features!.faces.length];
    };
    expect(await lost({ fold: 'quarter', tool: 'scissors' })).toEqual(['faces-gone', 1]);
    expect(await lost({ repeat: 'straight', motifSize: 14 })).toEqual(['faces-gone', 6]);
    expect(await lost({ repeat: 'straight', motifSize: 40 })).toEqual([undefined, 1]);
  });
});

/** An L, so that each turn of it looks otherwise. */
const L: Bitmap = {
  width: 60,
  height: 60,
  data: Uint8Array.from({ length: 3600 }, (_, i) => {
    const [x, y] = [i % 60, Math.floor(i / 60)];
    return (x >= 10 && x < 14 && y >= 10 && y < 26) || (y >= 22 && y < 26 && x >= 10 && x < 20)
      ? 1
      : 0;
  }),
};
const differing = (a: Bitmap, b: Bitmap): number =>
  a.data.reduce((sum, value, i) => sum + (value ^ b.data[i]), 0);

describe('a print taken out of what it is printed in', () => {
  it('is the picture again where that was laid, turned and made smaller', () => {
    const content = { x: 10, y: 10, width: 10, height: 16 };
    const drawn = { bitmap: L, content, pixelsPerMm: 1 };
    const room = { width: 60, height: 60, data: new Uint8Array(3600).fill(1) };
    const place = { x: 40, y: 35, scale: 1, degrees: 90 };
    const back = warpedBack(laidInto(drawn, place, room), drawn, place, { x: 0, y: 0, width: 30, height: 40 }); // prettier-ignore
    expect(differing(back, L)).toBe(0);
    expect(placeInPacket(drawn, { ...place, scale: 0.5 }, [15, 22])).toEqual([
      expect.closeTo(38),
      expect.closeTo(35),
    ]);
  });

  it('is the motif again at each of its whole places, turned over or not', () => {
    const pictureBox = { x: 8, y: 8, width: 14, height: 20 };
    const picture = { pictureBox, sheet: { widthMm: 60, heightMm: 60 }, pixelsPerMm: 1 };
    const laid = repeat({ bitmap: L }, picture, {
      repeat: 'mirrored',
      motifGap: 2,
      motifEdge: 'bled',
      margin: 5,
    });
    const motifs = motifsOf(laid.bitmap, pictureBox, laid);
    expect(motifs.length).toBeGreaterThan(2);
    expect(motifs.length).toBeLessThan(laid.motifs);
    expect(motifs.some(({ place }) => place.flipX)).toBe(true);
    for (const { print } of motifs) expect(differing(print, L)).toBe(0);
  });
});
