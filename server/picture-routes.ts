import type { FastifyInstance, FastifyReply } from 'fastify';
import {
  completeJob,
  completeLayers,
  Problem,
  usualOutputs,
  type JobInput,
  type OutputName,
  type Rectification,
  type Screen,
} from '../src/index.js';
import type { RouteServices } from './route-services.js';
import { archive } from './archive.js';
import { newId, plainName, shared, stencilName, type HeldPicture } from './pictures.js';
import { schemas, type DownloadKindAsked } from './schemas.js';
import { newStopFlag, type StopFlag } from './tasks.js';
import { busy, Refusal } from './trouble.js';

/** What the page is told of a picture. */
interface PictureTold {
  readonly id: string;
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly format: string;
}

interface ById {
  readonly Params: { readonly id: string };
}

interface WithJob extends ById {
  readonly Body: { readonly job: JobInput };
}

/** Px of the longer side of what the screen shows of a picture; quick sketches are made from it too. */
const COPY_PX = 1600;

/** A picture comes in, is looked at, made a stencil of, taken away. */
export function pictureRoutes(app: FastifyInstance, services: RouteServices): void {
  uploadRoute(app, services);
  const { pictures } = services;

  app.get<ById>('/api/pictures/:id', { schema: schemas.picture }, ({ params }) =>
    tell(pictures.get(params.id)),
  );

  app.delete<ById>('/api/pictures/:id', { schema: schemas.remove }, ({ params }, reply) => {
    pictures.get(params.id);
    pictures.remove(params.id);
    return reply.code(204).send(null);
  });

  app.get<ById & { Querystring: RectificationAsked }>(
    '/api/pictures/:id/copy',
    { schema: schemas.copy },
    async ({ params, query }, reply) =>
      reply
        .header('cache-control', 'private, max-age=3600, immutable')
        .type('image/jpeg')
        .send(Buffer.from(await jpegOf(services, params.id, query))),
  );

  sketchRoutes(app, services);
  app.get<ById>('/api/pictures/:id/page', { schema: schemas.paper }, async ({ params }) => {
    const { thread, copy } = pictures.get(params.id);
    return { page: await services.workerPool.do(thread, 'page', { picture: { bytes: copy } }) };
  });

  filesRoute(app, services);
  folderRoute(app, services);
  layersRoutes(app, services);
}

/** A picture's stencil: quick and coarse while something moves, exact once it rests, and what would make it better. */
function sketchRoutes(app: FastifyInstance, services: RouteServices): void {
  const { pictures } = services;
  const newest = newestOnly();

  app.post<ById & { Body: { job: JobInput; view: string; contact?: boolean } }>(
    '/api/pictures/:id/sketch',
    { schema: schemas.sketch },
    ({ params, body }, reply) => {
      const { id, thread, copy } = pictures.get(params.id);
      const job = completeJob(body.job);
      const task = { picture: { id, bytes: copy }, job };
      return newest(`${id} ${body.view}`, reply, (stop) =>
        body.contact === true
          ? services.workerPool.do(services.workerPool.leastLoaded(thread), 'sketch', {
              ...task,
              purpose: 'contact',
              stop,
            })
          : services.workerPool.do(thread, 'sketch', { ...task, purpose: 'quick', stop }),
      );
    },
  );

  app.post<WithJob>(
    '/api/pictures/:id/stencil',
    { schema: schemas.stencil },
    ({ params, body }, reply) => {
      const { id, thread, bytes } = pictures.get(params.id);
      const job = completeJob(body.job);
      return newest(`${id} stencil`, reply, async (stop) => {
        const screen = await services.workerPool.do(thread, 'stencil', {
          picture: { id, bytes },
          job,
          stop,
        });
        return { ...screenTold(screen), job };
      });
    },
  );

  app.post<WithJob>(
    '/api/pictures/:id/advice',
    { schema: schemas.advice },
    ({ params, body }, reply) => {
      const { id, thread, bytes } = pictures.get(params.id);
      const job = completeJob(body.job);
      return newest(`${id} advice`, reply, (stop) =>
        services.workerPool.do(thread, 'advice', { picture: { id, bytes }, job, stop }),
      );
    },
  );
}

/** How a picture is to be rectified, as an address has it. */
interface RectificationAsked {
  readonly pictureTurn?: Rectification['pictureTurn'];
  readonly straighten?: string;
  readonly page?: string;
}

/** The screen's copy of a picture, rectified as it is asked for. */
async function jpegOf(
  { workerPool, pictures, limits }: RouteServices,
  id: string,
  { pictureTurn, straighten, page }: RectificationAsked,
): Promise<Uint8Array> {
  const { shown, thread, copy } = pictures.get(id);
  if (pictureTurn === undefined && straighten === undefined && page === undefined)
    return shown.jpeg;
  const job = completeJob({ pictureTurn, straighten: Number(straighten ?? 0), page });
  const rectification = {
    pictureTurn: job.pictureTurn,
    straighten: job.straighten,
    page: job.page,
  };
  const task = {
    picture: { bytes: copy },
    longest: COPY_PX,
    mostPixels: limits.pixels,
    rectification,
  };
  return (await workerPool.do(thread, 'show', task)).jpeg;
}

