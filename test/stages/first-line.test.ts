import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { completeJob, createPipeline, type JobInput } from '../../src/index.js';
import { photographFile } from '../support/photographs.js';

/** A drawing 52 mm wide, of twelve things drawn by rule. */
const drawing = (thing: (x: number, y: number) => string): Buffer => {
  const things = Array.from({ length: 12 }, (_, k) => thing(6 + 15 * (k % 3), 6 + 12 * Math.floor(k / 3))); // prettier-ignore
  return Buffer.from(
    `<svg xmlns="http://www.w3.org/2000/svg" width="208" height="208" viewBox="0 0 52 52"><rect width="52" height="52" fill="#fff"/>${things.join('')}</svg>`,
  );
};
/** A body on five legs, half a millimetre wide. */
const animals = drawing(
  (x, y) =>
    `<rect x="${x}" y="${y}" width="6" height="1.2"/>${[0, 1.3, 2.6, 3.9, 5.2].map((leg) => `<rect x="${x + leg}" y="${y + 1.2}" width="0.5" height="2.5"/>`).join('')}`,
);
/** Ten rays of a quarter of a millimetre. */
const stars = drawing((x, y) =>
  Array.from({ length: 10 }, (_, k) => {
    const [dx, dy] = [Math.cos((k * Math.PI) / 5), Math.sin((k * Math.PI) / 5)];
    return `<path d="M${x + 3} ${y + 3} l${3.6 * dx} ${3.6 * dy}" stroke="#000" stroke-width="0.25"/>`;
  }).join(''),
);

async function told(picture: Buffer, given: JobInput = {}): Promise<readonly string[]> {
  const job = completeJob({ card: '2x2in', margin: 2, tool: 'craft-knife', tone: 'auto', fineness: 5, faces: 'none', strands: 'never', ...given }); // prettier-ignore
  const { measure } = await createPipeline().runFor(['measure'], picture, job);
  return measure.findings.map(({ code }) => code);
}

it('a picture of small forms that become bars is told as one', async () => {
  const codes = await told(animals);
  expect(codes).toContain('forms-lost');
  expect(codes).not.toContain('fine-lines-lost');
});

it('a drawing of fine lines that run together is told as one, save where lines are not what is cut or what is missed', async () => {
  const withPost = Buffer.from(
    stars.toString().replace('</svg>', '<rect x="46" y="4" width="5" height="44"/></svg>'),
  );
  expect(await told(withPost)).toContain('fine-lines-lost');
  expect(await told(withPost, { swap: true })).not.toContain('fine-lines-lost');
  const drop = { do: 'drop', at: [9, 9] } as const;
  expect(await told(stars, { regionEdits: [drop] })).not.toContain('fine-lines-lost');
  const alone = await told(withPost, { subject: '86,3,13,94', background: 'film' });
  expect(alone).not.toContain('fine-lines-lost');
});

it('a photograph, which has fine dark lines wherever there is grass or cloth, is not told as a drawing of them', async () => {
  const leaves = readFileSync(photographFile('acanthus-mollis'));
  expect(await told(leaves, { tone: 'mixed', card: '3x3in', tool: 'hot-tip' })).not.toContain(
    'fine-lines-lost',
  );
});
