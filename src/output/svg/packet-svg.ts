import type { Sheet } from '../../settings/card.js';
import type { Packet } from '../../stages/packet/packet.js';
import { roundMm } from '../pen.js';

/**
 * The folded packet where it lies on the sheet, in mm: `#packet` its outline, `#folds` and `#open-edges` its sides,
 * `#openings` what falls out of it, `#cuts` the lines that the blade follows, in order.
 */
export function packetSvg({ pattern, packetCuts: cuts }: Packet, sheet: Sheet): string {
  const [width, height] = [roundMm(sheet.widthMm), roundMm(sheet.heightMm)];
  const outline = pattern.outline.map(({ x, y }) => `${roundMm(x)},${roundMm(y)}`).join(' ');
  const sides = (isOpen: boolean): string =>
    pattern.sides
      .filter(({ is }) => (is === 'open') === isOpen)
      .map(({ from, to }) => pathOf([from.x, from.y, to.x, to.y], false))
      .join('');
  const loops = cuts.flatMap(({ region }) => [region.outer, ...region.holes]);
  const lines = cuts.map(
    ({ number, lines }) =>
      `<path id="cut-${number}" d="${lines.map((line) => pathOf(line, false)).join('')}"/>`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}">
<rect id="sheet" x="0" y="0" width="${width}" height="${height}" fill="none" stroke="#9aa0a6" stroke-width="0.1"/>
<polygon id="packet" fill="none" stroke="none" points="${outline}"/>
<path id="openings" fill="#d5d5da" fill-rule="evenodd" d="${loops.map((loop) => pathOf(loop, true)).join('')}"/>
<path id="folds" fill="none" stroke="#1d1d1f" stroke-width="0.6" stroke-dasharray="6 1.4" d="${sides(false)}"/>
<path id="open-edges" fill="none" stroke="#6b6b70" stroke-width="0.3" stroke-dasharray="0.3 1.3" d="${sides(true)}"/>
<g id="cuts" fill="none" stroke="#1d1d1f" stroke-width="0.25" stroke-linejoin="round">
${lines.join('\n')}
</g>
</svg>
`;
}

function pathOf(line: ArrayLike<number>, isClosed: boolean): string {
  const places: string[] = [];
  for (let i = 0; i < line.length; i += 2)
    places.push(`${roundMm(line[i])} ${roundMm(line[i + 1])}`);
  return `M${places.join('L')}${isClosed ? 'Z' : ''}`;
}
