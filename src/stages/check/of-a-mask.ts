import type { Job } from '../../settings/job.js';
import type { Finding } from './finding.js';

/** What is said of a stencil, said of a mask. */
const OF_A_MASK: readonly (readonly [RegExp, string])[] = [
  [
    /^An island of film has no hold: it would fall out\./,
    'A part of the mask has no hold on the rest: it would come away.',
  ],
  [/an island would fall out/, 'a part of the mask would come away'],
  [/its island, which would fall out/, 'its part of the mask, which would come away'],
  [/^The film is held here/, 'The mask is held together here'],
  [/^The film is nowhere/, 'The mask is nowhere'],
  [/^An opening reaches into the margin/, 'The mask reaches into the margin'],
  [/^An opening/, 'A gap in the mask'],
  [/^A line of the picture,/, 'A light line of the picture,'],
  [/^(\d+ pairs? of) lines/, '$1 light lines'],
  [/^(\d+) openings? too small to cut, left as film/, '$1 too small to cut out of the mask'],
  [
    /^(\d+) specks? of film too small for a bridge, cut away/,
    '$1 too small to be joined to the mask, cut away',
  ],
];

export function inWordsOf(as: Job['as'], finding: Finding): Finding {
  if (as === 'stencil') return finding;
  const message = OF_A_MASK.reduce((says, [of, so]) => says.replace(of, so), finding.message);
  return { ...finding, message };
}
