import { describe, expect, it } from 'vitest';
import type { Face } from '../../src/faces/face.js';
import { labelRegions } from '../../src/raster/labels.js';
import { features, printedOnce } from '../../src/stages/features/features.js';
import { drawFaces, markFaces } from '../../src/stages/tone/draw-faces.js';
import { faceAt, pictureOf } from '../support/face.js';

const HOT_TIP = { narrowestOpening: 1.5, narrowestStrip: 1.6, smallestOpening: 2.5 };

const EYES = [[36, 41], [42, 47]] as const; // prettier-ignore
const MOUTH = [48, 59] as const;
const NOSE = [31, 35] as const;

/** A light wall with faces on it whose features are dark, but for those left out. */
function wallWith(
  side: number,
  faces: readonly Face[],
  without: readonly (readonly number[])[] = [],
) {
  const features = [...EYES, MOUTH, NOSE].filter((one) => !without.includes(one));
  const picture = pictureOf(side, () => 200);
  const { width, data } = picture.gray;
  for (const { landmarks } of faces) {
    for (const [first, last] of features) {
      const points = landmarks.slice(first, last + 1);
      const [xs, ys] = [points.map(({ x }) => 10 * x), points.map(({ y }) => 10 * y)];
      // The shadow under a nose is a line.
      const tall = first === NOSE[0] ? 3 : 0;
      const [left, right] = [Math.max(0, Math.min(...xs)), Math.min(width, Math.max(...xs))];
      const [top, bottom] = [Math.max(0, Math.min(...ys) - tall), Math.min(width, Math.max(...ys) + tall)]; // prettier-ignore
      for (let y = Math.round(top); y < bottom; y++) {
        if (left < right)
          data.fill(60, y * width + Math.round(left), y * width + Math.round(right));
      }
    }
  }
  return picture;
}

const marksOf = (picture: ReturnType<typeof wallWith>, faces: readonly Face[]) =>
  markFaces(picture, faces, HOT_TIP).map(({ marks }) => {
    const { areas } = labelRegions(marks, 1, 8);
    return [...areas.slice(1)].map((area) => area / 100);
  });

function lightTone({ gray: { width, height } }: ReturnType<typeof wallWith>) {
  return { width, height, data: new Uint8Array(width * height) };
}

