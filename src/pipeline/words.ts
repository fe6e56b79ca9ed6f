import { boundingBox } from '../geometry/bounding-box.js';
import { translated } from '../geometry/placed.js';
import { mirroredShape } from '../geometry/mirror.js';
import { rectangle } from '../geometry/basic-outlines.js';
import { turnedBack } from '../geometry/outline.js';
import { rasterise } from '../geometry/rasterise.js';
import { difference } from '../geometry/boolean-operations.js';
import { curveRestorer, flattenTracked } from '../geometry/restore-curves.js';
import type { Point, Shape } from '../geometry/shape.js';
import { pixelsInsideMargin, sheetSize } from '../raster/placement.js';
import type { Bitmap, Box } from '../raster/raster.js';
import { pixelsPerMm as scaleOf, type Sheet } from '../settings/card.js';
import { designMargin, sheetOf, type Job } from '../settings/job.js';
import type { UnderJob } from '../settings/lettering-settings.js';
import type { LayersJob } from '../settings/layer-settings.js';
import { Problem } from '../settings/problem.js';
import type { Bridged } from '../stages/bridge/bridge.js';
import type { DesignedBridge } from '../stages/bridge/designed-bridge.js';
import type { WordsDrawn } from './words-drawn.js';
import type { Eased } from '../stages/ease/ease.js';
import type { Widened } from '../stages/widen/widen.js';
import type { Finding } from '../stages/check/finding.js';
import type { Picture } from '../stages/read/read.js';
import type { MotifPlace } from '../stages/repeat/places.js';
import {
  bridgeReads,
  createPipeline,
  openLayers,
  stages,
  type LayerGround,
  type Pipeline,
  type StencilStage,
  type StencilValues,
  type WordsSource,
} from './pipeline.js';
import { createRunner, describeStage, type Stage } from './incremental-runner.js';

/** Openings that were drawn as outlines, in mm on the sheet, or of a motif from its own top left corner. */
export interface DrawnOpenings {
  readonly shapes: readonly Shape[];
  /** Where the design wants its bridges. */
  readonly bridges: readonly DesignedBridge[];
  /** Of a motif that is repeated: its size in mm. */
  readonly motif?: { readonly width: number; readonly height: number };
  /** Pictures in such a motif, by the place of their sheets from its own corner. */
  readonly pictures?: readonly PictureBeside[];
}

/** What was carried as far as its bridges, a picture or what is painted under words, to be laid on the words' sheet. */
export type Carried = Pick<
  StencilValues,
  | 'read'
  | 'subject'
  | 'faces'
  | 'tone'
  | 'repeat'
  | 'role'
  | 'widen'
  | 'ease'
  | 'bridge'
  | 'features'
>;

/** The stages that a picture runs through on a sheet of its own before it is laid on a sheet with words. */
const STAGES_OF_PICTURE_BESIDE = [
  'read',
  'subject',
  'faces',
  'tone',
  'repeat',
  'role',
  'widen',
  'ease',
  'bridge',
  'features',
] as const;

/** What is laid on the words' sheet, and where the top left corner of its own sheet goes, in whole pixels. */
export interface PictureBeside {
  readonly picture: Carried;
  readonly x: number;
  readonly y: number;
}

/** A picture that was read for its place beside words, and is carried on from there. */
export interface OpenedPicture {
  /** The pixels that it covers, on a sheet of its own. */
  readonly pictureBox: Box;
  /** Carries it through to its bridges. */
  readonly carry: (job: Job) => Promise<Carried>;
  /** Parts its tones into layers. */
  readonly part: (job: Job, layers: Omit<LayersJob, 'paints'>) => Promise<LayerGround>;
}

/** Reads a picture that is to stand beside words, on a sheet of its own. */
export async function openPictureBeside(
  source: string | Uint8Array,
  job: Job,
  onStage?: (stage: StencilStage) => void,
): Promise<OpenedPicture> {
  const pipeline = createPipeline();
  const alongside = onStage ? { onStage } : {};
  const { read } = await pipeline.runFor(['read'], source, job, alongside);
  return {
    pictureBox: read.pictureBox,
    carry: (edited) => pipeline.runFor(STAGES_OF_PICTURE_BESIDE, source, edited, alongside),
    part: (own, { levels, count, laid, overlap }) =>
      openLayers(source, own, {
        parts: levels ?? count,
        separate: laid === 'separate',
        overlapMm: overlap,
      }),
  };
}

