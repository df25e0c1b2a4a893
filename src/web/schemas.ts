import type { FastifyInstance } from 'fastify';
import { jsonSchemas } from '../store/json-schemas.js';

/** `/schemas/<format>.json`: what a circuit, a readings file, a job file or a record's facts must look like. */
export function registerSchemas(app: FastifyInstance): void {
  app.get<{ Params: { schema: string } }>('/schemas/:schema', async (request, reply) => {
    const name = /^(.+)\.json$/.exec(request.params.schema)?.[1] ?? '';
    if (!Object.hasOwn(jsonSchemas, name)) return reply.callNotFound();
    return reply
      .type('application/schema+json')
      .header('cache-control', 'no-cache')
      .send(JSON.stringify(jsonSchemas[name]?.(), undefined, 1));
  });
}
