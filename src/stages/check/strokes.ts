import { counted } from '../../settings/words/counted.js';
import type { Job } from '../../settings/job.js';
import type { DrawnStrokes } from '../strokes/strokes.js';
import type { Finding } from './finding.js';

/** More strokes than a person draws in one sitting. By eye. */
const MANY_STROKES = 80;
/** Places of one kind that are told each for itself; the report has them all. */
const MOST_TOLD = 6;

/** What is to be said of a drawing in glue. */
export function strokesTold(
  drawn: DrawnStrokes | undefined,
  job: Pick<Job, 'beadWidth' | 'tone' | 'strokeEdits'>,
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
            message: `${strokes.length} strokes are more than most hands would draw. ${lessDetail(job)}`,
          },
        ]
      : [];
  const joined: Finding[] =
    parts > 1 && drawn.broken.length === 0
      ? [
          {
            level: 'note',
            code: 'parts-joined',
            message: `${parts} parts of the picture do not touch; ${counted(joins.length, 'line')} of glue ${joins.length === 1 ? 'joins' : 'join'} them to one piece.`,
          },
        ]
      : [];
  return [
    ...edits,
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
    ...tightBends.slice(0, MOST_TOLD).map(({ x, y }): Finding => ({
      level: 'note',
      code: 'tight-bend',
      message: 'The line bends more tightly here than `tightestBend`: draw slowly.',
      at: [x, y],
    })),
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

function lessDetail({ tone }: Pick<Job, 'tone'>): string {
  return tone === 'mixed'
    ? 'A lower `detail`, a longer `shortestStroke` or a larger card brings fewer.'
    : 'With `tone` mixed a lower `detail` brings fewer; so does a longer `shortestStroke`, or a larger `smoothing`.';
}
