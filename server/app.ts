import { fileURLToPath } from 'node:url';
import {
  fastify,
  type FastifyError,
  type FastifyInstance,
  type FastifyReply,
  type FastifyRequest,
} from 'fastify';
import { checkSettings, completeJob, Problem } from '../src/index.js';
import { createWorkerPool, type WorkerPool } from './worker-pool.js';
import type { RouteServices } from './route-services.js';
import { guard } from './guard.js';
import { defaultLimits, type ServerLimits } from './limits.js';
import { servePage } from './page-files.js';
import { createFonts } from './fonts.js';
import { createPictures } from './pictures.js';
import { pictureRoutes } from './picture-routes.js';
import { sampleRoutes } from './sample-routes.js';
import { JSON_BYTES } from './schemas.js';
import { readSample, samples } from './samples.js';
import type { WarmUp } from './tasks.js';
import { wordsRoutes } from './words-routes.js';
import { Refusal, toldOf, type ProblemWords } from './trouble.js';

export interface AppOptions {
  readonly limits?: Partial<ServerLimits>;
  /** The folder that the page was built into. */
  readonly pageDir?: string;
  /** Names and addresses that the server may be called by, besides those of the loopback address. */
  readonly hosts?: readonly string[];
  /** Chooses the template's paper where the job does not, as for `makeStencil`. */
  readonly locale?: string;
  /** Told what goes wrong by a fault of ours. */
  readonly onFault?: (error: unknown) => void;
}

/** Beside this file: the build puts the page there. */
const BUILT_PAGE = fileURLToPath(new URL('./page/', import.meta.url));

/**
 * The server of the page: an app that is not listening yet. Pictures are kept in memory only, and are gone when it
 * closes.
 */
export function createApp(options: AppOptions = {}): FastifyInstance {
  const limits = { ...defaultLimits, ...options.limits };
  const workerPool = createWorkerPool({
    ...limits,
    onFault: (error) => options.onFault?.(error),
  });
  const pictures = createPictures(limits, ({ id }) => {
    // A thread that is busy or closing forgets it when its turn comes, or has forgotten it already.
    for (let thread = 0; thread < workerPool.size; thread++)
      workerPool.do(thread, 'forget', { id }).catch(() => undefined);
  });
  const app = fastify({
    bodyLimit: JSON_BYTES,
    routerOptions: { maxParamLength: 200 },
    // A value of another kind is refused, not bent into shape.
    ajv: { customOptions: { coerceTypes: false, removeAdditional: false } },
    requestTimeout: limits.patienceMs,
    forceCloseConnections: true,
  });
  guard(app, options.hosts ?? []);
  app.setErrorHandler<FastifyError | Problem>((error, request, reply) =>
    answer(error, request, reply, options),
  );
  app.setNotFoundHandler((_, reply) =>
    reply.code(404).send({
      what: 'There is nothing at this address',
      where: 'address',
      remedy: 'Open the page itself',
    } satisfies ProblemWords),
  );
  app.addHook('onClose', () => workerPool.close());
  servePage(app, options.pageDir ?? BUILT_PAGE);
  const services: RouteServices = {
    workerPool,
    pictures,
    fonts: createFonts(),
    limits,
    locale: options.locale,
  };
  sampleRoutes(app, services);
  pictureRoutes(app, services);
  wordsRoutes(app, services);
  app.decorate('warmUp', () => warmUp(workerPool));
  return app;
}

declare module 'fastify' {
  interface FastifyInstance {
    /**
     * Has every thread make stencils of samples while it has nothing else to do, so that a person's own are quick.
     * Takes some seconds.
     */
    warmUp(): Promise<void>;
  }
}

/** Engines compile code well after it has run for a while: after this much a sketch takes a third of its first time. */
const WARM_UP: readonly WarmUp[] = [
  'all',
  ...[38, 54].map((level) => ({ purpose: 'exact', level }) as const),
  ...[26, 30, 34, 38, 42, 46, 50, 54, 58, 62, 66, 70].map(
    (level) => ({ purpose: 'quick', level }) as const,
  ),
  ...[34, 46].map((level) => ({ purpose: 'exact', level }) as const),
];