/** Carries one of a picture's layers through to its bridges. */
export const carryLayer = (toned: ReturnType<LayerGround['toned']>, job: Job): Promise<Carried> =>
  createPipeline().runFor(STAGES_OF_PICTURE_BESIDE, toned, job);

/** The pixels of the sheet, and of what lies inside its margin. */
export function gridOf(job: Job): {
  readonly sheet: Sheet;
  readonly scale: number;
  readonly room: Box;
} {
  const sheet = sheetOf(job);
  const scale = scaleOf(sheet, job.fineness);
  return { sheet, scale, room: pixelsInsideMargin(sheet, designMargin(job), scale) };
}

/**
 * Makes drawn openings, and what is laid beside them, the source of a stencil.
 *
 * @throws Problem when a motif has no room
 */
export async function openWords(
  drawn: DrawnOpenings,
  job: Job,
  findings: readonly Finding[],
  beside: readonly PictureBeside[] = [],
): Promise<WordsSource> {
  if (job.fold !== 'none') {
    throw new Problem(
      'Letters are cut from a flat sheet: folded, half of them would read backwards',
      '`fold`',
      'Leave the sheet flat, or fold a picture of the letters',
    );
  }
  const [{ asTone }, { letter }, { withWideGaps }, { widen }, { unwidened }, { takeRole }] =
    await Promise.all([
      import('../stages/tone/tone-layers.js'),
      import('../stages/lettering/lettering.js'),
      import('../lettering/widened-gaps.js'),
      import('../stages/widen/widen.js'),
      import('../stages/widen/unwidened.js'),
      import('../stages/role/role.js'),
    ]);
  const { sheet, scale, room } = gridOf(job);
  const size = sheetSize(sheet, scale);
  const { pictures = [] } = drawn;
  const { once, copies, inMotif, pictureBox } = await repeated(drawn, job, room, scale);
  const own = rasterise(once, size.width, size.height, scale);
  const picturesHere = pictures.map((one) => ({
    ...one,
    x: pictureBox.x + one.x,
    y: pictureBox.y + one.y,
  }));
  const all = [...beside, ...picturesHere];
  const tone = all.reduce((sum, one) => over(sum, one.picture.tone.bitmap, one), own);
  const read = pictureOf(tone, pictureBox, sheet, scale);
  const says = drawn.shapes.length > 0 ? 'Words are dark as they are.' : '';
  const role = takeRole({ bitmap: own, pictureBox, motifs: 1 }, read, job);
  const shapes =
    job.as === 'mask'
      ? roundLetters(copies.shapes, role.designBox, scale)
      : [...withWideGaps(copies.shapes, sheet, job), ...inMotif];
  // However small its inside is, a letter keeps it as long as a strip fits in: that strip is its bridge, too.
  const smallestIsland = Math.min(job.smallestIsland, job.narrowestStrip ** 2 / 2);
  const lettering = letter(shapes, read, size, job, {
    widen: (bitmap, narrowestStrip) =>
      widen(bitmap, scale, {
        ...job,
        narrowestStrip,
        smallestIsland,
        margin: role.marginMm,
        sheet,
      }),
    unwidened,
  });
  return {
    read,
    subject: { mask: undefined, why: whyOf(all, 'subject') },
    faces: { faces: [], why: whyOf(all, 'faces') },
    tone: asTone(tone, read, `${says} ${whyOf(all, 'tone')}`.trim()),
    words: {
      lettering,
      bridges: copies.bridges,
      findings,
      beside: beside.map((one) => laidBeside(one, size, scale, job)),
    },
  };
}

/** Words and pictures as a picture that was read: black where they are dark, in the box that they cover. */
function pictureOf(
  { width, height, data }: Bitmap,
  pictureBox: Box,
  sheet: Sheet,
  scale: number,
): Picture {
  const gray = { width, height, data: data.map((value) => 255 * (1 - value)) };
  const size = { width: pictureBox.width, height: pictureBox.height };
  return {
    gray,
    greyWhy: '',
    pictureBox,
    sheet,
    pixelsPerMm: scale,
    colours: { ...size, data: inColour(gray, pictureBox) },
    shows: { x: 0, y: 0, width: 1, height: 1 },
    source: { ...size, format: 'words' },
  };
}