/** How layers of paint are wanted, by name. */
type LayersAsked = Readonly<Record<string, unknown>>;

interface WithLayers extends ById {
  readonly Body: { readonly job: JobInput; readonly layers: LayersAsked };
}

/** Makes layers of paint of a picture. */
const layersOf = (
  { workerPool, locale }: RouteServices,
  { id, thread, bytes, name, file }: HeldPicture,
  { job, layers }: WithLayers['Body'],
  outputs: readonly OutputName[],
) =>
  workerPool.do(thread, 'layers', {
    picture: { id, bytes },
    job: completeJob(job),
    layers: completeLayers(layers, HERE),
    name,
    file,
    locale,
    outputs,
  });

/** Layers of paint of a picture: looked at, and taken away. */
function layersRoutes(app: FastifyInstance, services: RouteServices): void {
  const { pictures } = services;
  app.post<WithLayers>(
    '/api/pictures/:id/layers',
    { schema: schemas.layers },
    async ({ params, body }) => (await layersOf(services, pictures.get(params.id), body, [])).told,
  );
  app.post<WithLayers>(
    '/api/pictures/:id/layers/files',
    { schema: schemas.layersFiles },
    async ({ params, body }, reply) => {
      const picture = pictures.get(params.id);
      const { files } = await layersOf(services, picture, body, usualOutputs);
      return attach(reply, `${picture.name}-layers.zip`, archive(`${picture.name}-layers`, files));
    },
  );
}

/** What settings are called here, in the words of an error. */
const HERE = { where: 'settings', spell: (name: string) => `\`${name}\`` };

interface InFolder {
  readonly id: string;
  readonly job: JobInput;
  /** Where layers of paint are wanted. */
  readonly layers?: LayersAsked;
}

/** Several pictures, each with its settings, as one folder. */
function folderRoute(app: FastifyInstance, services: RouteServices): void {
  app.post<{ Body: { pictures: readonly InFolder[] } }>(
    '/api/folder',
    { schema: schemas.folder },
    async ({ body }, reply) => {
      const all = new Map<string, string | Uint8Array>();
      const names = new Set<string>();
      const notMade: string[] = [];
      for (const wanted of body.pictures) {
        const picture = services.pictures.get(wanted.id);
        const own = unusedName(picture.name, names);
        const folder = wanted.layers ? `${own}-layers` : own;
        try {
          const files = await filesInFolder(services, { ...picture, name: own }, wanted);
          for (const [path, content] of files) all.set(`${folder}/${path}`, content);
        } catch (error) {
          // The others are made all the same.
          if (!(error instanceof Problem) || error instanceof Refusal) throw error;
          notMade.push(`${picture.file}: ${error.what}. ${error.remedy}.`);
        }
      }
      if (notMade.length > 0) all.set('not-made.txt', `${notMade.join('\n')}\n`);
      return attach(reply, 'stencils.zip', archive('stencils', all));
    },
  );
}

/** The files of one of several pictures, by their paths. */
async function filesInFolder(
  services: RouteServices,
  picture: HeldPicture,
  { job, layers }: InFolder,
): Promise<ReadonlyMap<string, string | Uint8Array>> {
  if (layers) return (await layersOf(services, picture, { job, layers }, usualOutputs)).files;
  const { id, thread, bytes, name, file } = picture;
  const task = { picture: { id, bytes }, job: completeJob(job), name, file };
  return services.workerPool.do(thread, 'files', {
    ...task,
    locale: services.locale,
    outputs: usualOutputs,
  });
}

/** The name, or with a number where another picture has it already. */
function unusedName(name: string, taken: Set<string>): string {
  let own = name;
  for (let i = 2; taken.has(own.toLowerCase()); i++) own = `${name}-${i}`;
  taken.add(own.toLowerCase());
  return own;
}

function uploadRoute(app: FastifyInstance, services: RouteServices): void {
  let uploads = 0;
  const { uploadBytes, uploads: most } = services.limits;
  void app.register((scope, _, done) => {
    scope.removeAllContentTypeParsers();
    scope.addContentTypeParser(
      'application/octet-stream',
      { parseAs: 'buffer', bodyLimit: uploadBytes },
      (_request, body, parsed) => parsed(null, body),
    );
    scope.post<{ Querystring: { name: string }; Body: Buffer }>(
      '/api/pictures',
      {
        schema: schemas.upload,
        bodyLimit: uploadBytes,
        onRequest: (_request, reply, next) => {
          if (uploads >= most) return next(busy());
          uploads++;
          reply.raw.once('close', () => uploads--);
          next();
        },
      },
      async ({ query, body }, reply) =>
        reply.code(201).send(await addPicture(services, body, query.name)),
    );
    done();
  });
}

