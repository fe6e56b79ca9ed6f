import { flatten } from '../geometry/flatten.js';
import { perimeter } from '../geometry/perimeter.js';
import type { Outline, Point, Shape } from '../geometry/shape.js';
import { signedArea } from '../geometry/signed-area.js';
import type { Box, Gray } from '../raster/raster.js';
import type { Job } from '../settings/job.js';
import { memoizeLast } from '../common/memoize-last.js';
import type { Bridge } from '../stages/bridge/bridge.js';
import type { FramedDesign } from '../stages/frame/frame.js';
import type { Advice } from '../stages/advice/advice.js';
import type { Checked, Finding } from '../stages/check/check.js';
import type { Faces } from '../stages/faces/faces.js';
import type { FacesKept } from '../stages/features/features.js';
import type { FaceBox } from '../settings/face-boxes.js';
import type { Eased } from '../stages/ease/ease.js';
import type { Likeness } from '../stages/likeness/likeness.js';
import type { Picture } from '../stages/read/read.js';
import type { Folded } from '../stages/fold/fold.js';
import type { Packet } from '../stages/packet/packet.js';
import type { Repeated } from '../stages/repeat/repeat.js';
import type { CutPlan } from '../stages/plan/plan.js';
import type { DrawnLine, Strokes } from '../stages/strokes/strokes.js';
import type { Subject } from '../stages/subject/subject.js';
import type { Survival } from '../stages/survival/survival.js';
import type { Tone } from '../stages/tone/tone.js';
import type { Widened } from '../stages/widen/widen.js';
import { bitmapPng } from './images/png.js';
import { roundMm } from './pen.js';
import { shapePath } from './svg/path-data.js';
import { strokePath } from './svg/strokes-svg.js';

/** A box on the sheet, in mm. */
type BoxMm = Box;

/** What a screen shows of a stencil before it is checked. Paths are SVG path data in mm on the sheet. */
export interface Sketch {
  readonly sheet: { readonly widthMm: number; readonly heightMm: number };
  /** Where the picture lies on the sheet. */
  readonly pictureBox: BoxMm;
  /** Pixels a millimetre that it was worked at. */
  readonly pixelsPerMm: number;
  readonly tone: Pick<Tone, 'mode' | 'why'>;
  /** What is cut. */
  readonly openings: string;
  /** Islands of film that no bridge holds: they would fall out. */
  readonly loose: string;
  readonly looseCount: number;
  readonly pieces: number;
  /** Length of all cuts in mm. */
  readonly cutMm: number;
  readonly bridges: readonly Bridge[];
  /** Of a folded sheet: what is cut into the packet, and how it opens. */
  readonly packet?: PacketLook;
  /** The middles of the lines of glue, in order; empty where nothing is drawn with glue. */
  readonly strokes: string;
  readonly strokeCount: number;
  /** Those lines as a person can take them away, and what joins them. */
  readonly glueLines: readonly GlueLineLook[];
  readonly joins: readonly JoinLook[];
  /** Length of all lines of glue in mm. */
  readonly glueMm: number;
  /** How much of the picture's contours the print keeps and how little it adds, 0 to 1, where that was asked for. */
  readonly likeness?: number;
}

/** A line of glue that can be taken away: places along each of its parts, x and y in turn, in mm. */
interface GlueLineLook {
  readonly along: readonly (readonly number[])[];
  /** The edit by which a person drew it, as it is numbered. */
  readonly drawnBy?: number;
}

/** A join between parts of a drawing in glue, its ends in mm. */
interface JoinLook {
  readonly from: Point;
  readonly to: Point;
  /** The edit by which a person moved it, as it is numbered. */
  readonly movedBy?: number;
}

/** A packet as a screen shows it; paths are SVG path data in mm on the sheet. */
interface PacketLook {
  /** Round the packet. */
  readonly box: BoxMm;
  readonly outline: string;
  readonly folds: string;
  /** What falls out of the packet, in the order of cutting. */
  readonly cuts: readonly string[];
  /** The packet's copies on the opened sheet, as SVG transforms. */
  readonly copies: readonly string[];
  /** Where a part of the picture lies, as the setting has it; absent for a drawing of the opened sheet. */
  readonly place?: readonly number[];
}

/** What a screen shows of a checked stencil and of the stages before it. */
export interface Screen extends Sketch {
  /** The lightness histogram: 100 bins from black to white, scaled so that the largest is 1. */
  readonly histogram: readonly number[];
  /** Dark and light as decided, and as widened: PNGs of the whole sheet, film clear. */
  readonly tonePng: Uint8Array;
  readonly widenPng: Uint8Array;
  /** The eased openings without bridges, and the islands in them. */
  readonly eased: string;
  readonly islands: string;
  readonly islandCount: number;
  readonly fidelity: number;
  /** Minutes to cut, warming up included, and the minutes of warming up alone. */
  readonly minutes: number;
  readonly warmUpMinutes: number;
  readonly difficulty: string;
  readonly findings: readonly Finding[];
  /** The largest parts of the picture that were lost to the widths, and how. */
  readonly lost: readonly LostLook[];
  /**
   * What was taken for the subject: a PNG of the whole sheet, clear elsewhere; left out where nothing was told apart.
   */
  readonly subjectPng?: Uint8Array;
  /** Where the faces are, in percent of the picture. */
  readonly faces: readonly FaceBox[];
  /** Whether what would help, or what became of the faces, is still to be looked for. */
  readonly adviceDue: boolean;
}

