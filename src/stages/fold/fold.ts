import { memoizeLast } from '../../common/memoize-last.js';
import {
  foldPattern,
  type FoldPattern,
  type SymmetryPattern,
} from '../../geometry/fold-pattern.js';
import { insideOfMargin } from '../../geometry/bounding-box.js';
import { foldRaster, roomInPacket, unfoldedBitmap } from '../../geometry/unfold-bitmap.js';
import { designMargin, type Job } from '../../settings/job.js';
import { Problem } from '../../settings/problem.js';
import { intersection } from '../../raster/morphology.js';
import { pixelsInsideMargin } from '../../raster/placement.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Picture } from '../read/read.js';
import type { Repeated } from '../repeat/repeat.js';
import { bestPlace, type KeepWidths } from './best-place.js';
import { foldedDrawing, type FoldedDrawing, type UnlikePart } from './folded-drawing.js';
import { contentBox, laidInto, type PicturePlace } from './place.js';
import { symmetryOf } from './symmetry.js';

/** The tone picture of the opened sheet, and how it comes out of the packet. */
export interface Folded extends Repeated {
  /** Undefined where the sheet is not folded. */
  readonly fold?: LaidInPacket;
  /** Of a sheet that is not folded: the mirrors of what is drawn, which all that follows keeps to. */
  readonly symmetry?: SymmetryPattern;
}

/** How a sheet is folded and what was laid into the packet. */
export interface LaidInPacket {
  readonly pattern: FoldPattern;
  /** Of a stencil: 1 where an opening of the packet keeps all its images inside the margin. */
  readonly room?: Bitmap;
  /** Where a part lies in the packet; undefined for a drawing of the opened sheet. */
  readonly place?: PicturePlace;
  /** Of a drawing of the opened sheet: how far its parts agreed, 0 to 1. */
  readonly symmetry?: number;
  /** Of a drawing of the opened sheet: what stands in some of its parts only. */
  readonly unlike?: readonly UnlikePart[];
  /** One sentence for the artist. */
  readonly why: string;
}

type FoldJob = Pick<
  Job,
  | 'fold'
  | 'foldPanels'
  | 'foldPlace'
  | 'as'
  | 'margin'
  | 'narrowestStrip'
  | 'tool'
  | 'repeat'
  | 'regionEdits'
  | 'marks'
>;

/** How a job's sheet is folded. A strip that is cut free all round loses its ends first: they are no panel's. */
function patternOf(job: FoldJob, sheet: Picture['sheet']): FoldPattern | undefined {
  const isRow = job.as === 'mask' && job.fold === 'to-and-fro';
  return patternOn(sheet, job.fold, job.foldPanels, isRow ? designMargin(job) : 0);
}

/** The same one for as long as only the picture moves on its sheet: all that follows from it is then kept, too. */
const patternOn = memoizeLast(
  (sheet: Picture['sheet'], fold: Job['fold'], foldPanels: string, trim: number) =>
    foldPattern({ fold, foldPanels, sheet, trim }),
);

/**
 * Lays a picture into the packet of a folded sheet and opens it: each part of the sheet shows it mirrored or turned.
 * Without a fold the picture passes as it is.
 *
 * A part lies where a person puts it, else where it keeps most of its contours (`bestPlace`). A drawing of the opened
 * sheet is folded back: a place is dark where at least half of what comes to lie over it is.
 *
 * @param keepWidths what the widths leave of a bitmap at a coarse scale, to compare places by
 * @throws Problem when nothing dark lies in the packet
 */
export function fold(
  repeated: Repeated,
  picture: Pick<Picture, 'pictureBox' | 'sheet' | 'pixelsPerMm' | 'symmetry' | 'gray'>,
  job: FoldJob,
  keepWidths: KeepWidths,
): Folded {
  const { sheet, pixelsPerMm, symmetry } = picture;
  const pattern = patternOf(job, sheet);
  if (!pattern) return evened(repeated, picture, job);
  const { width, height } = repeated.bitmap;
  const raster = foldRaster(pattern, width, height, pixelsPerMm);
  const room = roomOn(pattern, raster, pixelsPerMm, insideOfMargin(sheet, designMargin(job)));
  const laid = symmetry?.isWhole
    ? laidDrawing(
        foldedDrawing(repeated.bitmap, pattern, raster, pixelsPerMm),
        pattern,
        symmetry.share,
      )
    : laidPart(repeated.bitmap, picture, { pattern, room, job, keepWidths });
  const packet = intersection(laid.bitmap, room);
  if (!packet.data.includes(1)) {
    throw new Problem(
      'Nothing dark of the picture lies in the packet',
      '`foldPlace`',
      'Put it further into the packet, or leave the place to be found',
    );
  }
  return {
    bitmap: unfoldedBitmap(packet, raster),
    pictureBox: pixelsInsideMargin(sheet, designMargin(job), pixelsPerMm),
    motifs: pattern.layers,
    fold: { pattern, ...(job.as === 'stencil' && { room }), ...laid.told },
  };
}

