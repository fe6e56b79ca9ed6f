import { layerSettings, type Setting } from '../src/index.js';
import { entry, settingEntry } from './help.js';
import { wrap, type Paint } from './terminal.js';

/** `stencilwright layers --help`. */
export function layersText(paint: Paint, columns: number): string {
  const settings: [string, Setting][] = Object.entries(layerSettings);
  return [
    `${paint('bold', 'stencilwright layers PICTURE')}\n`,
    wrap(
      'Makes 2 to 5 stencils of one picture, one for each paint: the first paints all that is not the lightest, the last only the darkest. Each is a whole stencil that keeps every promise, in a folder of its own with its template and its plan: nana/layer-1, nana/layer-2 and so on, in the order of painting, the lightest paint first. Beside them, preview.png shows all of them painted.',
      columns,
    ),
    '',
    wrap(
      'Three small squares in the margin stand at the same places on every sheet: lay the first sheet, mark the card through them with a pencil, paint; lay the next sheet so that the marks show in its squares. The corner without one, at the lower right, tells when a sheet lies turned or wrong side up.',
      columns,
    ),
    '',
    paint('bold', 'Examples'),
    '  stencilwright layers nana.jpg',
    '  stencilwright layers nana.jpg --count 4 --card 5x7in --turn portrait --fit fill',
    "  stencilwright layers hen.jpg --subject find --paints '#d9a441,#a4542c,#3b2418'",
    '  stencilwright layers fern.jpg --levels 70,40 --laid separate',
    '',
    paint('bold', 'Layers'),
    ...settings.map(([name, setting]) => settingEntry(name, setting, columns)),
    '',
    paint('bold', 'Options'),
    entry(
      '--out DIR',
      'The folder that the set’s folder goes in. Unless set: ./stencils.',
      columns,
    ),
    entry(
      '--name NAME',
      'What the set and its folder are called. Unless set: like the picture; with a number where something else has that name.',
      columns,
    ),
    entry('--no-register-marks', 'Cuts no squares in the margin.', columns),
    entry(
      '--outputs LIST, --settings FILE, --hand NAME, --json, and every setting',
      'As for stencilwright make; see its --help. The tone and its level have no say here.',
      columns,
    ),
    entry('--help', 'Shows this.', columns),
    '',
    paint('bold', 'Ends with'),
    '  0  every layer is good',
    '  1  the set was written, but a layer breaks a promise: its report says which, and where',
    '  2  nothing was written: the picture could not be read, or a setting is wrong',
    '',
  ].join('\n');
}
