import type { Point } from '../geometry/shape.js';
import type { LaidOut, LayoutRules } from '../lettering/layout.js';
import type { SetLine } from '../lettering/typeset.js';
import type { StencilStage } from '../pipeline/pipeline.js';
import { gridOf, openPictureBeside, type OpenedPicture } from '../pipeline/words.js';
import { designMargin, type Job } from '../settings/job.js';
import type { LetteringJob } from '../settings/lettering-settings.js';
import { namingThe, Problem } from '../settings/problem.js';
import { LEAST_CAP_MM, layInto, rulesOf } from './words-layout.js';

/** Room for words and for a picture beside them, on one card, as shares of the card's. */
const MOST_FOR_WORDS = { across: 0.4, down: 0.34 };

/** The gap between words and a picture, as a share of the cap height, and in strips of film at the least. */
const GAP_CAPS = 0.4;
const GAP_STRIPS = 2;

/** A picture needs so much room each way, in mm. */
const LEAST_PICTURE_MM = 20;

/** Room that is left free round words, in mm. */
export interface RoomAround {
  readonly before: number;
  readonly after: number;
}

/** How words are cut, and the picture beside them. */
interface PlaceWish extends LetteringJob {
  readonly beside: string | Uint8Array | undefined;
  /** At the left and the top, and at the right and the bottom. */
  readonly around: RoomAround;
}

/** Words laid out and placed on the sheet, and the picture beside them. */
export interface PlacedWords {
  readonly laid: LaidOut;
  /** The lines, as heavy as they had to be, and what their strokes have grown by, in mm. */
  readonly lines: readonly SetLine[];
  readonly grownMm: number;
  /** The room that they were laid into, in mm. */
  readonly room: { readonly width: number; readonly height: number };
  /** Where the box round them begins, in mm. */
  readonly at: Point;
  /** The picture, the job for its own sheet, and the whole pixel of the card that the first one of that goes to. */
  readonly beside?: {
    readonly source: string | Uint8Array;
    readonly picture: OpenedPicture;
    readonly job: Job;
    readonly scale: number;
    readonly x: number;
    readonly y: number;
  };
  /** Of a motif that is repeated: its size in mm; all places are from its own corner. */
  readonly motif?: { readonly width: number; readonly height: number };
}

export async function placeWords(
  lines: readonly SetLine[],
  set: PlaceWish,
  job: Job,
  onStage?: (stage: StencilStage) => void,
): Promise<PlacedWords> {
  const { room, scale } = gridOf(job);
  const rules = rulesOf(set, job);
  const { beside, around } = set;
  const taken = around.before + around.after;
  const isMotif = job.repeat !== 'none';
  const into: Room = isMotif
    ? { x: 0, y: 0, width: job.motifSize, height: job.motifSize, isMotif }
    : { ...roomInMm(room, scale), isMotif };
  if (beside !== undefined) {
    return besidePicture(lines, { ...set, beside }, into, job, rules, onStage);
  }
  const whole = { width: into.width - taken, height: into.height - taken };
  const made = await layInto(lines, set, whole, rules, job);
  const { laid } = made;
  const free = isMotif
    ? { width: 0, height: 0 }
    : { width: whole.width - laid.width, height: whole.height - laid.height };
  const at = {
    x: into.x + around.before + free.width / 2,
    y: into.y + around.before + free.height / 2,
  };
  const motif = { width: laid.width + taken, height: laid.height + taken };
  return { ...made, room: whole, at, ...(isMotif && { motif }) };
}

/** Where words may go, and a picture beside them, in mm: the card inside its margin, or a motif's box from its own corner. */
interface Room {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly isMotif: boolean;
}

const roomInMm = (
  { x, y, width, height }: ReturnType<typeof gridOf>['room'],
  scale: number,
): Omit<Room, 'isMotif'> => ({
  x: x / scale,
  y: y / scale,
  width: width / scale,
  height: height / scale,
});

async function besidePicture(
  lines: readonly SetLine[],
  set: PlaceWish & { readonly beside: string | Uint8Array },
  into: Room,
  job: Job,
  rules: LayoutRules,
  onStage?: (stage: StencilStage) => void,
): Promise<PlacedWords> {
  refuseBeside(job);
  const { scale } = gridOf(job);
  const { before, after } = set.around;
  const room = roomForWords(set, into);
  const made = await layInto(lines, set, room, rules, job);
  // The words, and what is to be free round them.
  const laid = {
    width: made.laid.width + before + after,
    height: made.laid.height + before + after,
  };
  const { capHeight } = made.laid;
  const gap = Math.max(GAP_STRIPS * job.narrowestStrip, GAP_CAPS * capHeight);
  const left = roomForPicture(set, into, laid, gap, scale);
  if (Math.min(left.width, left.height) < LEAST_PICTURE_MM) throw noPictureRoom(into, capHeight);
  const { beside } = set;
  const own = jobBeside(left, job, scale);
  const picture = await namingThe(beside, () => openPictureBeside(beside, own, onStage));
  // Where the picture is, within its room: it is seldom of the very shape of that.
  const { pictureBox } = picture;
  const box = { width: pictureBox.width / scale, height: pictureBox.height / scale };
  const { at, pictureAt, size } = arranged(set, into, laid, box, gap);
  return {
    ...made,
    room,
    at: { x: at.x + before, y: at.y + before },
    ...(into.isMotif && { motif: size }),
    beside: {
      source: beside,
      picture,
      job: own,
      scale,
      x: Math.round(pictureAt.x * scale) - pictureBox.x,
      y: Math.round(pictureAt.y * scale) - pictureBox.y,
    },
  };
}

