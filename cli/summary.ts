import { relative } from 'node:path';
import {
  MM_PER_INCH,
  counted,
  inUnit,
  shortfallIn,
  unitOf,
  visible,
  type Finding,
  type Made,
  type DrawnStrokes,
} from '../src/index.js';
import { inOptions } from './options.js';
import { columnsOf, painter, wrap, type Paint, type Stream } from './terminal.js';

/** Columns of the headings at the left: the longest, "Likeness", and room beside it. */
const LEFT = 11;
/** Findings of one stencil that are told in full; the report has them all. */
const MOST_TOLD = 8;
/** Notes that are told along with what is worse: she may have wanted something else, or wonder where it is. */
const ALWAYS_TOLD: ReadonlySet<Finding['code']> = new Set([
  'unused-setting',
  'first-of-many',
  'lines-merged',
  'parts-joined',
  'beads-merge',
  'letters-spaced',
  'letters-heavier',
]);

/** A picture's fate: its stencil and the folder that holds it, or why there is none. */
export interface PictureOutcome {
  readonly picture: string;
  readonly made: Made;
  readonly folder: string;
  /** What she should know of where its files went: sentences without their full stops. */
  readonly notes: readonly string[];
}

/** A few lines for a person: what was made of a picture, and what to look at. */
export function summaryText(
  { picture, made, folder, notes }: PictureOutcome,
  stream: Stream,
): string {
  const paint = painter(stream);
  const columns = columnsOf(stream);
  const { values } = made.run;
  const line = (label: string, text: string): string =>
    paint('dim', label.padEnd(LEFT)) + wrap(text, columns, ' '.repeat(LEFT)).slice(LEFT);
  const drawn = values.strokes?.drawn;
  const about = drawn
    ? [
        line('Glue lines', `for a card of ${size(made)}, drawn ${made.job.beadWidth} mm wide`),
        line('Tone', `${values.tone.mode}. ${values.tone.why}`),
        line('Strokes', strokes(drawn)),
        line('Parts', gluedParts(drawn)),
        line('Left out', gluedLeftOut(drawn)),
        line('Glue', sticks(drawn, made)),
        line('Time', time(made)),
      ]
    : [
        line(
          made.job.as === 'mask' ? 'Mask' : 'Stencil',
          `for a card of ${size(made)}, to cut with ${tools[made.job.tool]}`,
        ),
        line('Tone', `${values.tone.mode}. ${values.tone.why}`),
        ...(values.packet ? [line('Folded', folded(made))] : []),
        line('Openings', openings(made)),
        made.job.as === 'mask' ? line('Parts', parts(made)) : line('Islands', islands(made)),
        line('Left out', leftOut(made)),
        ...faces(made).map((text) => line('Faces', text)),
        line('Time', time(made)),
        line('Masks', masks(made)),
        line('Likeness', likeness(made)),
      ];
  return [
    paint('bold', visible(picture)),
    ...about,
    line('Files', files(folder, made)),
    ...notes.map((note) => line('', `${note}.`)),
    verdict(made, paint),
    ...findingLines(made, stream),
  ].join('\n');
}

function strokes({ strokes: list, fewest, glue }: DrawnStrokes): string {
  const metres = (glue.lengthMm / 1000).toFixed(1);
  return `${list.length}, ${metres} m of glue; the fewest, if lines crossed wherever they could, would be ${fewest}`;
}

function gluedParts({ parts, joins }: DrawnStrokes): string {
  return parts < 2 ? 'one, as in the picture' : `${parts}, joined at ${counted(joins.length, 'place')}`; // prettier-ignore
}

function gluedLeftOut({ lost: { partsDropped, endsDropped, thinned } }: DrawnStrokes): string {
  const told = [
    partsDropped > 0 && `${counted(partsDropped, 'speck')} smaller than a line of glue`,
    endsDropped > 0 && `${counted(endsDropped, 'line')} too short to draw`,
    thinned > 0 && `${counted(thinned, 'line')} too near to others`,
  ].filter((part) => part !== false);
  return told.length === 0 ? 'nothing' : told.join(', ');
}

