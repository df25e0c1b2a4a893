import fastify from 'fastify';
import { expect, test } from 'vitest';
import { noSchemas } from '../../src/web/no-schemas.js';

test.each([
  ['what is sent', { querystring: { type: 'object' } }],
  ['what is answered', { response: { 200: { type: 'object' } } }],
])('a route with a JSON Schema of %s stops the start', async (_, schema) => {
  const app = fastify({ schemaController: noSchemas });
  app.get('/', { schema }, async () => ({}));
  await expect(app.ready()).rejects.toThrow(/a route has a JSON Schema/);
});
