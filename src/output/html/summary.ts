import { counted } from '../../settings/words/counted.js';
import { placeOn } from '../../settings/words/lengths.js';
import { labelled, spelt } from '../../settings/words/spelling.js';
import { addressOf, escapeHtml, pageHtml, pictureAddress, pictureHtml } from './html.js';
import type { FailedRow, Figures, Gone, MadeRow, SummaryRow } from '../report/row.js';
import type { Finding } from '../../stages/check/check.js';
import { sizeInWords } from '../pdf/wording.js';

/**
 * Findings of one stencil that the page tells in full, so that a row stays a few lines high; its report has them all.
 */
const MOST_TOLD = 4;

const STYLE = `.failed { border-left: 3px solid var(--bad); list-style: none; margin: 0; padding: 0 0 0 1rem; }
.failed li { margin-bottom: 0.7rem; overflow-wrap: anywhere; }
.none { align-items: center; border: 1px dashed var(--line); color: var(--soft); display: flex; height: 12rem; justify-content: center; margin-bottom: 0.8rem; text-align: center; }
.findings { font-size: 0.85rem; margin: 0.5rem 0 0; padding-left: 1.1rem; }
.files { font-size: 0.9rem; margin-top: auto; padding-top: 0.7rem; }
`;

/**
 * A page on what became of the pictures of a folder: a small print of each stencil with its figures, what could not
 * be made, and what is left of pictures that are gone. It stands by itself, save for the links to the stencils' own files beside it.
 */
export function summaryHtml(rows: readonly SummaryRow[], gone: readonly Gone[]): string {
  const made = rows.filter((row) => row.fate !== 'failed');
  const failed = rows.filter((row) => row.fate === 'failed');
  const title = counted(made.length, 'stencil');
  return pageHtml(
    title,
    STYLE,
    [
      `<header><h1>${title}</h1>`,
      `<p>${verdicts(made, failed)}</p>`,
      made.length > 0 ? `<p class="soft">${totals(made)}</p>` : '',
      '</header>',
      failed.length > 0 ? failures(failed) : '',
      made.length > 0
        ? `<main><h2>Prints</h2><ul class="grid">${made.map(leaf).join('\n')}</ul></main>`
        : '',
      gone.length > 0 ? goners(gone) : '',
      `<footer><p class="soft">${CAUTION}</p></footer>`,
    ]
      .filter((part) => part !== '')
      .join('\n'),
  );
}

const CAUTION =
  'A hot tip burns and melting film gives off fumes; blades are sharp. Work in moving air, on a surface that bears heat, and follow your tool’s manual and your local rules.';

function verdicts(made: readonly MadeRow[], failed: readonly FailedRow[]): string {
  const good = made.filter(({ fate }) => fate === 'good').length;
  const broken = made.length - good;
  return [
    good > 0 && `<span class="good">${good} good</span>`,
    broken > 0 && `<span class="look">${broken} to look at before you cut</span>`,
    failed.length > 0 && `<span class="bad">${failed.length} not made</span>`,
  ]
    .filter((part) => part !== false)
    .join(', ');
}

function totals(made: readonly MadeRow[]): string {
  const sum = (of: (figures: Figures) => number): number =>
    made.reduce((total, { figures }) => total + of(figures), 0);
  // In one go the tool is warmed up once.
  const warmUp = Math.max(...made.map(({ figures }) => figures.warmUpMinutes));
  const minutes = warmUp + sum((figures) => figures.minutes - figures.warmUpMinutes);
  return `${counted(
    sum(({ openings }) => openings),
    'piece',
  )} to cut away, ${metres(sum(({ cutMm }) => cutMm))} of cutting, about ${lasting(minutes)} in one go, ${counted(
    sum(({ bridges }) => bridges),
    'bridge',
  )}`;
}

function failures(failed: readonly FailedRow[]): string {
  const items = failed.map(
    ({ picture, what, where, remedy }) =>
      `<li><strong>${pictureHtml(picture)}</strong><br>${escapeHtml(spelt(what, labelled))}${where.endsWith(picture) ? '' : ` (${escapeHtml(spelt(where, labelled))})`}. <span class="soft">${escapeHtml(spelt(remedy, labelled))}.</span></li>`,
  );
  return `<section><h2>Not made</h2><ul class="failed">${items.join('\n')}</ul></section>`;
}

function goners(gone: readonly Gone[]): string {
  const items = gone.map(
    ({ folder, picture }) =>
      `<li><a href="${addressOf(folder, '')}">${escapeHtml(folder)}</a>, made of ${escapeHtml(picture)}</li>`,
  );
  return `<section><h2>Pictures that are gone</h2><p>Their stencils are still here, from an earlier time. Delete the folders that you do not want any more.</p><ul>${items.join('\n')}</ul></section>`;
}

function leaf({ fate, picture, folder, card, figures, print }: MadeRow): string {
  const image = print
    ? `<img src="${pictureAddress(print, 'webp')}" alt="The print of ${escapeHtml(picture)}">`
    : '<div class="none">no preview<br>was asked for</div>';
  return `<li class="leaf">${image}
<h3>${pictureHtml(picture)}</h3>
${fate === 'good' ? '<span class="good">Good</span>' : '<span class="look">Look before you cut</span>'}
<dl>${entries(figures)
    .map(([label, text]) => `<dt>${label}</dt><dd>${escapeHtml(text)}</dd>`)
    .join('')}</dl>
${findings(figures, card)}
<p class="files"><a href="${addressOf(folder, '')}">Folder</a></p></li>`;
}

function entries({
  sheet,
  tone,
  openings,
  bridges,
  cutMm,
  minutes,
  difficulty,
  fidelity,
}: Figures) {
  return [
    ['Card', sizeInWords(sheet)],
    ['Tone', tone],
    ['Pieces', String(openings)],
    ['Bridges', String(bridges)],
    ['Cutting', metres(cutMm)],
    ['Time', `about ${lasting(minutes)}: ${difficulty}`],
    ['Differs', `${(100 * fidelity).toFixed(1)} % of the card`],
  ] as const;
}

/** The gravest first. */
const GRAVITY: Readonly<Record<Finding['level'], number>> = { error: 0, warning: 1, note: 2 };
const COLOUR: Readonly<Record<Finding['level'], string>> = {
  error: 'bad',
  warning: 'look',
  note: 'soft',
};

function findings({ findings }: Figures, card: string): string {
  const told = [...findings].sort((a, b) => GRAVITY[a.level] - GRAVITY[b.level]);
  if (told.length === 0) return '';
  const items = told.slice(0, MOST_TOLD).map(({ level, message, at }) => {
    const place = at ? ` At ${placeOn(card, at)}.` : '';
    return `<li class="${COLOUR[level]}">${escapeHtml(spelt(message, labelled))}${place}</li>`;
  });
  const more = told.length - items.length;
  if (more > 0) items.push(`<li class="soft">and ${more} more, in its report.json</li>`);
  return `<ul class="findings">${items.join('')}</ul>`;
}

/** "35 min", "2 h 10 min". */
function lasting(minutes: number): string {
  const whole = Math.round(minutes);
  return whole < 60 ? `${whole} min` : `${Math.floor(whole / 60)} h ${whole % 60} min`;
}

function metres(mm: number): string {
  return `${(mm / 1000).toFixed(1)} m`;
}