function sticks({ glue }: DrawnStrokes, { job }: Made): string {
  return `${glue.sticks.toFixed(1)} sticks of ${toTenth(job.stickThickness)} × ${toTenth(job.stickLength)} mm`;
}

/** What holds for all that was made, a line each. */
export function noteLines(notes: readonly string[]): string {
  return notes.map((note) => `  · ${inOptions(note)}\n`).join('');
}

/** What is to be looked at before a stencil is cut, a line each. */
export function findingLines(made: Made, stream: Stream): string[] {
  const { findings } = made.run.values.check;
  const notes = findings.filter(({ code }) => ALWAYS_TOLD.has(code));
  const remarks = [...findings.filter(({ level }) => level !== 'note'), ...notes];
  const lines = remarks.slice(0, MOST_TOLD).map((finding) => {
    return findingLine(finding, made.job.card, columnsOf(stream), painter(stream));
  });
  return remarks.length > MOST_TOLD
    ? [...lines, `  … and ${remarks.length - MOST_TOLD} more, in report.json`]
    : lines;
}

const tools: Readonly<Record<Made['job']['tool'], string>> = {
  'hot-tip': 'a hot tip',
  'craft-knife': 'a craft knife',
  scissors: 'scissors',
};

function size(made: Made): string {
  const { widthMm, heightMm } = made.run.values.read.sheet;
  const mm = `${toTenth(widthMm)} × ${toTenth(heightMm)} mm`;
  return `${mm} (${toTenth(widthMm / MM_PER_INCH)} × ${toTenth(heightMm / MM_PER_INCH)} in)`;
}

function folded({ run, job }: Made): string {
  const { packet, fold } = run.values;
  if (!packet) return '';
  const cuts = counted(packet.packetCuts.length, 'cut');
  return `${job.fold}: ${cuts} through ${packet.layers} layers. ${inOptions(fold.fold?.why ?? '')}`.trim();
}

function openings(made: Made): string {
  const { check, plan } = made.run.values;
  return `${counted(check.openings.length, 'piece')} to cut away, ${(plan.cuttingMm / 1000).toFixed(1)} m of cutting`;
}

/** The parts of a mask that did not hang together. */
function parts(made: Made): string {
  const { islands: loose, bridges } = made.run.values.frame;
  if (loose === 0 && bridges.length === 0) return 'one, as in the picture';
  return `${loose + 1} joined by ${counted(bridges.length, 'bridge')} of ${made.job.bridgeWidth} mm`;
}

function islands(made: Made): string {
  const { islands: found, bridges } = made.run.values.frame;
  if (found === 0 && bridges.length === 0) return 'none: nothing would fall out';
  return `${found} held by ${counted(bridges.length, 'bridge')} of ${widthsOf(made)} mm`;
}

/** How wide the bridges are, "2.4" or "1.6 to 2.4": letters with narrow insides have narrower ones. */
function widthsOf({ job, run }: Made): string {
  const proposed = run.values.frame.bridges.filter(({ origin }) => origin === 'proposed');
  const widths = proposed.map(({ widthMm }) => toTenth(widthMm));
  const [least, most] = [Math.min(...widths), Math.max(...widths)];
  if (widths.length === 0 || (least === most && most === toTenth(job.bridgeWidth)))
    return String(job.bridgeWidth);
  return least === most ? String(least) : `${least} to ${most}`;
}

function countLeftOut(made: Made): {
  specks: number;
  islands: number;
  openings: number;
  dear: number;
} {
  const { widen, frame } = made.run.values;
  return {
    specks: widen.specksDropped,
    islands: widen.islandsDropped + frame.islandsDropped,
    openings: frame.openingsDropped,
    dear: frame.islandsDear,
  };
}

function leftOut(made: Made): string {
  const { specks, islands: small, openings: cut, dear } = countLeftOut(made);
  const [dark, light] = made.job.as === 'mask' ? ['light', 'dark'] : ['dark', 'light'];
  const told = [
    specks + cut > 0 && `${counted(specks + cut, `${dark} speck`)} too small to cut`,
    small > 0 && `${counted(small, `${light} speck`)} too small to hold`,
    dear > 0 && `${counted(dear, `${light} part`)} too far from other film to be worth its bridges`,
  ].filter((part) => part !== false);
  return told.length === 0 ? 'nothing' : told.join(', ');
}

