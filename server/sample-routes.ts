import type { FastifyInstance } from 'fastify';
import type { RouteServices } from './route-services.js';
import { addPicture } from './picture-routes.js';
import { readSample, sampleOf, samples } from './samples.js';
import { schemas } from './schemas.js';

/** The longer side, in px: sharp on a dense screen, where a sample is shown at about 120 CSS px. */
const THUMB_PX = 240;

/** The samples: which there are, how they look, and beginning with one. */
export function sampleRoutes(app: FastifyInstance, services: RouteServices): void {
  app.get('/api/samples', { schema: schemas.samples }, () =>
    samples.map(({ name, title }) => ({ name, title })),
  );

  const thumbs = new Map<string, Promise<Uint8Array>>();
  app.get<{ Params: { name: string } }>(
    '/api/samples/:name/image',
    { schema: schemas.sampleImage },
    async (request, reply) => {
      const sample = sampleOf(request.params.name);
      const thumb = thumbs.get(sample.name) ?? drawThumb(services, sample.name);
      thumbs.set(sample.name, thumb);
      thumb.catch(() => thumbs.delete(sample.name));
      return reply.type('image/jpeg').send(Buffer.from(await thumb));
    },
  );

  app.post<{ Params: { name: string } }>(
    '/api/samples/:name',
    { schema: schemas.sample },
    async (request, reply) => {
      const sample = sampleOf(request.params.name);
      return reply
        .code(201)
        .send(await addPicture(services, await readSample(sample), sample.file));
    },
  );
}

async function drawThumb({ workerPool, limits }: RouteServices, name: string): Promise<Uint8Array> {
  const bytes = await readSample(sampleOf(name));
  const task = { picture: { bytes }, longest: THUMB_PX, mostPixels: limits.pixels };
  return (await workerPool.do(workerPool.leastLoaded(), 'show', task)).jpeg;
}
