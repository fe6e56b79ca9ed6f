import { optionsOf, toneTitle, type ToneInput } from '../../settings/words/tone.js';
import type { Figures } from '../report/row.js';
import { escapeHtml, pageHtml, pictureAddress, pictureHtml } from './html.js';

/** A tone carried through to a finished stencil, or why there is none. */
export type TriedTone =
  | {
      readonly settings: ToneInput;
      readonly fate: 'good' | 'broken';
      readonly figures: Figures;
      /** The tone that it came to, by the settings that give it without choosing. */
      readonly became: ToneInput;
      /** The print, small, as a WebP. */
      readonly print: Uint8Array;
    }
  | { readonly settings: ToneInput; readonly fate: 'failed'; readonly why: string };

const STYLE = `main { margin-top: 1.6rem; }
code { background: var(--ground); border: 1px solid var(--line); border-radius: 3px; display: block; font: 0.8rem/1.4 ui-monospace, monospace; margin-top: 0.7rem; padding: 0.3rem 0.5rem; user-select: all; }
.none { align-items: center; border: 1px dashed var(--line); color: var(--soft); display: flex; height: 12rem; justify-content: center; margin-bottom: 0.8rem; padding: 1rem; text-align: center; }
`;

/**
 * A page of tones to choose from by looking: each as a small print of its finished stencil, what there is to cut, and
 * the options that make it.
 *
 * @param picture what the person calls the picture
 */
export function contactHtml(tones: readonly TriedTone[], picture: string): string {
  const leaves = tones.map((tried, i) => leaf(tried, i + 1));
  return pageHtml(
    `Tones of ${picture}`,
    STYLE,
    `<header><h1>Tones of ${pictureHtml(picture)}</h1>
<p>Each print is what the paint leaves through the finished stencil. Choose one, and give its options to make it.</p></header>
<main><ul class="grid">${leaves.join('\n')}</ul></main>`,
  );
}

function leaf(tried: TriedTone, number: number): string {
  const title = `<h3>${number}. ${escapeHtml(toneTitle(tried))}</h3>`;
  const options = `<code>${escapeHtml(optionsOf(tried.settings))}</code>`;
  if (tried.fate === 'failed') {
    return `<li class="leaf"><div class="none">${escapeHtml(tried.why)}</div>${title}</li>`;
  }
  const { figures, print } = tried;
  const entries = [
    ['Pieces', String(figures.openings)],
    ['Bridges', String(figures.bridges)],
    ['Cutting', `${(figures.cutMm / 1000).toFixed(1)} m`],
    ['Time', `about ${Math.round(figures.minutes)} min: ${figures.difficulty}`],
    ['Differs', `${(100 * figures.fidelity).toFixed(1)} % of the card`],
  ];
  return `<li class="leaf"><img src="${pictureAddress(print, 'webp')}" alt="The print by tone ${escapeHtml(toneTitle(tried))}">
${title}
${tried.fate === 'good' ? '' : '<span class="look">A promise could not be kept</span>'}
<dl>${entries.map(([label, text]) => `<dt>${label}</dt><dd>${text}</dd>`).join('')}</dl>
${options}</li>`;
}
