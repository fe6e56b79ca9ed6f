import { practiceRows } from '../src/index.js';
import { entry } from './help.js';
import { wrap, type Paint } from './terminal.js';

/** `stencilwright practice --help`. */
export function practiceText(paint: Paint, columns: number): string {
  return [
    `${paint('bold', 'stencilwright practice')}\n`,
    wrap(
      'Makes a strip to try your hand on: slots, dots, corners, turns, strips and bridges, each in seven sizes from easy to hard, true to size. Print practice.pdf at 100 %, lay an offcut of film over it and cut all of it. Then save what came out clean with stencilwright hand, and every stencil can be made for your own hand.',
      columns,
    ),
    '',
    paint('bold', 'Options'),
    entry(
      '--out DIR',
      'The folder that the strip’s folder goes in. Unless set: ./stencils.',
      columns,
    ),
    entry(
      '--name NAME',
      'What its folder is called. Unless set: practice; with a number, practice-2, where something else has that name.',
      columns,
    ),
    entry(
      '--paper WHICH',
      'The paper in your printer: auto, letter or a4. Unless set: auto.',
      columns,
    ),
    entry('--help', 'Shows this.', columns),
    '',
  ].join('\n');
}

/** `stencilwright hand --help`. */
export function handText(paint: Paint, columns: number): string {
  return [
    `${paint('bold', 'stencilwright hand [NAME]')}\n`,
    wrap(
      'Saves what your hand can do, from the practice strip: for each row the smallest that came out clean, and the minutes that the strip took. Leave out a row in which none came out clean: the tool’s own limit stays. What you enter later for the same name goes over what was there. A name alone shows that hand; no name shows all.',
      columns,
    ),
    '',
    paint('bold', 'Examples'),
    '  stencilwright hand ida --slot 1.5 --dot 2.5 --strip 2 --bridge 2.4 --minutes 12',
    '  stencilwright hand "ida, knife" --tool craft-knife --turn 1.5',
    '  stencilwright make nana.jpg --hand ida',
    '',
    paint('bold', 'Options'),
    ...Object.entries(practiceRows).map(([skill, { title, measure, sizes }]) =>
      entry(
        `--${skill} MM`,
        `The smallest of the row “${title}” that came out clean, in ${measure}: one of ${sizes.join(', ')}.`,
        columns,
      ),
    ),
    entry('--minutes MINUTES', 'How long the whole strip took, without the warm-up.', columns),
    entry('--warm-up MINUTES', 'How long the tool took to be ready.', columns),
    entry(
      '--tool WHICH',
      'What you cut it with: hot-tip or craft-knife. Unless set: hot-tip.',
      columns,
    ),
    entry('--forget', 'Forgets the hand of that name.', columns),
    entry('--help', 'Shows this.', columns),
    '',
  ].join('\n');
}
