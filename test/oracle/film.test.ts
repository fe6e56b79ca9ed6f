import { readFile } from 'node:fs/promises';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  filmFiles,
  layOnFilm,
  type FullSheets,
  type Stencil,
} from '../../src/makings/full-sheets/full-sheets.js';
import { completeJob, makeStencil, stencilOf } from '../../src/index.js';
import { Problem } from '../../src/settings/problem.js';
import { stencilSvg } from '../../src/output/svg/svg.js';
import { components } from '../support/opencv.js';
import { readPdf } from '../support/pdf.js';
import { paintedBy } from '../support/resvg.js';

/*
 * Laid film, measured by others: sheet-N.svg drawn by resvg and labelled by OpenCV, sheet-N.pdf read by pdfjs-dist.
 * Blank film comes in sheets of 9 × 12 in: common practice, no source.
 */

const FILM = { widthMm: 228.6, heightMm: 304.8 };
const PIXELS_PER_MM = 5;
const print = { job: { paper: 'one-page', tileOverlap: 10 }, locale: 'de-DE' } as const;

let stencils: Stencil[];
let film: FullSheets;
let files: ReadonlyMap<string, string | Uint8Array>;
beforeAll(async () => {
  const make = async (file: string, card: string): Promise<Stencil> => {
    const picture = await readFile(new URL(`../../samples/${file}`, import.meta.url));
    const [name] = file.split('.');
    return stencilOf(
      await makeStencil(picture, completeJob({ card }), { name, outputs: ['report'] }),
    );
  };
  const moth = await make('moth.png', '4x4in');
  const leaf = await make('leaf.svg', 'trading-card');
  const page = await make('fern-border.svg', '7x5in');
  stencils = [moth, leaf, leaf, leaf, page, moth, leaf, page, page];
  film = layOnFilm(stencils, FILM, 3);
  files = await filmFiles(film, print);
}, 60_000);

/** What is cut, drawn: the area of each opening in mm². */
function openingsOf(svg: string): { widthMm: number; heightMm: number; areas: number[] } {
  const bare = svg.replace(/ stroke="[^"]*"/g, '');
  const drawn = paintedBy(bare, PIXELS_PER_MM * 25.4);
  const { width, height } = drawn;
  const { count, areas } = components(drawn, 8);
  return {
    widthMm: width / PIXELS_PER_MM,
    heightMm: height / PIXELS_PER_MM,
    areas: Array.from({ length: count }, (_, label) => areas[label + 1] / PIXELS_PER_MM ** 2),
  };
}

const sum = (numbers: readonly number[]): number => numbers.reduce((all, one) => all + one, 0);

