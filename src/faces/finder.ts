import { readNetwork } from '../built-in/face-networks.js';
import type { Point } from '../geometry/shape.js';
import type { Colours } from '../raster/colours.js';
import type { Box } from '../raster/raster.js';
import { detectorOf, overlapOf, sharedArea, type Detected, type Detector, type DetectorWindow } from './network/detector.js'; // prettier-ignore
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
  find(picture: Colours, looks: readonly DetectorWindow[]): FoundFace[];
  /** Landmarks in boxes that were drawn; none for one outside of the picture. */
  landmarksIn(picture: Colours, boxes: readonly Box[]): FoundFace[];
}

/** Boxes that share so much of the smaller one are one face. */
const SAME_FACE = 0.5;
/**
 * From this score on, a place is looked at again from near: a square about it, so many times as large, on a grid
 * of so many px. One face of a group of four, 40 to 80 px wide, has 0.56 to 0.72 there, but 0.35 to 0.40 in a square of 3
 * times its side, 0.24 of 2.2 and 0.37 of 4.
 */
const MAYBE = 0.4;
const NEAR = { times: 3.6, inputSize: 224 };
/**
 * A face is one when the mean of both scores is at least this. On 90 photographs and crops of them the lowest of a face
 * was 0.60; an arm, a cheek's shadow and a drawing of a car, which had up to 0.66 from afar, had at most 0.40, coins 0.48,
 * and a bystander in the dark 0.50; those are by a square of 3 times the side, before it was 3.6.
 */
const SURE = 0.54;
/** What is found from near is the same when it shares so much with it, as intersection over union. */
const AGAIN = 0.3;

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
  return openFinder(detect, locate);
}

/** A finder by what detects faces and what locates their landmarks. */
export function openFinder(detect: Detector, locate: Landmarker): FaceFinder {
  const withLandmarks = (picture: Colours, found: readonly Detected[]): FoundFace[] =>
    found.flatMap((one) => {
      const landmarks = locate(picture, one.box);
      return landmarks ? [{ ...one, landmarks }] : [];
    });
  return {
    find: (picture, looks) => {
      const found = looks.flatMap((look) => detect(picture, look, MAYBE));
      const sure = withoutDoubles(found).flatMap((one) => {
        const look = { area: squareRound(one.box, picture), inputSize: NEAR.inputSize };
        const again = detect(picture, look, 0).filter(({ box }) => overlapOf(box, one.box) > AGAIN);
        const near = Math.max(0, ...again.map(({ score }) => score));
        const score = (one.score + near) / 2;
        return score >= SURE ? [{ ...one, score }] : [];
      });
      return withLandmarks(picture, sure);
    },
    landmarksIn: (picture, boxes) =>
      withLandmarks(
        picture,
        boxes.map((box) => ({ box, score: 1 })),
      ),
  };
}

/** The square about a box that is looked at again, no further than the picture, in whole px. */
function squareRound({ x, y, width, height }: Box, picture: Colours): Box {
  const side = NEAR.times * Math.max(width, height);
  const [left, top] = [x + width / 2, y + height / 2].map((middle) =>
    Math.max(0, Math.round(middle - side / 2)),
  );
  return {
    x: left,
    y: top,
    width: Math.min(picture.width - left, Math.round(side)),
    height: Math.min(picture.height - top, Math.round(side)),
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