/**
 * Looks at a picture and keeps it.
 *
 * @throws Problem when it can't be read
 */
export async function addPicture(
  { workerPool, pictures, limits }: RouteServices,
  given: Uint8Array,
  fileName: string,
): Promise<PictureTold> {
  const bytes = shared(given);
  const thread = workerPool.leastLoaded();
  const id = newId();
  const task = { picture: { id, bytes }, longest: COPY_PX, mostPixels: limits.pixels };
  const shown = await workerPool.do(thread, 'show', task).catch((error: unknown) => {
    workerPool.do(thread, 'forget', { id }).catch(() => undefined);
    throw error;
  });
  const copy = shared(shown.jpeg);
  const name = stencilName(fileName);
  const file = plainName(fileName);
  return tell(pictures.add({ id, name, file, thread, bytes, shown, copy }));
}

function tell({ id, name, shown }: HeldPicture): PictureTold {
  return { id, name, ...shown.source };
}

/**
 * Lets only the newest run for a view come to its end: an older one is told to stop, and so is one whose browser
 * has gone away.
 */
export function newestOnly() {
  const running = new Map<string, StopFlag>();
  return async <T>(
    view: string,
    reply: FastifyReply,
    run: (stop: StopFlag) => Promise<T>,
  ): Promise<T> => {
    const before = running.get(view);
    if (before) Atomics.store(before, 0, 1);
    const stop = newStopFlag();
    running.set(view, stop);
    reply.raw.once('close', () => {
      if (!reply.raw.writableFinished) Atomics.store(stop, 0, 1);
    });
    try {
      return await run(stop);
    } finally {
      if (running.get(view) === stop) running.delete(view);
    }
  };
}

function filesRoute(app: FastifyInstance, { workerPool, pictures, locale }: RouteServices): void {
  app.post<WithJob & { Params: { which: DownloadKindAsked } }>(
    '/api/pictures/:id/files/:which',
    { schema: schemas.files },
    async ({ params, body }, reply) => {
      const { id, thread, bytes, name, file } = pictures.get(params.id);
      const job = completeJob(body.job);
      const { which } = params;
      if (which === 'job')
        return attach(reply, `${name}-job.json`, `${JSON.stringify(body.job, null, 2)}\n`);
      const outputs: readonly OutputName[] = which === 'all' ? usualOutputs : [which];
      const files = await workerPool.do(thread, 'files', {
        picture: { id, bytes },
        job,
        name,
        file,
        locale,
        outputs,
      });
      if (which === 'all') return attach(reply, `${name}.zip`, archive(name, files));
      return attachOne(reply, which, name, files);
    },
  );
}

/** Sends the file of an output; the report is made with every other. */
export function attachOne(
  reply: FastifyReply,
  which: string,
  name: string,
  files: ReadonlyMap<string, string | Uint8Array>,
): FastifyReply {
  const wanted = [...files].find(([file]) => (file === 'report.json') === (which === 'report'));
  if (!wanted) throw new Error(`There is no file for ${which}`);
  return attach(reply, `${name}-${wanted[0]}`, wanted[1]);
}

/** Media types by the ending of a file, as IANA has them. */
const TYPES: Readonly<Record<string, string>> = {
  dxf: 'image/vnd.dxf',
  json: 'application/json',
  pdf: 'application/pdf',
  png: 'image/png',
  svg: 'image/svg+xml',
  zip: 'application/zip',
};

/** Sends a file to be saved under a name (RFC 6266; RFC 8187 for what is not ASCII). */
export function attach(
  reply: FastifyReply,
  name: string,
  bytes: string | Uint8Array,
): FastifyReply {
  const type = TYPES[name.slice(name.lastIndexOf('.') + 1)] ?? 'application/octet-stream';
  return reply
    .header('content-disposition', `attachment; filename*=UTF-8''${encodeURIComponent(name)}`)
    .header('cache-control', 'no-store')
    .type(type)
    .send(typeof bytes === 'string' ? bytes : Buffer.from(bytes));
}

function base64(bytes: Uint8Array): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('base64');
}

/** A stencil as the page is told of it: its pictures as base64. */
type ScreenTold = Omit<Screen, 'tonePng' | 'widenPng' | 'subjectPng'> & {
  readonly tonePng: string;
  readonly widenPng: string;
  readonly subjectPng: string | undefined;
};

export function screenTold(screen: Screen): ScreenTold {
  return {
    ...screen,
    tonePng: base64(screen.tonePng),
    widenPng: base64(screen.widenPng),
    subjectPng: screen.subjectPng && base64(screen.subjectPng),
  };
}
