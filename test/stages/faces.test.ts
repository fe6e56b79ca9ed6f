import { randomFillSync } from 'node:crypto';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { completeJob, createPipeline, Problem, type JobInput } from '../../src/index.js';
import {
  loadFaceFinder,
  openFinder,
  type FaceFinder,
  type FoundFace,
} from '../../src/faces/finder.js';
import { features } from '../../src/stages/features/features.js';
import { findFaces } from '../../src/stages/faces/faces.js';
import { home } from '../support/built.js';
import { faceAt, pictureOf } from '../support/face.js';

// Photographs of the face library's own package: two and four people, nobody known to us.
const demo = (name: string): string =>
  join(home, 'node_modules/@vladmandic/face-api/demo', `${name}.jpg`);
const FOUR = demo('sample6');

/** An even picture of 100 mm. */
const drawing = {
  ...pictureOf(100, () => 200),
  colours: { width: 1000, height: 1000, data: new Uint8Array(3e6) },
};

const finderOf = (find: () => FoundFace[]): FaceFinder => ({ find, landmarksIn: find });

/** A face 48 px wide, as a finder tells it. */
function faceIn(ear: { x: number; y: number }): FoundFace {
  const { landmarks } = faceAt(ear, 48);
  return { box: { ...ear, width: 48, height: 48 }, score: 1, landmarks };
}

const found = async (source: string | Uint8Array, input: JobInput = {}) => {
  const { faces } = await createPipeline().runFor(['faces'], source, completeJob(input));
  return faces;
};

