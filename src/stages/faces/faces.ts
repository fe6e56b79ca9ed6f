import { coarserColours, type Colours } from '../../raster/colours.js';
import { onShown } from '../../raster/placement.js';
import type { Box } from '../../raster/raster.js';
import type { FaceBox } from '../../settings/face-boxes.js';
import type { Job } from '../../settings/job.js';
import type { Picture } from '../read/read.js';
import type { Face } from '../../faces/face.js';
import type { FaceFinder, FoundFace } from '../../faces/finder.js';
import type { DetectorWindow } from '../../faces/network/detector.js';
import { isPlausible } from '../../faces/plausible.js';

export interface Faces {
  /** From left to right. */
  readonly faces: readonly Face[];
  /** What is to be told of looking for them, a sentence; empty when all went as it should. */
  readonly why: string;
}

export const NO_FACES: Faces = { faces: [], why: '' };

/** A picture is looked at with no more px on its longer side than this: the detector shrinks it further. */
const LONGEST = 1000;
/** In mm: on a card faces from this width on can be drawn, if only in bars. */
const LEAST_FACE_MM = 9;
/** Of what the detector sees in the larger square it finds faces from this share of the longer side on. */
const LEAST_SHARE = 1 / 15;
/** A large sheet is looked at in no more parts than this along its longer side. */
const MOST_PARTS = 3;
/** Parts are larger by this share than what they part the picture into, so that no face lies across two. */
const OVERLAP = 0.3;
/**
 * The detector sees the picture in squares of so many px: in the first it finds faces from a fifteenth of the picture's
 * side on, in the second those that fill half of it and more. Of 36 faces of 16 photographs both find all that
 * larger squares do, in three quarters of the time; at 416 a thing counts as a face, at 384 one is missed.
 */
const INPUT_SIZES = [448, 224];
/**
 * Finds the faces of a picture, or takes those in the boxes that were drawn.
 *
 * @param loadFinder where it fails the picture goes on without faces, and that is told
 */
export async function findFaces(
  { colours, pixelsPerMm, shows }: Pick<Picture, 'colours' | 'pixelsPerMm' | 'shows'>,
  { faceBoxes }: Pick<Job, 'faceBoxes'>,
  loadFinder: () => Promise<FaceFinder>,
): Promise<Faces> {
  const longest = Math.max(colours.width, colours.height);
  const parts = partsAlong(longest / pixelsPerMm);
  const factor = Math.ceil(longest / (parts === 1 ? LONGEST : INPUT_SIZES[0] * parts));
  const looked = coarserColours(colours, factor);
  const isDrawn = faceBoxes.length > 0;
  let found: readonly FoundFace[];
  try {
    const finder = await loadFinder();
    found = isDrawn
      ? finder.landmarksIn(looked, boxesOn(looked, faceBoxes, shows))
      : finder.find(looked, looksAt(looked, parts));
  } catch (error) {
    return { faces: [], why: couldNot(error) };
  }
  const plausible = found.filter(({ landmarks }) => isPlausible(landmarks));
  const missing = isDrawn ? faceBoxes.length - plausible.length : 0;
  const perMm = pixelsPerMm / factor;
  return {
    faces: plausible
      .map((face) => onCard(face, perMm, looked, shows))
      .sort((a, b) => a.landmarks[0].x - b.landmarks[0].x),
    why: missing > 0 ? notThere(missing) : '',
  };
}

/** Into how many parts a picture is looked at along its longer side, so that no face that can be drawn is too small. */
function partsAlong(longestMm: number): number {
  return Math.min(MOST_PARTS, Math.ceil((LEAST_SHARE * longestMm) / LEAST_FACE_MM));
}

/** The whole picture in both squares; of one on a large sheet its parts, too. */
function looksAt({ width, height }: Colours, parts: number): DetectorWindow[] {
  const area = { x: 0, y: 0, width, height };
  const whole = INPUT_SIZES.map((inputSize) => ({ area, inputSize }));
  if (parts === 1) return whole;
  const side = Math.max(width, height) / parts;
  const [across, down] = [spans(width, side), spans(height, side)];
  return [
    ...whole,
    ...down.flatMap(([y, high]) =>
      across.map(([x, wide]) => ({
        area: { x, y, width: wide, height: high },
        inputSize: INPUT_SIZES[0],
      })),
    ),
  ];
}

/** Parts a length into overlapping spans, each with its start and its length, in whole px. */
function spans(length: number, side: number): [number, number][] {
  const count = Math.ceil(length / side - OVERLAP);
  if (count <= 1) return [[0, length]];
  const span = Math.min(length, Math.round(side * (1 + OVERLAP)));
  return Array.from({ length: count }, (_, k) => [
    Math.round((k * (length - span)) / (count - 1)),
    span,
  ]);
}

function onCard({ box, landmarks }: FoundFace, perMm: number, grid: Colours, shows: Box): Face {
  const onFrame = landmarks.map(({ x, y }) => ({ x: x / perMm, y: y / perMm }));
  const [one, other] = [onFrame[0], onFrame[16]];
  const share = { x: shows.width / grid.width, y: shows.height / grid.height };
  const percents = [
    shows.x + box.x * share.x,
    shows.y + box.y * share.y,
    box.width * share.x,
    box.height * share.y,
  ].map(tenthOfPercent);
  const [left, top, width, height] = percents;
  return {
    landmarks: onFrame,
    widthMm: Math.hypot(other.x - one.x, other.y - one.y),
    box: [left, top, width, height],
  };
}

const tenthOfPercent = (share: number): number => Math.round(1000 * share) / 10;

function boxesOn(grid: Colours, boxes: readonly FaceBox[], shows: Box): Box[] {
  return boxes.map(([left, top, width, height]) => {
    const corners = [[left, top] as const, [left + width, top + height] as const];
    const [[x, y], [right, bottom]] = onShown(corners, shows, grid);
    return { x, y, width: right - x, height: bottom - y };
  });
}

function notThere(missing: number): string {
  return missing === 1
    ? 'In one of the boxes that were drawn no face can be made out.'
    : `In ${missing} of the boxes that were drawn no face can be made out.`;
}

function couldNot(error: unknown): string {
  const reason = error instanceof Error ? error.message : String(error);
  // What an array or the compiled code's memory is refused with.
  const cure =
    error instanceof RangeError ? 'closing other programs' : 'installing the program anew';
  return `Faces could not be looked for (${reason.split('\n')[0]}), so the picture is drawn without; ${cure} may help.`;
}