/** What a stage said of all pictures beside words, in one text. */
function whyOf(beside: readonly PictureBeside[], stage: 'subject' | 'faces' | 'tone'): string {
  return beside
    .map(({ picture }) => picture[stage].why)
    .filter((why) => why !== '')
    .join(' ');
}

/** Carries what is painted under words through to its bridges, on the words' own sheet. */
export async function carryUnder(
  { subject, faces, tone, words }: WordsSource,
  above: Pick<StencilValues, 'read' | 'bridge'>,
  job: UnderJob & Job,
  why: string,
): Promise<Carried> {
  const [{ asTone }, { underneath, heldAsAbove }] = await Promise.all([
    import('../stages/tone/tone-layers.js'),
    import('../stages/lettering/underneath.js'),
  ]);
  const { pixelsPerMm } = above.read;
  const all = underneath(words.lettering.widened.bitmap, job, pixelsPerMm);
  // Motifs that run on over the edge of the sheet end there, and what is under them too.
  const { room } = gridOf(job);
  const within = inBox(all, room);
  const { below, bridges } = heldAsAbove(within, above.bridge.bridges, job.underBy, pixelsPerMm);
  const gray = { ...below, data: below.data.map((value) => 255 * (1 - value)) };
  const read = { ...above.read, gray, pictureBox: room };
  const source = { read, subject, faces, tone: asTone(below, read, why) };
  const once: Job = { ...job, repeat: 'none' };
  const carried = await createUnderPipeline(bridges).runFor(STAGES_OF_PICTURE_BESIDE, source, once);
  if (job.repeat === 'none') return carried;
  // The print of motifs is compared with one of them, where the letters have theirs.
  const motif = underneath(tone.bitmap, job, pixelsPerMm);
  return { ...carried, tone: asTone(motif, read, why) };
}

/** Openings that are within a box of pixels. */
function inBox({ width, height, data }: Bitmap, box: Box): Bitmap {
  const within = data.slice();
  for (let i = 0; i < within.length; i++) {
    const [x, y] = [i % width, Math.floor(i / width)];
    const isIn = x >= box.x && y >= box.y && x < box.x + box.width && y < box.y + box.height;
    if (!isIn) within[i] = 0;
  }
  return { width, height, data: within };
}

/** A mask's openings: all round the letters up to the moat, and their counters. */
function roundLetters(letters: readonly Shape[], box: Box, scale: number): Shape[] {
  const edge = rectangle(box.x / scale, box.y / scale, box.width / scale, box.height / scale);
  return [
    { outer: edge, holes: letters.map(({ outer }) => turnedBack(outer)) },
    ...letters.flatMap(({ holes }) =>
      holes.map((hole) => ({ outer: turnedBack(hole), holes: [] })),
    ),
  ];
}

/** What is drawn, at its place once, and as often as the job repeats it. */
async function repeated(
  { shapes, bridges: own, motif, pictures = [] }: DrawnOpenings,
  job: Job,
  room: Box,
  scale: number,
): Promise<{
  readonly once: readonly Shape[];
  readonly copies: DrawnOpenings;
  /** The pictures' openings in all copies. */
  readonly inMotif: readonly Shape[];
  readonly pictureBox: Box;
}> {
  if (job.repeat === 'none' || !motif)
    return { once: shapes, copies: { shapes, bridges: own }, inMotif: [], pictureBox: room };
  const [{ motifBox }, { motifPlaces }] = await Promise.all([
    import('../stages/read/motif.js'),
    import('../stages/repeat/places.js'),
  ]);
  const pictureBox = motifBox({ x: 0, y: 0, ...motif }, room, scale, job);
  const places = motifPlaces(pictureBox, job.motifGap * scale, room, {
    repeat: job.repeat,
    motifEdge: job.motifEdge,
  });
  const sizeMm = { widthMm: pictureBox.width / scale, heightMm: pictureBox.height / scale };
  const drawnIn = pictures.map((one) => drawnInMotif(one, scale));
  const bridges: readonly DesignedBridge[] = [...own, ...drawnIn.flatMap((one) => one.bridges)];
  const copies = places.map((place) => {
    const { point, shape } = copyTo(place, sizeMm, scale);
    return {
      shapes: shapes.map(shape),
      inMotif: drawnIn.flatMap((one) => one.shapes.map(shape)),
      bridges: bridges.map((one) => ({
        ...one,
        from: point(one.from),
        to: point(one.to),
        ...(one.lines && {
          lines: one.lines.map(([from, to]) => [point(from), point(to)] as const),
        }),
      })),
    };
  });
  return {
    once: shapes.map((shape) =>
      translated(shape, { x: pictureBox.x / scale, y: pictureBox.y / scale }),
    ),
    copies: {
      shapes: inRoom(
        copies.flatMap((copy) => copy.shapes),
        room,
        scale,
      ),
      bridges: copies.flatMap((copy) => copy.bridges),
    },
    inMotif: inRoom(
      copies.flatMap((copy) => copy.inMotif),
      room,
      scale,
    ),
    pictureBox,
  };
}