describe('faces', () => {
  it('finds four, from left to right, with landmarks that lie in them', async () => {
    const { faces, why } = await found(FOUR);
    expect(why).toBe('');
    expect(faces).toHaveLength(4);
    const middles = faces.map(({ landmarks }) => landmarks[30].x);
    expect(middles).toEqual(middles.toSorted((a, b) => a - b));
    for (const { landmarks, widthMm } of faces) {
      expect(landmarks).toHaveLength(68);
      expect(widthMm).toBeGreaterThan(8);
      expect(widthMm).toBeLessThan(12);
      expect(landmarks[36].x).toBeLessThan(landmarks[45].x);
      expect(landmarks[57].y).toBeGreaterThan(landmarks[30].y);
    }
  });

  it('finds as many in its mirror image', async () => {
    const mirrored = await sharp(FOUR).resize(900).flop().png().toBuffer();
    expect((await found(mirrored)).faces).toHaveLength(4);
  });

  it('finds a tilted one', async () => {
    const tilted = await sharp(FOUR)
      .extract({ left: 1300, top: 100, width: 620, height: 800 })
      .rotate(20, { background: '#888' })
      .png()
      .toBuffer();
    expect((await found(tilted)).faces.length).toBeGreaterThanOrEqual(1);
  });

  it('finds those of a crowd that a large sheet has room for', async () => {
    const cell = await sharp(FOUR).resize(1000, 800).toBuffer();
    const places = [0, 1000].flatMap((left) => [0, 800].map((top) => ({ input: cell, left, top })));
    const crowd = await sharp({
      create: { width: 2000, height: 1600, channels: 3, background: '#fff' },
    })
      .composite(places)
      .jpeg()
      .toBuffer();
    const { faces } = await found(crowd, { card: 'film-sheet', fineness: 5 });
    expect(faces).toHaveLength(16);
    for (const { widthMm } of faces) expect(widthMm).toBeGreaterThan(8);
  });

  it('finds the one of a sample that was drawn', async () => {
    expect((await found(join(home, 'samples/nana.jpg'))).faces).toHaveLength(1);
  });

  it('finds none in a hen', async () => {
    expect((await found(join(home, 'samples/hen.jpg'))).faces).toEqual([]);
  });

  it('takes the boxes that were drawn, also one half outside, and tells of one over nothing', async () => {
    const two = await found(FOUR, {
      faceBoxes: [
        [10, 35, 14, 17],
        [62, 90, 12, 14],
      ],
    });
    expect(two.faces).toHaveLength(1);
    expect(two.why).toBe('In one of the boxes that were drawn no face can be made out.');
    const outside = await found(FOUR, { crop: '19,20,40,60', faceBoxes: [[10, 35, 14, 17]] });
    expect(outside.faces.length).toBeLessThanOrEqual(1);
  });

  it('has its landmarks where they are when the picture cuts off its side', async () => {
    const { data, info } = await sharp(FOUR)
      .resize({ width: 1000 })
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    const picture = { width: info.width, height: info.height, data: new Uint8Array(data) };
    const area = { x: 0, y: 0, width: info.width, height: info.height };
    const finder = loadFaceFinder();
    for (const { box, landmarks } of finder.find(picture, [{ area, inputSize: 448 }])) {
      const off = Math.round(box.x + box.width / 5);
      const width = info.width - off;
      const cut = Uint8Array.from({ length: 3 * width * info.height }, (_, i) => {
        const pixel = Math.floor(i / 3);
        return data[3 * (Math.floor(pixel / width) * info.width + off + (pixel % width)) + (i % 3)];
      });
      const [half] = finder.landmarksIn({ width, height: info.height, data: cut }, [
        { ...box, x: box.x - off },
      ]);
      const [whole, there] = [landmarks, half.landmarks].map((points) => points[30]);
      expect(Math.hypot(whole.x - off - there.x, whole.y - there.y)).toBeLessThan(0.1 * box.width);
    }
    expect(finder.landmarksIn(picture, [{ x: -50, y: 10, width: 40, height: 40 }])).toEqual([]);
  });

  it.each([
    ['a tattoo', 0.66, 0, 0],
    ['nothing', 0.39, 0.9, 0],
    ['a small one in the wind', 0.45, 0.84, 1],
    ['a face', 0.8, 0.8, 1],
    // What is found elsewhere from near is another thing.
    ['one that is none, beside a face', 0.66, 0.9, 0, 60],
  ])('looks again from near: %s', (_, far, near, count, off = 0) => {
    const { box, landmarks } = faceIn({ x: 300, y: 300 });
    const finder = openFinder(
      (_picture, { area }, least) => {
        const isFar = area.width === 1000;
        const told = { box: isFar ? box : { ...box, x: box.x + off }, score: isFar ? far : near };
        // 3.6 times its side (src/faces/finder.ts), about its middle.
        if (!isFar) expect(area).toEqual({ x: 238, y: 238, width: 173, height: 173 });
        return told.score > least ? [told] : [];
      },
      () => [...landmarks],
    );
    const area = { x: 0, y: 0, width: 1000, height: 1000 };
    expect(finder.find(drawing.colours, [{ area, inputSize: 448 }])).toHaveLength(count);
  });

  it('goes on without when the finder is not there, and says so once', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'networks-'));
    try {
      const { faces, why } = await findFaces(drawing, { faceBoxes: [] }, () =>
        Promise.resolve().then(() => loadFaceFinder(folder)),
      );
      expect(faces).toEqual([]);
      expect(why).toBe(
        'Faces could not be looked for (the file tiny_face_detector_model-weights_manifest.json is not there), so the picture is drawn without; installing the program anew may help.',
      );
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  it('tells of what is thrown its first line alone', async () => {
    const { why } = await findFaces(drawing, { faceBoxes: [] }, () =>
      Promise.reject(new Error('no module\nat somewhere')),
    );
    expect(why).toMatch(/^Faces could not be looked for \(no module\), so the picture/);
  });

  it.each([
    ['the detector', 'tiny_face_detector_model.bin'],
    ['the landmarks', 'face_landmark_68_model.bin'],
    ['a list of weights', 'tiny_face_detector_model-weights_manifest.json'],
  ])('goes on without when %s is random bytes, and says so once', async (_, damaged) => {
    const folder = mkdtempSync(join(tmpdir(), 'networks-'));
    try {
      const networks = join(home, 'node_modules/@vladmandic/face-api/model');
      for (const network of ['tiny_face_detector_model', 'face_landmark_68_model'])
        for (const file of [`${network}.bin`, `${network}-weights_manifest.json`])
          cpSync(join(networks, file), join(folder, file));
      // As long as it was: nothing but its bytes tells.
      const bytes = randomFillSync(readFileSync(join(folder, damaged)));
      writeFileSync(join(folder, damaged), bytes);
      const { faces, why } = await findFaces(drawing, { faceBoxes: [] }, () =>
        Promise.resolve().then(() => loadFaceFinder(folder)),
      );
      expect(faces).toEqual([]);
      expect(why).toBe(
        `Faces could not be looked for (the file ${damaged} is damaged), so the picture is drawn without; installing the program anew may help.`,
      );
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  it('goes on without when the finder breaks off for want of memory, and says so once', async () => {
    const { faces, why } = await findFaces(drawing, { faceBoxes: [] }, () =>
      Promise.resolve(
        finderOf(() => {
          throw new RangeError('Array buffer allocation failed');
        }),
      ),
    );
    expect(faces).toEqual([]);
    expect(why).toBe(
      'Faces could not be looked for (Array buffer allocation failed), so the picture is drawn without; closing other programs may help.',
    );
  });

  it('takes sixty, and leaves out what is none', async () => {
    const crowd = Array.from({ length: 60 }, (_, k) =>
      faceIn({ x: 500 - 60 * (k % 8), y: 20 + 70 * Math.floor(k / 8) }),
    );
    const heap = { ...crowd[0], landmarks: crowd[0].landmarks.map(() => ({ x: 9, y: 9 })) };
    const outside = faceIn({ x: -30, y: 20 });
    const { faces, why } = await findFaces(drawing, { faceBoxes: [] }, () =>
      Promise.resolve(finderOf(() => [...crowd, heap, outside])),
    );
    expect(why).toBe('');
    expect(faces).toHaveLength(61);
    const lefts = faces.map(({ landmarks }) => landmarks[0].x);
    expect(lefts).toEqual(lefts.toSorted((a, b) => a - b));
    const kept = features(drawing, faces, [], completeJob({}));
    expect(kept.faces.every(({ had, lost }) => had.length === lost.length)).toBe(true);
  });

  it.each<unknown>([7, [[1, 2, 3]], [[0, 0, 0, 10]], [['a', 1, 2, 3]], [[90, 90, 90, 10]]])(
    'refuses boxes like %j in words',
    (faceBoxes) => {
      expect(() => completeJob({ faceBoxes })).toThrow(Problem);
    },
  );
});

describe('a subject that is found', () => {
  it('is the people of a photograph, by their faces', async () => {
    const job = completeJob({ subject: 'find', fineness: 5 });
    const { read: picture, subject, faces } = await createPipeline().runFor(['read', 'subject', 'faces'], FOUR, job); // prettier-ignore
    expect(subject.why).toMatch(/^The people were told apart from their background by their faces/);
    const { width, data } = subject.mask!;
    const { pictureBox, pixelsPerMm } = picture;
    const has = (x: number, y: number): boolean =>
      data[
        Math.floor(pictureBox.y + y * pixelsPerMm) * width +
          Math.floor(pictureBox.x + x * pixelsPerMm)
      ] === 1;
    for (const { landmarks } of faces.faces) {
      for (const k of [8, 27, 30, 36, 45]) expect(has(landmarks[k].x, landmarks[k].y)).toBe(true);
    }
    // The window behind them, and the wall at the right.
    expect(has(5, 5)).toBe(false);
    expect(has(pictureBox.width / pixelsPerMm - 3, 15)).toBe(false);
  });
});

describe('a small face', () => {
  it('keeps its eyes and its mouth on an art card, and no bridge crosses them', async () => {
    const { values } = await createPipeline().run(FOUR, completeJob({ crop: '5,10,90,50' }));
    const { features, bridge, check } = values;
    expect(features!.faces).toHaveLength(4);
    expect(features!.faces.flatMap(({ had }) => had).length).toBeGreaterThanOrEqual(9);
    expect(features!.faces.flatMap(({ lost }) => lost)).toEqual([]);
    expect(check.findings.filter(({ level }) => level === 'error')).toEqual([]);
    for (const { at, widthMm } of features!.faces) {
      for (const { from, to } of bridge.bridges) {
        const middle = [(from.x + to.x) / 2 - at[0], (from.y + to.y) / 2 - at[1]];
        expect(Math.hypot(...middle)).toBeGreaterThan(widthMm / 4);
      }
    }
  });

  it('loses them without, and with `faces` none nothing is said', async () => {
    const job = completeJob({ crop: '5,10,90,50' });
    const pipeline = createPipeline();
    const values = await pipeline.runFor(['read', 'frame', 'features'], FOUR, {
      ...job,
      faces: 'none',
    });
    expect(values.features!.faces).toEqual([]);
    const { faces } = await pipeline.runFor(['faces'], FOUR, job);
    const { features, printedOnce } = await import('../../src/stages/features/features.js');
    const printed = printedOnce(values.read, values.frame.openings);
    const kept = features(values.read, faces.faces, [printed], job);
    expect(kept.faces.flatMap(({ lost }) => lost).length).toBeGreaterThanOrEqual(8);
  });

  it('that is too small is told with the card and the crop that would keep it', async () => {
    const { values } = await createPipeline().run(FOUR, completeJob({ card: '60x60mm' }));
    const told = values.check.findings.find(({ code }) => code === 'faces-gone');
    expect(told?.level).toBe('warning');
    expect(told?.message).toMatch(
      /^\d of 4 faces have lost an eye or the mouth: the narrowest is \d\.\d mm wide, and from 10\.6 mm on they can be kept\. A card of about \d+ × \d+ mm would do\./,
    );
  });
});
