import { basename, extname, resolve } from 'node:path';
import type { Point } from '../geometry/shape.js';
import { carriedEdits } from '../lettering/carried-edits.js';
import { drawLetters, letterBridges, type LetterBridgeRules } from '../lettering/draw.js';
import { openFont, type Font } from '../lettering/font.js';
import { describeTypeface, openTypeface } from '../lettering/open-typeface.js';
import { fitInto, layOut } from '../lettering/layout.js';
import { leastCapHeight, leastForParts } from '../lettering/least-size.js';
import { CAPITALS, LETTERS, leastSizesKnown } from '../lettering/least-sizes.js';
import { typedLines, setLine, THE_WORDS, type SetLine } from '../lettering/typeset.js';
import {
  createWordsPipeline,
  openWords,
  type PictureBeside,
  type Carried,
} from '../pipeline/words.js';
import type { Finding, StencilStage, WordsSource } from '../pipeline/pipeline.js';
import type { Area, BridgeEdit, Place } from '../settings/edits.js';
import type { Job } from '../settings/job.js';
import {
  completeLettering,
  typefaceKinds,
  type LetteringJob,
  type LetterPlace,
} from '../settings/lettering-settings.js';
import { namingThe, Problem } from '../settings/problem.js';
import { sha256, type Provenance } from '../disk/made-from.js';
import { writePage } from '../disk/page-files.js';
import { diskFor, type WriteOptions } from '../disk/result.js';
import { specimenHtml, specimenPng, type SpecimenLeaf } from '../output/html/specimen.js';
import { shapePath } from '../output/svg/path-data.js';
import { showStencil, stagesToShow, type Screen } from './look.js';
import { pictureAt, pictureGiven, makeStencil, type Made, type MakeOptions } from './stencil.js';
import { rulesOf } from './words-layout.js';
import { placeWords, type PlacedWords, type RoomAround } from './words-placement.js';
import { otherFaces, unlessLacking } from './words-typefaces.js';

/** A font file that is at hand, in the place of a path: its bytes, and its name. */
export interface FontGiven {
  readonly bytes: Uint8Array;
  readonly file: string;
}

/** Words to cut. */
export interface WordsWish {
  /** Each a line, or several with breaks between. */
  readonly words: readonly string[];
  readonly set: LetteringJob;
  /** Where the letters stood when the job's edits were made; none where they were made on these very words. */
  readonly before?: readonly LetterPlace[];
  /** A picture beside them that is at hand, in the place of a path: its bytes, and the file's name. */
  readonly picture?: { readonly bytes: Uint8Array; readonly file: string };
  /** A font file that is at hand, in the place of the typeface that is set. */
  readonly font?: FontGiven;
}

export interface WordsOptions extends Omit<MakeOptions, 'onStage' | 'pipeline' | 'layer'> {
  /** Called when a stage begins, of the picture beside the words or of the stencil. */
  readonly onStage?: (stage: StencilStage) => void;
}

/**
 * Makes a stencil of words, alone or with a picture on the same card. Nothing is written.
 *
 * @throws Problem for words that can't be set, that have no room, or a typeface or picture that can't be read
 */
export async function makeWords(wish: WordsWish, job: Job, options: WordsOptions): Promise<Made> {
  const { source, job: edited, lines, letters } = await openedWords(wish, job, options.onStage);
  const { onStage, ...rest } = options;
  return makeStencil(source, edited, {
    ...rest,
    pipeline: createWordsPipeline(),
    words: {
      lines,
      set: setTold(wish),
      letters,
    },
    ...(onStage && { onStage: (stage) => onStage(stage) }),
  });
}

/** Words as a screen shows them: with where their letters stand, and a person's edits as they have gone with these. */
export interface WordsShown {
  readonly screen: Screen;
  readonly letters: readonly LetterPlace[];
  readonly bridgeEdits: readonly BridgeEdit[];
}

/**
 * Makes a stencil of words as far as a screen shows it.
 *
 * @throws Problem as `makeWords`
 */
export async function showWords(
  wish: WordsWish,
  job: Job,
  onStage: (stage: StencilStage) => void,
): Promise<WordsShown> {
  const { source, job: edited, letters, findings } = await openedWords(wish, job, onStage);
  const values = await createWordsPipeline().runFor(stagesToShow, source, edited, { onStage });
  const screen = await showStencil(values, edited);
  return {
    screen: { ...screen, adviceDue: false, findings: [...findings, ...screen.findings] },
    letters,
    bridgeEdits: edited.bridgeEdits,
  };
}