/** A picture's openings and bridges, in mm from the motif's own corner. */
function drawnInMotif({ picture, x, y }: PictureBeside, scale: number) {
  const at = { x: x / scale, y: y / scale };
  const moved = (point: Point): Point => ({ x: point.x + at.x, y: point.y + at.y });
  return {
    shapes: picture.ease.shapes.map((shape) => translated(shape, at)),
    bridges: picture.bridge.bridges.map(({ from, to, widthMm }) => ({
      from: moved(from),
      to: moved(to),
      widthMm,
    })),
  };
}

/** What brings points and shapes of a motif, in mm from its own corner, to one of its places, turned over as it is there. */
function copyTo({ x, y, flipX, flipY }: MotifPlace, { widthMm, heightMm }: Sheet, scale: number) {
  const at = { x: x / scale, y: y / scale };
  return {
    point: (point: Point): Point => ({
      x: at.x + (flipX ? widthMm - point.x : point.x),
      y: at.y + (flipY ? heightMm - point.y : point.y),
    }),
    shape: (shape: Shape): Shape => {
      const across = flipX ? mirroredShape(shape, widthMm) : shape;
      return translated(flipY ? turnedOver(across, heightMm) : across, at);
    },
  };
}

/** Openings that run on over the edge of their room, cut off there; the others as they are. */
function inRoom(shapes: readonly Shape[], room: Box, scale: number): Shape[] {
  const [left, top] = [room.x / scale, room.y / scale];
  const [right, bottom] = [left + room.width / scale, top + room.height / scale];
  const edge = Float64Array.of(left, top, right, top, right, bottom, left, bottom);
  const far = FAR_MM;
  const outside = [Float64Array.of(-far, -far, far, -far, far, far, -far, far), edge];
  return shapes.flatMap((shape) => {
    const { coords } = shape.outer;
    const isInside = coords.every((value, i) =>
      i % 2 === 0 ? value >= left && value <= right : value >= top && value <= bottom,
    );
    if (isInside) return [shape];
    const sources = [shape.outer, ...shape.holes].map((outline) =>
      flattenTracked(outline, () => TOLERANCE_MM),
    );
    const restored = curveRestorer(sources);
    return difference(
      sources.map(({ points }) => points),
      outside,
    ).flatMap(({ outer, holes }) => {
      const whole = restored(outer);
      const islands = holes.map(restored).filter((hole) => hole !== undefined);
      return whole ? [{ outer: whole, holes: islands }] : [];
    });
  });
}

/** Beyond any sheet, in mm; and how near polygons follow the curves that come back. */
const FAR_MM = 5000;
const TOLERANCE_MM = 0.01;

/** Top is bottom: mirrored, and turned by half a turn. */
function turnedOver(shape: Shape, heightMm: number): Shape {
  const half = ({ outer, holes }: Shape): Shape => {
    const turn = (coords: Float64Array): Float64Array =>
      coords.map((value, i) => (i % 2 === 0 ? -value : heightMm - value));
    return {
      outer: { ...outer, coords: turn(outer.coords) },
      holes: holes.map((hole) => ({ ...hole, coords: turn(hole.coords) })),
    };
  };
  return half(mirroredShape(shape, 0));
}

