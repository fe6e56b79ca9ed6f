import type { Widened } from '../widen/widen.js';
import type { Finding } from './finding.js';

/** What became of lines that had no room beside each other. */
export function linesTold({
  linesMerged,
  linesLost,
}: Pick<Widened, 'linesMerged' | 'linesLost'>): Finding[] {
  const lost = linesLost.map(({ lengthMm, at }): Finding => ({
    level: 'warning',
    code: 'line-lost',
    message: `A line of the picture, ${Math.round(lengthMm)} mm long, has no room beside others here and is gone. A larger card, or \`narrowestStrip\` a little smaller, may keep it.`,
    at,
  }));
  if (linesMerged === 0) return lost;
  const [pairs, each] =
    linesMerged === 1 ? ['1 pair of lines is', ''] : [`${linesMerged} pairs of lines are`, ' each'];
  return [
    ...lost,
    {
      level: 'note',
      code: 'lines-merged',
      message: `${pairs} too near to each other to cut both, and became one line${each}.`,
    },
  ];
}
