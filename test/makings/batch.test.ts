import { parse as parseCsv } from 'csv-parse/sync';
import { spawn, spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import {
  cp,
  mkdir,
  mkdtemp,
  readdir,
  readFile,
  rm,
  symlink,
  utimes,
  writeFile,
} from 'node:fs/promises';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse as parseHtml } from 'parse5';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  completeJob,
  makeBatch,
  makeStencil,
  usualOutputs,
  Problem,
  type Batch,
  type BatchOptions,
} from '../../src/index.js';
import { flat, ring } from '../cli/pictures.js';
import { contents } from '../cli/run.js';

let home: string;
let folder: string;
let out: string;

beforeEach(async () => {
  home = await mkdtemp(join(tmpdir(), 'stencilwright-batch-'));
  folder = join(home, 'pictures');
  out = join(home, 'out');
  await mkdir(folder);
});

afterEach(() => rm(home, { recursive: true, force: true }));

const CARD = { card: '40x40mm', margin: 4, fineness: 4 } as const;

function run(options: Partial<BatchOptions> = {}, to = out): Promise<Batch> {
  return makeBatch(folder, to, { job: CARD, version: '1', locale: 'en-US', ...options });
}

/** Each picture, and whether it was made anew, kept or not made. */
function fates({ rows }: Batch): Readonly<Record<string, string>> {
  return Object.fromEntries(
    rows.map((row) => [
      row.picture,
      row.fate === 'failed' ? `not made: ${row.what}` : row.kept ? 'kept' : 'made',
    ]),
  );
}

async function problemOf(act: Promise<unknown>): Promise<Problem> {
  const error = await act.then(
    () => undefined,
    (thrown: unknown) => thrown,
  );
  expect(error).toBeInstanceOf(Problem);
  return error as Problem;
}

describe('a batch', () => {
  it('makes each picture as it is made alone', async () => {
    const picture = await ring(join(folder, 'ring.png'));
    await run();
    const alone = await makeStencil(picture, completeJob({ ...CARD, paper: 'letter' }), {
      name: 'ring',
    });
    for (const [file, bytes] of alone.files) {
      if (file === 'report.json') continue;
      expect((await readFile(join(out, 'ring', file))).equals(Buffer.from(bytes)), file).toBe(true);
    }
    const report = async (text: Promise<string> | string) => {
      const { timingsMs, madeFrom, ...rest } = JSON.parse(await text) as Record<string, unknown>;
      return { timingsMs, madeFrom, rest };
    };
    const ours = await report(readFile(join(out, 'ring', 'report.json'), 'utf8'));
    expect(ours.rest).toEqual((await report(String(alone.files.get('report.json')))).rest);
    expect(ours.timingsMs).toEqual({});
    expect(ours.madeFrom).toMatchObject({ picture: 'ring.png' });
  });

  it('goes by the settings beside a picture, and by the common ones where those say nothing', async () => {
    await ring(join(folder, 'own.png'));
    await ring(join(folder, 'common.png'));
    await writeFile(join(folder, 'own.json'), '{"tone": "level", "level": 60}');
    await run({ job: { ...CARD, level: 30 } });
    const jobOf = async (name: string) =>
      (
        JSON.parse(await readFile(join(out, name, 'report.json'), 'utf8')) as {
          job: Record<string, unknown>;
        }
      ).job;
    expect(await jobOf('own')).toMatchObject({ card: CARD.card, tone: 'level', level: 60 });
    expect(await jobOf('common')).toMatchObject({ card: CARD.card, tone: 'level', level: 30 });
  });

  it('lists a picture that fails with its reason, and makes the others', async () => {
    await ring(join(folder, 'b.png'));
    await writeFile(join(folder, 'a.jpg'), 'no picture');
    await flat(join(folder, 'c.png'), '#fff');
    await ring(join(folder, 'd.png'));
    await writeFile(join(folder, 'd.json'), '{"card": "4 x"}');
    await symlink(join(home, 'nowhere.png'), join(folder, 'e.png'));
    expect(fates(await run())).toEqual({
      'a.jpg': 'not made: This is not a picture that can be read',
      'b.png': 'made',
      'c.png': expect.stringMatching(/^not made: Nothing to cut/) as string,
      'd.png': expect.stringMatching(/^not made: /) as string,
      'e.png': 'not made: There is no such file',
    });
  });

  it('counts as a person does, passes over what is no picture, and looks below when it is asked to', async () => {
    for (const name of ['p10.png', 'p2.png', '.hidden.png']) await ring(join(folder, name));
    await writeFile(join(folder, 'notes.txt'), 'mine');
    await mkdir(join(folder, 'below'));
    await ring(join(folder, 'below', 'p1.png'));
    const inner = join(folder, 'stencils');
    expect(Object.keys(fates(await run({}, inner)))).toEqual(['p2.png', 'p10.png']);
    await cp(join(inner, 'p2'), join(folder, 'below', 'a stencil'), { recursive: true });
    const all = await run({ below: true }, inner);
    expect(fates(all)).toEqual({ 'p2.png': 'kept', 'p10.png': 'kept', 'below/p1.png': 'made' });
    expect(contents(join(inner, 'below', 'p1')).size).toBe(usualOutputs.length);
  });

  it('gives pictures that share a name a folder each', async () => {
    for (const name of ['a.png', 'a.webp', 'b.png', 'b.png.webp']) await ring(join(folder, name));
    const { rows } = await run();
    expect(rows.map((row) => row.fate !== 'failed' && row.folder)).toEqual([
      'a.png',
      'a.webp',
      'b',
      'b.png.webp',
    ]);
  });

  it.each([
    ['an empty folder', /^There is no picture in this folder$/, () => Promise.resolve()],
    ['a file', /^This is a file, not a folder$/, () => writeFile(folder, 'x')],
    ['nothing', /^There is no such folder$/, () => Promise.resolve()],
  ])('says what is wrong with %s', async (what, words, put) => {
    if (what !== 'an empty folder') await rm(folder, { recursive: true });
    await put();
    expect((await problemOf(run())).what).toMatch(words);
  });
});

