import { expect, test } from 'vitest';
import { demoDriver } from '../../seed-demo/demo-script.js';
import type { EntryOf } from '../../src/logbook/entry.js';
import { instrumentOptions } from '../../src/web/step/usual-instrument.js';
import { described, ines, made } from '../store/temp-store.js';
import { demoCircuit, type PlayedShop, playedShop } from './played-shop.js';
import { formOn, plain } from './read-form.js';
import { toMend } from './shop-under-test.js';

const [first = '', second = '', third = ''] = demoCircuit.run.map((o) => o.id);
const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');
const said = (html: string) => words(/<div class="notice said"[\s\S]*?<\/div>/.exec(html)?.[0] ?? '');
const atStep = (id: string) => playedShop((job) => job.next?.step.id === id);

function addMeter(shop: PlayedShop, id: string, due: string | undefined): void {
  const body = {
    kind: 'multimeter',
    name: `Meter ${id}`,
    serial: id,
    calibrated: '2025-01-01',
    ...(due === undefined ? {} : { due }),
    ohms: { percent: 1, counts: 1, resolution: 0.01, overLimit: 4e7 },
  };
  made(
    shop.store.shop.append({
      by: ines,
      decide: () => ({ ok: true, value: [{ kind: 'instrument added', subject: id, body: body as never }] }),
    }),
  );
}

async function choices(shop: PlayedShop, path: string): Promise<string[]> {
  const html = (await shop.fitter.get(path)).body;
  const list = /<select[^>]*name="instrument"[\s\S]*?<\/select>/.exec(html)?.[0] ?? '';
  return [...list.matchAll(/<option value="([^"]*)"/g)].map((m) => m[1] as string);
}

test('the meter used last in this job stands first, then the one used last anywhere, and one out of calibration last', async () => {
  const shop = await atStep('ground-path');
  const path = `/jobs/${shop.number}/readings/ground-path.${second}`;
  addMeter(shop, 'i-other', undefined);
  expect((await choices(shop, path))[0]).toBe('i-meter');
  const form = formOn((await shop.fitter.get(path)).body, path);
  await shop.fitter.postRaw(path, { ...form, ohms: '0.04', instrument: 'i-other' });
  expect((await choices(shop, path))[0]).toBe('i-other');
  // In a job where this person has used none yet, the last of any job stands first.
  const opened = made(
    shop.store.jobs.open({
      by: ines,
      key: 'another-job',
      content: '',
      decide: () => ({ ok: true, value: [described] }),
    }),
  );
  made(
    shop.store.logbook.append({
      job: opened.number,
      key: 'another-circuit',
      by: ines,
      content: '',
      decide: () => ({
        ok: true,
        value: [
          { kind: 'circuit set', subject: 'job', body: { circuit: demoCircuit, rules: '1', reason: '' } },
        ],
      }),
    }),
  );
  expect(shop.store.logbook.log(opened.number).entries).toHaveLength(2);
  const log = shop.store.logbook.log(opened.number);
  const asking = { store: shop.store, log, person: 'ines', now: '2026-11-25T12:00:00.000Z' };
  const shelf = [...shop.store.shop.state().instruments];
  expect(instrumentOptions(shelf, () => true, asking)[0]?.value).toBe('i-other');
  expect(instrumentOptions(shelf, () => true, { ...asking, person: 'tam' })[0]?.value).toBe('i-meter');
  addMeter(shop, 'i-late', '2026-01-31');
  await shop.fitter.postRaw(path, {
    ...formOn((await shop.fitter.get(path)).body, path),
    ohms: '0.04',
    instrument: 'i-late',
  });
  expect((await choices(shop, path)).at(-1)).toBe('i-late');
  expect((await shop.fitter.get(path)).body).toContain('calibration ran out 31 Jan 2026');
});

test('a pass leads on to the next reading and says itself there; a slip is struck and taken again in one form', async () => {
  const shop = await atStep('ground-path');
  const at = (id: string) => `/jobs/${shop.number}/readings/ground-path.${id}`;
  const send = async (id: string, more: Record<string, string>) => {
    const page = (await shop.fitter.get(at(id))).body;
    return shop.fitter.postRaw(at(id), { ...formOn(page, at(id)), ...more });
  };
  const passed = await send(first, { ohms: '0.03' });
  expect(passed.headers.location).toBe(at(second));
  const next = (await shop.fitter.get(at(second))).body;
  expect(said(next)).toMatch(/^ ?G1 Ground: .*: 0.03 Ω, pass\. See G1 or put it right/);
  expect(said((await shop.fitter.get(at(second))).body)).toBe('');

  const wrong = await send(second, { ohms: '40' });
  expect(wrong.headers.location).toBe(`${at(second)}#verdict`);
  expect(shop.job().defects.at(-1)?.status).toBe('open');
  const before = shop.entries().length;
  const again = await send(second, { ohms: '0.04', before: 'typed' });
  expect(again.headers.location).not.toContain(second);
  expect(
    shop
      .entries()
      .slice(before)
      .map((e) => e.kind),
  ).toEqual(['reading struck', 'reading taken']);
  expect(shop.job().defects.at(-1)?.status).toBe('closed');
});

test('a pass without a mend before it leaves its defect open and stays on its page', async () => {
  const shop = await atStep('ground-path');
  const path = `/jobs/${shop.number}/readings/ground-path.${second}`;
  for (const ohms of ['40', '0.04']) {
    const form = formOn((await shop.fitter.get(path)).body, path);
    expect((await shop.fitter.postRaw(path, { ...form, ohms })).headers.location).toBe(`${path}#verdict`);
  }
  expect(shop.job().defects.at(-1)?.status).toBe('open');
});

