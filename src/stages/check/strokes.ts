import { counted } from '../../settings/words/counted.js';
import type { Job } from '../../settings/job.js';
import type { DrawnStrokes } from '../strokes/strokes.js';
import { MANY_STROKES } from '../../settings/strokes.js';
import type { StrokeAdvice } from '../stroke-advice/stroke-advice.js';
import type { Finding } from './finding.js';

/** Places of one kind that are told each for itself; the report has them all. */
const MOST_TOLD = 6;

/** What is to be said of a drawing in glue. */
export function strokesTold(
  drawn: DrawnStrokes | undefined,
  job: Pick<Job, 'beadWidth' | 'massFill' | 'strokeEdits'>,
): Finding[] {
  if (!drawn) return [];
  const { strokes, parts, joins, runTogether, tightBends, lost } = drawn;
  const edits = [...broken(drawn), ...unused(drawn, job)];
  const many: Finding[] =
    strokes.length > MANY_STROKES
      ? [
          {
            level: 'warning',
            code: 'many-strokes',
            message: `${strokes.length} strokes are more than most hands would draw.`,
          },
        ]
      : [];
  const joined: Finding[] =
    parts > 1 && drawn.broken.length === 0
      ? [
          {
            level: 'note',
            code: 'parts-joined',
            message: `${parts} parts of the picture do not touch; ${joinsTold(joins)} of glue ${joins.length === 1 ? 'joins' : 'join'} them to one piece.`,
          },
        ]
      : [];
  return [
    ...edits,
    ...oneMass(drawn, job),
    ...many,
    ...joined,
    ...runTogether.slice(0, MOST_TOLD).map(({ at }): Finding => ({
      level: 'note',
      code: 'beads-merge',
      message:
        'Two lines of glue are nearer to each other than they can be drawn: they run together here.',
      at,
    })),
    ...(lost.closed > 0
      ? [
          {
            level: 'note',
            code: 'beads-merge',
            message: `${counted(lost.closed, 'place')} between lines too narrow for two lines of glue of ${job.beadWidth} mm: one line is drawn there.`,
          } as const,
        ]
      : []),
    ...(lost.thinned > 0
      ? [
          {
            level: 'note',
            code: 'lines-thinned',
            message: `${counted(lost.thinned, 'line')} of those that run side by side ${lost.thinned === 1 ? 'is' : 'are'} left out: nearer to each other than lines of glue of ${job.beadWidth} mm can be drawn. A thinner line or a larger card keeps more of them.`,
          } as const,
        ]
      : []),
    ...tightBends.slice(0, MOST_TOLD).map(({ x, y }): Finding => ({
      level: 'note',
      code: 'tight-bend',
      message: 'The line bends more tightly here than `tightestBend`: draw slowly.',
      at: [x, y],
    })),
  ];
}

/** A picture that comes to one outline: what was in it is gone. */
function oneMass(
  { strokes, lost }: DrawnStrokes,
  job: Pick<Job, 'beadWidth' | 'massFill'>,
): Finding[] {
  const outlines = strokes.filter(({ kind }) => kind !== 'fill');
  if (lost.masses !== 1 || outlines.length !== 1 || !outlines[0].isClosed) return [];
  const drawn =
    job.massFill === 'outline'
      ? 'its outline is all that is drawn'
      : 'its outline is drawn, and filled';
  return [
    {
      level: 'note',
      code: 'one-mass',
      message: `With lines of ${job.beadWidth} mm the picture is one dark mass: ${drawn}. A narrower line, a larger card or another \`tone\` may show what is in it.`,
    },
  ];
}

/** The joins that a person took away or moved, without which parts come apart. */
function broken({ broken: edits }: DrawnStrokes): Finding[] {
  return edits.map(({ at, to }) => ({
    level: 'error',
    code: 'removed-join-drops-part',
    message: to
      ? 'The join that you moved from here no longer holds two parts together: they would come apart. Move it to where it meets a line at both ends, or draw another.'
      : 'Without the join that you took away here two parts would come apart. Put it back, or draw one elsewhere.',
    at: [at.x, at.y],
  }));
}

const UNUSED_EDITS = {
  'no-stroke': 'No stroke passes here any more',
  covered: 'The line that you drew here lies on lines that are there',
  'off-sheet': 'The line that you drew here lies beside the sheet, or is too short',
} as const;

function unused(
  { unusedEdits }: DrawnStrokes,
  { strokeEdits }: Pick<Job, 'strokeEdits'>,
): Finding[] {
  return unusedEdits.map(({ index, at, why }) => ({
    level: strokeEdits[index].do === 'draw' ? 'warning' : 'note',
    code: 'unused-edit',
    message: `${UNUSED_EDITS[why]}. It stays in the job (stroke edit ${index + 1}) and does nothing.`,
    at: [at.x, at.y],
  }));
}

/** The warning of many strokes, with what was tried against them. */
export function withStrokeAdvice(finding: Finding, advice: StrokeAdvice | null): Finding {
  const helps = advice
    ? `With \`${advice.setting}\` ${advice.value} there would be ${advice.strokes}.`
    : `Less detail, a smoother picture and longer strokes were tried, and none brings them under ${MANY_STROKES}: crop the picture closer, by \`crop\`, or choose another \`tone\`.`;
  return { ...finding, message: `${finding.message} ${helps}` };
}

function joinsTold(joins: DrawnStrokes['joins']): string {
  return (['line', 'ring'] as const)
    .map((kind) => [joins.filter((join) => join.kind === kind).length, kind] as const)
    .filter(([count]) => count > 0)
    .map(([count, kind]) => counted(count, kind))
    .join(' and ');
}
