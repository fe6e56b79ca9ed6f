import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { CONTACT_FINENESS, sketchFineness } from '../../server/page/fineness.js';
import { completeJob, type JobInput, type Sketch } from '../../src/index.js';
import { dragFolds, dragInBrowser } from './drag.js';
import { seeded, median } from './numbers.js';
import { benchDir, sixteenMegapixels } from './photo.js';

/** The server as built: `npm run bench` builds it first. */
const built = new URL('../../dist/server/app.js', import.meta.url).href;

type App = ReturnType<(typeof import('../../server/app.js'))['createApp']>;

const WIDTH = 4032;
const HEIGHT = 3024;
const LEVELS = [30, 34, 38, 42, 46, 50, 54, 58, 62, 66] as const;
/** What the page asks for at 4 × 4 in. */
const QUICK = sketchFineness(completeJob({}));
const CONTACT = sketchFineness(completeJob({}), CONTACT_FINENESS);
const BROWSERS = 50;
const LOAD_MS = 120_000;
const MIB = 1 << 20;

const parts = {
  drop: printDrops,
  move: printMoves,
  fold: printFoldMoves,
  drag: printDrags,
  large: printLarge,
  contact: printContact,
  crowd: printCrowd,
} as const;

/** What of the page can be measured alone. */
export const pageParts = Object.keys(parts) as readonly (keyof typeof parts)[];

/**
 * Section 6: the page's server: from the drop to the stencil, after a move of the level, the contact sheet, a crowd.
 * Each part has a server of its own, which has started as `view` starts it.
 */
export async function printPage(asked: readonly (keyof typeof parts)[] = pageParts): Promise<void> {
  const photo = await twelveMegapixels();
  const { createApp } = (await import(built)) as typeof import('../../server/app.js');
  console.log('6. The page: server time, 12-megapixel JPEG');
  for (const part of asked) {
    const app = createApp();
    try {
      await app.warmUp();
      await parts[part](app, photo);
    } finally {
      await app.close();
    }
  }
}

async function printDrops(app: App, photo: Buffer): Promise<void> {
  const times: number[] = [];
  for (let i = 0; i < 5; i++) {
    times.push(
      await timed(async () => {
        await stencil(app, await given(app, photo), {});
      }),
    );
  }
  line('drop to full result, 4 × 4 in', median(times), 1200);
}

async function printMoves(app: App, photo: Buffer): Promise<void> {
  const id = await given(app, photo);
  await stencil(app, id, { tone: 'level', level: 50 });
  await sketch(app, id, { tone: 'level', level: 50, fineness: QUICK }, 'large');
  const quick: number[] = [];
  const exact: number[] = [];
  for (const level of LEVELS) {
    for (const fine of [0, 1, 2]) {
      const job: JobInput = { tone: 'level', level: level + fine, fineness: QUICK };
      quick.push(await timed(() => sketch(app, id, job, 'large')));
    }
    exact.push(await timed(() => stencil(app, id, { tone: 'level', level })));
  }
  line(`sketch after a move (${QUICK} px/mm), 95th percentile`, percentile(quick, 0.95), 150);
  line('exact result after a move, 95th percentile', percentile(exact, 0.95), 600);
}

/** A drag of the picture in the packet, by the page's own steps: whole percents of the packet. */
async function printFoldMoves(app: App): Promise<void> {
  const star = readFileSync(new URL('../../samples/star.svg', import.meta.url));
  for (const fold of ['eighth', 'sixth', 'quarter'] as const) {
    const about: JobInput = { fold, foldPicture: 'part', mostLayers: '12' };
    const fineness = sketchFineness(completeJob(about));
    const id = await given(app, star);
    await stencil(app, id, about);
    const quick: number[] = [];
    for (let k = 0; k < FOLD_MOVES; k++) {
      const [across, down] = [45 + (k % 20), 50 - Math.floor(k / 20)];
      const job: JobInput = { ...about, fineness, foldPlace: `${across},${down},90,20` };
      const ms = await timed(() => sketch(app, id, job, 'large'));
      // The first moves warm up what no other sketch has run.
      if (k >= FOLD_WARM_UP) quick.push(ms);
    }
    line(
      `sketch after a drag in the packet, ${fold}, 95th percentile`,
      percentile(quick, 0.95),
      150,
    );
  }
}

async function printDrags(app: App): Promise<void> {
  for (const fold of dragFolds) {
    const { single, between } = await dragInBrowser(app, fold);
    const what = `drag in the browser, ${fold}: pointer to opened sheet`;
    line(`${what}, 95th percentile`, percentile(single, 0.95), 150);
    console.log(
      `     median ${median(single).toFixed(0)} ms; without a pause a sheet every ${between.toFixed(0)} ms`,
    );
  }
}

/** Moves of a drag, and those of them that warm up. */
const [FOLD_MOVES, FOLD_WARM_UP] = [80, 20];