const roomOn = memoizeLast(roomInPacket);

/**
 * What is drawn, with what its sides differ by evened out, where it is symmetric. Not under a person's edits, which are of
 * one place alone; nor of a motif that is repeated, whose neighbours and the card's edge have a part in what becomes of it;
 * nor of lines of glue.
 */
function evened(
  repeated: Repeated,
  {
    pictureBox,
    sheet,
    pixelsPerMm,
    gray,
  }: Pick<Picture, 'pictureBox' | 'sheet' | 'pixelsPerMm' | 'gray'>,
  { as, repeat, regionEdits, marks }: Pick<FoldJob, 'as' | 'repeat' | 'regionEdits' | 'marks'>,
): Folded {
  if (as === 'glue-line' || repeat !== 'none' || regionEdits.length > 0) return repeated;
  const { bitmap } = repeated;
  // What a person marks on one side is not in the grey.
  const grey = marks.length > 0 ? undefined : gray;
  const found = symmetryOf(bitmap, contentBox(bitmap, pictureBox), sheet, pixelsPerMm, grey);
  if (!found) return repeated;
  const { pattern: symmetry, isByGrey } = found;
  const raster = foldRaster(symmetry, bitmap.width, bitmap.height, pixelsPerMm);
  const part = isByGrey ? foldedDrawing(bitmap, symmetry, raster, pixelsPerMm).bitmap : bitmap;
  return { ...repeated, bitmap: unfoldedBitmap(part, raster), symmetry };
}

interface LaidBitmap {
  readonly bitmap: Bitmap;
  readonly told: Omit<LaidInPacket, 'pattern' | 'room'>;
}

function laidPart(
  bitmap: Bitmap,
  { pictureBox, pixelsPerMm }: Pick<Picture, 'pictureBox' | 'pixelsPerMm'>,
  {
    pattern,
    room,
    job,
    keepWidths,
  }: {
    readonly pattern: FoldPattern;
    readonly room: Bitmap;
    readonly job: FoldJob;
    readonly keepWidths: KeepWidths;
  },
): LaidBitmap {
  const content = contentBox(bitmap, pictureBox);
  const given = job.foldPlace === null ? undefined : placeGiven(job.foldPlace, pattern);
  const place =
    given ??
    bestPlace(
      { bitmap, content, pixelsPerMm },
      pattern,
      { margin: designMargin(job), as: job.as, needsReach: job.tool === 'scissors' },
      keepWidths,
    );
  const why =
    given === undefined
      ? `The picture lies in the packet where it keeps most of its lines: \`foldPlace\` ${inPercent(place, pattern)}.`
      : '';
  return {
    bitmap: laidInto({ bitmap, content, pixelsPerMm }, place, room),
    told: { place, why },
  };
}

/** The box round the packet, in mm. */
function packetBox({ outline }: FoldPattern) {
  const xs = outline.map(({ x }) => x);
  const ys = outline.map(({ y }) => y);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return { left, top, width: Math.max(...xs) - left, height: Math.max(...ys) - top };
}

function placeGiven(text: string, pattern: FoldPattern): PicturePlace {
  const [across = 50, down = 50, size = 100, turn = 0] = text.split(',').map(Number);
  if (!(size > 0)) {
    throw new Problem(
      `A picture of ${size} % can't be laid into the packet`,
      '`foldPlace`',
      'Its size, the third number, must be more than 0',
    );
  }
  const box = packetBox(pattern);
  return {
    x: box.left + (across / 100) * box.width,
    y: box.top + (down / 100) * box.height,
    scale: size / 100,
    degrees: turn,
  };
}

function inPercent({ x, y, scale, degrees }: PicturePlace, pattern: FoldPattern): string {
  const box = packetBox(pattern);
  return [
    (100 * (x - box.left)) / box.width,
    (100 * (y - box.top)) / box.height,
    100 * scale,
    degrees,
  ]
    .map((value) => Math.round(value))
    .join(',');
}

function laidDrawing(
  { bitmap, unlike, isOnePart }: FoldedDrawing,
  { layers }: FoldPattern,
  symmetry: number,
): LaidBitmap {
  const rest = isOnePart
    ? 'too little to lay them over one another, so the one that is most like the others is taken for all.'
    : 'and what does not is evened out.';
  const why = `The drawing shows the opened sheet: its ${layers} parts agree by ${Math.round(100 * symmetry)} in 100, ${rest}`;
  return { bitmap, told: { symmetry, unlike, why } };
}
