import { expect, test } from 'vitest';
import type { EntryOf } from '../../src/logbook/entry.js';
import { demoCircuit, playedShop } from './played-shop.js';
import { formOn, plain } from './read-form.js';
import { toMend } from './shop-under-test.js';

const [, , third = ''] = demoCircuit.run.map((o) => o.id);
const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');

/** The torques of the last outlet with two screws too loose: their defects, and the page of the first. */
async function twoOff() {
  const step = `prove-hand-work.${third}`;
  const shop = await playedShop((job) => job.next?.step.id === step);
  const path = `/jobs/${shop.number}/steps/${step}`;
  const photo = shop.entries().find((e): e is EntryOf<'photo added'> => e.kind === 'photo added');
  const jpeg = await shop.fitter.get(`/photos/${photo?.body.photo}`);
  const html = (await shop.fitter.get(path)).body;
  const form = formOn(html, path);
  for (const [, name = ''] of html.matchAll(/name="(ask\.[^"]+)" value="yes"/g)) form[name] = 'yes';
  for (const name of Object.keys(form))
    if (/^ask\.torque-.*(?<!unit)$/.test(name)) form[name] = /hot|neutral/.test(name) ? '5' : '14';
  const files = [{ field: 'photo.back', name: 'back.jpg', bytes: jpeg.rawPayload }];
  const reply = await shop.fitter.postFiles(path, form, files, path);
  const defects = () => shop.job().defects.filter((d) => d.defect.subject === `step:${step}`);
  return { ...shop, step, path, reply, defects };
}

test('two values of a step off their limits stand together, and one mend answers both', async () => {
  const { fitter, reply, defects, path, number, step, job } = await twoOff();
  expect(reply.statusCode).toBe(303);
  expect(defects().map((d) => d.status)).toEqual(['open', 'open']);
  const page = String(reply.headers.location);
  const html = (await fitter.get(page)).body;
  expect(words(html)).toContain('2 values are off their limit');
  for (const { defect } of defects()) expect(words(html)).toContain(defect.body.what);
  const mend = {
    ...formOn(html, `${page}/rework`),
    found: 'Driver slipped.',
    done: 'Torqued again.',
    disturbs: 'nothing-touched',
  };
  const { together: _ticked, ...untouched } = mend as Record<string, string>;
  const none = await fitter.postRaw(`${page}/rework`, untouched);
  expect(toMend(none.body)).toEqual(['What this mend answers: tick what this mend answers']);
  const both = await fitter.postRaw(`${page}/rework`, {
    ...mend,
    together: defects().map((d) => String(d.defect.seq)),
  });
  // Nothing else is touched: straight to what must be done again.
  expect([both.statusCode, both.headers.location]).toEqual([303, path]);
  expect(defects().map((d) => d.status)).toEqual([
    'reworked, to be tested again',
    'reworked, to be tested again',
  ]);
  expect(job().next?.step.id).toBe(step);
  expect(words((await fitter.get(`/jobs/${number}/logbook`)).body)).toContain('Driver slipped.');
});

test('a mend may answer one of them, and leaves the other open', async () => {
  const { fitter, reply, defects } = await twoOff();
  const page = String(reply.headers.location);
  const [one, other] = defects();
  await fitter.postRaw(`${page}/rework`, {
    ...formOn((await fitter.get(page)).body, `${page}/rework`),
    together: String(other?.defect.seq),
    found: 'Driver slipped.',
    done: 'Torqued again.',
    disturbs: 'nothing-touched',
  });
  const status = (seq = 0) => defects().find((d) => d.defect.seq === seq)?.status;
  expect([status(one?.defect.seq), status(other?.defect.seq)]).toEqual([
    'open',
    'reworked, to be tested again',
  ]);
});