describe('laid film', () => {
  it('holds every stencil once, on no more sheets than the area bound and one', () => {
    const names = film.sheets.flatMap(({ cards }) => cards.map(({ name }) => name));
    expect(names.toSorted()).toEqual(stencils.map(({ name }) => name).toSorted());
    expect(film.sheets.length).toBeLessThanOrEqual(film.areaBound + 1);
    expect(film.sheets.some(({ cards }) => cards.some(({ turned }) => turned))).toBe(true);
  });

  it('cuts just what the stencils cut, turned or not', () => {
    const alone = stencils.map(
      ({ openings, sheet }) => openingsOf(stencilSvg(openings, sheet)).areas,
    );
    const laid = film.sheets.map((_, i) => openingsOf(String(files.get(`sheet-${i + 1}.svg`))));
    for (const { widthMm, heightMm } of laid) {
      expect(widthMm).toBeCloseTo(FILM.widthMm, 0);
      expect(heightMm).toBeCloseTo(FILM.heightMm, 0);
    }
    expect(laid.flatMap(({ areas }) => areas)).toHaveLength(alone.flat().length);
    expect(sum(laid.flatMap(({ areas }) => areas)) / sum(alone.flat())).toBeCloseTo(1, 2);
  });

  it('has every opening inside the margin of its own stencil', () => {
    for (const { cards, openings } of film.sheets) {
      for (const { outer } of openings) {
        const inside = cards.filter(({ x, y, widthMm, heightMm }) =>
          outer.coords.every((value, i) => {
            const [from, size] = i % 2 === 0 ? [x, widthMm] : [y, heightMm];
            return value >= from + 5.9 && value <= from + size - 5.9;
          }),
        );
        expect(inside).toHaveLength(1);
      }
    }
  });

  it('has a template a sheet, at true size: the film’s edge, the stencils’ edges and names', async () => {
    for (const [i, { cards, full }] of film.sheets.entries()) {
      const pages = await readPdf(files.get(`sheet-${i + 1}.pdf`) as Uint8Array);
      const text = pages.map((page) => page.text).join('\n');
      const drawn = pages.flatMap((page) => page.drawn);
      expect(text).toContain(`Film ${i + 1} of ${film.sheets.length}`);
      expect(text).toContain(`${Math.round(100 * full)} % full`);
      expect(text).toMatch(/fresh air/);
      for (const { name } of cards) expect(text).toContain(name);
      const has = (width: number, height: number): boolean =>
        drawn.some(
          (one) => Math.abs(one.widthMm - width) < 0.1 && Math.abs(one.heightMm - height) < 0.1,
        );
      expect(has(FILM.widthMm, FILM.heightMm), 'the film’s edge').toBe(true);
      expect(
        drawn.some(({ widthMm }) => Math.abs(widthMm - 50) < 0.1),
        '50 mm bar',
      ).toBe(true);
      expect(pages[0].preferences.PrintScaling).toBe('None');
    }
  });

  it('numbers the pieces of all stencils on a sheet in one order, and has a plan of it', async () => {
    for (const [i, { openings, cards }] of film.sheets.entries()) {
      const [template] = await readPdf(files.get(`sheet-${i + 1}.pdf`) as Uint8Array);
      const plan = await readPdf(files.get(`sheet-${i + 1}-plan.pdf`) as Uint8Array);
      const words = new Set(template.text.split(/\s+/));
      const listed = new Set(plan.flatMap(({ text }) => text.split(/\s+/)));
      for (let number = 1; number <= openings.length; number++) {
        expect(words, `on sheet ${i + 1}`).toContain(String(number));
        expect(listed, `in plan ${i + 1}`).toContain(String(number));
      }
      expect(plan[0].text).toContain(`Film ${i + 1} of ${film.sheets.length}: plan`);
      expect(plan[0].text).toContain(`${openings.length} pieces`);
      for (const { name } of cards) expect(plan[0].text).toContain(name);
      expect(plan[0].text).toMatch(/fresh air/);
    }
  });

  it('says how many pieces there are and how long they take', () => {
    const told = JSON.parse(String(files.get('film.json'))) as {
      sheets: { pieces: number; cuttingMm: number; minutes: number }[];
    };
    expect(told.sheets.map(({ pieces }) => pieces)).toEqual(
      film.sheets.map(({ openings }) => openings.length),
    );
    for (const { cuttingMm, minutes } of told.sheets) {
      // A hot tip: 20 minutes to warm up, and 150 mm a minute at the best.
      expect(minutes).toBeGreaterThan(20 + cuttingMm / 150);
    }
  });

  it('is told apart from other film by its name', async () => {
    const named = await filmFiles(film, { ...print, name: 'hens' });
    const [page] = await readPdf(named.get('sheet-1.pdf') as Uint8Array);
    expect(page.text).toContain(`hens: Film 1 of ${film.sheets.length}`);
  });

  it('is printed in parts on paper that it is too large for, each with its bars', async () => {
    const tiled = await filmFiles(film, { ...print, job: { paper: 'letter', tileOverlap: 10 } });
    const pages = await readPdf(tiled.get('sheet-1.pdf') as Uint8Array);
    // 9 × 12 in over 8.5 × 11 in (ANSI/ASME Y14.1, size A).
    expect(pages.length).toBeGreaterThanOrEqual(2);
    for (const page of pages) {
      const sides = [page.widthMm, page.heightMm].toSorted((a, b) => a - b);
      expect(sides[0]).toBeCloseTo(215.9, 1);
      expect(sides[1]).toBeCloseTo(279.4, 1);
      expect(
        page.drawn.some(
          ({ widthMm, heightMm }) => Math.abs(Math.max(widthMm, heightMm) - 50) < 0.1,
        ),
      ).toBe(true);
    }
  });

  it('is told in film.json', () => {
    const told = JSON.parse(String(files.get('film.json'))) as {
      sheets: { full: number; stencils: { name: string }[] }[];
    };
    expect(told.sheets.map((sheet) => sheet.stencils.length)).toEqual(
      film.sheets.map(({ cards }) => cards.length),
    );
    const area = sum(stencils.map(({ sheet }) => sheet.widthMm * sheet.heightMm));
    expect(sum(told.sheets.map(({ full }) => full))).toBeCloseTo(area / (228.6 * 304.8), 2);
  });

  it('refuses a stencil that is larger than the film', () => {
    const lay = (): unknown => layOnFilm(stencils, { widthMm: 101.6, heightMm: 101.6 }, 3);
    expect(lay).toThrow(Problem);
    expect(lay).toThrow(
      /The stencil is larger than the film: 178 × 127 mm on 102 × 102 mm \(fern-border\)/,
    );
  });
});