describe('a batch that is run again', () => {
  let first: string;

  // Made once: what stands in the folders does not depend on where they lie.
  beforeAll(async () => {
    first = await mkdtemp(join(tmpdir(), 'stencilwright-batch-'));
    const pictures = join(first, 'pictures');
    await mkdir(pictures);
    for (const name of ['a.png', 'b.png']) await ring(join(pictures, name));
    await makeBatch(pictures, join(first, 'out'), { job: CARD, version: '1', locale: 'en-US' });
  });

  afterAll(() => rm(first, { recursive: true, force: true }));

  beforeEach(() => cp(first, home, { recursive: true, preserveTimestamps: true }));

  it('makes nothing anew when nothing but a date has changed', async () => {
    const before = contents(out);
    await utimes(join(folder, 'a.png'), new Date(), new Date());
    expect(fates(await run())).toEqual({ 'a.png': 'kept', 'b.png': 'kept' });
    expect(contents(out)).toEqual(before);
  });

  it.each<[string, () => Promise<Partial<BatchOptions> | void>]>([
    ['the picture', async () => void (await ring(join(folder, 'a.png'), 300))],
    ['its settings', () => writeFile(join(folder, 'a.json'), '{"bridgeWidth": 3}')],
    ['a file that is gone', () => rm(join(out, 'a', 'template.pdf'))],
    ['a file that is empty', () => writeFile(join(out, 'a', 'stencil.svg'), '')],
    ['a preview that is damaged', () => writeFile(join(out, 'a', 'preview.png'), 'x')],
    ['a report that is damaged', () => writeFile(join(out, 'a', 'report.json'), '{"name"')],
  ])('makes anew what %s concerns', async (_, change) => {
    await change();
    expect(fates(await run())).toEqual({ 'a.png': 'made', 'b.png': 'kept' });
    expect(fates(await run())).toEqual({ 'a.png': 'kept', 'b.png': 'kept' });
  });

  it.each<[string, Partial<BatchOptions>]>([
    ['settings', { job: { ...CARD, bridgeWidth: 3 } }],
    ['outputs', { outputs: ['stencil', 'report'] }],
    ['paper of the place', { locale: 'de-DE' }],
    ['program', { version: '2' }],
  ])('makes all anew with other %s', async (_, options) => {
    expect(fates(await run(options))).toEqual({ 'a.png': 'made', 'b.png': 'made' });
    expect(fates(await run(options))).toEqual({ 'a.png': 'kept', 'b.png': 'kept' });
  });

  it('gives the tree of an undisturbed run', async () => {
    const undisturbed = join(home, 'undisturbed');
    await writeFile(join(out, 'a', 'stencil.svg'), '');
    await run();
    await run({}, undisturbed);
    const inside = (tree: string) =>
      [...contents(tree)].map(([path, bytes]) => [path.slice(tree.length), bytes]);
    expect(inside(out)).toEqual(inside(undisturbed));
  });

  it('keeps what a person put into a folder or changed there, and names what it renamed', async () => {
    await writeFile(join(out, 'a', 'letter.txt'), 'mine');
    await writeFile(join(out, 'a', 'stencil.svg'), 'mine');
    const { rows } = await run({ job: { ...CARD, bridgeWidth: 3 } });
    expect(rows[0]).toMatchObject({
      fate: 'good',
      folder: 'a',
      notes: ['stencil.svg was not as it was written, so it was kept as stencil-kept.svg'],
    });
    for (const name of ['letter.txt', 'stencil-kept.svg'])
      expect(await readFile(join(out, 'a', name), 'utf8')).toBe('mine');
  });

  it('leaves the traces of editors and file browsers, and makes nothing anew for them', async () => {
    for (const name of ['.directory', '.DS_Store', 'stencil.svg~'])
      await writeFile(join(out, 'a', name), 'traces');
    expect(fates(await run())).toEqual({ 'a.png': 'kept', 'b.png': 'kept' });
    const again = await run({ job: { ...CARD, bridgeWidth: 3 } });
    expect(fates(again)).toEqual({ 'a.png': 'made', 'b.png': 'made' });
    expect(await readFile(join(out, 'a', 'stencil.svg~'), 'utf8')).toBe('traces');
  });

  it("leaves another picture's stencil and a person's own folder alone", async () => {
    const elsewhere = join(home, 'elsewhere');
    await mkdir(elsewhere);
    await ring(join(elsewhere, 'a.webp'), 300);
    const theirs = await readFile(join(out, 'a', 'report.json'), 'utf8');
    const again = async () =>
      (await makeBatch(elsewhere, out, { job: CARD, version: '1', locale: 'en-US' })).rows;
    const [row] = await again();
    expect(row).toMatchObject({ fate: 'good', kept: false, folder: 'a-2' });
    expect(row.fate !== 'failed' && row.notes).toEqual([
      '"a" holds the stencil of a.png and was left alone, so this has a name of its own',
    ]);
    expect(await again()).toMatchObject([{ kept: true, folder: 'a-2' }]);
    await rm(join(out, 'b'), { recursive: true });
    await mkdir(join(out, 'b'));
    await writeFile(join(out, 'b', 'stencil.svg'), 'mine');
    const { rows } = await run();
    expect(rows).toMatchObject([{ folder: 'a', kept: true }, { folder: 'b-2' }]);
    expect(contents(join(out, 'b')).size).toBe(1);
    expect(await readFile(join(out, 'a', 'report.json'), 'utf8')).toBe(theirs);
  });

  it('makes a file anew that has another size or other bytes', async () => {
    const whole = contents(out);
    const svg = join(out, 'a', 'stencil.svg');
    await writeFile(svg, (await readFile(svg)).subarray(0, 500));
    expect(fates(await run())).toEqual({ 'a.png': 'made', 'b.png': 'kept' });
    expect(contents(out)).toEqual(whole);
    await rm(join(out, 'b', 'report.json'));
    expect(fates(await run())).toEqual({ 'a.png': 'kept', 'b.png': 'made' });
    expect(contents(out)).toEqual(whole);
  });

  it('makes the files anew as well that were asked for another time', async () => {
    await run({ outputs: ['stencil', 'dxf'] });
    const files = [...usualOutputs, 'dxf'];
    expect(contents(join(out, 'a')).size).toBe(files.length);
    const before = await readFile(join(out, 'a', 'stencil.dxf'), 'utf8');
    await run({ job: { ...CARD, bridgeWidth: 3 }, outputs: ['stencil'] });
    expect(contents(join(out, 'a')).size).toBe(files.length);
    expect(await readFile(join(out, 'a', 'stencil.dxf'), 'utf8')).not.toBe(before);
  });

  it('names the stencils of pictures that are gone', async () => {
    await rm(join(folder, 'b.png'));
    const { gone, summary } = await run();
    expect(gone).toEqual([{ folder: 'b', picture: 'b.png' }]);
    const [table, page] = await Promise.all(summary.map((file) => readFile(file, 'utf8')));
    expect(table).toMatch(/^b\.png,picture gone,.*,b,/m);
    expect(page).toMatch(/<h2>Pictures that are gone<\/h2>.*<a href="b\/">b<\/a>, made of b\.png/s);
    await ring(join(folder, 'b.png'));
    expect((await run()).gone).toEqual([]);
  });
});

