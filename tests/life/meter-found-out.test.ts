import { expect, test } from 'vitest';
import { demoMeter, demoScript } from '../../seed-demo/demo-script.js';
import { assess } from '../../src/steps/assess.js';
import type { Assessment } from '../../src/steps/assessment.js';
import { importJob } from '../../src/store/carry/import-job.js';
import { readJobFile } from '../../src/store/carry/job-file.js';
import { demoCircuit, makeLink, playedFile, playedShop } from '../web/played-shop.js';
import { formOn, plain } from '../web/read-form.js';
import { Browser, passphrase, toMend } from '../web/shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');

/** The shop with its finished job, whose record went out, and a second one on which the same meter has read the ground paths. */
async function twoJobs() {
  const shop = await playedShop();
  const described = { ...demoScript(demoCircuit).described, owner: 'Lotte Vance' };
  const until = (job: Assessment) => job.readings.get('ground-path.bench')?.taken !== undefined;
  const other = await importJob(
    shop.store,
    readJobFile(JSON.stringify(await playedFile(until, { described }))),
  );
  const page = `/jobs/${shop.number}/record`;
  const signed = { 'signature.name': 'Ines Okafor', 'signature.strokes': '', passphrase };
  const issued = await shop.fitter.postRaw(page, {
    ...formOn((await shop.fitter.get(page)).body, page),
    ...signed,
  });
  expect([issued.statusCode, toMend(issued.body)]).toEqual([303, []]);
  const link = await makeLink(shop.fitter, shop.number);
  const second = () => assess(shop.store.logbook.log(other.number)) as Assessment;
  return { shop, page, link, second, other: other.number, meter: `/instruments/${demoMeter.id}` };
}

test('a meter found out afterwards: every job where it read says which readings are in question, nothing is rewritten, and a reading by another meter proves again', async () => {
  const { shop, page, link, second, other, meter } = await twoJobs();
  const owner = new Browser(shop.app, '192.0.2.7');
  const before = shop.entries().map((e) => e.digest);
  const passed = [...shop.job().readings.values()].filter(
    (r) => r.verdict === 'pass' && r.taken?.body.instrument,
  );
  const days = [...new Set(passed.map((r) => r.taken!.at.slice(0, 10)))].sort();
  const lastDay = days.at(-1) as string;
  const early = passed.filter((r) => r.taken!.at.slice(0, 10) < lastDay);
  expect(early.length).toBeGreaterThan(0);

  // The keeper corrects the day that its calibration ended: its page marks what came after it.
  const due = days.at(-2) as string;
  const form = { ...formOn((await shop.fitter.get(meter)).body, meter), due };
  expect((await shop.fitter.postRaw(meter, form)).statusCode).toBe(303);
  const listed = words((await shop.fitter.get(meter)).body);
  expect(listed).toContain('taken after its calibration had ended');
  for (const number of [shop.number, other]) expect(listed).toContain(number);
  const narrowed = words((await shop.fitter.get(`${meter}?since=${lastDay}`)).body);
  expect(listed).toContain('G1 ');
  expect(narrowed).not.toContain('G1 ');

  const finding = formOn((await shop.fitter.get(meter)).body, `${meter}/finding`);
  expect(finding.from).toBe(lastDay);
  const unsaid = await shop.fitter.postRaw(`${meter}/finding`, finding);
  expect([unsaid.statusCode, toMend(unsaid.body)]).toEqual([
    422,
    [expect.stringContaining('What was found')],
  ]);
  const said = {
    ...formOn(unsaid.body, `${meter}/finding`),
    finding: 'It reads 0.3 Ω low against the reference.',
  };
  expect((await shop.fitter.postRaw(`${meter}/finding`, said)).statusCode).toBe(303);
  expect((await shop.fitter.postRaw(`${meter}/finding`, said)).statusCode).toBe(303);

  expect(
    shop
      .entries()
      .slice(0, before.length)
      .map((e) => e.digest),
  ).toEqual(before);
  expect(
    shop
      .entries()
      .slice(before.length)
      .map((e) => e.kind),
  ).toEqual(['instrument questioned']);
  for (const { planned, taken } of passed) {
    const late = taken!.at.slice(0, 10) >= lastDay;
    expect([planned.id, shop.job().readings.get(planned.id)?.verdict]).toEqual([
      planned.id,
      late ? 'unproven' : 'pass',
    ]);
  }
  expect(
    shop
      .job()
      .barsIssue.map(({ text }) => text)
      .join(),
  ).toContain('is unproven');
  expect(second().readings.get('ground-path.bench')?.remarks.join()).toMatch(
    second().readings.get('ground-path.bench')!.taken!.at.slice(0, 10) >= lastDay ? /reads 0\.3 Ω low/ : /^$/,
  );
  for (const html of [
    await owner.get(link),
    await shop.fitter.get(page),
    await shop.fitter.get(`/jobs/${shop.number}`),
  ])
    expect(words(html.body)).toMatch(
      /in question.*was found not to tell the truth from .* on: It reads 0\.3 Ω low/,
    );

  // It is on no list of meters until it is calibrated anew; then, by it or by another, a reading proves again.
  const late = passed.find(
    ({ planned, taken }) =>
      taken!.at.slice(0, 10) >= lastDay && shop.job().steps.get(planned.step)?.status === 'ready',
  );
  const url = `/jobs/${shop.number}/readings/${late!.planned.id}`;
  expect((await shop.fitter.get(url)).body).not.toContain(`value="${demoMeter.id}"`);
  const today = shop.clock().toISOString().slice(0, 10);
  const anew = {
    ...formOn((await shop.fitter.get(meter)).body, meter),
    calibrated: today,
    due: '2027-12-01',
  };
  expect((await shop.fitter.postRaw(meter, anew)).statusCode).toBe(303);
  const shown = late!.taken!.body.shown;
  const fields: Record<string, string> =
    shown.kind === 'volts'
      ? { volts: String(shown.volts) }
      : { ohms: shown.kind === 'ohms' ? String(shown.ohms ?? 'OL') : '' };
  const taken = { ...formOn((await shop.fitter.get(url)).body, url), ...fields };
  expect((await shop.fitter.postRaw(url, taken)).statusCode).toBe(303);
  expect(shop.job().readings.get(late!.planned.id)?.verdict).toBe('pass');
});

test('a reading taken after the last day of a meter’s calibration is unproven at once, and says what would prove it', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const meter = `/instruments/${demoMeter.id}`;
  const url = `/jobs/${shop.number}/readings/ground-path.bench`;
  const take = async (due: string) => {
    await shop.fitter.postRaw(meter, { ...formOn((await shop.fitter.get(meter)).body, meter), due });
    const form = { ...formOn((await shop.fitter.get(url)).body, url), ohms: '0.05' };
    expect((await shop.fitter.postRaw(url, form)).statusCode).toBe(303);
    return shop.job().readings.get('ground-path.bench')!;
  };
  const today = shop.clock().toISOString().slice(0, 10);
  expect((await take(today)).verdict).toBe('pass');
  const late = await take('2026-01-31');
  expect([late.verdict, late.remarks[0]]).toEqual([
    'unproven',
    expect.stringContaining('held until 2026-01-31'),
  ]);
});
