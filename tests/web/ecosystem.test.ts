import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { readingsCsv } from '../../src/record/readings-csv.js';
import { jsonSchemas } from '../../src/store/json-schemas.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { playedShop } from './played-shop.js';
import { shopUnderTest } from './shop-under-test.js';

const paper = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8'));

test('the version says the program and its rules and nothing of the shop', async () => {
  const { app } = await shopUnderTest();
  const reply = await app.inject('/version');
  expect(reply.json()).toEqual({ name: paper.name, version: paper.version, rules: rulesVersion });
});

test('every file format has its schema at an address of its own, open to all, and no other name has one', async () => {
  const { app } = await shopUnderTest();
  expect(Object.keys(jsonSchemas)).toHaveLength(4);
  for (const name of Object.keys(jsonSchemas)) {
    const reply = await app.inject(`/schemas/${name}.json`);
    expect([reply.statusCode, reply.headers['content-type']]).toEqual([
      200,
      'application/schema+json; charset=utf-8',
    ]);
    expect(reply.json()).toMatchObject({ $id: `urn:inlet-logbook:${name}`, type: 'object' });
  }
  for (const name of ['inlet-job-1', 'constructor.json', '__proto__.json', 'inlet-job-2.json'])
    expect((await app.inject(`/schemas/${name}`)).statusCode).toBe(404);
});

test('the readings of a job come as the table that a record has attached', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const page = `/jobs/${shop.number}/readings`;
  expect((await shop.fitter.get(page)).body).toContain(`href="${page}.csv"`);
  const reply = await shop.fitter.get(`${page}.csv`);
  expect(reply.headers['content-disposition']).toBe(`attachment; filename="readings-${shop.number}.csv"`);
  expect(reply.body).toBe(readingsCsv(shop.job()));
  expect(reply.body.split('\r\n').length).toBeGreaterThan(20);
});
