import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import decompress from 'woff2-encoder/decompress';
import {
  LETTERING_TYPEFACES,
  letteringFiles,
  letteringPlace,
} from '../../src/built-in/lettering-typefaces.js';
import { withFsType } from '../support/font-files.js';
import { home, said, scratch } from './run.js';

interface Told {
  readonly islands: number;
  readonly order: readonly { readonly start: readonly [number, number] }[];
  readonly bridges: readonly { readonly from: [number, number]; readonly to: [number, number] }[];
  readonly findings: readonly { readonly level: string; readonly code: string }[];
  readonly words: { readonly lines: readonly string[]; readonly set: { readonly face: string } };
  readonly job: Record<string, unknown>;
}

const reportIn = (folder: string): Told =>
  JSON.parse(readFileSync(join(folder, 'report.json'), 'utf8')) as Told;

/** Letters that are drawn as they are, are the same at any fineness. */
const COARSE = ['--fineness', '5'];

describe('stencilwright words', () => {
  it('makes a stencil, and the same again from its report', async () => {
    const out = scratch();
    const made = await said([
      'words',
      'Bo',
      ...COARSE,
      '--face',
      'slab',
      '--outputs',
      'stencil',
      '--out',
      out,
    ]);
    expect(made.stderr).toBe('');
    expect(made.status).toBe(0);
    const first = readFileSync(join(out, 'bo/stencil.svg'), 'utf8');
    const report = reportIn(join(out, 'bo'));
    expect(report).toMatchObject({ islands: 3, words: { lines: ['Bo'], set: { face: 'slab' } } });
    const again = await said([
      'words',
      '--settings',
      join(out, 'bo/report.json'),
      '--outputs',
      'stencil',
      '--out',
      out,
      '--name',
      'again',
    ]);
    expect(again.status).toBe(0);
    expect(readFileSync(join(out, 'again/stencil.svg'), 'utf8')).toBe(first);
  });

  it('makes two sheets, the lower one under all of the letters, and the same again from that of one sheet', async () => {
    const out = scratch();
    const few = [...COARSE, '--outputs', 'stencil', '--out', out];
    const sheets = ['--under', 'outline', '--paint', '#993311'];
    const made = await said(['words', 'Bo', ...sheets, '--face', 'display', ...few]);
    expect(made.stderr).toBe('');
    expect(made.status).toBe(0);
    const report = JSON.parse(readFileSync(join(out, 'bo/report.json'), 'utf8')) as {
      readonly layers: readonly { readonly onLayerBefore: number | null }[];
    };
    expect(report.layers[1].onLayerBefore).toBeGreaterThan(0.995);
    const again = await said([
      'words',
      '--settings',
      join(out, 'bo/layer-1/report.json'),
      '--name',
      'again',
      ...few,
    ]);
    expect(again.status).toBe(0);
    for (const layer of ['layer-1', 'layer-2']) {
      const [first, second] = ['bo', 'again'].map((name) => ({
        cut: readFileSync(join(out, name, layer, 'stencil.svg'), 'utf8'),
        paint: reportIn(join(out, name, layer)).job.paint,
      }));
      expect(second).toEqual(first);
    }
    for (const command of ['make', 'layers']) {
      const { status, stderr } = await said([command, '--settings', join(out, 'bo/report.json')]);
      expect(stderr).toContain('write: stencilwright words --settings');
      expect(status).toBe(2);
    }
    // A bridge of the lower sheet, taken away in its own report, is gone in the whole set that is made of that.
    const lower = reportIn(join(out, 'bo/layer-1'));
    const [{ from, to }] = lower.bridges;
    const bridgeEdits = [{ do: 'remove', at: [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2] }];
    const edited = join(out, 'edited.json');
    writeFileSync(edited, JSON.stringify({ ...lower, job: { ...lower.job, bridgeEdits } }));
    await said(['words', '--settings', edited, '--name', 'less', ...few]);
    const bridgesOf = (name: string, layer: string): number =>
      reportIn(join(out, name, layer)).bridges.length;
    expect(bridgesOf('less', 'layer-1')).toBe(lower.bridges.length - 1);
    expect(bridgesOf('less', 'layer-2')).toBe(bridgesOf('bo', 'layer-2'));
    // … and stays so when the other sheet's report, or that of both, is gone on with.
    for (const part of ['layer-2/', '']) {
      const settings = join(out, `less/${part}report.json`);
      await said(['words', '--settings', settings, '--name', 'kept', ...few]);
      expect(bridgesOf('kept', 'layer-1'), part).toBe(lower.bridges.length - 1);
    }
  });

  it('stands with a picture on several sheets: the letters on the last, what is under them on the first', async () => {
    const out = scratch();
    const picture = join(home, 'samples/nana.jpg');
    const sheets = [
      '--layers',
      '3',
      '--under',
      'shadow',
      '--picture',
      picture,
      '--card',
      '80x80mm',
    ];
    const few = [...COARSE, '--outputs', 'stencil', '--out', out];
    const { status, stderr } = await said(['words', 'Il', ...sheets, '--cap-height', '12', ...few]);
    expect(stderr).toBe('');
    expect(status).toBe(0);
    const set = JSON.parse(readFileSync(join(out, 'il/report.json'), 'utf8')) as {
      readonly layers: readonly { readonly level: number }[];
      readonly words: { readonly letters: readonly { readonly y: number }[] };
    };
    const levels = set.layers.map(({ level }) => level);
    expect(levels).toEqual(levels.toSorted((a, b) => b - a));
    // Below the top of the letters nothing is of the picture.
    const [{ y: baseline }] = set.words.letters;
    const inWords = [1, 2, 3].map((k) => {
      const { order } = reportIn(join(out, `il/layer-${k}`));
      return order.filter(({ start: [, y] }) => y > baseline - 14).length;
    });
    // And a mark of the register, at the lower left.
    expect(inWords.map((count) => count - 1)).toEqual([1, 0, 2]);
  });

  it('makes a shadow under each of many motifs, and none under what is no stencil', async () => {
    const out = scratch();
    const few = [...COARSE, '--outputs', 'stencil', '--out', out, '--card', '90x90mm'];
    const motifs = ['--repeat', 'mirrored', '--motif-size', '35mm', '--tool', 'craft-knife'];
    const made = await said(['words', 'Il', '--under', 'shadow', ...motifs, ...few]);
    expect(made.stderr).toBe('');
    expect(made.status).toBe(0);
    const [below, above] = [1, 2].map((k) => reportIn(join(out, `il/layer-${k}`)));
    expect(above.order.length).toBeGreaterThan(7);
    expect(below.order.length).toBeGreaterThan(3);
    for (const [option, told] of [
      [['--as', 'mask', '--under', 'shadow'], 'are cut as stencils (--under, --layers, --as)'],
      [['--layers', '3'], 'Put a picture beside them (--picture)'],
      [['--layers', '1', '--levels', '70,40'], 'one is wanted (--levels, --layers)'],
      [['--under', 'shadow', '--paints', '#111111,#222222,#333333'], '3 paints for 2 layers'],
    ] as const) {
      const { status, stderr } = await said(['words', 'Il', ...option, ...few]);
      expect(stderr).toContain(told);
      expect(status).toBe(2);
    }
  });

  it('lets edits of bridges win, and carries them to other words', async () => {
    const out = scratch();
    // Of one size, so that like letters have as many bridges.
    const sized = ['--cap-height', '22mm', ...COARSE];
    await said(['words', 'Bo', ...sized, '--outputs', 'report', '--out', out]);
    const report = reportIn(join(out, 'bo'));
    const last = report.bridges.at(-1)!;
    const at = [(last.from[0] + last.to[0]) / 2, (last.from[1] + last.to[1]) / 2];
    const settings = join(out, 'edited.json');
    writeFileSync(
      settings,
      JSON.stringify({ ...report, job: { ...report.job, bridgeEdits: [{ do: 'remove', at }] } }),
    );
    await said([
      'words',
      '--settings',
      settings,
      '--outputs',
      'report',
      '--out',
      out,
      '--name',
      'less',
    ]);
    const less = reportIn(join(out, 'less'));
    expect(less.bridges.length).toBe(report.bridges.length - 1);
    await said(['words', 'BoBo', '--settings', settings, '--outputs', 'report', '--out', out]);
    const more = reportIn(join(out, 'bobo'));
    expect(more.bridges.length).toBe(2 * report.bridges.length - 1);
    expect(more.findings.map(({ code }) => code)).not.toContain('unused-edit');
  });

  it('stands with a picture on one card, as one stencil', async () => {
    const out = scratch();
    const picture = join(home, 'samples/moth.png');
    const made = await said([
      'words',
      'Moth',
      ...COARSE,
      '--picture',
      picture,
      '--place',
      'above',
      '--outputs',
      'stencil',
      '--out',
      out,
    ]);
    expect(made.status).toBe(0);
    const report = reportIn(join(out, 'moth'));
    expect(report.bridges.length).toBeGreaterThan(3);
    expect(report.findings.filter(({ level }) => level === 'error')).toEqual([]);
  });

  it.each([
    ['a mask', ['--as', 'mask']],
    ['a motif', ['--repeat', 'mirrored', '--motif-size', '40mm']],
    [
      'a motif of words and a picture',
      ['--repeat', 'mirrored', '--motif-size', '45mm', '--picture', join(home, 'samples/leaf.svg')],
    ],
  ])('makes %s', async (_, options) => {
    const out = scratch();
    const made = await said([
      'words',
      'Bo',
      ...COARSE,
      ...options,
      '--outputs',
      'stencil',
      '--out',
      out,
    ]);
    expect(made.stderr).toBe('');
    expect(made.status).toBe(0);
  });

  it.each([
    ['no words', [], 'There are no words'],
    ['an emoji', ['\u{1f600}'], 'has no letter for'],
    ['too many letters', ['word '.repeat(110)], 'would be'],
    ['letters far too small', ['every green beagle', '--face', 'script'], 'keep their shape from'],
    [
      'a cap height that has no room',
      ['Nana', '--cap-height', '25mm'],
      'Give 22.2 mm at most, take --face display or hand, or take',
    ],
    [
      'one that has room in two lines',
      ['Nana Nana', '--cap-height', '20mm'],
      'break the words into lines, as in "Nana" "Nana"',
    ],
    ['a control character', ['Na\u0007na'], 'U+0007'],
    ['2,000 letters', ['word '.repeat(400)], 'more than anybody cuts'],
    ['no such typeface', ['Nana', '--face', 'slap'], 'Did you mean slab?'],
    [
      'a motif of words and a picture in several paints',
      ['Nana', '--repeat', 'brick', '--picture', join(home, 'samples/moth.png'), '--layers', '2'],
      'Motifs of words and a picture are painted in one colour (--repeat, --under, --layers)',
    ],
    [
      'a mask of such motifs',
      ['Nana', '--repeat', 'brick', '--as', 'mask', '--picture', join(home, 'samples/moth.png')],
      'A mask of motifs is of words, or of a picture, and not of both (--repeat, --as, --picture)',
    ],
    [
      'a motif with no room for both',
      [
        'Nana',
        '--repeat',
        'brick',
        '--motif-size',
        '20mm',
        '--picture',
        join(home, 'samples/moth.png'),
      ],
      'The words leave no room for the picture (--cap-height, --motif-size). Take a larger motif.',
    ],
    ['a picture that is not there', ['Nana', '--picture', 'nowhere.jpg'], 'nowhere.jpg'],
  ])('answers %s in a sentence', async (_, words, told) => {
    const out = scratch();
    const { status, stderr } = await said(['words', ...words, '--out', out]);
    expect(status).toBe(2);
    expect(stderr).toContain(told);
  });

  it.each<[string, (sfnt: Uint8Array) => Uint8Array, RegExp]>([
    ['takes a font file of hers', (sfnt) => sfnt, /^$/],
    ['refuses one that is damaged', (sfnt) => sfnt.fill(7), /Get the file anew/],
    ['follows one that forbids it', (sfnt) => withFsType(sfnt, 2), /may not be put into documents/],
  ])('%s', async (_, changed, says) => {
    const out = scratch();
    const file = join(out, 'own.ttf');
    const [typeface] = LETTERING_TYPEFACES;
    const packed = readFileSync(letteringPlace(typeface, letteringFiles(typeface)[0]));
    writeFileSync(file, changed(await decompress(packed)));
    const { status, stderr } = await said([
      'words',
      'I',
      '--face',
      file,
      ...COARSE,
      '--outputs',
      'stencil',
      '--out',
      out,
    ]);
    expect(stderr).toMatch(says);
    expect(status).toBe(stderr === '' ? 0 : 2);
    expect(existsSync(join(out, 'i'))).toBe(stderr === '');
  });

  it('lists typefaces with the smallest capitals', async () => {
    const out = scratch();
    const { status, stdout } = await said(['words', '--list', 'Ω', '--out', out]);
    expect(status).toBe(0);
    expect(stdout).toMatch(/sans .* capitals alone, .*not all of your letters/);
    expect(stdout).toMatch(/noto .* for your words/);
    expect(readFileSync(join(out, 'typefaces.html'), 'utf8')).toContain('<svg');
  });
});