/** Where the picture beside words comes from, and the name of its file. */
function pictureOf({
  set,
  picture,
}: WordsWish): { readonly source: string | Uint8Array; readonly file: string } | undefined {
  if (picture) return { source: picture.bytes, file: picture.file };
  return set.picture === null ? undefined : { source: set.picture, file: set.picture };
}

/** How words are cut, as a report has it: files that were at hand go by their names. */
export function setTold(wish: WordsWish): LetteringJob {
  const { set, font } = wish;
  return { ...set, face: font?.file ?? set.face, picture: pictureOf(wish)?.file ?? null };
}

/** Words laid out on their sheet, before they are drawn. */
export interface LaidWords {
  readonly placed: PlacedWords;
  readonly lines: readonly string[];
  readonly letters: readonly LetterPlace[];
  readonly findings: readonly Finding[];
}

/**
 * Lays words out on their sheet, and a picture beside them, which is read for it.
 *
 * @throws Problem as `makeWords`
 */
export async function layWords(
  wish: WordsWish,
  job: Job,
  onStage?: (stage: StencilStage) => void,
  around: RoomAround = { before: 0, after: 0 },
): Promise<LaidWords> {
  const { set } = wish;
  const lines = typedLines(wish.words);
  const faces = wish.font
    ? [await openFont(wish.font.bytes, wish.font.file)]
    : await openTypeface(set.face, lines.join(''));
  const setLines = lines.filter((line) => line !== '').map((line) => setLine(line, faces));
  const beside = pictureOf(wish)?.source;
  const placed = await placeWords(setLines, { ...set, beside, around }, job, onStage);
  const findings = await sizeFindings(setLines, placed, set, job);
  return { placed, lines, letters: letterPlacesOf(placed), findings };
}

/** A person's edits, gone with their letters to where those are now, and what is told of those that are left out. */
export function editsNow<Edited extends Pick<Job, 'bridgeEdits'>>(
  edited: Edited,
  { before }: Pick<WordsWish, 'before'>,
  { letters }: Pick<LaidWords, 'letters'>,
): { readonly edited: Edited; readonly findings: readonly Finding[] } {
  const carried = carriedEdits(edited.bridgeEdits, before ?? [], letters);
  return { edited: { ...edited, bridgeEdits: carried.edits }, findings: leftEdits(carried.left) };
}

/** Words drawn on their sheet, with what is told of them, and the job with its edits where the letters are now. */
async function openedWords(
  wish: WordsWish,
  job: Job,
  onStage: ((stage: StencilStage) => void) | undefined,
) {
  const laid = await layWords(wish, job, onStage);
  const { edited, findings: left } = editsNow(job, wish, laid);
  const findings = [...laid.findings, ...left];
  const make = async (): Promise<WordsSource> => {
    const beside = await wholePicture(laid.placed, edited);
    return drawWords(laid.placed, wish.set, { job: edited, findings, beside });
  };
  const { source: picture } = laid.placed.beside ?? {};
  const source = await (picture === undefined ? make() : namingThe(picture, make));
  return { ...laid, source, job: edited, findings };
}

/** What a person drew and edited on the card, as it lies on the picture's own sheet. */
function editsBeside(
  { bridgeEdits, bridgeFree, regionEdits }: Job,
  offset: Point,
): Pick<Job, 'bridgeEdits' | 'bridgeFree' | 'regionEdits'> {
  const move = ([x, y]: Place): Place => [x - offset.x, y - offset.y];
  return {
    bridgeEdits: bridgeEdits.map((edit): BridgeEdit => {
      if (edit.do === 'remove') return { ...edit, at: move(edit.at) };
      const ends = { from: move(edit.from), to: move(edit.to) };
      return edit.do === 'move' ? { ...edit, ...ends, at: move(edit.at) } : { ...edit, ...ends };
    }),
    bridgeFree: bridgeFree.map((area): Area => area.map(move)),
    regionEdits: regionEdits.map((edit) => ({ ...edit, at: move(edit.at) })),
  };
}

function letterPlacesOf({ laid, at }: PlacedWords): LetterPlace[] {
  return laid.letters
    .filter(({ glyph }) => glyph.text.trim() !== '')
    .map(({ glyph, line, place: { x, y, angle, scale } }) => ({
      text: glyph.text,
      line,
      x: thousandth(x + at.x),
      y: thousandth(y + at.y),
      angle: Math.round(angle * 1e6) / 1e6,
      scale: Math.round(scale * 1e6) / 1e6,
    }));
}