describe('a batch that is stopped', () => {
  it('keeps what it has, and goes on the next time', async () => {
    for (let i = 1; i <= 4; i++) await ring(join(folder, `${i}.png`));
    const stopping = new AbortController();
    const first = await run({
      signal: stopping.signal,
      onRow: ({ picture }) => picture === '2.png' && stopping.abort(),
    });
    expect(first.stopped).toBe(true);
    expect(first.summary).toEqual([]);
    expect(fates(first)).toEqual({ '1.png': 'made', '2.png': 'made' });
    expect([...contents(out).keys()].filter((path) => path.includes('/.'))).toEqual([]);
    expect(fates(await run())).toEqual({
      '1.png': 'kept',
      '2.png': 'kept',
      '3.png': 'made',
      '4.png': 'made',
    });
  });
});

describe('a batch whose folder another one takes over', () => {
  it('stops, says so, and leaves the claim to the other', async () => {
    for (let i = 1; i <= 3; i++) await ring(join(folder, `${i}.png`));
    const claim = join(out, '.stencilwright-batch');
    const other = '{"host": "elsewhere", "pid": 17}';
    const { rows, stopped, summary, unwritten } = await run({
      onRow: ({ picture }) => picture === '1.png' && writeFileSync(claim, other),
    });
    expect({ made: rows.length, stopped, summary }).toEqual({
      made: 1,
      stopped: true,
      summary: [],
    });
    expect(unwritten).toBeInstanceOf(Problem);
    expect(unwritten?.what).toMatch(
      /another one has taken over its folder \(process 17 on elsewhere\)$/,
    );
    expect((await readdir(out)).sort()).toEqual(['.stencilwright-batch', '1']);
    expect(await readFile(claim, 'utf8')).toBe(other);
  });

  it('writes no summary over the other one’s', async () => {
    await ring(join(folder, '1.png'));
    const { rows, summary, unwritten } = await run({
      onRow: () => writeFileSync(join(out, '.stencilwright-batch'), 'mine'),
    });
    expect({ made: rows.length, summary }).toEqual({ made: 1, summary: [] });
    expect(unwritten?.what).toMatch(/another one has taken over its folder$/);
  });
});

