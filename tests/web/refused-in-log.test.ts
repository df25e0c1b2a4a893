import { expect, test } from 'vitest';
import { buildApp } from '../../src/app.js';
import { addPerson, Browser, shopUnderTest, signedIn } from './shop-under-test.js';

test('a refusal is logged with who was refused, an owner’s link without its token, and nobody finds such a link by searching', async () => {
  const shop = await shopUnderTest();
  addPerson(shop, 'tam', 'Tam Whitlock', ['checker']);
  const lines: string[] = [];
  const app = await buildApp({
    config: { logLevel: 'info' },
    store: shop.store,
    clock: shop.clock,
    log: { write: (line) => void lines.push(line) },
  });
  expect((await signedIn({ ...shop, app }, 'tam').get('/people')).statusCode).toBe(403);
  const token = 'a'.repeat(32);
  const owner = await new Browser(app).get(`/o/${token}`);
  await app.close();
  expect([owner.statusCode, owner.headers['x-robots-tag']]).toEqual([404, 'noindex, nofollow']);
  const log = lines.map((line) => JSON.parse(line) as Record<string, unknown>);
  const refused = log.find((line) => line.msg === 'request refused' && line.code === 'not-allowed');
  expect(refused).toMatchObject({
    person: 'tam',
    route: '/people',
    reqId: expect.stringMatching(/^[0-9a-f]{10}$/),
  });
  expect(lines.join('')).not.toContain(token);
});
