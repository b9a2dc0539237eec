import fastifyStatic from '@fastify/static';
import { NotFoundException } from '@nestjs/common';
import type { FastifyInstance } from 'fastify';
import { existsSync } from 'node:fs';
import { join } from 'node:path';

/** Paths that are never a page: an unknown one is answered with a problem. */
const NOT_PAGES = /^\/(api|health|assets)(\/|$|\?)/;

/**
 * Serves the built pages. Files under `assets/` carry their content's hash in their name and may be kept for ever; a page
 * is asked for anew each time, so that nobody works on a version that was withdrawn. Every other address is the
 * application's own and gets the same page.
 */
export async function serveWebPages(server: FastifyInstance, folder: string): Promise<boolean> {
  if (!existsSync(join(folder, 'index.html'))) return false;
  await server.register(fastifyStatic, {
    root: folder,
    wildcard: false,
    index: false,
    cacheControl: false,
    setHeaders: (reply, path) => {
      const hashed = path.startsWith(join(folder, 'assets'));
      reply.header('Cache-Control', hashed ? 'public, max-age=31536000, immutable' : 'no-store');
    },
  });
  server.get('/*', (request, reply) => {
    if (NOT_PAGES.test(request.url)) throw new NotFoundException();
    return reply.sendFile('index.html');
  });
  return true;
}
