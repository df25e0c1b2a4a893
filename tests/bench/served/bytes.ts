// What every page is measured beside: Fastify alone, sending the bytes of one file, with no session, guard or template.
import { readFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import fastify from 'fastify';

const bytes = readFileSync(process.argv[2] ?? '');
const app = fastify();
app.get('/', (_request, reply) => reply.type('text/html; charset=utf-8').send(bytes));
await app.listen({ port: 0, host: '127.0.0.1' });
console.log(`Bytes: http://127.0.0.1:${(app.server.address() as AddressInfo).port}`);
process.once('SIGTERM', () => void app.close());
