/** `npm run demo`: a first stencil, from nothing. Plain JavaScript without dependencies. */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { home, install } from './install.mjs';

const PICTURE = 'samples/nana.jpg';
const OUT = 'stencils';
const CARD_FILLED_BY_FACE = ['--card', '4x4in', '--fit', 'fill', '--crop', '4,18,92,74'];

install();

console.log('Building …');
run('npm', ['run', '--silent', 'build']);

const picture = join(home, PICTURE);
if (!existsSync(picture)) {
  console.error(`The sample ${PICTURE} is missing from this copy of the project.`);
  process.exit(2);
}

console.log(`Turning ${PICTURE} into a stencil for a 4 × 4 in card …\n`);
const status = run(
  process.execPath,
  [join(home, 'dist/cli/main.js'), 'make', PICTURE, ...CARD_FILLED_BY_FACE, '--out', OUT],
  [0, 1],
);

const folder = join(home, OUT, 'nana');
const { findings } = JSON.parse(readFileSync(join(folder, 'report.json'), 'utf8'));
const at = (file) => relative(process.cwd(), join(folder, file));
console.log(`
What you have now:
  ${at('template.pdf')}   print it at 100 % (no "fit to page"), check the bars with a ruler,
                 lay clear film over it and follow the lines
  ${at('stencil.svg')}    the same openings for a program or a machine that reads SVG, in mm
  ${at('preview.png')}    what the paint leaves on the card: look at this one first
  ${at('report.json')}    the sizes, the bridges, ${findings.length === 1 ? 'one remark' : `${findings.length} remarks`}, and the settings to make it again

Next, your own picture:
  node dist/cli/main.js make path/to/photo.jpg --card 5x7in
  node dist/cli/main.js make --help
`);
process.exitCode = status;

function run(command, args, good = [0]) {
  const { status, error } = spawnSync(command, args, { cwd: home, stdio: 'inherit' });
  if (good.includes(status)) return status;
  console.error(error ? error.message : 'The demo stops here; the reason is above.');
  process.exit(status ?? 2);
}
