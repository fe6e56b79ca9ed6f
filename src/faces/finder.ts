import { readNetwork } from '../built-in/face-networks.js';
import type { Point } from '../geometry/shape.js';
import type { Colours } from '../raster/colours.js';
import type { Box } from '../raster/raster.js';
import { detectorOf, sharedArea, type Detected, type Look } from './network/detector.js';
import { landmarkerOf, type Landmarker } from './network/landmarks.js';

/*
 * Finds faces and their landmarks, on this computer alone; it tells no one from another.
 */

/** A face, in px of the picture that it was found in. */
export interface FoundFace extends Detected {
  /** 68: 17 of the jaw, 5 of each brow, 9 of the nose, 6 of each eye, 20 of the mouth; the face's right comes first. */
  readonly landmarks: readonly Point[];
}

export interface FaceFinder {
  /** Faces by the detector, each told once. */
  find(picture: Colours, looks: readonly Look[], leastScore: number): FoundFace[];
  /** Landmarks in boxes that were drawn; none for one outside of the picture. */
  landmarksIn(picture: Colours, boxes: readonly Box[]): FoundFace[];
}

/** Boxes that share so much of the smaller one are one face. */
const SAME_FACE = 0.5;

/**
 * @param folder of the networks, elsewhere only to try what is done about damage
 * @throws when the networks are not there, or damaged
 */
export function loadFaceFinder(folder?: string): FaceFinder {
  const detect = detectorOf(readNetwork('tiny_face_detector_model', folder));
  const landmarks = readNetwork('face_landmark_68_model', folder);
  // A picture without a face needs none.
  let opened: Landmarker | undefined;
  const locate: Landmarker = (picture, box) => (opened ??= landmarkerOf(landmarks))(picture, box);
  const withLandmarks = (picture: Colours, found: readonly Detected[]): FoundFace[] =>
    found.flatMap((one) => {
      const landmarks = locate(picture, one.box);
      return landmarks ? [{ ...one, landmarks }] : [];
    });
  return {
    find: (picture, looks, leastScore) => {
      const found = looks.flatMap((look) => detect(picture, look, leastScore));
      return withLandmarks(picture, withoutDoubles(found));
    },
    landmarksIn: (picture, boxes) =>
      withLandmarks(
        picture,
        boxes.map((box) => ({ box, score: 1 })),
      ),
  };
}

function withoutDoubles(found: readonly Detected[]): Detected[] {
  const kept: Detected[] = [];
  for (const one of found.toSorted((a, b) => b.score - a.score)) {
    if (kept.every(({ box }) => shared(one.box, box) < SAME_FACE)) kept.push(one);
  }
  return kept;
}

const shared = (a: Box, b: Box): number =>
  sharedArea(a, b) / Math.min(a.width * a.height, b.width * b.height);
