import fastifyHelmet from '@fastify/helmet';
import type { FastifyInstance } from 'fastify';

/** Everything a page may load comes from this service; nothing inline, nothing framed. */
const CONTENT = {
  defaultSrc: ["'none'"],
  scriptSrc: ["'self'"],
  styleSrc: ["'self'"],
  imgSrc: ["'self'", 'data:'],
  fontSrc: ["'self'"],
  connectSrc: ["'self'"],
  manifestSrc: ["'self'"],
  workerSrc: ["'self'"],
  formAction: ["'self'"],
  baseUri: ["'none'"],
  objectSrc: ["'none'"],
  frameAncestors: ["'none'"],
};

const ONE_YEAR_SECONDS = 31_536_000;

export async function sendSecurityHeaders(server: FastifyInstance): Promise<void> {
  await server.register(fastifyHelmet, {
    contentSecurityPolicy: { useDefaults: false, directives: CONTENT },
    strictTransportSecurity: { maxAge: ONE_YEAR_SECONDS, includeSubDomains: true },
    referrerPolicy: { policy: 'no-referrer' },
    crossOriginResourcePolicy: { policy: 'same-origin' },
    xFrameOptions: { action: 'deny' },
  });
  server.addHook('onRequest', async (request, reply) => {
    reply.header('Permissions-Policy', 'camera=(), geolocation=(), microphone=(), payment=(), usb=()');
    if (request.url.startsWith('/api') || request.url.startsWith('/health')) reply.header('Cache-Control', 'no-store');
  });
}