const thousandth = (mm: number): number => Math.round(mm * 1000) / 1000;

/** A counter of less than so many times the smallest island has one bridge. */
const SMALL_COUNTERS = 2;

function bridgeRulesOf({ bridgeRule }: LetteringJob, job: Job): LetterBridgeRules {
  return {
    rule: bridgeRule,
    bridgeWidth: job.bridgeWidth,
    leastWidth: job.narrowestStrip,
    narrowestOpening: job.narrowestOpening,
    smallCounter: SMALL_COUNTERS * job.smallestIsland,
    largeCounter: job.twoTiesFrom,
  };
}

/** The whole picture beside words, if there is one, carried through to its bridges. */
async function wholePicture(placed: PlacedWords, job: Job): Promise<PictureBeside[]> {
  const { beside } = placed;
  return beside ? [await pictureBeside(beside, job, beside.picture.carry)] : [];
}

/**
 * The picture beside words at its place, or a layer of it.
 *
 * @param job with what a person edited on the sheet
 * @param carry carries it through to its bridges, by the job of a sheet of its own
 */
export async function pictureBeside(
  { job: own, x, y, scale }: NonNullable<PlacedWords['beside']>,
  job: Job,
  carry: (job: Job) => Promise<Carried>,
): Promise<PictureBeside> {
  const edits = editsBeside(job, { x: x / scale, y: y / scale });
  // A mask's bridges are edited where all of it is one piece.
  const bridgeEdits = job.as === 'mask' ? [] : edits.bridgeEdits;
  return { picture: await carry({ ...own, ...edits, bridgeEdits }), x, y };
}

/** What is drawn besides words that are laid out, by which job, and what is told of them. */
interface DrawnWith {
  readonly job: Job;
  readonly findings: readonly Finding[];
  readonly beside: readonly PictureBeside[];
}

/** Draws words as they are laid out. */
export function drawWords(
  { laid, at, motif }: PlacedWords,
  set: LetteringJob,
  { job, findings, beside }: DrawnWith,
): Promise<WordsSource> {
  const shapes = drawLetters(laid, at, job.tightestTurn);
  const bridges = letterBridges(laid, at, bridgeRulesOf(set, job));
  if (!motif) return openWords({ shapes, bridges }, job, findings, beside);
  return openWords({ shapes, bridges, motif, pictures: beside }, job, findings);
}

/** A sheet without words, with what is laid beside where they are on another one. */
export function drawBeside(
  { motif }: PlacedWords,
  job: Job,
  beside: readonly PictureBeside[],
): Promise<WordsSource> {
  return openWords({ shapes: [], bridges: [], ...(motif && { motif }) }, job, [], beside);
}

