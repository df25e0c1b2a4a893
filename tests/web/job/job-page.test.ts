import { expect, test } from 'vitest';
import { likelihoodWords, whenText } from '../../../src/web/words/job-words.js';
import { demoCircuit, playedShop } from '../played-shop.js';
import { formOn, plain } from '../read-form.js';

const words = (html: string) =>
  plain(html.replace(/<svg[\s\S]*?<\/svg>/g, ' ').replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');

test('the list of jobs says the stage and what is next, and a closed job says so with its reason', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const open = words((await shop.fitter.get('/')).body);
  expect(open).toContain('Dead tests');
  expect(open).toMatch(/Next: X\d Ground path to every outlet/);
  await shop.fitter.post(
    `/jobs/${shop.number}/closure`,
    { reason: 'The van was sold.' },
    { page: `/jobs/${shop.number}` },
  );
  const closed = words((await shop.fitter.get('/')).body);
  expect(closed).toContain('closed The van was sold.');
  expect(closed).not.toContain('Next:');
  const page = `/jobs/${shop.number}/readings/ground-path.bench`;
  const refused = await shop.fitter.post(page, { ohms: '0.02', instrument: 'i-meter' });
  expect(words(refused.body)).toContain('This job is closed');
});

test('a job shows its drawing once for a wide screen and once for a phone, and neither has an id of the other', async () => {
  const shop = await playedShop((job) => job.log.steps.size === 0);
  const { body } = await shop.fitter.get(`/jobs/${shop.number}`);
  expect(body.match(/<svg/g)).toHaveLength(2);
  const ids = [...body.matchAll(/\sid="([^"]+)"/g)].map((m) => m[1]);
  expect(new Set(ids).size).toBe(ids.length);
  expect(body).not.toMatch(/\d+ ?%/);
});

test('changing the circuit after work began opens exactly what it touches, and the page says which and why', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const page = `/jobs/${shop.number}/circuit`;
  const fields = formOn((await shop.fitter.get(page)).body, page);
  const sent = await shop.fitter.postRaw(page, {
    ...fields,
    act: 'save',
    'run.2.torqueNm': '18',
    reason: 'another device',
  });
  expect(sent.statusCode).toBe(303);
  const told = words((await shop.fitter.get(String(sent.headers.location))).body);
  expect(told).toContain('Because: another device');
  expect(told).toMatch(/outlet 3 · marked torque: [^→]*1\.6 N·m[^→]* → [^→]*2\.03 N·m/);
  const opened = [...shop.job().steps.values()].filter((s) => s.reopened.length > 0);
  expect(opened.length).toBeGreaterThan(0);
  for (const { step } of opened) expect(told).toContain(step.title);
  expect(shop.job().steps.get('land-inlet')?.status).toBe('done');
});

test('sending the circuit back untouched opens nothing', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const page = `/jobs/${shop.number}/circuit`;
  const fields = formOn((await shop.fitter.get(page)).body, page);
  const sent = await shop.fitter.postRaw(page, { ...fields, act: 'save', reason: 'looked through' });
  expect(words((await shop.fitter.get(String(sent.headers.location))).body)).toContain(
    'no step and no reading opens again',
  );
  expect(shop.job().circuit).toEqual(demoCircuit);
});

test('a failed reading names the wire, shows the back of the device with it marked, and leads to the next reading', async () => {
  const shop = await playedShop((job) => job.defects.some((d) => d.status === 'open'));
  const reading = await shop.fitter.get(`/jobs/${shop.number}/readings/ground-path.press`);
  expect(words(reading.body)).toContain('fail');
  expect(words(reading.body)).toMatch(/most likely Ground open between outlet 1 and outlet 2/);
  expect(reading.body).toMatch(/Look here: Ground open between outlet 1/);
  expect(words(reading.body)).toMatch(/Next: G\d/);
  expect(words(reading.body)).not.toMatch(/\d ?%/);
});

test('the expected value stands on a reading’s page before anything is typed', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const { body } = await shop.fitter.get(`/jobs/${shop.number}/readings/ground-path.bench`);
  const expected = shop.job().readings.get('ground-path.bench')?.planned.expected.text ?? '?';
  expect(body.indexOf(expected)).toBeGreaterThan(0);
  expect(body.indexOf(expected)).toBeLessThan(body.indexOf('name="ohms"'));
});

test('likelihood is said in words: the first of its list, what is as likely, and what is not ruled out', () => {
  expect(likelihoodWords([0.6, 0.35, 0.07, 0.001])).toEqual([
    'most likely',
    'nearly as likely',
    'less likely',
    'unlikely, not ruled out',
  ]);
  expect(likelihoodWords([0.5, 0.5])).toEqual(['as likely', 'as likely']);
  expect(likelihoodWords([])).toEqual([]);
});

test('a time is told as the clock of the shop shows it, and says which zone that is', () => {
  expect(whenText('2026-11-05T08:03:09.000Z', 'UTC')).toBe('5 Nov 2026, 08:03 UTC');
  expect(whenText('2026-11-05T02:03:09.000Z', 'America/Denver')).toBe('4 Nov 2026, 19:03 MST');
});

test('a step marks every outlet that it is about, a reading the one that it leads to', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const at = async (path: string) => (await shop.fitter.get(`/jobs/${shop.number}/${path}`)).body;
  expect(await at('steps/ground-path')).toContain(
    'This page is about the inlet, outlet 1, outlet 2 and outlet 3.',
  );
  const [, second] = demoCircuit.run;
  expect(await at(`readings/ground-path.${second?.id}`)).toContain('This page is about outlet 2.');
});

test('the page of a part does not offer itself among the others, and explains marks only where there are any', async () => {
  const shop = await playedShop();
  const { body } = await shop.fitter.get(`/jobs/${shop.number}/parts/inlet`);
  const others = /<ul class="part-list">[\s\S]*?<\/ul>/.exec(body)?.[0];
  expect(others).toContain('/parts/cord"');
  expect(others).not.toContain('/parts/inlet"');
  expect(body).not.toContain('In the drawing a');
});

test('a job whose sheet holds the cutting says so beside the sheet', async () => {
  const { supply } = demoCircuit;
  const circuit = { ...demoCircuit, supply: { ...supply, loopOhms: 1.5 } };
  const shop = await playedShop((job) => job.log.steps.size === 0, { circuit });
  const { body } = await shop.fitter.get(`/jobs/${shop.number}`);
  expect(words(body)).toMatch(/The sheet (one line holds|\d+ lines hold) the cutting/);
});

test('a defect is told by the name of its place, and by its reading once', async () => {
  const shop = await playedShop((job) => job.defects.length > 0);
  const page = `/jobs/${shop.number}/defects`;
  const [first] = shop.job().defects;
  const title = 'G2 Ground: inlet to outlet 2 (nipping press, rear bulkhead)';
  const shown = words((await shop.fitter.get(`${page}/${first?.defect.seq}`)).body);
  expect(shown).toContain(`Defect: ${title}`);
  expect(shown).toContain(' Shown OL, should be no more than 1 Ω. ');
  const [, , third] = demoCircuit.run;
  await shop.fitter.post(page, { about: `place:outlet:${third?.id}`, what: 'Its cover is cracked.' });
  const list = words((await shop.fitter.get(page)).body);
  expect(list).toContain('outlet 3 open Its cover is cracked.');
  expect(list).not.toContain(`outlet:${third?.id}`);
});