interface SizeMm {
  readonly width: number;
  readonly height: number;
}

/** Whether words and picture stand one over the other. */
const isUpright = ({ place }: PlaceWish): boolean => place === 'above' || place === 'below';

/** The room for words, without what is free round them: all of it where their size is given, else their share. */
function roomForWords(set: PlaceWish, { width, height }: Room): SizeMm {
  const { before, after } = set.around;
  const most = isUpright(set)
    ? { width, height: MOST_FOR_WORDS.down * height }
    : { width: MOST_FOR_WORDS.across * width, height };
  const whole = set.capHeight === null ? most : { width, height };
  return { width: whole.width - before - after, height: whole.height - before - after };
}

/** What words and the gap leave of the room, down to whole pixels. */
function roomForPicture(
  set: PlaceWish,
  { width, height }: Room,
  laid: SizeMm,
  gap: number,
  scale: number,
): SizeMm {
  const inPx = (mm: number): number => Math.floor(mm * scale) / scale;
  return isUpright(set)
    ? { width, height: inPx(height - laid.height - gap) }
    : { width: inPx(width - laid.width - gap), height };
}

function noPictureRoom({ isMotif }: Room, capHeight: number): Problem {
  const larger = isMotif ? 'take a larger motif' : 'take a larger card';
  const half = capHeight / 2;
  return new Problem(
    'The words leave no room for the picture',
    isMotif ? '`capHeight`, `motifSize`' : '`capHeight`, `card`',
    half < LEAST_CAP_MM
      ? `T${larger.slice(1)}`
      : `Make them smaller: ${half.toFixed(0)} mm, say; or ${larger}`,
  );
}

/** Words and picture side by side, or one over the other, each in the middle of the other's side; their corners, in mm. */
function arranged(
  set: PlaceWish,
  into: Room,
  laid: SizeMm,
  box: SizeMm,
  gap: number,
): { readonly at: Point; readonly pictureAt: Point; readonly size: SizeMm } {
  const upright = isUpright(set);
  const size = upright
    ? { width: Math.max(laid.width, box.width), height: laid.height + gap + box.height }
    : { width: laid.width + gap + box.width, height: Math.max(laid.height, box.height) };
  const start = into.isMotif
    ? into
    : { x: into.x + (into.width - size.width) / 2, y: into.y + (into.height - size.height) / 2 };
  const isFirst = set.place === 'above' || set.place === 'left';
  const along = (own: number, before: number): number => (isFirst ? own : before);
  const at = upright
    ? {
        x: start.x + (size.width - laid.width) / 2,
        y: start.y + along(0, box.height + gap),
      }
    : {
        x: start.x + along(0, box.width + gap),
        y: start.y + (size.height - laid.height) / 2,
      };
  const pictureAt = upright
    ? { x: start.x + (size.width - box.width) / 2, y: start.y + along(laid.height + gap, 0) }
    : { x: start.x + along(laid.width + gap, 0), y: start.y + (size.height - box.height) / 2 };
  return { at, pictureAt, size };
}

function refuseBeside(job: Job): void {
  if (job.repeat !== 'none' && job.as === 'mask') {
    throw new Problem(
      'A mask of motifs is of words, or of a picture, and not of both',
      '`repeat`, `as`, `picture`',
      'Make a stencil of them, or a mask of both once; or repeat one of them alone',
    );
  }
  if (job.as === 'glue-line') {
    throw new Problem(
      'Lines of glue are drawn for words, or for a picture, and not for both',
      '`as`, `picture`',
      'Make a stencil or a mask of both, or lines of glue of one of them alone',
    );
  }
}

/** The job of a picture on a sheet of its own, whose margin leaves it its room. */
function jobBeside(
  room: { readonly width: number; readonly height: number },
  job: Job,
  scale: number,
): Job {
  const margin = designMargin(job);
  return {
    ...job,
    card: `${room.width + 2 * margin}x${room.height + 2 * margin}mm`,
    turn: 'as-given',
    fineness: scale,
    registerMarks: false,
    repeat: 'none',
    bridgeEdits: [],
    bridgeFree: [],
    regionEdits: [],
  };
}