test('the torque that the driver was set to last is offered beside each screw, and counts where it is ticked', async () => {
  const step = `prove-hand-work.${second}`;
  const shop = await atStep(step);
  const path = `/jobs/${shop.number}/steps/${step}`;
  const html = (await shop.fitter.get(path)).body;
  const offer = /name="ask\.torque-feed-hot\.same" value="([^"]+)"/.exec(html)?.[1];
  expect(offer).toMatch(/^1\d(\.\d+)? in-lbf$/);
  const both = await shop.fitter.postRaw(path, {
    ...formOn(html, path),
    'ask.torque-feed-hot': '14',
    'ask.torque-feed-hot.same': offer ?? '',
  });
  expect(toMend(both.body).join()).toContain('the value beside it is ticked: keep one of the two');
  expect(both.body).toMatch(/name="ask\.torque-feed-hot\.same"[^>]* checked/);
  const all: Record<string, string> = { ...formOn(html, path) };
  for (const [, name = '', value = ''] of html.matchAll(
    /type="checkbox"[^>]*name="(ask\.[^"]+)" value="([^"]+)"/g,
  ))
    all[name] = plain(value);
  const photo = shop.entries().find((e): e is EntryOf<'photo added'> => e.kind === 'photo added');
  expect(photo).toBeDefined();
  const reply = await shop.fitter.postRaw(path, all);
  // Only the photo is missing: every torque was taken from its tick.
  expect(toMend(reply.body)).toEqual([expect.stringContaining('needs a photo')]);
});

test('a bolt without a figure of its own is offered none: what a small terminal takes leaves it loose', async () => {
  const shop = await atStep('bond');
  const html = (await shop.fitter.get(`/jobs/${shop.number}/steps/bond`)).body;
  expect(html).toContain('name="ask.torque-body-end"');
  expect(html).not.toContain('as the driver was set last');
});

test('where no torque screwdriver is on the shelf a torque is not taken, says so at its place, and keeps what was typed', async () => {
  const step = `prove-hand-work.${second}`;
  const shop = await atStep(step);
  const driver = `/instruments/${demoDriver.id}`;
  const shelf = { ...formOn((await shop.fitter.get(driver)).body, driver), retired: 'yes' };
  expect((await shop.fitter.postRaw(driver, shelf)).statusCode).toBe(303);
  const path = `/jobs/${shop.number}/steps/${step}`;
  const form = formOn((await shop.fitter.get(path)).body, path);
  const refused = await shop.fitter.postRaw(path, { ...form, 'ask.torque-feed-hot': '14' });
  expect([refused.statusCode, toMend(refused.body).join()]).toEqual([
    422,
    expect.stringContaining('say which torque screwdriver: a torque of none that is named proves nothing'),
  ]);
  const place = /href="#([^"]+)"[^>]*>[^<]*say which torque screwdriver/.exec(refused.body)?.[1];
  expect(refused.body).toContain(`id="${place}"`);
  expect(refused.body).toContain('No instrument for this is on the shelf');
  expect(formOn(refused.body, path)['ask.torque-feed-hot']).toBe('14');
});

test('how the outlet landed before was made fills an empty field of another outlet, and no tick, torque or entry comes of it', async () => {
  const shop = await playedShop((job) => job.next?.step.id === `land.${third}`, {
    answers: {
      [`land.${second}.held-by`]: { kind: 'choice', value: 'clamp-plate' },
      [`land.${second}.strip`]: { kind: 'value', si: 16, typed: '16', unit: 'mm' },
    },
  });
  const path = `/jobs/${shop.number}/steps/land.${third}`;
  const html = (await shop.fitter.get(path)).body;
  const fill = `${path}?fill=other-outlet`;
  expect(html).toContain(`formaction="${fill}"`);
  const before = shop.entries().length;
  const typed = { ...formOn(html, path), 'ask.feed-hot': 'yes' };
  const filled = await shop.fitter.postRaw(fill, typed);
  expect(filled.statusCode).toBe(200);
  expect(said(filled.body)).toContain('Nothing is written down yet');
  const form = formOn(filled.body, path);
  expect(form).toMatchObject({ 'ask.held-by': 'clamp-plate', 'ask.strip': '16', 'ask.strip.unit': 'mm' });
  const ticked = Object.keys(form).filter((name) => form[name] === 'yes');
  expect(ticked).toEqual(['ask.feed-hot']);
  expect(words(filled.body)).toContain('As at outlet 2. Change it where it differs here.');
  expect(shop.entries().length).toBe(before);
  // What was typed here stands.
  const own = await shop.fitter.postRaw(fill, { ...typed, 'ask.strip': '14' });
  expect(formOn(own.body, path)).toMatchObject({ 'ask.strip': '14', 'ask.held-by': 'clamp-plate' });
});

test('a photo comes straight from the camera or from the phone', async () => {
  const shop = await atStep('bond');
  const html = (await shop.fitter.get(`/jobs/${shop.number}/steps/bond`)).body;
  const inputs = [...html.matchAll(/<input type="file"[^>]*name="photo\.bare"[^>]*>/g)].map(([tag]) => tag);
  expect(inputs.map((tag) => [/capture="environment"/.test(tag), / multiple/.test(tag)])).toEqual([
    [true, false],
    [false, true],
  ]);
});
