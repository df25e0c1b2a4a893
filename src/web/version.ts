import type { FastifyInstance } from 'fastify';
import { packageName, packageVersion } from '../package-root.js';
import { rulesVersion } from '../trade/rules-version.js';

/** `/version`: which program answers, and by which rules it judges; nothing about the shop. */
export function registerVersion(app: FastifyInstance): void {
  app.get('/version', async (_request, reply) =>
    reply
      .header('cache-control', 'no-store')
      .send({ name: packageName, version: packageVersion, rules: rulesVersion }),
  );
}