describe('the output folder of a batch', () => {
  const gone = (): number => spawnSync(process.execPath, ['-e', '0']).pid;

  beforeEach(async () => {
    await ring(join(folder, 'a.png'));
    await mkdir(out);
  });

  it('is taken by one batch at a time', async () => {
    const other = spawn(process.execPath, ['-e', 'setTimeout(() => {}, 600000)']);
    try {
      const owner = { host: hostname(), pid: other.pid };
      await writeFile(join(out, '.stencilwright-batch'), JSON.stringify(owner));
      const { what } = await problemOf(run());
      expect(what).toMatch(
        new RegExp(`^Another batch is at work in this folder \\(process ${other.pid} `),
      );
      expect(contents(out).size).toBe(1);
    } finally {
      other.kill();
    }
  });

  it.each<[string, () => { owner: string; silentMs: number }]>([
    [
      'was killed',
      () => ({ owner: JSON.stringify({ host: hostname(), pid: gone() }), silentMs: 0 }),
    ],
    [
      'ran on another machine and gives no sign of life',
      () => ({ owner: '{"host": "elsewhere", "pid": 1}', silentMs: 120_000 }),
    ],
    ['was killed before it had signed', () => ({ owner: '', silentMs: 2_000 })],
  ])('is taken over from one that %s', async (_, left) => {
    const { owner, silentMs } = left();
    const claim = join(out, '.stencilwright-batch');
    await writeFile(claim, owner);
    const then = new Date(Date.now() - silentMs);
    await utimes(claim, then, then);
    expect(fates(await run())).toEqual({ 'a.png': 'made' });
    expect([...contents(out).keys()].filter((path) => path.includes('/.'))).toEqual([]);
  });

  it('is not taken over from one on another machine that lives', async () => {
    await writeFile(join(out, '.stencilwright-batch'), '{"host": "elsewhere", "pid": 1}');
    expect((await problemOf(run())).what).toContain('on elsewhere');
  });

  it('is cleared of what killed processes left half-done, and of nothing else', async () => {
    await run();
    const whole = contents(out);
    const [dead, hex] = [gone(), '0123456789ab'];
    await mkdir(join(out, `.a.partial-${dead}-${hex}`));
    await writeFile(join(out, `.a.partial-${dead}-${hex}`, 'stencil.svg'), 'half');
    await cp(join(out, 'a'), join(out, `.a.earlier-${dead}-${hex}`), { recursive: true });
    await mkdir(join(out, `.b.earlier-${dead}-${hex}`));
    await run();
    expect(contents(out)).toEqual(whole);

    const live = join(out, `.a.partial-${process.pid}-${hex}`);
    await mkdir(live);
    await run();
    expect(contents(out).has(live)).toBe(true);
  });

  it('gets an earlier result back that was set aside when its process was killed', async () => {
    await ring(join(folder, 'b.png'));
    await run();
    const whole = contents(out);
    await cp(join(out, 'b'), join(out, `.b.earlier-${gone()}-0123456789ab`), { recursive: true });
    await rm(join(out, 'b'), { recursive: true });
    expect(fates(await run())).toEqual({ 'a.png': 'kept', 'b.png': 'kept' });
    expect(contents(out)).toEqual(whole);
  });
});

