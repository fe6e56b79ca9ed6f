import { entry } from './help.js';
import { wrap, type Paint } from './terminal.js';

/** `stencilwright sheets --help`. */
export function sheetsText(paint: Paint, columns: number): string {
  return [
    `${paint('bold', 'stencilwright sheets STENCIL…')}\n`,
    wrap(
      'Lays stencils on blank film, as many on a sheet as it can hold, turned where that saves film, and makes a true-size template for each sheet, its pieces numbered in the order of cutting, and a plan of it. A stencil is the folder that stencilwright make wrote; of a set of layers all are laid; a picture is made into a stencil first. What holds none is left out, and named. The light frames on the template are where the stencils part.',
      columns,
    ),
    '',
    paint('bold', 'Examples'),
    '  stencilwright sheets stencils/nana stencils/moth --copies 4',
    '  stencilwright sheets stencils/* --film a4 --gap 5mm',
    '  stencilwright sheets leaf.svg moth.png --copies 6,2 --card trading-card',
    '',
    paint('bold', 'Options'),
    entry(
      '--copies N',
      'How many of each; or a number for each stencil, with commas between. Unless set: 1.',
      columns,
    ),
    entry('--film SIZE', 'The size of the blank film. Unless set: 9x12in.', columns),
    entry('--gap MM', 'The film between one stencil and the next. Unless set: 3 mm.', columns),
    entry(
      '--out DIR',
      'The folder that the result’s folder goes in. Unless set: ./stencils.',
      columns,
    ),
    entry(
      '--name NAME',
      'The name of the result’s folder, and on the sheets. Unless set: film; with a number, film-2, where sheets of other stencils or something else has that name.',
      columns,
    ),
    entry(
      '--settings FILE, --hand NAME, and every setting',
      'For pictures, and the paper, as for stencilwright make; see its --help.',
      columns,
    ),
    entry('--help', 'Shows this.', columns),
    '',
    paint('bold', 'Ends with'),
    '  0  the sheets are written',
    '  1  the sheets are written, and a stencil on them breaks a promise: see its report',
    '  2  nothing was written',
    '',
  ].join('\n');
}
