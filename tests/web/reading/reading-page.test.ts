import { expect, test } from 'vitest';
import { demoCircuit as circuitWith } from '../../circuit/demo-circuit.js';
import { ines, made } from '../../store/temp-store.js';
import { demoCircuit, playedShop } from '../played-shop.js';
import { formOn, plain } from '../read-form.js';
import { toMend } from '../shop-under-test.js';

const words = (html: string) =>
  plain(html.replace(/<[^>]+>/g, ' '))
    .replace(/\s+/g, ' ')
    .replace(/ ([.,:’])/g, '$1');

test('over-limit on a range that the meter does not have is asked for again, and stays typed', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'isolation-at-inlet');
  const path = `/jobs/${shop.number}/readings/isolation.hot-ground.inlet`;
  const form = formOn((await shop.fitter.get(path)).body, path);
  const sent = { ...form, over: 'yes', range: '2000', 'range.unit': 'MΩ', instrument: 'i-meter' };
  const refused = await shop.fitter.postRaw(path, sent);
  expect(refused.statusCode).toBe(422);
  expect(toMend(refused.body).join()).toMatch(/Top of that range.*OL above 40 MΩ/);
  expect(refused.body).toContain('value="2000"');
  const taken = await shop.fitter.postRaw(path, { ...sent, range: '40' });
  expect(taken.statusCode).toBe(303);
  const shown = shop.job().readings.get('isolation.hot-ground.inlet');
  expect(shown).toMatchObject({ verdict: 'pass' });
});

test('what a meter shows over its range may be typed as it stands there, and no unit but the field’s own stands behind a figure', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'isolation-at-inlet');
  const path = `/jobs/${shop.number}/readings/isolation.hot-ground.inlet`;
  const form = { ...formOn((await shop.fitter.get(path)).body, path), instrument: 'i-meter' };
  const refused = await shop.fitter.postRaw(path, { ...form, ohms: '1.2k' });
  expect(toMend(refused.body).join()).toContain('“1.2k” is not a number: write one number');
  const other = await shop.fitter.postRaw(path, { ...form, ohms: '12 kΩ', 'ohms.unit': 'Ω' });
  expect(toMend(other.body).join()).toContain('“12 kΩ” is not a number');
  const sent = { ...form, ohms: '0L', range: '40 MΩ', 'range.unit': 'MΩ' };
  expect((await shop.fitter.postRaw(path, sent)).statusCode).toBe(303);
  expect(shop.job().readings.get('isolation.hot-ground.inlet')?.verdict).toBe('pass');
});

test('a minus in ohms and OL in volts are no slips of typing: what they say of the points is told, and nothing is taken', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const send = async (reading: string, field: string, typed: string) => {
    const path = `/jobs/${shop.number}/readings/${reading}`;
    const form = { ...formOn((await shop.fitter.get(path)).body, path), instrument: 'i-meter' };
    return toMend((await shop.fitter.postRaw(path, { ...form, [field]: typed })).body).join();
  };
  const last = demoCircuit.run.at(-1)!.id;
  expect(await send(`ground-path.${last}`, 'ohms', '-0.4')).toMatch(
    /volts stand on these points, or the leads were nulled/,
  );
  expect(await send('absence-of-voltage.inlet', 'volts', 'OL')).toMatch(/take these points as live/);
  expect(await send('absence-of-voltage.inlet', 'volts', '-0.4')).toMatch(/type it without a sign/);
});

test('before a box is opened every source is named: where there is an inverter, the cord out does not stop it', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const path = `/jobs/${shop.number}/readings/ground-path.${demoCircuit.run[0]!.id}`;
  const form = formOn((await shop.fitter.get(path)).body, path);
  await shop.fitter.postRaw(path, { ...form, ohms: 'OL', instrument: 'i-meter' });
  const opening = async () => /Before any box is opened:[^<]*/.exec((await shop.fitter.get(path)).body)?.[0];
  expect(await opening()).toMatch(/with you\.$/);
  const inverter = { kind: 'inverter', keptOff: 'transfer-switch', metalCase: false };
  const circuit = circuitWith({ otherSources: [inverter] });
  const decide = () => ({
    ok: true as const,
    value: [
      { kind: 'circuit set' as const, subject: 'job', body: { circuit, rules: '1', reason: 'An inverter.' } },
    ],
  });
  made(shop.store.logbook.append({ job: shop.number, key: 'inverter', by: ines, content: '', decide }));
  expect(await opening()).toMatch(/with you\. .*Switch every inverter/);
});

test('the probes are told where they go: on the pins, in the slots by the test plug, on bare metal that is not the bond’s own', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'absence-of-voltage');
  const page = async (id: string) =>
    words((await shop.fitter.get(`/jobs/${shop.number}/readings/${id}`)).body);
  expect(await page('absence-of-voltage.inlet')).toContain(
    'AC and DC, probes on the pins: write the largest.',
  );
  expect(await page(`absence-of-voltage.${demoCircuit.run[0]!.id}`)).toContain(
    'with the test plug, then probes on its LINE and LOAD screws where they can be reached: write the largest',
  );
  expect(await page('bond')).toContain(
    'The other on a second bare spot of the body, away from the bond’s own bolt.',
  );
  expect(await page('chassis-to-earth')).toContain('One probe on bare metal of the body.');
});