describe('the summary', () => {
  it('is a table that another reader reads (RFC 4180)', async () => {
    await ring(join(folder, '=a, "b".png'));
    await writeFile(join(folder, 'no.png'), '');
    const { summary } = await run();
    const rows = parseCsv<Record<string, string>>(await readFile(summary[0]), {
      bom: true,
      columns: true,
    });
    expect(rows[0]).toMatchObject({ picture: `'=a, "b".png`, result: 'good' });
    const { plan } = JSON.parse(
      await readFile(join(out, rows[0].folder.replace(/^'/, ''), 'report.json'), 'utf8'),
    ) as { plan: { minutes: number } };
    expect(Number(rows[0]['minutes to cut'])).toBe(plan.minutes);
    expect(plan.minutes).toBeGreaterThan(0);
    expect(rows[1]).toMatchObject({ picture: 'no.png', result: 'not made' });
    expect(rows[1].reason).toMatch(/^The file is empty \(no\.png\)\. /);
  });

  it('is a page without a fault (WHATWG HTML), which loads nothing and takes no name for markup', async () => {
    await ring(join(folder, '<b>a & "b"#.png'));
    await writeFile(join(folder, "<i>'no'.png"), '');
    const { summary } = await run();
    const page = await readFile(summary[1], 'utf8');
    const faults: string[] = [];
    parseHtml(page, { onParseError: ({ code }) => faults.push(code) });
    expect(faults).toEqual([]);
    expect(page).not.toMatch(/<b>|<i>|<script|https?:/);
    expect(page).toContain('&#60;b&#62;a &#38; &#34;b&#34;#.png');
    expect(page).toContain('href="%3Cb%3Ea%20%26%20%22b%22%23/"');
    expect(page.match(/<img /g)).toHaveLength(1);
  });

  it.each(['html', 'csv'])(
    'leaves a summary.%s alone that a person wrote or changed',
    async (ending) => {
      await ring(join(folder, 'a.png'));
      await mkdir(out);
      const own = join(out, `summary.${ending}`);
      await writeFile(own, 'mine');
      const first = await run();
      expect(first.isRenamed).toBe(true);
      expect(first.summary).toEqual([join(out, 'summary-2.csv'), join(out, 'summary-2.html')]);
      await writeFile(first.summary[ending === 'csv' ? 0 : 1], 'changed');
      expect((await run()).summary[0]).toBe(join(out, 'summary-3.csv'));
      expect((await run()).summary[0]).toBe(join(out, 'summary-3.csv'));
      expect(await readFile(own, 'utf8')).toBe('mine');
    },
  );

  it('is the same wherever the folder lies', async () => {
    await ring(join(folder, 'a.png'));
    await writeFile(join(folder, 'no.png'), '');
    await writeFile(join(folder, 'no.json'), '[]');
    const pages = await Promise.all((await run()).summary.map((file) => readFile(file, 'utf8')));
    const moved = join(home, 'elsewhere');
    await cp(folder, moved, { recursive: true });
    const again = await makeBatch(moved, join(home, 'there'), {
      job: CARD,
      version: '1',
      locale: 'en-US',
    });
    expect(await Promise.all(again.summary.map((file) => readFile(file, 'utf8')))).toEqual(pages);
  });
});
