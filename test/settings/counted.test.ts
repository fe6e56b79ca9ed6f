import { describe, expect, it } from 'vitest';
import { counted } from '../../src/settings/words/counted.js';
import type { MadeRow } from '../../src/output/report/row.js';
import { summaryHtml } from '../../src/output/html/summary.js';
import { partsLost } from '../../src/stages/check/lost.js';
import type { Survival } from '../../src/stages/survival/survival.js';

const row: MadeRow = {
  fate: 'good',
  card: 'art-card',
  picture: 'a.png',
  folder: 'a',
  files: ['report.json'],
  kept: false,
  print: undefined,
  notes: [],
  figures: {
    sheet: { widthMm: 100, heightMm: 100 },
    tone: 'auto',
    openings: 1,
    islands: 1,
    bridges: 1,
    cutMm: 100,
    minutes: 1,
    warmUpMinutes: 0,
    difficulty: 'easy',
    fidelity: 0,
    findings: [],
  },
};

describe('one of a thing', () => {
  it('is one, and none and two are several', () => {
    expect([0, 1, 2].map((count) => counted(count, 'bridge'))).toEqual([
      '0 bridges',
      '1 bridge',
      '2 bridges',
    ]);
  });

  it('is one on the summary of a batch', () => {
    const page = summaryHtml([row], []);
    expect(page).toContain('1 piece to cut away, ');
    expect(page).toContain(', 1 bridge<');
    expect(page).not.toMatch(/\b1 (?:pieces|bridges|stencils|pictures)\b/);
  });

  it('is one in what is lost of a picture', () => {
    const lost = { notable: true, parts: 3, dropped: 1, merged: 1 } as Survival;
    expect(partsLost(lost)[0].message).toMatch(
      /of its 3 parts 1 is too small and goes, and 1 runs together/,
    );
    const whole = { ...lost, parts: 1, dropped: 0, merged: 0 };
    expect(partsLost(whole)[0].message).toMatch(/^The one part of the picture survives/);
  });
});
