import { readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { createHash } from 'node:crypto';
import { gzipSync } from 'node:zlib';
import { strFromU8, unzipSync } from 'fflate';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import decompress from 'woff2-encoder/decompress';
import type { FastifyInstance, InjectOptions } from 'fastify';
import {
  completeJob,
  completeLettering,
  completeSheets,
  createPipeline,
  makeLayers,
  makeStencil,
  makeWordLayers,
  makeWords,
  settings,
  type Advised,
  type JobInput,
  type LayersLook,
  type Screen,
  type Sketch,
} from '../../src/index.js';
import { home, scratch } from '../cli/run.js';
import { bands, ring, vastPng } from '../cli/pictures.js';
import { withFsType } from '../support/font-files.js';
import { startApp } from '../support/page.js';

let app: FastifyInstance;
let stop: () => Promise<void>;
beforeAll(async () => {
  ({ app, stop } = await startApp({ limits: { threads: 1 } }));
});
afterAll(() => stop());

const OCTETS = { 'content-type': 'application/octet-stream' };

interface Told {
  readonly what: string;
  readonly where: string;
  readonly remedy: string;
}

const upload = (payload: Buffer, name = 'nana.jpg', to = app) =>
  to.inject({
    method: 'POST',
    url: `/api/pictures?name=${encodeURIComponent(name)}`,
    headers: OCTETS,
    payload,
  });

async function given(payload: Buffer, name?: string): Promise<string> {
  const answer = await upload(payload, name);
  expect(answer.statusCode).toBe(201);
  return answer.json<{ id: string }>().id;
}

const drawRing = async (): Promise<Buffer> => readFileSync(await ring(join(scratch(), 'ring.png')));

const stencil = (id: string, job: unknown) =>
  app.inject({ method: 'POST', url: `/api/pictures/${id}/stencil`, payload: { job } });

it('warms up only as long as nobody asks for anything', async () => {
  let isWarmingUp = true;
  const warm = app.warmUp().then(() => (isWarmingUp = false));
  await given(await drawRing());
  expect(isWarmingUp).toBe(false);
  await warm;
});

describe('words that are typed', () => {
  const words = (typed: object, which = '/stencil', rest: object = {}) =>
    app.inject({
      method: 'POST',
      url: `/api/words${which}`,
      payload: { words: { set: {}, ...typed }, job: { fineness: 4 }, ...rest },
    });

  it('are shown, their edits go with their letters, and they are taken away', async () => {
    interface Shown {
      readonly bridges: readonly { from: { x: number; y: number }; to: { x: number; y: number } }[];
      readonly letters: readonly unknown[];
      readonly job: { readonly bridgeEdits: readonly unknown[] };
    }
    const view = { view: 'a' };
    const asked = { lines: ['Bo'], set: { face: 'slab' } };
    const { bridges, letters } = (await words(asked, '/stencil', view)).json<Shown>();
    expect(letters.length).toBe(2);
    const { from, to } = bridges[0];
    const at = [(from.x + to.x) / 2, (from.y + to.y) / 2];
    const job = { fineness: 4, bridgeEdits: [{ do: 'remove', at }] };
    const longer = { ...asked, lines: ['Bob'], before: letters };
    const shown = (await words(longer, '/stencil', { ...view, job })).json<Shown>();
    expect(shown.job.bridgeEdits).toHaveLength(1);
    expect(shown.job.bridgeEdits).not.toEqual(job.bridgeEdits);
    const files = await words(asked, '/files/stencil');
    expect(files.headers['content-disposition']).toContain('bo-stencil.svg');
    const kept = (await words(longer, '/files/job', { job })).json<object>();
    expect(kept).toMatchObject({ job, words: { lines: ['Bob'], set: asked.set, letters } });
  });

  it('come as a sheet for each paint, as the library makes them; the job file says so, too', async () => {
    const lines = ['Il'];
    const sheets = { under: 'shadow', underBy: 3 };
    const job = { fineness: 4, card: '50x50mm' };
    const look = (await words({ lines }, '/layers', { sheets, job })).json<LayersLook>();
    expect(look.layers.map(({ good }) => good)).toEqual([true, true]);
    const all = await words({ lines }, '/files/all', { sheets, job });
    const drawing = unzipSync(all.rawPayload)['il-layers/layer-1/stencil.svg'];
    const origin = { where: 'test', spell: (name: string) => name };
    const wish = { words: lines, set: completeLettering({}, origin) };
    const made = await makeWordLayers(wish, completeSheets(sheets, origin), completeJob(job), {
      name: 'il',
      outputs: ['stencil'],
    });
    expect(Buffer.from(drawing).toString()).toBe(made.layers[0].made.files.get('stencil.svg'));
    const kept = (await words({ lines }, '/files/job', { sheets, job })).json<object>();
    expect(kept).toMatchObject({ words: { lines, sheets: { ...sheets, count: 2 } } });
    expect((await words({ lines }, '/layers', { sheets: { layers: '3' }, job })).statusCode).toBe(
      422,
    );
    expect((await words({ lines }, '/layers', { sheets: { under: 'rim' } })).statusCode).toBe(400);
  });

  it('stand in every typeface, those with the letters saying how small', async () => {
    const answer = await app.inject({
      method: 'POST',
      url: '/api/words/typefaces',
      payload: { lines: ['Я'], job: {} },
    });
    const told = answer.json<readonly { kind: string; least?: number; letters?: string }[]>();
    expect(told.length).toBeGreaterThanOrEqual(6);
    expect(told.find(({ kind }) => kind === 'noto')?.letters).toMatch(/^M/);
    expect(told.find(({ kind }) => kind === 'slab')).not.toHaveProperty('least');
  });

  it('are set in a font file of her own, as the library sets them in it', async () => {
    const file = 'allerta-latin-400-normal.woff2';
    const path = join(home, 'node_modules/@fontsource/allerta/files', file);
    const upload = (name: string, payload: Buffer) =>
      app.inject({
        method: 'POST',
        url: `/api/fonts?name=${name}`,
        headers: { 'content-type': 'application/octet-stream' },
        payload,
      });
    const { id: font } = (await upload(`fonts/${file}`, readFileSync(path))).json<{ id: string }>();
    const lines = ['Bo'];
    const drawing = (await words({ lines, font }, '/files/stencil')).payload;
    const set = completeLettering({ face: path }, { where: 'test', spell: (name) => name });
    const made = await makeWords({ words: lines, set }, completeJob({ fineness: 4 }), { name: 'bo' }); // prettier-ignore
    expect(drawing).toBe(made.files.get('stencil.svg'));
    expect((await words({ lines, font }, '/files/job')).json()).toMatchObject({
      words: { set: { face: file } },
    });
    const ask = (given: string) =>
      app.inject({ method: 'POST', url: '/api/words/typefaces', payload: { lines, job: {}, font: given } }); // prettier-ignore
    const [first] = (await ask(font)).json<readonly { kind: string; name: string }[]>();
    expect(first).toMatchObject({ kind: 'own', name: file });
    const { id: none } = (await upload('none.ttf', Buffer.from('no font'))).json<{ id: string }>();
    expect((await ask(none)).statusCode).toBe(422);
    expect((await ask('0'.repeat(32))).statusCode).toBe(404);
  });

  it.each([
    ['nothing', { lines: [' '] }, 422, 'There are no words'],
    ['a typeface by a path', { lines: ['Bo'], set: { face: '/etc/passwd' } }, 400, ''],
    ['a picture by a path', { lines: ['Bo'], set: { picture: '/etc/passwd' } }, 400, ''],
    [
      'a picture that is gone',
      { lines: ['Bo'], picture: '0'.repeat(32) },
      404,
      'not here any more',
    ],
    ['an emoji', { lines: ['Bo \u{1f600}'] }, 422, 'has no letter for'],
    ['2,000 letters', { lines: ['word '.repeat(400)] }, 422, 'more than anybody cuts'],
    ['letters too many for the card', { lines: ['word '.repeat(110)] }, 422, 'would be'],
    ['a control character', { lines: ['Na\u0007na'] }, 422, 'U+0007'],
    [
      'a cap height that has no room',
      { lines: ['Nana'], set: { capHeight: 60 } },
      422,
      'Capitals of 60 mm make the words',
    ],
    ['a script that its typeface lacks', { lines: ['Bo שלום'] }, 422, 'has no letter for'],
  ])('of %s are refused', async (_, typed, status, what) => {
    const answer = await words(typed, '/stencil', { view: 'a' });
    expect(answer.statusCode).toBe(status);
    const told = answer.json<Told>();
    expect(told.what).toContain(what);
    expect(`${told.what} ${told.remedy}`).not.toMatch(/node_modules|\.ts:\d/);
  });

  it('of two directions stand on one line, in the order of the page', async () => {
    const lines = ['Bo שלום'];
    const answer = await words({ lines, set: { face: 'noto' } }, '/stencil', { view: 'a' });
    expect(answer.statusCode).toBe(200);
    const { letters } = answer.json<{ letters: readonly { text: string; x: number }[] }>();
    const ordered = letters.toSorted((a, b) => a.x - b.x).map(({ text }) => text);
    // Unicode Standard Annex 9: what runs leftward stands after what was written before it, its last letter first.
    expect(ordered.join('')).toBe('Boםולש');
  });

  const packed = readFileSync(
    join(home, 'node_modules/@fontsource/allerta/files/allerta-latin-400-normal.woff2'),
  );
  it.each<[string, (sfnt: Uint8Array) => Uint8Array, RegExp]>([
    ['is cut short', (sfnt) => sfnt.subarray(0, 300), /cut short/],
    ['is no typeface', () => new Uint8Array([1, 2, 3, 4, 5]), /no typeface that can be read/],
    ['is encrypted', (sfnt) => sfnt.map((v, i) => (i < 400 ? v : v ^ 0x5a)), /it has no letters/],
    ['forbids embedding', (sfnt) => withFsType(sfnt, 2), /may not be put into documents/],
  ])('in a font file that %s are refused', async (_, changed, says) => {
    const { id: font } = (
      await app.inject({
        method: 'POST',
        url: '/api/fonts?name=own.ttf',
        headers: { 'content-type': 'application/octet-stream' },
        payload: Buffer.from(changed(await decompress(packed))),
      })
    ).json<{ id: string }>();
    const answer = await words({ lines: ['Bo'], font }, '/stencil', { view: 'a' });
    expect(answer.statusCode).toBe(422);
    const { what, remedy } = answer.json<Told>();
    expect(`${what}. ${remedy}`).toMatch(says);
  });
});

const take = (id: string, which: string, job: JobInput) =>
  app.inject({ method: 'POST', url: `/api/pictures/${id}/files/${which}`, payload: { job } });

/** A refusal is a sentence for a person, and the server goes on. */
async function expectRefused(options: InjectOptions, status: number, words: RegExp) {
  const answer = await app.inject(options);
  const told = answer.json<Told>();
  expect([answer.statusCode, `${told.what}. ${told.remedy}.`]).toEqual([
    status,
    expect.stringMatching(words),
  ]);
  expect(answer.body).not.toMatch(/node_modules|\bat .*\.ts:\d/);
  expect((await app.inject('/api/samples')).statusCode).toBe(200);
}

describe('the page', () => {
  it('comes from here alone, packed, under 150 KiB', async () => {
    const index = await app.inject('/');
    const urls = [...index.body.matchAll(/(?:src|href)="([^"]+)"/g)].map(([, url]) => url);
    expect(urls).toEqual(expect.arrayContaining(['/page.js', '/page.css', '/icon.svg']));
    let bytes = gzipSync(index.rawPayload).length;
    for (const url of urls) {
      const file = await app.inject({ url, headers: { 'accept-encoding': 'gzip' } });
      expect(file.headers['content-encoding']).toBe('gzip');
      bytes += file.rawPayload.length;
    }
    for (const sample of (await app.inject('/api/samples')).json<{ name: string }[]>()) {
      bytes += (await app.inject(`/api/samples/${sample.name}/image`)).rawPayload.length;
    }
    expect(bytes).toBeLessThan(150 * 1024);
  });

  it('has a strict content security policy, and no other origin in its files', async () => {
    const { headers } = await app.inject('/');
    expect(headers['content-security-policy']).toContain("default-src 'none'");
    expect(headers['content-security-policy']).not.toMatch(/unsafe|\*|https?:/);
    for (const url of ['/', '/page.css', '/page.js']) {
      const { body } = await app.inject(url);
      // Names of XML are no addresses; nothing is loaded from them.
      expect(body.replaceAll('http://www.w3.org/', '')).not.toMatch(/https?:\/\/[a-z]/);
    }
  });

  it('is not sent again when it has not changed', async () => {
    const { headers } = await app.inject('/page.js');
    const again = await app.inject({
      url: '/page.js',
      headers: { 'if-none-match': String(headers.etag) },
    });
    expect(again.statusCode).toBe(304);
    expect(again.rawPayload.length).toBe(0);
  });
});

describe('a picture', () => {
  it('becomes a stencil, with its stages', async () => {
    const answer = await upload(await drawRing(), 'My ring.png');
    expect(answer.json()).toMatchObject({
      name: 'My ring',
      width: 400,
      height: 400,
      format: 'png',
    });
    const { id } = answer.json<{ id: string }>();
    const made = await stencil(id, { card: '50x50mm' });
    const screen = made.json<Screen & { tonePng: string; job: JobInput }>();
    expect(screen).toMatchObject({
      sheet: { widthMm: 50, heightMm: 50 },
      islandCount: 1,
      looseCount: 0,
    });
    expect(screen.bridges.length).toBeGreaterThan(0);
    expect(screen.histogram).toHaveLength(100);
    expect(screen.job).toEqual(completeJob({ card: '50x50mm' }));
    const { data, info } = await sharp(Buffer.from(screen.tonePng, 'base64'))
      .extractChannel('alpha')
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([500, 500]);
    // The ring is dark: 0.3 of 38 mm from the middle; the middle and the margin are clear.
    const at = (x: number, y: number) => data[(y * 500 + x) * info.channels];
    expect([at(250, 250 - 114), at(250, 250), at(10, 10)]).toEqual([255, 0, 0]);
  });

  it('can be sketched more coarsely, which it says', async () => {
    const id = await given(await drawRing());
    const answer = await app.inject({
      method: 'POST',
      url: `/api/pictures/${id}/sketch`,
      payload: { job: { card: '50x50mm', fineness: 4 }, view: 'large' },
    });
    expect(answer.json()).toMatchObject({ pixelsPerMm: 4, pieces: expect.any(Number) as number });
  });

  it('is ranked by how like the picture it is, where it finds its own level', async () => {
    const id = await given(await drawRing());
    const likeness = async (tone: JobInput) => {
      const answer = await app.inject({
        method: 'POST',
        url: `/api/pictures/${id}/sketch`,
        payload: {
          job: { card: '50x50mm', fineness: 4, ...tone },
          view: 'contact-1',
          contact: true,
        },
      });
      return answer.json<Sketch>().likeness;
    };
    // A ring is all contour: what draws it draws nothing else.
    expect(await likeness({ tone: 'auto' })).toBeGreaterThan(0.9);
    expect(await likeness({ tone: 'level', level: 50 })).toBeUndefined();
  });

  it('says when an island would fall out', async () => {
    const id = await given(await drawRing());
    const first = (await stencil(id, { card: '50x50mm' })).json<Screen>();
    const bridgeEdits = first.bridges.map(({ from, to }) => ({
      do: 'remove',
      at: [(from.x + to.x) / 2, (from.y + to.y) / 2],
    }));
    const bare = (await stencil(id, { card: '50x50mm', bridgeEdits })).json<Screen>();
    expect(bare.looseCount).toBe(1);
    expect(bare.findings.map(({ code }) => code)).toContain('loose-island');
  });

  it('tells where the faces are, and on which crop they keep what they lose', async () => {
    const bytes = readFileSync(join(home, 'node_modules/@vladmandic/face-api/demo/sample6.jpg'));
    const id = await given(bytes, 'four.jpg');
    const job: JobInput = { card: '70x70mm', fineness: 5 };
    const { faces, adviceDue } = (await stencil(id, job)).json<Screen>();
    expect(faces).toHaveLength(4);
    for (const [left, top, width, height] of faces) {
      expect(left + width).toBeLessThan(105);
      expect(top + height).toBeLessThan(60);
    }
    expect(adviceDue).toBe(true);
    const url = `/api/pictures/${id}/advice`;
    const answer = await app.inject({ method: 'POST', url, payload: { job } });
    const { features } = await createPipeline().runFor(['features'], bytes, completeJob(job));
    expect(answer.json<Advised>().facesCrop).toBe(features!.crop);
    expect(answer.json<Advised>().findings.map(({ code }) => code)).toContain('faces-lost');
  });

  it('is told of what would help by a question of its own, as the library tells it', async () => {
    const bytes = readFileSync(join(home, 'samples/hen.jpg'));
    const id = await given(bytes, 'hen.jpg');
    const job: JobInput = { card: '60x60mm', fineness: 5, sizeAdvice: true };
    const first = (await stencil(id, job)).json<Screen>();
    const url = `/api/pictures/${id}/advice`;
    const answer = await app.inject({ method: 'POST', url, payload: { job } });
    const { findings, closerCrop } = answer.json<Advised>();
    const { check, advice } = await createPipeline().runFor(['check', 'advice'], bytes, completeJob(job)); // prettier-ignore
    expect(findings).toEqual(check.findings);
    expect(closerCrop).toBe(advice?.crop?.box ?? null);
    expect(advice?.enlargement).toBeGreaterThan(1);
    // At first the same things are told, without what would help.
    expect(first.adviceDue).toBe(true);
    expect(first.findings.map(({ code }) => code)).toEqual(findings.map(({ code }) => code));
    const lost = (told: Advised['findings']): string =>
      told.find(({ code }) => code === 'parts-lost')?.message ?? '';
    expect(lost(findings).startsWith(`${lost(first.findings)} On a card of about`)).toBe(true);
  });

  it('is gone after it was removed, and after it had to make room', async () => {
    const id = await given(await drawRing());
    expect((await app.inject({ method: 'DELETE', url: `/api/pictures/${id}` })).statusCode).toBe(
      204,
    );
    await expectRefused({ url: `/api/pictures/${id}` }, 404, /not here any more.*Drop it/);

    const small = await startApp({ limits: { threads: 1, pictures: 1 } });
    const bytes = await drawRing();
    const [one] = [(await upload(bytes, 'a.png', small.app)).json<{ id: string }>()];
    const two = (await upload(bytes, 'b.png', small.app)).json<{ id: string }>();
    expect((await small.app.inject(`/api/pictures/${one.id}`)).statusCode).toBe(404);
    expect((await small.app.inject(`/api/pictures/${two.id}`)).statusCode).toBe(200);
    await small.stop();
  });

  it('can be one that a phone took', async () => {
    const bytes = readFileSync(join(home, 'test/fixtures/turned-in-exif.heic'));
    const answer = (await upload(bytes, 'phone.heic')).json<{ id: string; format: string }>();
    expect(answer.format).toBe('heic');
    const made = await makeStencil(bytes, completeJob({ fineness: 4 }), {
      name: 'phone',
      outputs: ['stencil'],
    });
    // Decoded once, and seen twice: the same comes out as from the file.
    for (let i = 0; i < 2; i++) {
      const taken = await take(answer.id, 'stencil', { fineness: 4 });
      expect(taken.body).toBe(made.files.get('stencil.svg'));
    }
  });
});

describe('the verdict of the page', () => {
  it.each<[string, JobInput]>([
    ['a stencil', {}],
    ['a mask', { as: 'mask' }],
    ['a repeated picture', { repeat: 'brick' }],
    ['a half-dropped one', { repeat: 'half-drop' }],
    ['a folded sheet', { fold: 'half' }],
    ['a subject', { marks: [{ do: 'box', from: [10, 10], to: [90, 90] }] }],
    ['a turned picture', { pictureTurn: 'left', straighten: 5 }],
  ])('on %s is that of the library, as are its figures', async (_, part) => {
    const bytes = await drawRing();
    const job: JobInput = { fineness: 3, card: '80x80mm', ...part };
    const screen = (await stencil(await given(bytes, 'ring.png'), job)).json<Screen>();
    const { run, good } = await makeStencil(bytes, completeJob(job), { name: 'ring', outputs: [] });
    const { frame, plan, measure } = run.values;
    const isBad = screen.looseCount > 0 || screen.findings.some(({ level }) => level === 'error');
    expect({ isBad, pieces: screen.pieces, cutMm: screen.cutMm }).toEqual({
      isBad: !good,
      pieces: measure.openings.length,
      cutMm: plan.cuttingMm,
    });
    expect(screen.bridges).toHaveLength(frame.bridges.length);
    expect(screen.minutes).toBe(plan.minutes);
  });

  it('on layers is that of the library, and so are their files', async () => {
    const path = join(scratch(), 'bands.png');
    await bands(path);
    const bytes = readFileSync(path);
    const job: JobInput = { fineness: 3, card: '60x60mm' };
    const id = await given(bytes, 'bands.png');
    const ask = (which: string) =>
      app.inject({
        method: 'POST',
        url: `/api/pictures/${id}/layers${which}`,
        payload: { job, layers: { count: '2', paints: '#ffcc00,#102030' } },
      });
    const { layers } = (await ask('')).json<LayersLook>();
    const layersJob = { count: 2, levels: null, laid: 'nested', overlap: 1, paints: ['#ffcc00', '#102030'] } as const; // prettier-ignore
    const made = await makeLayers(bytes, completeJob(job), layersJob, { name: 'bands' });
    expect(layers).toMatchObject(
      made.layers.map(({ paint, level, made: one }) => ({
        paint,
        level,
        pieces: one.run.values.frame.openings.length,
        cuttingMinutes: one.run.values.plan.minutes - one.run.values.plan.warmUpMinutes,
        good: one.good,
      })),
    );
    const { headers, rawPayload } = await ask('/files');
    expect(headers['content-disposition']).toContain('bands-layers.zip');
    const files = unzipSync(rawPayload);
    const drawing = made.layers[1].made.files.get('stencil.svg');
    expect(strFromU8(files['bands-layers/layer-2/stencil.svg'])).toBe(drawing);
  });
});

describe('what is taken away', () => {
  it('is one folder of several pictures, each with its settings, and says which was not made', async () => {
    const ids = [await given(await drawRing(), 'ring.png'), await given(await drawRing(), 'ring.png')]; // prettier-ignore
    const path = join(scratch(), 'bands.png');
    await bands(path);
    const layered = await given(readFileSync(path), 'bands.png');
    const small = { fineness: 3, card: 'a7' };
    const answer = await app.inject({
      method: 'POST',
      url: '/api/folder',
      payload: {
        pictures: [
          { id: ids[0], job: small },
          { id: ids[1], job: { ...small, tone: 'level', level: 1 } },
          { id: layered, job: { ...small, card: '60x60mm' }, layers: { count: '2' } },
          { id: ids[0], job: { ...small, as: 'glue-line' } },
          { id: ids[0], job: { ...small, fold: 'half', as: 'mask' } },
        ],
      },
    });
    const files = unzipSync(answer.rawPayload);
    expect(Object.keys(files)).toContain('stencils/ring/template.pdf');
    expect(Object.keys(files)).toContain('stencils/bands-layers/layer-2/template.pdf');
    // Each aim with the files of its own.
    expect(Object.keys(files)).toContain('stencils/ring-3/strokes.svg');
    expect(Object.keys(files)).toContain('stencils/ring-4/packet.svg');
    const { job } = JSON.parse(strFromU8(files['stencils/ring-4/report.json'])) as { job: object };
    expect(job).toMatchObject({ fold: 'half', as: 'mask' });
    expect(strFromU8(files['stencils/not-made.txt'])).toMatch(/^ring\.png: Nothing to cut/);
  });

  it('is byte for byte what the library makes of the same job', async () => {
    const bytes = await drawRing();
    const job: JobInput = { card: 'a7', margin: 5, paint: '#803020', paper: 'a4' };
    const id = await given(bytes, 'ring.png');
    const made = await makeStencil(bytes, completeJob(job), { name: 'ring' });
    for (const [which, file] of [
      ['stencil', 'stencil.svg'],
      ['template', 'template.pdf'],
      ['preview', 'preview.png'],
    ]) {
      const answer = await take(id, which, job);
      expect(answer.headers['content-disposition']).toBe(
        `attachment; filename*=UTF-8''ring-${file}`,
      );
      expect(answer.rawPayload.equals(Buffer.from(made.files.get(file) ?? '')), file).toBe(true);
    }
  });

  it('says which picture it is of, as the command line does', async () => {
    const bytes = await drawRing();
    const { body } = await take(await given(bytes, 'C:\\pictures\\ring.png'), 'report', {
      card: 'a7',
    });
    expect((JSON.parse(body) as { madeFrom: object }).madeFrom).toMatchObject({
      made: 'stencil',
      picture: 'ring.png',
      sha256: createHash('sha256').update(bytes).digest('hex'),
    });
  });

  it('is the job too, as a settings file', async () => {
    const id = await given(await drawRing());
    const job: JobInput = { card: 'a7', regionEdits: [{ do: 'drop', at: [3, 4] }] };
    const answer = await take(id, 'job', job);
    expect(JSON.parse(answer.body)).toEqual(job);
  });
});

describe('a setting that is wrong', () => {
  const names = Object.keys(settings);

  it('is told in the words of the setting', async () => {
    const id = await given(await drawRing());
    const to = (job: unknown): InjectOptions => ({
      method: 'POST',
      url: `/api/pictures/${id}/stencil`,
      payload: { job },
    });
    await expectRefused(to({ margin: -3 }), 400, /`margin` can't be -3.*number from 2 to 100 mm/);
    await expectRefused(to({ tone: 'sepia' }), 400, /Choose one of: best/);
    await expectRefused(to({ fancy: 1 }), 400, /no setting called "fancy"/);
    await expectRefused(to({ card: 'vast' }), 422, /not a card size/);
    await expectRefused(to({ bridgeEdits: [{ do: 'fly' }] }), 422, /Number 1 of the list/);
    await expectRefused(to('all'), 400, /does not understand/);
  });

  it('is told as an answer to who prefers that, but for what is no matter of settings', async () => {
    const id = await given(await drawRing());
    const told = async (url: string, payload: object, host = 'localhost') => {
      const headers = { prefer: 'refusals=answers', host };
      const answer = await app.inject({ method: 'POST', url, headers, payload });
      const { status } = answer.json<{ status?: number }>();
      expect(answer.headers['preference-applied']).toBe(status && headers.prefer);
      return [answer.statusCode, status, answer.json<Told>().what];
    };
    const url = `/api/pictures/${id}/stencil`;
    expect(await told(url, { job: { card: 'vast' } })).toEqual([200, 422, expect.stringMatching(/not a card size/)]); // prettier-ignore
    expect(await told(url, { job: { margin: -3 } })).toEqual([200, 400, expect.stringMatching(/margin/)]); // prettier-ignore
    expect(await told(url.replace(id, '0'.repeat(32)), { job: {} })).toEqual([200, 404, expect.any(String)]); // prettier-ignore
    expect(await told(url, { job: 'all' })).toEqual([400, undefined, expect.any(String)]);
    expect(await told(url, { job: {} }, 'elsewhere')).toEqual([403, undefined, expect.any(String)]);
  });

  it('of each name is refused when it has the wrong kind', async () => {
    const id = await given(await drawRing());
    for (const name of names) {
      expect((await stencil(id, { [name]: { odd: true } })).statusCode, name).toBe(400);
    }
  });
});

describe('hostile requests are refused with a sentence, and the server goes on', () => {
  it.each([
    '/../package.json',
    '/..%2f..%2fpackage.json',
    '/page.js/../../../../etc/passwd',
    '/%2e%2e/%2e%2e/etc/passwd',
  ])('a path that leaves the page: %s', async (url) => {
    await expectRefused({ url }, 404, /nothing at this address/);
  });

  it.each(['..%2F..%2Fpackage', 'nana.jpg', '%2Fetc%2Fpasswd', '__proto__'])(
    'a sample that is a path: %s',
    async (name) => {
      await expectRefused({ method: 'POST', url: `/api/samples/${name}` }, 404, /no such sample/);
      await expectRefused({ url: `/api/samples/${name}/image` }, 404, /no such sample/);
    },
  );

  it('an id that is no id', async () => {
    await expectRefused({ url: '/api/pictures/..%2f..%2fx' }, 400, /does not understand/);
    await expectRefused({ url: `/api/pictures/${'0'.repeat(32)}` }, 404, /not here any more/);
  });

  it('a name that is a path names nothing but the download', async () => {
    const answer = await upload(await drawRing(), '../../etc/cron.d/evil.png');
    expect(answer.json()).toMatchObject({ name: 'evil' });
    expect((await upload(await drawRing(), '..')).json()).toMatchObject({ name: 'picture' });
  });

  it.each(['evil.example', 'evil.example:80', 'localhost.evil.example', '10.0.0.1'])(
    'another host name: %s',
    async (host) => {
      await expectRefused({ url: '/', headers: { host } }, 403, /does not go by the name/);
      await expectRefused({ url: '/api/samples', headers: { host } }, 403, /does not go by/);
    },
  );

  it.each<[string, Record<string, string>]>([
    ['of another site', { origin: 'https://evil.example' }],
    ['of another port here', { origin: 'http://localhost:9999' }],
    ['of nowhere', { origin: 'null' }],
    ['that the browser calls cross-site', { 'sec-fetch-site': 'cross-site' }],
    ['that the browser calls same-site', { 'sec-fetch-site': 'same-site' }],
  ])('a page %s', async (_, headers) => {
    await expectRefused({ method: 'POST', url: '/api/samples/nana', headers }, 403, /Another site/);
    await expectRefused({ url: '/api/samples', headers }, 403, /Another site/);
  });

  it('a form of another site can post none of the kinds of body that a form has', async () => {
    for (const type of [
      'text/plain',
      'multipart/form-data; boundary=x',
      'application/x-www-form-urlencoded',
    ]) {
      const answer = await app.inject({
        method: 'POST',
        url: '/api/pictures?name=x',
        headers: { 'content-type': type },
        payload: 'x',
      });
      expect(answer.statusCode).toBe(415);
    }
  });

  it('a file that is too large', async () => {
    const small = await startApp({ limits: { threads: 1, uploadBytes: 1000 } });
    const answer = await upload(Buffer.alloc(2000), 'a.png', small.app);
    expect([answer.statusCode, answer.json<Told>().what]).toEqual([413, 'The file is too large']);
    await small.stop();
  });

  it.each<[string, Buffer]>([
    ['empty', Buffer.alloc(0)],
    ['noise', Buffer.from('not a picture at all')],
    ['a header without a picture', Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex')],
    ['half a JPEG', readFileSync(join(home, 'samples/hen.jpg')).subarray(0, 3000)],
  ])('a malformed upload: %s', async (_, payload) => {
    await expectRefused(
      { method: 'POST', url: '/api/pictures?name=a.png', headers: OCTETS, payload },
      422,
      /./,
    );
  });

  it('a small file that unpacks to a vast picture', async () => {
    const bomb = readFileSync(vastPng(join(scratch(), 'bomb.png'), 30_000, 30_000));
    expect(bomb.length).toBeLessThan(1_000_000);
    await expectRefused(
      { method: 'POST', url: '/api/pictures?name=a.png', headers: OCTETS, payload: bomb },
      422,
      /too large/,
    );
    const large = readFileSync(vastPng(join(scratch(), 'large.png'), 16_000, 14_000));
    await expectRefused(
      { method: 'POST', url: '/api/pictures?name=a.png', headers: OCTETS, payload: large },
      422,
      /too large.*megapixels/,
    );
  });

  it('a drawing that refers to files or the network reads neither', async () => {
    let calls = 0;
    const trap = createServer((_, response) => {
      calls++;
      response.end();
    }).listen(0, '127.0.0.1');
    await new Promise((done) => trap.once('listening', done));
    const { port } = trap.address() as AddressInfo;
    const secret = await ring(join(scratch(), 'secret.png'));
    for (const reference of [`file://${secret}`, secret, `http://127.0.0.1:${port}/x.png`]) {
      const drawing = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100" height="100"><image href="${reference}" xlink:href="${reference}" width="100" height="100"/><rect x="10" y="10" width="20" height="20"/></svg>`;
      const answer = await upload(Buffer.from(drawing), 'a.svg');
      if (answer.statusCode === 201) {
        // Then what it refers to is not in it: the middle of the ring's stroke stays white.
        const { id } = answer.json<{ id: string }>();
        const copy = await app.inject(`/api/pictures/${id}/copy`);
        const { data, info } = await sharp(copy.rawPayload)
          .greyscale()
          .raw()
          .toBuffer({ resolveWithObject: true });
        expect(
          data[Math.round(info.height / 2) * info.width + Math.round(info.width * 0.8)],
        ).toBeGreaterThan(240);
      } else expect(answer.statusCode).toBe(422);
    }
    expect(calls).toBe(0);
    trap.close();
  });
});

describe('too much at a time', () => {
  it('is answered by 503 and a sentence, and then all is well', async () => {
    const small = await startApp({ limits: { threads: 1, waiting: 2 } });
    const { id } = (await upload(await drawRing(), 'a.png', small.app)).json<{ id: string }>();
    const sketch = (view: string) =>
      small.app.inject({
        method: 'POST',
        url: `/api/pictures/${id}/sketch`,
        payload: { job: { card: '50x50mm', fineness: 4 }, view },
      });
    const answers = await Promise.all(Array.from({ length: 12 }, (_, i) => sketch(`view-${i}`)));
    const statuses = answers.map(({ statusCode }) => statusCode);
    expect(new Set(statuses)).toEqual(new Set([200, 503]));
    const full = answers.find(({ statusCode }) => statusCode === 503);
    expect(full?.json<Told>().remedy).toMatch(/Wait a moment/);
    expect(full?.headers['retry-after']).toBeDefined();
    expect((await sketch('view-1')).statusCode).toBe(200);
    await small.stop();
  });

  it('a newer request for the same view takes the place of the older ones', async () => {
    const id = await given(readFileSync(join(home, 'samples/moth.png')));
    const answers = await Promise.all(
      [5, 6, 7, 8].map((margin) => stencil(id, { card: '60x60mm', margin })),
    );
    const statuses = answers.map(({ statusCode }) => statusCode);
    expect(statuses.at(-1)).toBe(200);
    expect(statuses.filter((status) => status === 409).length).toBeGreaterThanOrEqual(2);
  });

  it('work whose browser has gone away is stopped', async () => {
    const left = await startApp({ limits: { threads: 1 } });
    const goneAway = new AbortController();
    left.app.addHook('preHandler', ({ url }, _reply, next) => {
      if (url.endsWith('/stencil')) setImmediate(() => goneAway.abort());
      next();
    });
    const stopped = new Promise<number | undefined>((done) => {
      left.app.addHook('onError', (_request, _reply, error, next) => {
        done(error.statusCode);
        next();
      });
    });
    const address = await left.app.listen({ host: '127.0.0.1', port: 0 });
    const { id } = (await upload(await drawRing(), 'a.png', left.app)).json<{ id: string }>();
    const asked = fetch(`${address}/api/pictures/${id}/stencil`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ job: {} }),
      signal: goneAway.signal,
    });
    await expect(asked).rejects.toThrow('aborted');
    expect(await stopped).toBe(409);
    await left.stop();
  });

  it('work that takes too long is given up, and the thread is there again', async () => {
    const hasty = await startApp({ limits: { threads: 1, patienceMs: 50 } });
    const bytes = readFileSync(join(home, 'samples/nana.jpg'));
    const answer = await upload(bytes, 'a.jpg', hasty.app);
    expect([answer.statusCode, answer.json<Told>().what]).toEqual([
      503,
      expect.stringMatching(/too long/),
    ]);
    expect((await hasty.app.inject('/')).statusCode).toBe(200);
    await hasty.stop();
  });
});