/** A smaller bitmap laid over a larger one, its top left pixel at x, y. */
function over(
  { width, height, data }: Bitmap,
  small: Bitmap,
  { x, y }: { readonly x: number; readonly y: number },
): Bitmap {
  const both = data.slice();
  for (let row = 0; row < small.height; row++) {
    if (row + y < 0 || row + y >= height) continue;
    for (let column = 0; column < small.width; column++) {
      if (small.data[row * small.width + column] === 0) continue;
      if (column + x >= 0 && column + x < width) both[(row + y) * width + column + x] = 1;
    }
  }
  return { width, height, data: both };
}

type PixelPlace = Pick<Box, 'x' | 'y'>;
type PixelSize = Pick<Box, 'width' | 'height'>;

/** A picture's openings on a sheet that has no others. */
function openingsOn(size: PixelSize, { widen }: Pick<Carried, 'widen'>, at: PixelPlace): Bitmap {
  const blank = { ...size, data: new Uint8Array(size.width * size.height) };
  return over(blank, widen.bitmap, at);
}

/** The parts of a picture's mask in one opening that is as large as the sheet. */
function partsIn(
  size: PixelSize,
  { widen, role }: Pick<Carried, 'widen' | 'role'>,
  at: PixelPlace,
): Bitmap {
  const film = { ...widen.bitmap, data: widen.bitmap.data.map((value) => 1 - value) };
  const { data } = openingsOn(
    size,
    { widen: { ...widen, bitmap: inBox(film, role.designBox) } },
    at,
  );
  return { ...size, data: data.map((value) => 1 - value) };
}

function inColour({ width, data }: Bitmap, pictureBox: Box): Uint8Array {
  const rgb = new Uint8Array(3 * pictureBox.width * pictureBox.height);
  for (let row = 0; row < pictureBox.height; row++) {
    for (let column = 0; column < pictureBox.width; column++) {
      const value = data[(pictureBox.y + row) * width + pictureBox.x + column];
      rgb.fill(
        value,
        3 * (row * pictureBox.width + column),
        3 * (row * pictureBox.width + column) + 3,
      );
    }
  }
  return rgb;
}

function laidBeside(
  { picture, x, y }: PictureBeside,
  size: { readonly width: number; readonly height: number },
  scale: number,
  job: Pick<Job, 'as'>,
): WordsDrawn['beside'][number] {
  const at = { x: x / scale, y: y / scale };
  const move = (point: Point): Point => ({ x: point.x + at.x, y: point.y + at.y });
  const all = (shapes: readonly Shape[]): Shape[] => shapes.map((shape) => translated(shape, at));
  const { ease, bridge, widen, features } = picture;
  const { width, height } = widen.bitmap;
  return {
    ease: { ...ease, shapes: all(ease.shapes) },
    bridge: {
      ...bridge,
      openings: all(bridge.openings),
      laidOver: all(bridge.laidOver),
      bridges: bridge.bridges.map((one) => ({ ...one, from: move(one.from), to: move(one.to) })),
      removed: bridge.removed.map((one) => ({
        ...one,
        at: move(one.at),
        start: move(one.start),
        end: move(one.end),
      })),
      shareChanged: (bridge.shareChanged * width * height) / (size.width * size.height),
    },
    features: features && {
      ...features,
      faces: features.faces.map((face) => ({
        ...face,
        at: [face.at[0] + at.x, face.at[1] + at.y] as const,
      })),
    },
    widened: {
      ...widen,
      bitmap: (job.as === 'mask' ? partsIn : openingsOn)(size, picture, { x, y }),
      linesLost: widen.linesLost.map((line) => ({
        ...line,
        at: [line.at[0] + at.x, line.at[1] + at.y] as const,
      })),
    },
  };
}

const stage = describeStage<StencilValues>();

const wordsOf = (source: StencilValues['source']): WordsDrawn => {
  if (typeof source === 'object' && 'words' in source) return source.words;
  throw new Error('These stages are for words');
};

