import { once } from 'node:events';
import { get, type IncomingMessage } from 'node:http';
import { connect } from 'node:net';
import Fastify from 'fastify';
import { expect, test } from 'vitest';
import { letGoOfSilent } from '../../src/web/silent-connections.js';

test('a server that closes answers what was asked and lets go of a connection that asked nothing', async () => {
  // Left to themselves both would be held for ten minutes, longer than a test may take.
  const app = Fastify({ connectionTimeout: 600_000, keepAliveTimeout: 600_000 });
  letGoOfSilent(app, { https: false });
  let asked = () => {};
  let answer = () => {};
  const underWay = new Promise<void>((resolve) => {
    asked = resolve;
  });
  const wait = new Promise<void>((resolve) => {
    answer = resolve;
  });
  app.get('/', async () => {
    asked();
    await wait;
    return 'answered';
  });
  const address = await app.listen({ port: 0, host: '127.0.0.1' });
  const silent = connect(Number(new URL(address).port), '127.0.0.1');
  silent.on('error', () => {});
  await once(silent, 'connect');
  const reply = new Promise<IncomingMessage>((resolve) => {
    get(address, { agent: false }, resolve);
  }).then(async (response) => Buffer.concat(await response.toArray()).toString());
  await underWay;
  const gone = once(silent, 'close');
  const closed = app.close();
  await gone;
  answer();
  expect(await reply).toBe('answered');
  await closed;
  expect(app.server.listening).toBe(false);
}, 20_000);
