import type { FastifyInstance } from 'fastify';
import {
  completeJob,
  completeLettering,
  nameOfWords,
  usualOutputs,
  type JobInput,
  type WordsWish,
} from '../src/index.js';
import { archive } from './archive.js';
import { attach, base64 } from './picture-routes.js';
import type { RouteServices } from './route-services.js';
import { schemas } from './schemas.js';

interface WithWords {
  readonly Body: {
    readonly lines: readonly string[];
    /** No picture and no font file: those are paths on this computer. */
    readonly set: Readonly<Record<string, unknown>>;
    readonly job: JobInput;
  };
}

/** Words that are typed: looked at, and taken away as files. */
export function wordsRoutes(
  app: FastifyInstance,
  { workerPool, locale }: Pick<RouteServices, 'workerPool' | 'locale'>,
): void {
  app.post<WithWords>('/api/words', { schema: schemas.words }, async ({ body }) => {
    const wish = wishOf(body);
    const { files, findings } = await workerPool.do(workerPool.leastLoaded(), 'words', {
      wish,
      job: completeJob(body.job),
      name: await nameOfWords(wish),
      locale,
      outputs: ['preview'],
    });
    const preview = files.get('preview.png');
    if (!(preview instanceof Uint8Array)) throw new Error('There is no preview of the words');
    return { preview: base64(preview), findings };
  });

  app.post<WithWords>(
    '/api/words/files',
    { schema: schemas.wordsFiles },
    async (request, reply) => {
      const wish = wishOf(request.body);
      const name = await nameOfWords(wish);
      const { files } = await workerPool.do(workerPool.leastLoaded(), 'words', {
        wish,
        job: completeJob(request.body.job),
        name,
        locale,
        outputs: usualOutputs,
      });
      return attach(reply, `${name}.zip`, archive(name, files));
    },
  );
}

function wishOf({ lines, set }: WithWords['Body']): WordsWish {
  const here = { where: 'settings', spell: (name: string) => `\`${name}\`` };
  return { words: lines, set: completeLettering(set, here) };
}