async function printLarge(app: App, photo: Buffer): Promise<void> {
  const id = await given(app, photo);
  const large: number[] = [];
  const about: JobInput = { card: '9x12in', tone: 'level' };
  await stencil(app, id, { ...about, level: 50 });
  for (const level of LEVELS.slice(0, 5)) {
    large.push(await timed(() => stencil(app, id, { ...about, level })));
  }
  line('exact result after a move at 9 × 12 in, largest of 5', Math.max(...large), 2500);
}

async function printContact(app: App, photo: Buffer): Promise<void> {
  const id = await given(app, photo);
  await stencil(app, id, {});
  const parts: readonly JobInput[] = [
    { tone: 'best' },
    { tone: 'auto' },
    { tone: 'local' },
    { tone: 'edges' },
    { tone: 'mixed' },
    ...LEVELS.slice(0, 7).map((level) => ({ tone: 'level', level }) as const),
  ];
  const times: number[] = [];
  for (let i = 0; i < 5; i++) {
    times.push(
      await timed(() =>
        Promise.all(
          parts.map((part, k) =>
            sketch(
              app,
              id,
              { ...part, margin: 6 + i / 10, fineness: CONTACT },
              `contact-${k}`,
              true,
            ),
          ),
        ),
      ),
    );
  }
  line(`contact sheet of ${parts.length} (${CONTACT} px/mm)`, median(times), 1500);
}

/** Many browsers' worth of mixed requests: what they are answered, and what memory is left in use. */
async function printCrowd(app: App): Promise<void> {
  const sample = readFileSync(new URL('../../samples/moth.png', import.meta.url));
  const random = seeded(50);
  const start = memory();
  const end = performance.now() + LOAD_MS;
  const counts = new Map<number, number>();
  const count = (status: number) => counts.set(status, (counts.get(status) ?? 0) + 1);
  const browser = async (): Promise<void> => {
    let id: string | undefined;
    while (performance.now() < end) {
      const level = 20 + Math.floor(random() * 60);
      const job: JobInput = { tone: 'level', level };
      const dice = random();
      const answer =
        id === undefined || dice < 0.1
          ? await upload(app, sample)
          : dice < 0.6
            ? await post(app, `${id}/sketch`, { job: { ...job, fineness: QUICK }, view: 'large' })
            : dice < 0.9
              ? await post(app, `${id}/stencil`, { job })
              : await post(app, `${id}/files/stencil`, { job });
      count(answer.statusCode);
      if (answer.statusCode === 201) {
        if (id !== undefined) await app.inject({ method: 'DELETE', url: `/api/pictures/${id}` });
        ({ id } = answer.json<{ id: string }>());
      }
      if (answer.statusCode === 503)
        await new Promise((done) => setTimeout(done, 500 + random() * 1000));
    }
    if (id !== undefined) await app.inject({ method: 'DELETE', url: `/api/pictures/${id}` });
  };
  await Promise.all(Array.from({ length: BROWSERS }, browser));
  await new Promise((done) => setTimeout(done, 3000));
  const answers = [...counts]
    .sort(([a], [b]) => a - b)
    .map(([status, times]) => `${status}: ${times}`);
  console.log(
    `   ${BROWSERS} browsers for ${LOAD_MS / 1000} s, answers by status: ${answers.join(', ')}`,
  );
  console.log(
    `   resident memory                ${start.toFixed(0)} MiB before, ${memory().toFixed(0)} MiB after (at most 20 % more wanted)\n`,
  );
}

const memory = () => process.memoryUsage().rss / MIB;

async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now();
  await work();
  return performance.now() - start;
}

const upload = (app: App, bytes: Buffer) =>
  app.inject({
    method: 'POST',
    url: '/api/pictures?name=bench.jpg',
    headers: { 'content-type': 'application/octet-stream' },
    payload: bytes,
  });

const post = (app: App, rest: string, payload: object) =>
  app.inject({ method: 'POST', url: `/api/pictures/${rest}`, payload });

async function given(app: App, bytes: Buffer): Promise<string> {
  return (await upload(app, bytes)).json<{ id: string }>().id;
}

async function stencil(app: App, id: string, job: JobInput): Promise<void> {
  const { statusCode, body } = await post(app, `${id}/stencil`, { job });
  if (statusCode !== 200) throw new Error(body);
}

async function sketch(
  app: App,
  id: string,
  job: JobInput,
  view: string,
  contact = false,
): Promise<Sketch> {
  const answer = await post(app, `${id}/sketch`, { job, view, contact });
  if (answer.statusCode !== 200) throw new Error(answer.body);
  return answer.json<Sketch>();
}

function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)];
}

function line(what: string, ms: number, most: number): void {
  const verdict = ms <= most ? 'kept' : 'NOT kept';
  console.log(`   ${what.padEnd(52)} ${ms.toFixed(0)} ms   (at most ${most}: ${verdict})`);
}

async function twelveMegapixels(): Promise<Buffer> {
  const path = `${benchDir}/photo-12mp.jpg`;
  const [{ path: large }] = await sixteenMegapixels();
  await sharp(large).resize(WIDTH, HEIGHT, { fit: 'cover' }).jpeg({ quality: 90 }).toFile(path);
  return readFileSync(path);
}
