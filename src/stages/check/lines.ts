import { counted } from '../../settings/words/counted.js';
import type { Widened } from '../widen/widen.js';
import type { Finding } from './finding.js';

/** What became of lines that had no room beside each other. */
export function linesTold({
  linesMerged,
  linesThinned,
  linesLost,
}: Pick<Widened, 'linesMerged' | 'linesThinned' | 'linesLost'>): Finding[] {
  return [
    ...linesLost.map(({ lengthMm, at }): Finding => ({
      level: 'warning',
      code: 'line-lost',
      message: `A line of the picture, ${Math.round(lengthMm)} mm long, has no room beside others here and is gone. A larger card, or \`narrowestStrip\` a little smaller, may keep it.`,
      at,
    })),
    ...mergedTold(linesMerged),
    ...thinnedTold(linesThinned),
  ];
}

function mergedTold(count: number): Finding[] {
  if (count === 0) return [];
  const [pairs, each] = count === 1 ? ['1 pair of lines is', ''] : [`${count} pairs of lines are`, ' each']; // prettier-ignore
  const message = `${pairs} too near to each other to cut both, and became one line${each}.`;
  return [{ level: 'note', code: 'lines-merged', message }];
}

function thinnedTold(count: number): Finding[] {
  if (count === 0) return [];
  const message = `${counted(count, 'line')} of those that lie side by side ${count === 1 ? 'is' : 'are'} left out, and the others drawn wider: there is no room for the film between all of them. A larger card keeps more of them.`;
  return [{ level: 'note', code: 'lines-thinned', message }];
}
