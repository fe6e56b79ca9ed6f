import { creepMm, EASY_LAYERS } from '../../settings/folds.js';
import type { Job } from '../../settings/job.js';
import { counted } from '../../settings/words/counted.js';
import type { Bridged } from '../bridge/bridge.js';
import type { Folded } from '../fold/fold.js';
import type { UnlikePart } from '../fold/folded-drawing.js';
import type { Reached } from '../reach/reach.js';
import type { Finding } from './finding.js';

/** What a person should know of a folded sheet: what became of the openings out of reach, the layers, the creep. */
export function foldFindings(
  { fold }: Pick<Folded, 'fold'>,
  { changes }: Pick<Reached, 'changes'>,
  { outOfReach = [] }: Pick<Bridged, 'outOfReach'>,
  job: Pick<Job, 'sheetThickness' | 'tool'>,
): Finding[] {
  if (!fold) return [];
  const { layers } = fold.pattern;
  return [
    ...(fold.why === '' ? [] : [note('fold-place', fold.why)]),
    ...(fold.unlike ?? []).map(evenedOut),
    ...manyLayers(layers, job),
    note(
      'creep',
      `At a fold the outer of the ${layers} layers comes out about ${creepMm(layers, job.sheetThickness).toFixed(1)} mm longer than the inner one (thickness × layers × 1.57); crease sharply and cut from the folds, and the limits allow for the rest.`,
    ),
    ...changes.map(({ how, at, lengthMm }): Finding => {
      const length = `${lengthMm.toFixed(1)} mm`;
      const message = {
        joined: `An opening inside the packet was joined to a fold, or to an opening that scissors reach, by a slot of ${length}.`,
        moved: `An opening inside the packet was moved by ${length} over the nearest fold, where scissors can begin.`,
        'left-out':
          'An opening inside the packet was left out: scissors can’t begin inside a layer, and a slot to it would change more of the picture.',
      }[how];
      return { level: 'note', code: `opening-${how}`, message, at };
    }),
    ...outOfReach.map((at): Finding => ({
      level: 'warning',
      code: 'opening-left-out',
      message:
        'A bridge cuts an opening off from the folds here, and it is left as film: scissors could not begin it.',
      at,
    })),
  ];
}

function evenedOut({ at, areaMm2, darkIn, parts }: UnlikePart): Finding {
  const area = `${areaMm2 < 10 ? areaMm2.toFixed(1) : Math.round(areaMm2)} mm²`;
  const message =
    2 * darkIn < parts
      ? `A dark part of about ${area} is in ${darkIn} of the drawing's ${parts} parts only, as here; it is left out of all.`
      : `A dark part of about ${area} is missing in ${parts - darkIn} of the drawing's ${parts} parts, as here; it is cut in all.`;
  return { level: 'note', code: 'evened-out', message, at };
}

function manyLayers(layers: number, { tool }: Pick<Job, 'tool'>): Finding[] {
  if (layers <= EASY_LAYERS) return [];
  const message = `${counted(layers, 'layer')} are thick for ${tool === 'scissors' ? 'scissors' : 'a knife'}: use short strong blades, cut in small bites, and try it on a scrap first.`;
  return [{ level: 'warning', code: 'many-layers', message }];
}

const note = (code: Finding['code'], message: string): Finding => ({
  level: 'note',
  code,
  message,
});
