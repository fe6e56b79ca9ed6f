import type { FastifyInstance, FastifyRequest } from 'fastify';
import { Refusal } from './trouble.js';

/** Names by which a browser on this machine reaches it. */
const LOOPBACK: readonly string[] = ['localhost', '127.0.0.1', '[::1]'];

/** Content Security Policy Level 3 (W3C): nothing from anywhere but here, and no code that is not in a file. */
const POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' blob: data:",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

const HEADERS = {
  'content-security-policy': POLICY,
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
} as const;

/**
 * Keeps other sites' pages from driving the server or reading from it: a request must be addressed to one of the
 * hosts by name (a name that another site points here is refused), and must not come from another origin.
 *
 * @param hosts names that are allowed besides those of the loopback address
 */
export function guard(app: FastifyInstance, hosts: readonly string[]): void {
  const allowed = new Set([...LOOPBACK, ...hosts.map((host) => host.toLowerCase())]);
  app.addHook('onRequest', (request, reply, done) => {
    reply.headers(HEADERS);
    done(refusal(request, allowed));
  });
}

function refusal(request: FastifyRequest, allowed: ReadonlySet<string>): Refusal | undefined {
  const { host, origin, 'sec-fetch-site': site } = request.headers;
  if (host === undefined || !allowed.has(nameOf(host))) {
    return new Refusal(
      403,
      `This server does not go by the name ${shown(host)}`,
      'address',
      'Use the address that it printed when it started',
    );
  }
  if (origin !== undefined && origin !== `http://${host}`) return foreign();
  const isVisit = request.method === 'GET' && request.headers['sec-fetch-mode'] === 'navigate';
  if (!isVisit && (site === 'cross-site' || site === 'same-site')) return foreign();
  return undefined;
}

function foreign(): Refusal {
  return new Refusal(
    403,
    "Another site's page may not use this server",
    'origin',
    'Open the page at the address that the server printed',
  );
}

/** The host without its port. */
function nameOf(host: string): string {
  return host.replace(/:\d+$/, '').toLowerCase();
}

/** Characters of a foreign host that are told: enough to know it by, where a header may be thousands long. */
const MOST_SHOWN = 60;

const shown = (host: string | undefined): string =>
  host === undefined ? '(none)' : `"${host.slice(0, MOST_SHOWN)}"`;
