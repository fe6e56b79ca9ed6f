import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { inOptions } from '../../cli/options.js';
import { progressOn } from '../../cli/terminal.js';
import { Problem } from '../../src/settings/problem.js';
import { escapeHtml } from '../../src/output/html/html.js';
import { blankPdf } from '../../src/output/pdf/print.js';
import { summaryCsv } from '../../src/output/report/summary-csv.js';
import { visible, visibleJson } from '../../src/settings/words/visible.js';

// A terminal's title is set by OSC 0 and colours by SGR (ECMA-48, 5.4, 8.3.89, 8.3.117); U+202E turns text about.
const NASTY = 'a\u001b]0;mine\u0007\u001b[31m\n\u009b2Jb\u202egpj.exe';

/** What none may print: controls of C0 and C1, and overrides of direction. */
// eslint-disable-next-line no-control-regex
const RAW = /[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/;

describe('text of somebody else’s', () => {
  it('is shown on one line, without what a terminal acts on', () => {
    expect(visible(NASTY)).not.toMatch(RAW);
    expect(visible(NASTY)).toBe('a�]0;mine��[31m��2Jb�gpj.exe');
    expect(visible('Großmutter née 😀 ½×.jpg')).toBe('Großmutter née 😀 ½×.jpg');
  });

  it('reads back from JSON as it was, and is not in it raw', () => {
    const line = visibleJson({ picture: NASTY });
    expect(line).not.toMatch(RAW);
    expect(JSON.parse(line)).toEqual({ picture: NASTY });
  });

  it('is not raw in what is said on a terminal, nor as the title of a PDF', () => {
    const stream = Object.assign(new PassThrough(), { isTTY: true, columns: 80 });
    progressOn(stream).show(NASTY);
    // The line is ended as it is written.
    expect(String(stream.read()).replace(/\n$/, '')).not.toMatch(RAW);
    expect(inOptions(new Problem('No', NASTY, 'Go').message)).not.toMatch(RAW);
    expect(blankPdf({ widthMm: 50, heightMm: 50 }, NASTY).info.Title).not.toMatch(RAW);
  });

  it('is not raw in the summaries of a batch', () => {
    expect(escapeHtml(`<b>${NASTY}`)).not.toMatch(RAW);
    const row = { fate: 'failed', picture: NASTY, what: 'No', where: NASTY, remedy: 'Go' } as const;
    for (const line of summaryCsv([row], []).split('\r\n')) expect(line).not.toMatch(RAW);
  });
});
