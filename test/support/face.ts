import type { Face } from '../../src/faces/face.js';
import type { Point } from '../../src/geometry/shape.js';

/** The middle of a face that looks straight out, in shares of its width from its right ear and the top of its nose. */
const HALF: Readonly<Record<string, readonly (readonly [number, number])[]>> = {
  jaw: [[0, 0], [0.01, 0.2], [0.04, 0.4], [0.09, 0.58], [0.17, 0.74], [0.27, 0.87], [0.36, 0.95], [0.43, 0.99]], // prettier-ignore
  brow: [
    [0.08, -0.1],
    [0.15, -0.16],
    [0.23, -0.17],
    [0.31, -0.15],
    [0.39, -0.11],
  ],
  eye: [
    [0.18, 0],
    [0.23, -0.03],
    [0.3, -0.03],
    [0.36, 0.01],
    [0.3, 0.03],
    [0.23, 0.03],
  ],
};

const mirrored = ([x, y]: readonly [number, number]): readonly [number, number] => [1 - x, y];

/** Landmarks of a drawn face in the order of Sagonas et al. 2013; from memory, by eye. */
const LANDMARKS: readonly (readonly [number, number])[] = [
  ...HALF.jaw,
  [0.5, 1],
  ...HALF.jaw.map(mirrored).reverse(),
  ...HALF.brow,
  ...HALF.brow.map(mirrored).reverse(),
  ...[0, 0.12, 0.23, 0.34].map((y) => [0.5, y] as const),
  ...[0.41, 0.45, 0.5, 0.55, 0.59].map((x) => [x, 0.4] as const),
  ...HALF.eye,
  ...[3, 2, 1, 0, 5, 4].map((k) => mirrored(HALF.eye[k])),
  ...[0.34, 0.4, 0.46, 0.5, 0.54, 0.6, 0.66].map((x, k) => [x, k % 6 === 0 ? 0.63 : 0.6] as const),
  ...[0.6, 0.54, 0.5, 0.46, 0.4].map((x) => [x, 0.69] as const),
  ...[0.36, 0.46, 0.5, 0.54, 0.64].map((x) => [x, 0.63] as const),
  ...[0.54, 0.5, 0.46].map((x) => [x, 0.65] as const),
];

/** A face so wide, in mm, its right ear at a place. */
export function faceAt({ x, y }: Point, widthMm: number): Face {
  const landmarks = LANDMARKS.map(([across, down]) => ({
    x: x + across * widthMm,
    y: y + down * widthMm,
  }));
  return { landmarks, widthMm, box: [0, 0, 100, 100] };
}

/** A picture of 10 px a mm whose lightness is told for each place in mm; its frame is all of it. */
export function pictureOf(side: number, lightness: (x: number, y: number) => number) {
  const width = side * 10;
  const data = Uint8Array.from({ length: width * width }, (_, i) =>
    lightness(((i % width) + 0.5) / 10, (Math.floor(i / width) + 0.5) / 10),
  );
  return {
    gray: { width, height: width, data },
    pictureBox: { x: 0, y: 0, width, height: width },
    pixelsPerMm: 10,
    shows: { x: 0, y: 0, width: 1, height: 1 },
  };
}