/** What words have of their own in the list; all else is as for a picture. */
const own: readonly Stage<StencilValues>[] = [
  stage('strands', ['tone'], [], () => Promise.resolve(({ tone }) => tone)),
  stage('widen', ['source'], ['as'], () =>
    Promise.resolve(({ source }, { as }) => {
      const { lettering, beside } = wordsOf(source);
      const both = as === 'mask' ? openInBoth : openInOne;
      return beside.reduce(
        (all, { widened }) => bothWidened(all, widened, both),
        lettering.widened,
      );
    }),
  ),
  stage('trace', ['source', 'read', 'widen'], [], async () => {
    const { trace } = await import('../stages/trace/trace.js');
    return ({ source, read, widen }) => {
      const { redrawn } = wordsOf(source).lettering;
      if (redrawn) return trace(redrawn, read.pixelsPerMm);
      return { shapes: [], bitmap: widen.bitmap, curves: 0 };
    };
  }),
  stage(
    'ease',
    ['source', 'read', 'trace'],
    ['as', 'tightestTurn', 'narrowestStrip', 'narrowestOpening'],
    async () => {
      const { ease } = await import('../stages/ease/ease.js');
      return ({ source, read, trace }, job) => {
        const { lettering, beside } = wordsOf(source);
        const eased = trace.shapes.length > 0 ? ease(trace, read.pixelsPerMm, job) : NOTHING_EASED;
        const letters = joinedEased([asEased(lettering.kept), eased]);
        const pictures = beside.map((one) => one.ease);
        return job.as === 'mask'
          ? pictures.reduce(inOneMoat, letters)
          : joinedEased([letters, ...pictures]);
      };
    },
  ),
  stage('bridge', ['source', 'read', 'role', 'ease'], bridgeReads, async () => {
    const { bridge } = await import('../stages/bridge/bridge.js');
    const { letterHeuristics } = await import('../stages/bridge/letter-heuristics.js');
    return ({ source, read, role, ease }, job) => {
      const { bridges, beside } = wordsOf(source);
      const isMask = job.as === 'mask';
      // A mask is one piece: the parts of its picture are held as they were, and letters then hold to them.
      const apart = isMask ? [] : beside;
      const bridged = new Set(apart.flatMap((one) => one.ease.shapes));
      const shapes = ease.shapes.filter((shape) => !bridged.has(shape));
      const designed = isMask ? beside.flatMap((one) => one.bridge.bridges) : bridges;
      const bridgeFree = [...job.bridgeFree, ...role.bridgeFree];
      // What their letters ask for is enough; a mask's letters ask for nothing.
      const bridgeAmount = isMask ? job.bridgeAmount : 'fewer';
      const { sheet, pixelsPerMm } = read;
      const own = bridge(
        { shapes },
        { sheet, pixelsPerMm },
        { ...job, bridgeFree, bridgeAmount },
        letterHeuristics(job),
        designed,
      );
      return apart.reduce((all, one) => together(all, one.bridge), own);
    };
  }),
  stage('features', ['source'], [], () =>
    Promise.resolve(
      ({ source }) => wordsOf(source).beside.find(({ features }) => features)?.features ?? null,
    ),
  ),
  stage(
    'check',
    ['source', 'read', 'faces', 'survival', 'measure', 'advice', 'features'],
    ['card', 'repeat', 'fold', 'tool'],
    async () => {
      const { check } = await import('../stages/check/check.js');
      return ({ source, read, faces, survival, measure, advice, features }, job) => {
        const told = {
          survived: survival,
          advice,
          faces: features,
          strokeAdvice: null,
          facesWhy: faces.why,
        };
        const checked = check(measure, told, read.sheet, job);
        return { ...checked, findings: [...wordsOf(source).findings, ...checked.findings] };
      };
    },
  ),
];

/** Two drawings of one size as one. */
type Both = (own: Bitmap, also: Bitmap) => Bitmap;

const openInOne: Both = (own, also) => over(own, also, { x: 0, y: 0 });
const openInBoth: Both = (own, also) => ({
  ...own,
  data: own.data.map((value, i) => value & also.data[i]),
});

