import { createHash } from 'node:crypto';
import { readFileSync, readdirSync } from 'node:fs';
import { extname, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { schemas } from './schemas.js';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
};

interface PageFile {
  readonly type: string;
  readonly plain: Buffer;
  readonly gzipped: Buffer;
  readonly etag: string;
}

/** Serves what the browser loads: the files of one folder, read once; a request names a route, never a path. */
export function servePage(app: FastifyInstance, folder: string): void {
  for (const name of readdirSync(folder)) {
    const type = TYPES[extname(name)];
    if (type === undefined) continue;
    const file = readPageFile(join(folder, name), type);
    const url = name === 'index.html' ? '/' : `/${name}`;
    app.get(url, { schema: schemas.page }, (request, reply) => send(file, request, reply));
  }
}

function readPageFile(path: string, type: string): PageFile {
  const plain = readFileSync(path);
  const etag = `"${createHash('sha256').update(plain).digest('hex').slice(0, 32)}"`;
  return { type, plain, gzipped: gzipSync(plain, { level: 9 }), etag };
}

function send(
  { type, plain, gzipped, etag }: PageFile,
  request: FastifyRequest,
  reply: FastifyReply,
) {
  reply.headers({ etag, 'cache-control': 'no-cache', vary: 'accept-encoding' });
  if (request.headers['if-none-match'] === etag) return reply.code(304).send();
  reply.type(type);
  if (!/\bgzip\b/.test(request.headers['accept-encoding'] ?? '')) return reply.send(plain);
  return reply.header('content-encoding', 'gzip').send(gzipped);
}