/** A part of the picture that is not on the card any more. */
interface LostLook {
  readonly at: readonly [number, number];
  readonly areaMm2: number;
  readonly fate: 'dropped' | 'merged';
}

/** What takes the place of a screen's findings when advice has been looked for. */
export interface Advised {
  readonly findings: readonly Finding[];
  /** A crop, as the setting has it, that keeps more of the picture's parts; null when none is worth a word. */
  readonly closerCrop: string | null;
  /** A crop on which faces keep what they have lost here; null when there is none. */
  readonly facesCrop: string | null;
}

/** The values of the stages that a sketch is made from. */
export interface Sketched {
  readonly read: Picture;
  readonly tone: Tone;
  readonly strokes?: Strokes | null;
  readonly frame: FramedDesign;
  readonly fold?: Folded;
  readonly packet?: Packet | null;
  readonly likeness?: Likeness | null;
}

/** The values of the stages that a screen is made from. */
export interface Screened extends Sketched {
  readonly repeat: Repeated;
  readonly widen: Widened;
  readonly ease: Eased;
  readonly survival: Survival | null;
  readonly subject: Subject;
  readonly plan: CutPlan;
  readonly measure: Checked;
  readonly faces: Faces;
}

/** The values of the stages that advice is told from. */
export interface AdviceValues {
  readonly advice: Advice | null;
  readonly features: FacesKept | null;
  readonly check: Checked;
}

/** What to show of a stencil whose bridges are laid. */
export function sketchOf(sketched: Sketched, { as }: Pick<Job, 'as'>): Sketch {
  const { read, tone, strokes, frame, fold, packet, likeness } = sketched;
  const { openings, cuts } = frame;
  const loose = looseOf(openings, as);
  return {
    sheet: read.sheet,
    pictureBox: boxInMm(read.pictureBox, read.pixelsPerMm),
    pixelsPerMm: read.pixelsPerMm,
    tone: { mode: tone.mode, why: tone.why },
    openings: shapePath(openings),
    loose: shapePath(loose),
    looseCount: loose.length,
    pieces: openings.length,
    cutMm: cutLength(cuts),
    bridges: frame.bridges,
    ...(packet && { packet: packetLook(packet, fold) }),
    strokes: (strokes?.drawn.strokes ?? []).map(strokePath).join(''),
    strokeCount: strokes?.drawn.strokes.length ?? 0,
    glueLines: (strokes?.drawn.lines ?? []).map(lineLook),
    joins: (strokes?.drawn.joins ?? []).map(({ from, to, movedBy }) => ({
      from,
      to,
      ...(movedBy !== undefined && { movedBy }),
    })),
    glueMm: strokes?.drawn.glue.lengthMm ?? 0,
    ...(likeness && { likeness: likeness.f }),
  };
}

/** From place to place of a line that can be taken away, in mm. */
const ALONG_MM = 0.8;

function lineLook({ ways, drawnBy }: DrawnLine): GlueLineLook {
  const along = ways.map(({ x, y }) => {
    const places: number[] = [];
    let [lastX, lastY] = [Infinity, Infinity];
    for (let i = 0; i < x.length; i++) {
      const isEnd = i === x.length - 1;
      if (!isEnd && Math.hypot(x[i] - lastX, y[i] - lastY) < ALONG_MM) continue;
      [lastX, lastY] = [x[i], y[i]];
      places.push(roundMm(x[i]), roundMm(y[i]));
    }
    return places;
  });
  return { along, ...(drawnBy !== undefined && { drawnBy }) };
}

/** Points of a polygon nearer together than this, in mm, are one on a screen. */
const NEAR_MM = 0.15;

function packetLook({ pattern, packetCuts: cuts }: Packet, folded: Folded | undefined): PacketLook {
  const xs = pattern.outline.map(({ x }) => x);
  const ys = pattern.outline.map(({ y }) => y);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  const box = { x: left, y: top, width: Math.max(...xs) - left, height: Math.max(...ys) - top };
  const place = folded?.fold?.place;
  const lineOf = (from: Point, to: Point): string => `M${from.x} ${from.y}L${to.x} ${to.y}`;
  return {
    box,
    outline: `${polygonPath(pattern.outline.flatMap(({ x, y }) => [x, y]))}`,
    folds: pattern.sides
      .filter(({ is }) => is !== 'open')
      .map(({ from, to }) => lineOf(from, to))
      .join(''),
    cuts: cuts.map(({ region }) => [region.outer, ...region.holes].map(polygonPath).join('')),
    copies: pattern.copies.map(({ a, b, c, d, e, f }) => `matrix(${[a, b, c, d, e, f].join(' ')})`),
    ...(place && {
      place: [
        (100 * (place.x - box.x)) / box.width,
        (100 * (place.y - box.y)) / box.height,
        100 * place.scale,
        place.degrees,
      ],
    }),
  };
}

