import { expect, test } from 'vitest';
import { glossary, glossaryId } from '../../../src/trade/glossary.js';
import { jobPath } from '../../../src/web/words/job-words.js';
import { makeLink, playedShop } from '../played-shop.js';
import { Browser, passphrase, shopUnderTest } from '../shop-under-test.js';

const terms = (html: string) =>
  [...html.matchAll(/<a class="term" href="\/glossary#([^"]+)"/g)].map((m) => m[1]);
const ids = glossary.rows.map(({ word }) => glossaryId(word));

test('the glossary is open to an owner without a session, has every word once, in order, and leads back to where it was asked', async () => {
  const { app } = await shopUnderTest();
  const owner = new Browser(app);
  const page = await owner.get('/glossary', { referer: 'http://127.0.0.1:8080/o/abc?x=1' });
  expect(page.statusCode).toBe(200);
  const places = [...page.body.matchAll(/<div id="([^"]+)"><dt>/g)].map((m) => m[1]);
  expect(new Set(places)).toEqual(new Set(ids));
  expect(places.length).toBe(ids.length);
  const words = [...page.body.matchAll(/<dt>([^<]+)<\/dt>/g)].map((m) => m[1] as string);
  expect(words).toEqual([...words].sort((a, b) => a.localeCompare(b, 'en')));
  expect(page.body).toContain('<a href="/o/abc">');
});

test.each(['https://elsewhere.example/jobs/1', 'http://127.0.0.1:8080/people', 'nonsense', ''])(
  'it leads back to no page of another site, nor to one without words (%s)',
  async (referer) => {
    const { app } = await shopUnderTest();
    const page = await new Browser(app).get('/glossary', referer === '' ? {} : { referer });
    expect(page.statusCode).toBe(200);
    expect(page.body).not.toContain('class="back"');
  },
);

test('a step, a reading, the sheet and the owner’s page lead from a word to its meaning, once on a page, never in a heading, a button or a link', async () => {
  const shop = await playedShop();
  const { number, fitter } = shop;
  const issued = await fitter.post(jobPath(number, 'record'), {
    'signature.name': 'Ines Okafor',
    'signature.strokes': '',
    passphrase,
  });
  expect(issued.statusCode).toBe(303);
  const owners = await makeLink(fitter, number);
  const { steps, readings } = shop.job();
  const without: string[] = [];
  for (const path of [
    jobPath(number, 'sheet'),
    owners,
    ...[...steps.keys()].filter((id) => id !== 'issue-record').map((id) => jobPath(number, 'steps', id)),
    ...[...readings.keys()].map((id) => jobPath(number, 'readings', id)),
  ]) {
    const { body, statusCode } = await fitter.get(path);
    expect([path, statusCode]).toEqual([path, 200]);
    const found = terms(body);
    expect([path, new Set(found).size]).toEqual([path, found.length]);
    if (found.length === 0) without.push(path);
    expect([path, found.filter((id) => !ids.includes(id as string))]).toEqual([path, []]);
    const inside =
      body.match(/<(h[1-6]|button|a|summary|label|legend)\b[^>]*>(?:(?!<\/\1>)[\s\S])*?class="term"/g) ?? [];
    expect([path, inside]).toEqual([path, []]);
  }
  // A step of the van's own batteries or of a date has no word of the trade in it.
  expect(without.length).toBeLessThan(6);
});