test('the amps of a test load are typed by a person: none is filled in that nobody measured, and the last one is offered again', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'under-load');
  const [first, last] = [demoCircuit.run[0]!.id, demoCircuit.run.at(-1)!.id];
  const path = (id: string) => `/jobs/${shop.number}/readings/loaded.hot-neutral.${id}`;
  const page = (await shop.fitter.get(path(last))).body;
  const form = formOn(page, path(last));
  expect(form.amps).toBe('');
  const field = /Amps of the test load[\s\S]*?<input/.exec(page)?.[0] ?? '';
  expect(field).toMatch(/8 A or more/);
  expect(field).not.toMatch(/Expected/);
  const without = await shop.fitter.postRaw(path(last), { ...form, volts: '116.1', instrument: 'i-meter' });
  expect(toMend(without.body).join()).toMatch(/Amps of the test load: type what/);
  const small = { ...form, volts: '119.5', amps: '0.5', instrument: 'i-meter' };
  expect((await shop.fitter.postRaw(path(last), small)).statusCode).toBe(303);
  expect(shop.job().readings.get(`loaded.hot-neutral.${last}`)?.verdict).toBe('unproven');
  expect(formOn((await shop.fitter.get(path(first))).body, path(first)).amps).toBe('0.5');
});

test('a drop beyond the same slot’s own volts without load is told by that, and nothing beneath it says that no joint shows', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'under-load');
  const id = demoCircuit.run[0]!.id;
  const path = (reading: string) => `/jobs/${shop.number}/readings/${reading}.hot-neutral.${id}`;
  const take = async (reading: string, shown: object) => {
    const form = formOn((await shop.fitter.get(path(reading))).body, path(reading));
    expect(
      (await shop.fitter.post(path(reading), { ...form, ...shown, instrument: 'i-meter' })).statusCode,
    ).toBe(303);
    return (await shop.fitter.get(path(reading))).body;
  };
  await take('voltage', { volts: '126' });
  const hidden = await take('loaded', { volts: '116', amps: '8' });
  expect(hidden).toMatch(/8 A take 10 V here/);
  expect(hidden).not.toMatch(/no joint on the way shows/);
  await take('voltage', { volts: '120' });
  expect(await take('loaded', { volts: '116.4', amps: '8' })).toMatch(/no joint on the way shows/);
});

test('the figure above which a reading is looked at again stands on its page before it is taken', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const lookAgain = async (id: string) => {
    const { body } = await shop.fitter.get(`/jobs/${shop.number}/readings/${id}`);
    return (/<dt>Look again<\/dt><dd>([\s\S]*?)<\/dd>/.exec(body)?.[1] ?? '').replace(/<[^>]+>/g, '').trim();
  };
  const last = demoCircuit.run.at(-1)!.id;
  expect(await lookAgain(`ground-path.${last}`)).toMatch(/^Over 0\.25.Ω: higher than this circuit predicts/);
  expect(await lookAgain(`loaded.neutral-ground.${last}`)).toMatch(
    /^Over 2\.\d.V at 8.A: the neutral drops more/,
  );
  expect(await lookAgain('supply.hot-neutral')).toMatch(/^Outside 108 to 127.V: tell whoever/);
});

test('a reading that is taken ahead of its step to find a wire leads back to the defect', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const [first] = demoCircuit.run;
  const send = async (reading: string, ohms: string) => {
    const path = `/jobs/${shop.number}/readings/${reading}`;
    const form = { ...formOn((await shop.fitter.get(path)).body, path), instrument: 'i-meter' };
    return (await shop.fitter.postRaw(path, { ...form, ohms })).headers.location;
  };
  await send(`ground-path.${first!.id}`, 'OL');
  const defect = shop.job().defects.at(-1)!.defect.seq;
  expect(await send(`continuity.neutral.${first!.id}`, '0.04')).toBe(
    `/jobs/${shop.number}/defects/${defect}`,
  );
});

test('after a mend that touched nothing the next act is to take the reading again, not to go back to its step', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const { id } = demoCircuit.run[0]!;
  const path = `/jobs/${shop.number}/readings/ground-path.${id}`;
  const form = { ...formOn((await shop.fitter.get(path)).body, path), instrument: 'i-meter' };
  await shop.fitter.postRaw(path, { ...form, ohms: 'OL' });
  const defect = `/jobs/${shop.number}/defects/${shop.job().defects.at(-1)!.defect.seq}`;
  const mend = formOn((await shop.fitter.get(defect)).body, `${defect}/rework`);
  const said = { found: 'The plug was not home.', done: 'Pushed home.', disturbs: 'nothing-touched' };
  await shop.fitter.postRaw(`${defect}/rework`, { ...mend, ...said });
  const { body } = await shop.fitter.get(path);
  expect(body).toMatch(/<a class="button go" href="#entry">Next: take G1 again<\/a>/);
  expect(body).toContain('id="entry"');
});