async function warmUp(workerPool: WorkerPool): Promise<void> {
  const pictures = await Promise.all(samples.slice(0, 3).map(readSample));
  const threads = Array.from({ length: workerPool.size }, (_, thread) => thread);
  const warm = async (thread: number): Promise<void> => {
    for (const [i, how] of WARM_UP.entries()) {
      // A thread that a person keeps busy warms up by itself.
      if (!workerPool.isFree(thread)) return;
      await workerPool.warm(thread, { bytes: pictures[i % pictures.length], how });
    }
  };
  await Promise.all(threads.map(warm));
}

/**
 * What the page prefers (RFC 7240): what a person is told of her picture and her settings comes as an answer, with its
 * status in it. A browser writes every other status over 399 to its console as an error, and that nothing can be cut at a
 * level is none.
 */
const AS_ANSWER = 'refusals=answers';

/** Tells a request in words why it gets no stencil. */
function answer(
  error: FastifyError | Problem,
  { body, headers }: FastifyRequest,
  reply: FastifyReply,
  { onFault }: AppOptions,
): FastifyReply {
  const { status, told } = refusalOf(error, body);
  if (status >= 500 && status !== 503) onFault?.(error);
  if (status === 503) reply.header('retry-after', '2');
  reply.type('application/json; charset=utf-8');
  const isOfHers = told !== malformed && told !== fault && status !== FOREIGN;
  if (!isOfHers || headers.prefer !== AS_ANSWER) return reply.code(status).send(told);
  reply.header('preference-applied', AS_ANSWER).serializer(JSON.stringify);
  return reply.code(200).send({ status, ...told });
}

/** HTTP status, RFC 9110, 15.5.21: the request is well formed, and what it brings can't be worked on. */
const UNREADABLE = 422;
/** HTTP status, RFC 9110, 15.5.4 (Forbidden): what the guard refuses. */
const FOREIGN = 403;
/** HTTP status, RFC 9110, 15.5.1: what came in is not as its schema says. */
const BAD_REQUEST = 400;

function refusalOf(
  error: FastifyError | Problem,
  body: unknown,
): { status: number; told: ProblemWords } {
  if (error instanceof Refusal) return { status: error.statusCode, told: toldOf(error) };
  if (error instanceof Problem) return { status: UNREADABLE, told: toldOf(error) };
  if (error.validation) {
    const wrong = wrongSettings(body);
    return { status: BAD_REQUEST, told: wrong ? toldOf(wrong) : malformed };
  }
  if (error.code === 'FST_ERR_CTP_BODY_TOO_LARGE') return { status: 413, told: tooLarge };
  const status = error.statusCode ?? 500;
  return { status, told: status < 500 ? malformed : fault };
}

/** What the library says about the settings in a body that its schema refuses. */
function wrongSettings(body: unknown): Problem | undefined {
  const job = (body as { readonly job?: unknown } | null)?.job;
  if (typeof job !== 'object' || job === null) return undefined;
  try {
    checkSettings(job as Readonly<Record<string, unknown>>);
    completeJob(job as Readonly<Record<string, unknown>>);
  } catch (error) {
    if (error instanceof Problem) return error;
    throw error;
  }
  return undefined;
}

const malformed: ProblemWords = {
  what: 'The server does not understand this request',
  where: 'request',
  remedy: 'Load the page again and try once more',
};

const tooLarge: ProblemWords = {
  what: 'The file is too large',
  where: 'picture',
  remedy: 'Save the picture smaller; a card needs far less',
};

const fault: ProblemWords = {
  what: 'This is a fault of stencilwright, not of yours',
  where: 'server',
  remedy: 'Try it once more; if it happens again, what the terminal says helps to mend it',
};
