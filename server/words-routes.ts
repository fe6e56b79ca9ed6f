import type { FastifyInstance } from 'fastify';
import {
  completeJob,
  completeLettering,
  completeSheets,
  nameOfWords,
  usualOutputs,
  type JobInput,
  type LetterPlace,
  type OutputName,
  type WordsWish,
} from '../src/index.js';
import { archive } from './archive.js';
import { attach, attachOne, newestOnly, screenTold } from './picture-routes.js';
import { plainName, shared } from './pictures.js';
import type { RouteServices } from './route-services.js';
import { schemas, type DownloadKindAsked } from './schemas.js';

/** Words that are typed, and how they are cut. */
interface Typed {
  readonly lines: readonly string[];
  /** No picture and no font file: those would be paths on this computer. */
  readonly set: Readonly<Record<string, unknown>>;
  /** Where the letters stood when the job's bridges were edited. */
  readonly before?: readonly LetterPlace[];
  /** A picture beside them, by its id. */
  readonly picture?: string;
  /** A font file of the person's own, by its id. */
  readonly font?: string;
}

interface WithWords {
  readonly Body: { readonly words: Typed; readonly job: JobInput };
}

interface WithSheets {
  readonly Body: WithWords['Body'] & { readonly sheets: Readonly<Record<string, unknown>> };
}

/** Bytes of the largest font file: those with all letters of Chinese have some twenty million. */
const MOST_FONT_BYTES = 32 << 20;

/** A font file comes in, to set words in. */
function fontRoute(app: FastifyInstance, { fonts }: RouteServices): void {
  void app.register((scope, _, done) => {
    scope.removeAllContentTypeParsers();
    scope.addContentTypeParser(
      'application/octet-stream',
      { parseAs: 'buffer', bodyLimit: MOST_FONT_BYTES },
      (_request, body, parsed) => parsed(null, body),
    );
    scope.post<{ Querystring: { name: string }; Body: Buffer }>(
      '/api/fonts',
      { schema: schemas.font, bodyLimit: MOST_FONT_BYTES },
      ({ query, body }, reply) => {
        const file = plainName(query.name);
        return reply.code(201).send({ id: fonts.add({ bytes: shared(body), file }), file });
      },
    );
    done();
  });
}

/** Words come in, are looked at, made a stencil of, taken away; and the typefaces with them in. */
export function wordsRoutes(app: FastifyInstance, services: RouteServices): void {
  const { workerPool, locale } = services;
  fontRoute(app, services);
  const newest = newestOnly();

  app.post<WithWords & { Body: { view: string } }>(
    '/api/words/stencil',
    { schema: schemas.words },
    ({ body }, reply) => {
      const wish = wishOf(body.words, services);
      const job = completeJob(body.job);
      return newest(body.view, reply, async (stop) => {
        const asked = { wish, job, stop };
        const { screen, letters, bridgeEdits } = await workerPool.do(
          workerPool.leastLoaded(),
          'words',
          asked,
        );
        return {
          ...screenTold(screen),
          job: { ...job, bridgeEdits },
          letters,
        };
      });
    },
  );

  app.post<{ Body: { lines: readonly string[]; job: JobInput; font?: string } }>(
    '/api/words/typefaces',
    { schema: schemas.typefaces },
    ({ body }) =>
      workerPool.do(workerPool.leastLoaded(), 'typefaces', {
        words: body.lines,
        job: completeJob(body.job),
        font: body.font === undefined ? undefined : services.fonts.get(body.font),
      }),
  );

  app.post<WithSheets>('/api/words/layers', { schema: schemas.wordsLayers }, async ({ body }) => {
    const { told: look } = await layersOf(services, body, []);
    return look;
  });

  app.post<(WithWords | WithSheets) & { Params: { which: DownloadKindAsked } }>(
    '/api/words/files/:which',
    { schema: schemas.wordsFiles },
    async ({ body, params }, reply) => {
      const wish = wishOf(body.words, services);
      const name = await nameOfWords(wish);
      const job = completeJob(body.job);
      const { which } = params;
      if (which === 'all' && 'sheets' in body) {
        const { files } = await layersOf(services, body, usualOutputs);
        return attach(reply, `${name}-layers.zip`, archive(`${name}-layers`, files));
      }
      if (which === 'job') return attach(reply, `${name}-job.json`, jobFile(body, wish));
      const outputs: readonly OutputName[] = which === 'all' ? usualOutputs : [which];
      const files = await workerPool.do(workerPool.leastLoaded(), 'wordsFiles', {
        wish,
        job,
        name,
        locale,
        outputs,
      });
      if (which === 'all') return attach(reply, `${name}.zip`, archive(name, files));
      return attachOne(reply, which, name, files);
    },
  );
}

/** Makes words, and a picture beside them, as a sheet for each paint. */
async function layersOf(
  services: RouteServices,
  { words, job, sheets }: WithSheets['Body'],
  outputs: readonly OutputName[],
) {
  const { workerPool, locale } = services;
  const wish = wishOf(words, services);
  return workerPool.do(workerPool.leastLoaded(), 'wordsLayers', {
    wish,
    job: completeJob(job),
    sheets: completeSheets(sheets, HERE),
    name: `${await nameOfWords(wish)}-layers`,
    locale,
    outputs,
  });
}

/** The words and settings as a report holds them, so that the command line can go on with them. */
function jobFile(
  { words, job, ...rest }: WithWords['Body'] | WithSheets['Body'],
  { set, picture, font }: WordsWish,
): string {
  const told = {
    job,
    words: {
      ...('sheets' in rest && { sheets: completeSheets(rest.sheets, HERE) }),
      lines: words.lines,
      set: { ...set, face: font?.file ?? set.face, picture: picture?.file ?? null },
      letters: words.before ?? [],
    },
  };
  return `${JSON.stringify(told, null, 2)}\n`;
}

const HERE = { where: 'settings', spell: (name: string) => `\`${name}\`` };

function wishOf(
  { lines, set, before, picture, font }: Typed,
  { pictures, fonts }: RouteServices,
): WordsWish {
  const held = picture === undefined ? undefined : pictures.get(picture);
  return {
    words: lines,
    set: completeLettering(set, HERE),
    ...(before && { before }),
    ...(held && { picture: { bytes: held.bytes, file: held.file } }),
    ...(font !== undefined && { font: fonts.get(font) }),
  };
}