/** Which faces there are; nothing where there is none. */
function faces(made: Made): string[] {
  const seen = made.run.values.features?.faces ?? [];
  if (seen.length === 0) return [];
  const widths = seen.map(({ widthMm }) => widthMm);
  const [least, most] = [Math.min(...widths), Math.max(...widths)].map(Math.round);
  const wide = least === most ? `${most} mm wide` : `${least} to ${most} mm wide`;
  const whole = seen.filter(({ lost }) => lost.length === 0).length;
  const kept =
    whole === seen.length
      ? seen.length === 1
        ? 'its eyes and mouth are kept'
        : 'their eyes and mouths are kept'
      : `${whole} with eyes and mouth kept`;
  return [`${counted(seen.length, 'face')}, ${wide}; ${kept}`];
}

function time(made: Made): string {
  const { minutes, warmUpMinutes, difficulty } = made.run.values.plan;
  const warm = warmUpMinutes > 0 ? `, ${toTenth(warmUpMinutes)} of them to warm up` : '';
  return `about ${counted(Math.ceil(minutes), 'minute')}${warm}; ${difficulty.level}: ${difficulty.because.join(', ')}`;
}

function masks(made: Made): string {
  const kept = made.run.values.plan.pieces.filter(({ keep }) => keep).length;
  return kept === 0
    ? `no piece is large enough to keep, from ${made.job.smallestMask} mm² on`
    : `${counted(kept, 'piece')} large enough to keep, from ${made.job.smallestMask} mm² on`;
}

function likeness(made: Made): string {
  const share = made.run.values.check.fidelity * 100;
  return `the print differs from the tone picture on ${share.toFixed(1)} % of the card`;
}

function files(folder: string, made: Made): string {
  const near = relative('', folder);
  const shown = visible(near === '' || near.startsWith('..') ? folder : near);
  return `${shown}: ${[...made.files.keys()].join(', ')}`;
}

function verdict(made: Made, paint: Paint): string {
  const isGlue = made.job.as === 'glue-line';
  const [does, before] = isGlue ? ['it can be drawn', 'you draw'] : ['it holds, and it can be cut', 'you cut']; // prettier-ignore
  const but = shortfallIn(made.run.values.check.findings);
  if (made.good && but) {
    return paint('yellow', `It stays in one piece, and ${does.replace(/^it holds, and it /, 'it ')}; but ${but}.`); // prettier-ignore
  }
  if (made.good)
    return paint('green', `Good: it stays in one piece${isGlue ? ' and' : ','} ${does}.`);
  const { findings } = made.run.values.check;
  const broken = new Set(findings.filter(({ level }) => level === 'error').map(({ code }) => code))
    .size;
  return paint('red', `Look before ${before}: ${counted(broken, 'promise')} could not be kept.`);
}

function findingLine({ level, message, at }: Finding, card: string, columns: number, paint: Paint) {
  const place = at ? ` (${placeInWords(card, at)})` : '';
  return marks(paint)[level] + wrap(inOptions(message) + place, columns, '    ').slice(4);
}

/** In mm, as settings files have places, and in the unit that the card was given in. */
function placeInWords(card: string, at: readonly [number, number]): string {
  const [left, top] = at.map(toTenth);
  const inMm = `${left} mm from the left, ${top} mm from the top`;
  const unit = unitOf(card);
  return unit === 'mm' ? inMm : `${inMm}: ${inUnit(card, at).join(' and ')} ${unit}`;
}

const marks = (paint: Paint): Readonly<Record<Finding['level'], string>> => ({
  error: paint('red', '  ✗ '),
  warning: paint('yellow', '  ! '),
  note: paint('dim', '  · '),
});

function toTenth(value: number): number {
  return Math.round(value * 10) / 10;
}
