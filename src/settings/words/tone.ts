import type { JobInput } from '../job.js';
import { counted } from './counted.js';

/** The settings that make a tone; laid over a job, they replace its own. */
export type ToneInput = Pick<JobInput, 'tone' | 'level' | 'masses' | 'detail'>;

/** A tone as options of the command line: --tone level --level 40. */
export function optionsOf(settings: ToneInput): string {
  return Object.entries(settings)
    .map(([name, value]) => `--${name} ${value}`)
    .join(' ');
}

/**
 * What a tone is called: "level 40", "mixed, masses 50, detail 80", "best: edges".
 *
 * @param tried with what it became without choosing, where a stencil came of it
 */
export function toneTitle(tried: {
  readonly settings: ToneInput;
  readonly became?: ToneInput;
}): string {
  const { settings, became } = tried;
  if (settings.tone !== 'best' || became === undefined) return nameOf(settings);
  return `best: ${became.tone === 'best' ? 'mixed, part by part' : nameOf(became)}`;
}

function nameOf({ tone, ...amounts }: ToneInput): string {
  const said = Object.entries(amounts).map(([name, amount]) => `${name} ${amount}`);
  return tone === 'level' ? said.join(', ') : [tone, ...said].join(', ');
}

/** What there is to cut, in a line. */
export function costOf({
  openings,
  bridges,
  cutMm,
}: Readonly<Record<'openings' | 'bridges' | 'cutMm', number>>): string {
  return `${counted(openings, 'piece')}, ${counted(bridges, 'bridge')}, ${(cutMm / 1000).toFixed(1)} m to cut`;
}