function polygonPath(loop: ArrayLike<number>): string {
  const places: string[] = [];
  let [x, y] = [Infinity, Infinity];
  for (let i = 0; i < loop.length; i += 2) {
    if (Math.hypot(loop[i] - x, loop[i + 1] - y) < NEAR_MM) continue;
    [x, y] = [loop[i], loop[i + 1]];
    places.push(`${roundMm(x)} ${roundMm(y)}`);
  }
  return `M${places.join('L')}Z`;
}

/** What to show of a checked stencil. */
export async function screenOf(values: Screened, job: Pick<Job, 'as'>): Promise<Screen> {
  const { read, repeat, widen, ease, frame, survival, plan, measure, faces, subject } = values;
  const [tonePng, widenPng] = await Promise.all(
    [repeat.bitmap, widen.bitmap].map((bitmap) => bitmapPng(bitmap, read.pixelsPerMm)),
  );
  const { mask } = subject;
  return {
    ...sketchOf(values, job),
    cutMm: plan.cuttingMm,
    minutes: plan.minutes,
    warmUpMinutes: plan.warmUpMinutes,
    difficulty: plan.difficulty.level,
    histogram: histogramIn(read.gray, read.pictureBox),
    tonePng,
    widenPng,
    eased: shapePath(ease.shapes),
    islands: shapePath(looseOf(ease.shapes, job.as)),
    islandCount: frame.islands,
    fidelity: measure.fidelity,
    findings: measure.findings,
    lost: survival?.lost ?? [],
    ...(mask && { subjectPng: await bitmapPng(mask, read.pixelsPerMm) }),
    faces: faces.faces.map(({ box }) => box),
    adviceDue:
      subject.isMostlyLost === true ||
      (survival?.notable === true && survival.lost.length > 0) ||
      faces.faces.length > 0 ||
      faces.why !== '' ||
      measure.findings.some(({ code }) => code === 'many-strokes'),
  };
}

/** What to tell once advice has been looked for. */
export function advisedOf({ advice, features, check }: AdviceValues): Advised {
  return {
    findings: check.findings,
    closerCrop: advice?.crop?.box ?? null,
    facesCrop: features?.crop ?? null,
  };
}

/**
 * Every hole of an opening is an island; one that only a pixel's corner parts from nothing, under ten pixels of the
 * raster, is none.
 */
const LEAST_HOLE_MM2 = 0.1;

/**
 * What of the film would fall out: of a stencil every island; of a mask all but its largest part, which is what is
 * kept.
 */
function looseOf(shapes: readonly Shape[], as: Job['as']): Shape[] {
  const islands = holesOf(shapes);
  if (as === 'stencil' || islands.length === 0) return islands;
  const areas = islands.map(({ outer }) => Math.abs(signedArea(flatten(outer))));
  const kept = areas.indexOf(Math.max(...areas));
  return islands.filter((_, i) => i !== kept);
}

function holesOf(shapes: readonly Shape[]): Shape[] {
  return shapes
    .flatMap(({ holes }) => holes)
    .filter((hole) => Math.abs(signedArea(flatten(hole))) >= LEAST_HOLE_MM2)
    .map((outer: Outline) => ({ outer, holes: [] }));
}

/** How far a polygon may lie off its curve, in mm, where only its length counts. */
const TOLERANCE_MM = 0.02;

function cutLength(shapes: readonly Shape[]): number {
  return shapes
    .flatMap(({ outer, holes }) => [outer, ...holes])
    .reduce((sum, outline) => sum + perimeter(flatten(outline, TOLERANCE_MM)), 0);
}

function boxInMm({ x, y, width, height }: Box, pixelsPerMm: number): BoxMm {
  return {
    x: x / pixelsPerMm,
    y: y / pixelsPerMm,
    width: width / pixelsPerMm,
    height: height / pixelsPerMm,
  };
}

/** Steps of the histogram, from black to white: the level is set in percent. */
const STEPS = 100;

function histogramOf(gray: Gray, pictureBox: Box): readonly number[] {
  const counts = new Array<number>(STEPS).fill(0);
  for (let y = pictureBox.y; y < pictureBox.y + pictureBox.height; y++) {
    const start = y * gray.width + pictureBox.x;
    for (let i = start; i < start + pictureBox.width; i++) {
      counts[Math.floor((gray.data[i] * STEPS) / 256)]++;
    }
  }
  const most = Math.max(...counts, 1);
  return counts.map((count) => count / most);
}

const histogramIn = memoizeLast(histogramOf);