/** What a person should know of the size: room made between letters, and letters that are too small for their face. */
async function sizeFindings(
  lines: readonly SetLine[],
  { laid, room, grownMm }: Pick<PlacedWords, 'laid' | 'room' | 'grownMm'>,
  set: LetteringJob,
  job: Job,
): Promise<Finding[]> {
  const { capHeight, tracked, leaded } = laid;
  const found: Finding[] = [];
  const least = leastCapHeight(lines, job);
  const forParts = leastForParts(lines, job);
  if (grownMm > 0) {
    // What a size that is told as large enough grows by, is not seen.
    if (capHeight < forParts)
      found.push({
        level: 'note',
        code: 'letters-heavier',
        message: `Capitals are ${capHeight.toFixed(1)} mm high, and the typeface’s thinnest strokes are wide enough for this tool from ${upTenth(forParts)} mm on: every stroke was drawn ${hundredth(grownMm)} mm thicker.`,
      });
  } else if (capHeight < least) {
    const rules = rulesOf(set, job);
    const most = set.capHeight === null ? capHeight : fitInto(lines, room, rules).capHeight;
    const others = await facesThatFit(lines, { laid, room }, set, job);
    const instead =
      others.length > 0
        ? `These words would keep theirs by ${others.map((kind) => `\`face\` ${kind}`).join(' or ')}`
        : 'Fewer letters to a line, or a larger card, would do';
    const sizes = `Capitals are ${capHeight.toFixed(1)} mm high; in this typeface the letters keep their shape from ${upTenth(least)} mm on with this tool, and there is room for ${(Math.floor(most * 10) / 10).toFixed(1)} mm`;
    if (capHeight < UNREADABLE * forParts) throw new Problem(sizes, THE_WORDS, instead);
    found.push({
      level: 'warning',
      code: 'letters-small',
      message: `${sizes}. What was too thin was made wider. ${instead}.`,
    });
  }
  if (tracked > TOLD_MM || leaded > TOLD_MM) {
    const rooms = [
      tracked > TOLD_MM && `letters stand ${tracked.toFixed(1)} mm further apart`,
      leaded > TOLD_MM && `lines ${leaded.toFixed(1)} mm`,
    ].filter((more) => more !== false);
    found.push({
      level: 'note',
      code: 'letters-spaced',
      message: `So that the film between them is never under ${job.narrowestStrip} mm, ${rooms.join(' and ')} than the typeface has them.`,
    });
  }
  return found;
}

/** At so small a share of the least size letters fall apart, or close up, and can't be told from others. By eye. */
const UNREADABLE = 0.8;

const hundredth = (mm: number): string => mm.toFixed(2);
const upTenth = (mm: number): string => (Math.ceil(mm * 10) / 10).toFixed(1);

/** The typefaces in which the same words, at the size that was given or as large as there is room, keep their shape. */
function facesThatFit(
  lines: readonly SetLine[],
  { laid, room }: Pick<PlacedWords, 'laid' | 'room'>,
  set: LetteringJob,
  job: Job,
): Promise<readonly string[]> {
  return otherFaces(lines, set, (own) => {
    const size =
      set.capHeight === null ? fitInto(own, room, rulesOf(set, job)).capHeight : laid.capHeight;
    return size >= leastCapHeight(own, job);
  });
}

/** Less room is not seen. */
const TOLD_MM = 0.05;

function leftEdits(count: number): Finding[] {
  if (count === 0) return [];
  return [
    {
      level: 'note',
      code: 'unused-edit',
      message: `${count === 1 ? 'An edit of a bridge was' : `${count} edits of bridges were`} made on letters that are no longer there, and left out.`,
    },
  ];
}

/** What a stencil of words is of: the words, in their typeface, and the picture. */
export async function provenanceOfWords(wish: WordsWish): Promise<Provenance> {
  const { words, set } = wish;
  const lines = typedLines(words);
  const given = wish.picture && pictureGiven(wish.picture.bytes, wish.picture.file);
  const picture = given ?? (set.picture === null ? undefined : await pictureAt(set.picture));
  const beside = picture ? ` and ${picture.picture}` : '';
  return {
    made: 'stencil',
    picture: `the words “${lines.join(' / ')}”${beside}`,
    sha256: sha256(JSON.stringify([lines, picture?.sha256 ?? null])),
  };
}

/** Letters of the words that a folder is called after. */
const MOST_IN_NAME = 40;

/** What a stencil of words is called, unless she says: by its words, as far as a folder can be. */
export function nameOfWords({ words, set }: WordsWish): string {
  const text = typedLines(words).join(' ').toLowerCase();
  const plain = text.replaceAll(/[^\p{L}\p{M}\p{N}]+/gu, '-').replaceAll(/^-+|-+$/g, '');
  const short = Array.from(plain).slice(0, MOST_IN_NAME).join('').replace(/-+$/, '');
  if (short !== '') return short;
  return set.picture === null ? 'words' : basename(resolve(set.picture), extname(set.picture));
}

/** A typeface to choose from, and the smallest capitals that a tool and hand can cut in it. */
export interface TypefaceOffer {
  readonly kind: string;
  readonly name: string;
  readonly says: string;
  /** In mm, for capitals alone, for capitals and small letters, and for the words given, where there are any. */
  readonly capitals: number;
  readonly letters: number;
  readonly words: number | undefined;
}

/**
 * Every typeface, with the smallest cap height for the limits of a job, worked out on its outlines.
 *
 * @param words a sample; a typeface that lacks letters of it has no figure for them
 */
export async function typefaceOffers(
  words: readonly string[],
  job: Job,
): Promise<readonly TypefaceOffer[]> {
  const sample = words.length > 0 ? typedLines(words) : [];
  const offers: TypefaceOffer[] = [];
  for (const kind of typefaceKinds) {
    const faces = await openTypeface(kind, CAPITALS + sample.join(''));
    const least = (text: string): number => leastCapHeight([setLine(text, faces)], job);
    const known = leastSizesKnown(kind, job);
    offers.push({
      kind,
      ...describeTypeface(kind),
      capitals: known?.capitals ?? least(CAPITALS),
      letters: known?.letters ?? least(LETTERS),
      words: sample.length > 0 ? unlessLacking(() => least(sample.join(''))) : undefined,
    });
  }
  return offers;
}

/** A typeface with a person's own words in it, as they are cut: paths are SVG path data in mm. */
export interface TypefaceSample extends Pick<TypefaceOffer, 'kind' | 'name' | 'says'> {
  /** The smallest cap height for these words, in mm; none where the typeface lacks letters of them. */
  readonly least?: number;
  readonly letters?: string;
  readonly bridges?: readonly {
    readonly from: Point;
    readonly to: Point;
    readonly widthMm: number;
  }[];
  readonly widthMm?: number;
  readonly heightMm?: number;
}

/**
 * Every typeface with some words in it.
 *
 * @param font a font file of the person's own, which comes first
 * @throws Problem for words that can't be set at all, and for a font that can't be used
 */
export async function typefaceSamples(
  words: readonly string[],
  job: Job,
  font?: FontGiven,
): Promise<readonly TypefaceSample[]> {
  const sample = typedLines(words).filter((line) => line !== '');
  const samples: TypefaceSample[] = [];
  if (font) {
    const about = { kind: OWN_FONT, name: font.file, says: 'your own' };
    samples.push(sampleOf(about, sample, [await openFont(font.bytes, font.file)], job));
  }
  for (const kind of typefaceKinds) {
    const about = { kind, ...describeTypeface(kind) };
    samples.push(sampleOf(about, sample, await openTypeface(kind, sample.join('')), job));
  }
  return samples;
}

/** What her own font goes by among the typefaces. */
const OWN_FONT = 'own';

function sampleOf(
  about: Pick<TypefaceSample, 'kind' | 'name' | 'says'>,
  sample: readonly string[],
  faces: readonly Font[],
  job: Job,
): TypefaceSample {
  const lines = unlessLacking(() => sample.map((line) => setLine(line, faces)));
  if (!lines) return about;
  const { shapes, bridges, width, height } = drawnSample(lines, job);
  return {
    ...about,
    least: leastCapHeight(lines, job),
    letters: shapePath(shapes),
    bridges,
    widthMm: width,
    heightMm: height,
  };
}

/** What is shown where she gives no words. */
const SAMPLE = ['Nana & Béla 1987'];
/** How tall capitals of a specimen are, in mm: letters and bridges of the hot tip's width look as they will. */
const SPECIMEN_CAP_MM = 24;

/**
 * Writes a sheet that shows typefaces as they are cut, as a picture and as a page.
 *
 * @returns the files
 * @throws Problem when they can't be written
 */
export async function writeSpecimen(
  offers: readonly TypefaceOffer[],
  words: readonly string[],
  job: Job,
  outDir: string,
  { signal }: Pick<WriteOptions, 'signal'> = {},
): Promise<readonly string[]> {
  const sample = words.length > 0 ? typedLines(words) : SAMPLE;
  const leaves: SpecimenLeaf[] = [];
  for (const offer of offers) {
    leaves.push({ ...offer, drawing: await drawSample(offer, sample, job) });
  }
  const { files } = await writePage(
    outDir,
    {
      name: 'typefaces',
      of: { made: 'typefaces' },
      html: specimenHtml(leaves, job.tool === 'hot-tip' ? 'hot tip' : 'craft knife'),
      beside: { ending: '.png', bytes: await specimenPng(leaves) },
    },
    diskFor({ durably: true, ...(signal && { signal }) }),
  );
  return files;
}

async function drawSample(
  { kind, words }: TypefaceOffer,
  sample: readonly string[],
  job: Job,
): Promise<SpecimenLeaf['drawing']> {
  const faces = await openTypeface(kind, sample.join(''));
  if (sample !== SAMPLE && words === undefined) return undefined;
  return drawnSample(
    sample.map((line) => setLine(line, faces)),
    job,
  );
}

function drawnSample(lines: readonly SetLine[], job: Job): NonNullable<SpecimenLeaf['drawing']> {
  const set = completeLettering({}, { where: THE_WORDS, spell: (name) => name });
  const laid = layOut(lines, SPECIMEN_CAP_MM, rulesOf(set, job));
  const at = { x: 0, y: 0 };
  return {
    shapes: drawLetters(laid, at, job.tightestTurn),
    bridges: letterBridges(laid, at, bridgeRulesOf(set, job)),
    width: laid.width,
    height: laid.height,
  };
}
