import type { Area } from '../../settings/edits.js';
import { designMargin, type Job } from '../../settings/job.js';
import { pixelsInsideMargin } from '../../raster/placement.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import type { Picture } from '../read/read.js';
import type { Repeated } from '../repeat/repeat.js';

/** What of the design is to be opening and what film, as the stages from here on need it. */
export interface Role {
  /** To be widened, traced and bridged: film all round, up to the sheet's edge. */
  readonly bitmap: Bitmap;
  /** What is wanted in the end, to be compared with what comes out. */
  readonly wanted: Bitmap;
  /** The pixels that hold both: what is not film all round. */
  readonly designBox: Box;
  /** How wide the film along the sheet's edge is. */
  readonly marginMm: number;
  /** Where no bridge may lie, beyond what a person keeps free. */
  readonly bridgeFree: readonly Area[];
  /** Whether the film is drawn, in one piece and as wide as it is, so that nothing is widened or bridged. */
  readonly isDrawn: boolean;
}

type RoleJob = Pick<Job, 'as' | 'margin' | 'narrowestOpening' | 'narrowestStrip'>;
type SheetPlace = Pick<Picture, 'sheet' | 'pixelsPerMm'>;

/** Wider than an opening has to be where the design is widened into it, so that nothing fills the moat. */
const MOAT_BEYOND_MM = 1;

const roles: Readonly<
  Record<Job['as'], (design: Repeated, picture: SheetPlace, job: RoleJob) => Role>
> = { stencil, mask, 'glue-line': glueLine };

/**
 * Gives dark and light their parts.
 *
 * In a stencil the dark is cut away: the design passes as it is. A mask is the dark itself, so that dark is film and
 * light is opening; a moat of opening (a separating ring) parts it from the film along the sheet's edge, over which no bridge
 * is laid.
 * What joins the light parts of a stencil then joins the dark parts of a mask, by the same rules, and the film
 * beyond the moat is taken off in the end (see `frame`).
 */
export function takeRole(design: Repeated, picture: SheetPlace, job: RoleJob): Role {
  return roles[job.as](design, picture, job);
}

function stencil(
  { bitmap, pictureBox }: Repeated,
  _picture: SheetPlace,
  { margin }: RoleJob,
): Role {
  return {
    bitmap,
    wanted: bitmap,
    designBox: pictureBox,
    marginMm: margin,
    bridgeFree: [],
    isDrawn: false,
  };
}

function mask({ bitmap, pictureBox }: Repeated, picture: SheetPlace, job: RoleJob): Role {
  const { sheet, pixelsPerMm } = picture;
  const begins = designMargin(job);
  const moatMm = begins - job.margin + job.narrowestOpening + MOAT_BEYOND_MM;
  const moat = Math.ceil(moatMm * pixelsPerMm);
  const outer: Box = {
    x: pictureBox.x - moat,
    y: pictureBox.y - moat,
    width: pictureBox.width + 2 * moat,
    height: pictureBox.height + 2 * moat,
  };
  const { width, height, data } = bitmap;
  const wanted = new Uint8Array(width * height).fill(1);
  const framed = new Uint8Array(width * height);
  for (let y = outer.y; y < outer.y + outer.height; y++) {
    framed.fill(1, y * width + outer.x, y * width + outer.x + outer.width);
  }
  for (let y = pictureBox.y; y < pictureBox.y + pictureBox.height; y++) {
    for (let i = y * width + pictureBox.x; i < y * width + pictureBox.x + pictureBox.width; i++) {
      wanted[i] = framed[i] = 1 - data[i];
    }
  }
  return {
    bitmap: { width, height, data: framed },
    wanted: { width, height, data: wanted },
    designBox: outer,
    marginMm: begins - moat / pixelsPerMm,
    bridgeFree: areasRound(pictureBox, sheet.widthMm, sheet.heightMm, pixelsPerMm),
    isDrawn: false,
  };
}

/** Of a drawing in glue: the film along the sheet's edge that the moat needs to be one, in mm. */
const GLUE_EDGE_MM = 1;

/** The beads are the film, as a mask's dark parts are; they are one piece as they are drawn. */
function glueLine({ bitmap }: Repeated, { sheet, pixelsPerMm }: SheetPlace): Role {
  const { width, height, data } = bitmap;
  const inner = pixelsInsideMargin(sheet, GLUE_EDGE_MM, pixelsPerMm);
  const wanted = data.map((glue) => 1 - glue);
  const framed = new Uint8Array(width * height);
  for (let y = inner.y; y < inner.y + inner.height; y++) {
    const first = y * width + inner.x;
    framed.set(wanted.subarray(first, first + inner.width), first);
  }
  return {
    bitmap: { width, height, data: framed },
    wanted: { width, height, data: wanted },
    designBox: inner,
    marginMm: GLUE_EDGE_MM,
    bridgeFree: [],
    isDrawn: true,
  };
}

/** All of the sheet but a box, as four polygons in mm. */
function areasRound(box: Box, widthMm: number, heightMm: number, pixelsPerMm: number): Area[] {
  // A pixel away from the box, so that a bridge between two parts at its edge has its whole width.
  const [left, top, right, bottom] = [
    (box.x - 1) / pixelsPerMm,
    (box.y - 1) / pixelsPerMm,
    (box.x + box.width + 1) / pixelsPerMm,
    (box.y + box.height + 1) / pixelsPerMm,
  ];
  const area = (x0: number, y0: number, x1: number, y1: number): Area => [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ];
  return [
    area(0, 0, widthMm, top),
    area(0, bottom, widthMm, heightMm),
    area(0, top, left, bottom),
    area(right, top, widthMm, bottom),
  ];
}
