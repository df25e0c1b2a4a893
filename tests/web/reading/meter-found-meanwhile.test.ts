import { expect, test } from 'vitest';
import { demoInstruments, demoMeter } from '../../../seed-demo/demo-script.js';
import { writtenSince } from '../../../src/steps/written-since.js';
import { ines } from '../../store/temp-store.js';
import { playedShop } from '../played-shop.js';
import { formOn } from '../read-form.js';
import { toMend } from '../shop-under-test.js';

const hour = 3_600_000;
const meter = `/instruments/${demoMeter.id}`;

/** A job at its dead readings, with the form of one filled in; and what a keeper does to the meter meanwhile. */
async function withFormOpen() {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const { id: _id, ...same } = demoInstruments.find(({ id }) => id === demoMeter.id)!;
  const another = { kind: 'instrument added', subject: 'i-other', body: { ...same, serial: 'ANOTHER' } };
  shop.store.shop.append({ by: ines, decide: () => ({ ok: true, value: [another as never] }) });
  const url = `/jobs/${shop.number}/readings/ground-path.bench`;
  const today = () => shop.clock().toISOString().slice(0, 10);
  const open = async (): Promise<Record<string, string>> => ({
    ...formOn((await shop.fitter.get(url)).body, url),
    ohms: '0.05',
  });
  const form = await open();
  expect(form.instrument).toBe(demoMeter.id);
  const change = async (fields: Record<string, string>) => {
    const page = formOn((await shop.fitter.get(meter)).body, meter);
    expect((await shop.fitter.postRaw(meter, { ...page, ...fields })).statusCode).toBe(303);
  };
  const find = async (from: string) => {
    const page = formOn((await shop.fitter.get(meter)).body, `${meter}/finding`);
    const said = { ...page, from, finding: 'It fell off the roof.' };
    expect((await shop.fitter.postRaw(`${meter}/finding`, said)).statusCode).toBe(303);
  };
  /** Time goes by; who comes back after a night signs in again, and what waited goes out with the new session's token. */
  const later = async (ms: number) => {
    shop.clock.move(ms);
    await shop.fitter.signIn('ines');
    const { _csrf = '' } = await open();
    return { _csrf };
  };
  const standing = () => shop.job().readings.get('ground-path.bench')!;
  return { shop, url, form, later, today, change, find, standing };
}

test('a form that stood open while its meter was found out is not taken, comes back with what was typed, and chooses no other meter by itself', async () => {
  const { shop, url, form, today, find, standing } = await withFormOpen();
  await find(today());
  const refused = await shop.fitter.postRaw(url, form);
  expect([refused.statusCode, toMend(refused.body)]).toEqual([
    422,
    [expect.stringMatching(/was found not to tell the truth from .* on: take it again with another/)],
  ]);
  expect(standing().verdict).toBe('missing');
  const back = formOn(refused.body, url);
  expect([back.ohms, back.instrument]).toEqual(['0.05', '']);
});

test('a form that waited on a phone is held to the day on which it was filled in: from the finding’s first day on it is refused, from before it is taken', async () => {
  const { shop, url, form, later, today, find, standing } = await withFormOpen();
  const fresh = await later(24 * hour);
  await find(today());
  const waited = await shop.fitter.postRaw(url, { ...form, ...fresh, _waited: String(hour / 60) });
  expect(waited.statusCode).toBe(422);
  const early = await shop.fitter.postRaw(url, { ...form, ...fresh, _waited: String(24 * hour) });
  expect(early.statusCode).toBe(303);
  expect(standing().verdict).toBe('pass');
});

test('a meter that was found out and calibrated anew while a form waited does not lend it its new calibration', async () => {
  const { shop, url, form, later, today, find, change, standing } = await withFormOpen();
  const old = shop.store.shop.state().instruments.find((i) => i.id === demoMeter.id)!;
  const unsent = { ...form, _key: `${form._key}-b` };
  let fresh = await later(48 * hour);
  await change({ calibrated: today(), due: '2030-01-01' });
  const late = await shop.fitter.postRaw(url, { ...form, ...fresh, _waited: String(47 * hour) });
  expect(late.statusCode).toBe(303);
  expect(standing().taken?.body.instrument).toMatchObject({ calibrated: old.calibrated });
  await find(today());
  fresh = await later(24 * hour);
  await change({ calibrated: today() });
  const between = { ...unsent, ...fresh, _waited: String(24 * hour), _seen: String(shop.entries().length) };
  expect((await shop.fitter.postRaw(url, between)).statusCode).toBe(422);
});

test('a form that was written before its meter was found out, and whose answer was lost, is answered when it is sent again', async () => {
  const { shop, url, form, today, find } = await withFormOpen();
  expect((await shop.fitter.postRaw(url, form)).statusCode).toBe(303);
  await find(today());
  const before = shop.entries().length;
  expect((await shop.fitter.postRaw(url, { ...form, _waited: '5000' })).statusCode).toBe(303);
  expect(shop.entries()).toHaveLength(before);
});

test('a value that a step measures with a driver that was found out meanwhile is not taken', async () => {
  const shop = await playedShop(
    (job) => job.next?.step.asks.some((a) => a.kind === 'value' && a.instrument) === true,
  );
  const { step } = shop.job().next!;
  const url = `/jobs/${shop.number}/steps/${step.id}`;
  const form = formOn((await shop.fitter.get(url)).body, url);
  const driver = `/instruments/${form.instrument}`;
  const finding = formOn((await shop.fitter.get(driver)).body, `${driver}/finding`);
  const from = shop.clock().toISOString().slice(0, 10);
  await shop.fitter.postRaw(`${driver}/finding`, { ...finding, from, finding: 'It slips.' });
  const refused = await shop.fitter.postRaw(url, form);
  expect([refused.statusCode, toMend(refused.body).join()]).toEqual([
    422,
    expect.stringContaining('was found not to tell the truth'),
  ]);
});

test('a reading that was written behind one of the finding’s first day is in question too, though the clock had been set back', async () => {
  const { shop, url, form, today, find, standing } = await withFormOpen();
  const other = `/jobs/${shop.number}/readings/ground-path.press`;
  const first = { ...formOn((await shop.fitter.get(other)).body, other), ohms: '0.05' };
  expect((await shop.fitter.postRaw(other, first)).statusCode).toBe(303);
  const from = today();
  shop.clock.move(-30 * 24 * hour);
  expect((await shop.fitter.postRaw(url, form)).statusCode).toBe(303);
  expect(standing().verdict).toBe('pass');
  shop.clock.move(30 * 24 * hour);
  await find(from);
  expect(standing().verdict).toBe('unproven');
});

test('what is said of a reading while its meter is found out, be it a concession, is shown the finding first', async () => {
  const { shop, url, form, today, find } = await withFormOpen();
  expect((await shop.fitter.postRaw(url, form)).statusCode).toBe(303);
  const seen = shop.entries().length;
  await find(today());
  const speaksOf = (subject: string) =>
    writtenSince(shop.job().log, seen, { kind: 'concession granted', subject }).map((e) => e.kind);
  expect(speaksOf('reading:ground-path.bench')).toEqual(['instrument questioned']);
  expect(speaksOf('reading:ground-path.press')).toEqual([]);
});
