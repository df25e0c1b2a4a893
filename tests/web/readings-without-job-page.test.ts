import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { formOn, plain } from './read-form.js';
import { Browser, shopUnderTest } from './shop-under-test.js';

const page = '/readings-without-a-job';
const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');

async function atTheBench() {
  const shop = await shopUnderTest();
  const browser = new Browser(shop.app);
  await browser.signIn('ines');
  const form = formOn((await browser.get(page)).body, page);
  return { shop, browser, form };
}

test('a few readings answer with the verdict, the wire and the next reading, and nothing is kept', async () => {
  const { shop, browser, form } = await atTheBench();
  const rows = {
    ...row(0, 'inlet.ground', 'outlet1.ground', '0.02'),
    ...row(1, 'inlet.ground', 'outlet2.ground', 'OL'),
  };
  const before = shop.store.shop.state().entries.length;
  const { body, statusCode } = await browser.postRaw(page, { ...form, ...rows, act: 'answer' });
  expect(statusCode).toBe(200);
  expect(words(body)).toContain('Ground open between outlet 1 and outlet 2');
  expect(words(body)).toContain('Next reading');
  expect(shop.store.shop.state().entries.length).toBe(before);
  expect(shop.store.jobs.list()).toEqual([]);
  const next = await browser.postRaw(page, { ...formOn(body, page), act: 'add-next' });
  expect(formOn(next.body, page).rows).toBe('5');
  expect(formOn(next.body, page)['row.1.value']).toBe('OL');
});

test('a pasted readings file is answered, and a bad one is refused with the index of its reading', async () => {
  const { browser, form } = await atTheBench();
  const file = readFileSync(new URL('../faults/cases/case-001.json', import.meta.url), 'utf8');
  const good = await browser.postRaw(page, { ...form, act: 'answer', file });
  expect(good.statusCode).toBe(200);
  expect(words(good.body)).toMatch(/Hot open/);
  const bad = JSON.parse(file);
  bad.readings[3].from = 'outlet9.hot';
  const refused = await browser.postRaw(page, { ...form, act: 'answer', file: JSON.stringify(bad) });
  expect(refused.statusCode).toBe(422);
  expect(words(refused.body)).toMatch(/readings\.3\.from names "outlet9\.hot"/);
  expect(plain(formOn(refused.body, page).file ?? '')).toContain('outlet9.hot');
});

test('outlets are added and taken out, and their points can be chosen', async () => {
  const { browser, form } = await atTheBench();
  const more = await browser.postRaw(page, { ...form, act: 'add-outlet' });
  expect(more.body).toContain('value="outlet3.hot"');
  const fewer = await browser.postRaw(page, { ...formOn(more.body, page), act: 'remove-outlet' });
  expect(fewer.body).not.toContain('value="outlet3.hot"');
});

test.each([
  ['no reading', {}, /at least one reading/],
  ['a figure in words', row(0, 'inlet.hot', 'outlet1.line.hot', 'fine'), /“fine” is not a number/],
  ['one point twice', row(0, 'inlet.hot', 'inlet.hot', '1'), /same point/],
  ['a point that is not there', row(0, 'inlet.hot', 'outlet7.hot', '1'), /outlet7\.hot/],
  ['a cord of no length', { 'cord.length': '' }, /needs a number/],
] as const)('%s is refused with its reason', async (_, changes, says) => {
  const { browser, form } = await atTheBench();
  const { body, statusCode } = await browser.postRaw(page, { ...form, act: 'answer', ...changes });
  expect(statusCode).toBe(422);
  expect(words(body)).toMatch(says);
});

function row(k: number, from: string, to: string, value: string): Record<string, string> {
  return {
    [`row.${k}.test`]: 'resistance',
    [`row.${k}.from`]: from,
    [`row.${k}.to`]: to,
    [`row.${k}.value`]: value,
  };
}