function bothWidened(own: Widened, also: Widened, both: Both): Widened {
  return {
    bitmap: both(own.bitmap, also.bitmap),
    specksDropped: own.specksDropped + also.specksDropped,
    islandsDropped: own.islandsDropped + also.islandsDropped,
    lightPartsGrown: own.lightPartsGrown + also.lightPartsGrown,
    lightPartsJoined: own.lightPartsJoined + also.lightPartsJoined,
    linesMerged: own.linesMerged + also.linesMerged,
    linesThinned: own.linesThinned + also.linesThinned,
    linesLost: [...own.linesLost, ...also.linesLost],
    unusedEdits: own.unusedEdits.filter((edit) =>
      also.unusedEdits.some(({ index }) => index === edit.index),
    ),
  };
}

const NOTHING_EASED: Eased = { shapes: [], curves: 0, corners: 0, deviationMm: 0 };

function asEased(shapes: readonly Shape[]): Eased {
  const outlines = shapes.flatMap(({ outer, holes }) => [outer, ...holes]);
  return {
    shapes,
    curves: outlines.reduce((sum, { straight }) => sum + straight.length, 0),
    corners: outlines.reduce(
      (sum, { corner }) => sum + corner.reduce((all, one) => all + one, 0),
      0,
    ),
    deviationMm: 0,
  };
}

function joinedEased(parts: readonly Eased[]): Eased {
  return {
    shapes: parts.flatMap(({ shapes }) => shapes),
    curves: parts.reduce((sum, { curves }) => sum + curves, 0),
    corners: parts.reduce((sum, { corners }) => sum + corners, 0),
    deviationMm: Math.max(...parts.map(({ deviationMm }) => deviationMm)),
  };
}

/** A mask's openings, with the parts of another mask in its moat. */
function inOneMoat(own: Eased, also: Eased): Eased {
  const [moat, inner] = [moatOf(own), moatOf(also)];
  const others = [...own.shapes, ...also.shapes].filter(
    (shape) => shape !== moat && shape !== inner,
  );
  const shapes = [{ outer: moat.outer, holes: [...moat.holes, ...inner.holes] }, ...others];
  return { ...asEased(shapes), deviationMm: Math.max(own.deviationMm, also.deviationMm) };
}

/** The opening all round a mask's parts. */
function moatOf({ shapes }: Eased): Shape {
  const across = ({ outer }: Shape): number => {
    const [left, , right] = boundingBox(outer.coords);
    return right - left;
  };
  return shapes.reduce((widest, shape) => (across(shape) > across(widest) ? shape : widest));
}

/** The words' bridges and the picture's, numbered as they are read. */
function together(own: Bridged, beside: Bridged): Bridged {
  const bridges = [...own.bridges, ...beside.bridges]
    .sort((a, b) => a.from.y + a.to.y - b.from.y - b.to.y || a.from.x + a.to.x - b.from.x - b.to.x)
    .map((bridge, i) => ({ ...bridge, number: i + 1 }));
  return {
    openings: [...own.openings, ...beside.openings],
    bridges,
    islands: own.islands + beside.islands,
    openingsDropped: own.openingsDropped + beside.openingsDropped,
    islandsDropped: own.islandsDropped + beside.islandsDropped,
    islandsDear: own.islandsDear + beside.islandsDear,
    laidOver: [...own.laidOver, ...beside.laidOver],
    shareChanged: own.shareChanged + beside.shareChanged,
    removed: [...own.removed, ...beside.removed],
    unusedEdits: own.unusedEdits.filter(({ index }) =>
      beside.unusedEdits.some((edit) => edit.index === index),
    ),
  };
}

/** A pipeline from words to a checked stencil: see `openWords` for what it is run with. */
export function createWordsPipeline(): Pipeline {
  const named = new Map(own.map((each) => [each.name, each]));
  return createRunner(stages.map((each) => named.get(each.name) ?? each));
}

/**
 * A pipeline from what is painted under words to a checked stencil.
 *
 * @param designed where it is bridged first
 */
function createUnderPipeline(designed: readonly DesignedBridge[]): Pipeline {
  const bridged = stage('bridge', ['read', 'ease'], bridgeReads, async () => {
    const { bridge } = await import('../stages/bridge/bridge.js');
    const { bridgeHeuristics } = await import('../stages/bridge/heuristics.js');
    return ({ read, ease }, job) => bridge(ease, read, job, bridgeHeuristics, designed);
  });
  return createRunner(stages.map((each) => (each.name === 'bridge' ? bridged : each)));
}