describe('a face that is drawn', () => {
  const face = faceAt({ x: 9, y: 9 }, 12);

  it('has two eyes alike and a mouth, each as large as can be cut', () => {
    const [marks] = marksOf(wallWith(30, [face]), [face]);
    expect(marks).toHaveLength(3);
    expect(marks[1]).toBeCloseTo(marks[0], 0);
    for (const area of marks) expect(area).toBeGreaterThan(1.1 * HOT_TIP.smallestOpening);
  });

  it('has eyes that are longer than high, by no more than 1.3 of their own length', () => {
    const [{ marks }] = markFaces(wallWith(30, [face]), [face], HOT_TIP);
    const { bounds } = labelRegions(marks, 1, 8);
    for (const eye of [1, 2]) {
      const [left, top, right, bottom] = bounds.slice(4 * eye, 4 * eye + 4);
      expect((right + 1 - left) / 10).toBeGreaterThan(2.7);
      expect((right + 1 - left) / 10).toBeLessThan(1.3 * 0.18 * 12 + 0.5);
      expect((bottom + 1 - top) / 10).toBeLessThan(2);
    }
  });

  it('has no mark that the picture does not found', () => {
    expect(marksOf(wallWith(30, [face], [EYES[1]]), [face])[0]).toHaveLength(2);
    expect(marksOf(wallWith(30, [face], [...EYES, MOUTH, NOSE]), [face])).toEqual([]);
  });

  it('has its mouth where the picture has it, a little above or below its landmarks, and none that lies further off', () => {
    const mouth = face.landmarks.slice(MOUTH[0], MOUTH[1] + 1);
    const [xs, ys] = [mouth.map(({ x }) => 10 * x), mouth.map(({ y }) => 10 * y)];
    /** With a line as wide as the mouth, a third of a millimetre high, so far above its landmarks or below, in px. */
    const withMouth = (from: number): number[] | undefined => {
      const picture = wallWith(30, [face], [MOUTH, NOSE]);
      const { width, data } = picture.gray;
      for (let y = Math.round(from); y < Math.round(from) + 3; y++) {
        data.fill(60, y * width + Math.round(Math.min(...xs)), y * width + Math.round(Math.max(...xs))); // prettier-ignore
      }
      const [{ marks, features: there, window }] = markFaces(picture, [face], HOT_TIP);
      if (!there.some(({ name }) => name === 'mouth')) return undefined;
      const { bounds } = labelRegions(marks, 1, 8);
      return [bounds[4 * 3 + 1], bounds[4 * 3 + 3]].map((at) => window.box.y + at - from);
    };
    for (const from of [Math.min(...ys) - 6, Math.max(...ys) + 3]) {
      const [top, bottom] = withMouth(from)!;
      // The mark is laid on the line.
      expect(top).toBeLessThan(1);
      expect(bottom).toBeGreaterThan(1);
    }
    expect(withMouth(Math.min(...ys) - 12)).toBe(undefined);
    expect(withMouth(Math.max(...ys) + 9)).toBe(undefined);
  });

  it('is left as the tone has it in profile, where one eye is made up, and nothing is told of it', () => {
    const inner = face.landmarks[42];
    const landmarks = face.landmarks.map((one, k) =>
      k > 42 && k < 48 ? { x: (one.x + inner.x) / 2, y: one.y } : one,
    );
    const turned = { ...face, landmarks };
    const picture = wallWith(30, [turned]);
    expect(marksOf(picture, [turned])).toEqual([]);
    const printed = [printedOnce(picture, [])];
    expect(features(picture, [turned], printed, HOT_TIP).faces).toEqual([]);
    expect(features(picture, [face], printed, HOT_TIP).faces).toHaveLength(1);
  });

  it('has the shadow under its nose only where that is no moustache', () => {
    const large = faceAt({ x: 9, y: 9 }, 24);
    const small = faceAt({ x: 9, y: 9 }, 16);
    const tall = { ...small, landmarks: small.landmarks.map((one, k) => (k >= 48 ? { ...one, y: one.y + 3 } : one)) }; // prettier-ignore
    expect(marksOf(wallWith(45, [large]), [large])[0]).toHaveLength(4);
    expect(marksOf(wallWith(45, [small]), [small])[0]).toHaveLength(3);
    expect(marksOf(wallWith(45, [tall]), [tall])[0]).toHaveLength(4);
    // One that is less than half as large as the mouth is no moustache, however near.
    const middle = small.landmarks[33].x;
    const narrow = { ...small, landmarks: small.landmarks.map((one, k) => (k >= 31 && k <= 35 ? { ...one, x: (one.x + middle) / 2 } : one)) }; // prettier-ignore
    expect(marksOf(wallWith(45, [narrow]), [narrow])[0]).toHaveLength(4);
  });

  it.each([
    ['half outside', -6, 9],
    ['half under the lower edge', 9, 24],
    ['outside', -40, 9],
  ])('is drawn as far as the picture goes, or not at all: %s', (_, x, y) => {
    const away = faceAt({ x, y }, 12);
    const picture = wallWith(30, [away]);
    const marked = markFaces(picture, [away], HOT_TIP);
    const laid = drawFaces(lightTone(picture), marked, [away], false);
    expect(marked).toHaveLength(x === -40 ? 0 : 1);
    expect(laid.data.includes(1)).toBe(marked.length > 0);
  });

  it('has no nose or mouth alone where there is no room for the eyes that the picture has', () => {
    const small = faceAt({ x: 9, y: 9 }, 6);
    expect(marksOf(wallWith(30, [small]), [small])).toEqual([]);
    expect(marksOf(wallWith(30, [small], EYES), [small])).toHaveLength(1);
  });

  it('keeps its hair, which the strip beside an eye would leave too thin, by making it wider outwards', () => {
    const narrow = faceAt({ x: 12, y: 9 }, 9);
    const plain = wallWith(33, [narrow]);
    const eyes = narrow.landmarks[36].y;
    const isHair = (x: number, y: number): boolean =>
      Math.abs(y - eyes) < 4 && ((x > 10.4 && x < 11.6) || (x > 21.4 && x < 22.6));
    const at = (i: number) => [(i % 330) / 10, Math.floor(i / 330) / 10] as const;
    const data = plain.gray.data.map((value, i) => (isHair(...at(i)) ? 40 : value));
    const picture = { ...plain, gray: { ...plain.gray, data } };
    const tone = lightTone(picture);
    tone.data.forEach((_, i) => (tone.data[i] = isHair(...at(i)) ? 1 : 0));
    const marked = markFaces(picture, [narrow], HOT_TIP);
    const laid = drawFaces(tone, marked, [narrow], false).data;
    const row = [...laid.subarray(330 * Math.round(10 * eyes), 330 * Math.round(10 * eyes) + 330)];
    const darks = row
      .join('')
      .match(/1+/g)!
      .map(({ length }) => length / 10);
    // Hair, two eyes, hair.
    expect(darks).toHaveLength(4);
    for (const mm of darks) expect(mm).toBeGreaterThanOrEqual(HOT_TIP.narrowestOpening);
    // Nothing grows over the skin, nor further out than it takes.
    const last = row.lastIndexOf(1) / 10;
    expect(last).toBeLessThan(22.6 + HOT_TIP.narrowestOpening);
  });

  it('leaves the faces beside it as they are', () => {
    // The hair of one is darker than its skin, and so is the other's skin.
    const [light, dark] = [faceAt({ x: 4, y: 9 }, 10), faceAt({ x: 14.5, y: 9 }, 10)];
    const plain = wallWith(30, [light, dark]);
    const data = plain.gray.data.map((value, i) => (i % 300 > 143 ? value / 2 : value));
    const picture = { ...plain, gray: { ...plain.gray, data } };
    const marked = markFaces(picture, [light], HOT_TIP);
    const darkened = (all: readonly Face[]) => {
      const { data: laid } = drawFaces(lightTone(picture), marked, all, false);
      return (x: number, y: number) => laid[Math.floor(10 * y) * 300 + Math.floor(10 * x)];
    };
    expect(darkened([light])(15.8, 11)).toBe(1);
    expect(darkened([light, dark])(15.8, 11)).toBe(0);
  });

  it('is one of sixty', () => {
    const crowd = Array.from({ length: 60 }, (_, k) => faceAt({ x: 2 + (k % 8) * 12, y: 4 + Math.floor(k / 8) * 12 }, 9)); // prettier-ignore
    const picture = wallWith(100, crowd);
    const marked = markFaces(picture, crowd, HOT_TIP);
    expect(marked).toHaveLength(60);
    const { data } = drawFaces(lightTone(picture), marked, crowd, false);
    for (const { landmarks } of crowd) {
      const { x, y } = landmarks[62];
      expect(data[Math.floor(10 * y) * 1000 + Math.floor(10 * x)]).toBe(1);
    }
  });

  it('has its moustache and its mouth as one mark, with the gaps between all marks kept', () => {
    const large = faceAt({ x: 9, y: 9 }, 24);
    const [middle, top] = [large.landmarks[33].x, large.landmarks[33].y];
    const plain = wallWith(45, [large]);
    const data = plain.gray.data.map((value, i) => {
      const [x, y] = [(i % 450) / 10 - middle, Math.floor(i / 450) / 10 - top];
      return Math.abs(x) < 5 && y > 1 && y < 5 ? 60 : value;
    });
    const picture = { ...plain, gray: { ...plain.gray, data } };
    const [bare, hairy] = [plain, picture].map((one) => marksOf(one, [large])[0]);
    expect(Math.max(...hairy)).toBeGreaterThan(2 * Math.max(...bare));
    // The shadow under the nose has no room any more, or is part of it.
    expect(hairy).toHaveLength(3);
  });

  it.each([-0.03, 0, 0.03])(
    'has its brows where they are dark, off their landmarks by %f of its width',
    (off) => {
      const large = faceAt({ x: 7, y: 12 }, 36);
      const plain = wallWith(50, [large]);
      const brows = large.landmarks.slice(17, 27);
      const data = plain.gray.data.map((value, i) => {
        const [x, y] = [(i % 500) / 10, Math.floor(i / 500) / 10 - 36 * off];
        return brows.some((brow) => Math.hypot(x - brow.x, y - brow.y) < 1.2) ? 60 : value;
      });
      const picture = { ...plain, gray: { ...plain.gray, data } };
      const [{ marks, window }] = markFaces(picture, [large], HOT_TIP);
      const isMarked = ({ x, y }: { x: number; y: number }): boolean => {
        const [px, py] = [x, y + 36 * off].map((mm) => Math.round(10 * mm));
        return marks.data[(py - window.box.y) * window.width + px - window.box.x] === 1;
      };
      expect(brows.filter(isMarked).length).toBeGreaterThanOrEqual(8);
    },
  );

  it.each([
    ['with room for them', 24, 12, 2],
    ['no larger than twelve openings', 18, 12, 0],
    ['whose brows the edge of the picture cuts', 24, 3.6, 0],
  ])('has both brows or none: %s', (_, wide, y, count) => {
    const one = faceAt({ x: 9, y }, wide);
    const plain = wallWith(50, [one]);
    const brows = one.landmarks.slice(17, 27);
    const data = plain.gray.data.map((value, i) => {
      const near = brows.some((brow) => Math.hypot((i % 500) / 10 - brow.x, Math.floor(i / 500) / 10 - brow.y) < 0.6); // prettier-ignore
      return near ? 60 : value;
    });
    const picture = { ...plain, gray: { ...plain.gray, data } };
    const [bare, browed] = [plain, picture].map((each) => marksOf(each, [one])[0]);
    expect(browed).toHaveLength(bare.length + count);
  });

  it('has no brow where there is hair', () => {
    const large = faceAt({ x: 9, y: 12 }, 30);
    const plain = wallWith(50, [large]);
    // Hair down to just above the eyes, and in it brows that are a little darker.
    const brows = large.landmarks.slice(17, 27);
    const data = plain.gray.data.map((value, i) => {
      const [x, y] = [(i % 500) / 10, Math.floor(i / 500) / 10];
      if (y > 10.4) return value;
      return brows.some((brow) => Math.hypot(x - brow.x, y - brow.y) < 0.6) ? 40 : 80;
    });
    const picture = { ...plain, gray: { ...plain.gray, data } };
    const [bare, hairy] = [plain, picture].map((one) => marksOf(one, [large])[0]);
    expect(hairy).toHaveLength(bare.length);
  });
});
