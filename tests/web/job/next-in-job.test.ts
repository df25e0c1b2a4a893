import { expect, test } from 'vitest';
import { playedShop } from '../played-shop.js';
import { formOn, plain } from '../read-form.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');

/** A shop whose job has come to a step, with one reading of it written down through its page. */
async function shopWith(step: string, reading: string, shown: Record<string, string>) {
  const shop = await playedShop((job) => job.next?.step.id === step);
  const page = `/jobs/${shop.number}/readings/${reading}`;
  const form = formOn((await shop.fitter.get(page)).body, page);
  const sent = await shop.fitter.postRaw(page, { ...form, ...shown });
  expect(sent.statusCode).toBe(303);
  return { shop, page, body: (await shop.fitter.get(page)).body };
}

test('a reading that parts the suspects and is not planned is offered in words, with what it would show and a place to try it', async () => {
  const { shop, body } = await shopWith('poles-behind', 'continuity.hot.press', { over: 'yes' });
  const defect = shop.job().defects.find((d) => d.status === 'open')!;
  const page = (await shop.fitter.get(`/jobs/${shop.number}/defects/${defect.defect.seq}`)).body;
  for (const html of [body, page]) {
    expect(words(html)).toContain('Ohms: from the inlet’s hot pin to the hot slot of outlet 2.');
    expect(words(html)).toMatch(
      /What it would show 0\.0\d+ Ω : The run behind outlet 1 is joined to its LINE side/,
    );
    expect(words(html)).toContain('Cord unplugged and away');
  }
  const link = plain(/href="(\/readings-without-a-job\?[^"]+)"/.exec(page)![1]!);
  const bench = await shop.fitter.get(link);
  const form = formOn(bench.body, '/readings-without-a-job');
  expect(form).toMatchObject({
    'row.0.from': 'inlet.hot',
    'row.0.to': 'outlet2.hot',
    'row.0.test': 'resistance',
  });
  expect(words(bench.body)).toContain(`readings of job ${shop.number}`);
  const before = shop.entries().length;
  const ask = (value: string) =>
    shop.fitter.postRaw('/readings-without-a-job', { ...form, act: 'answer', 'row.0.value': value });
  expect(words((await ask('0.0')).body)).toMatch(
    /most likely The run behind outlet 1 is joined to its LINE side/,
  );
  expect(words((await ask('OL')).body)).not.toMatch(/likely The run behind outlet 1/);
  expect(shop.entries().length).toBe(before);
});

test('after a fail the place to look at comes before the next reading, and the plug out before any box', async () => {
  const live = await shopWith('slot-voltages', 'voltage.hot-ground.locker', {
    volts: '3',
    instrument: 'i-meter',
  });
  expect(live.body).toMatch(
    /<a class="button go" href="#defect">See where to look<[\s\S]*<a class="button" href="[^"]+">Next: /,
  );
  const { body } = await shopWith('poles-behind', 'continuity.hot.press', { over: 'yes' });
  expect(words(body)).toMatch(
    /What the readings point to Before any box is opened: the plug out at the supply, the cord out of the van and with you\. most likely/,
  );
});

test('nothing live is asked for while the van may not be live', async () => {
  const { body } = await shopWith('poles-behind', 'continuity.hot.press', { over: 'yes' });
  expect(words(body)).not.toMatch(/Volts: from|Volts under the test load:/);
});

test('a drop under load says beside the reading what joint it speaks of', async () => {
  const { body } = await shopWith('under-load', 'loaded.hot-neutral.locker', { volts: '109.0', amps: '8' });
  expect(words(body)).toMatch(
    /Outlet 3: the joints on the way have about \d\S* Ω more than the circuit predicts: find the warm one and mend it\./,
  );
});

test('an address that names no job of this shop opens the empty page', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  for (const job of ['2031-404', '../etc', '']) {
    const { statusCode, body } = await shop.fitter.get(
      `/readings-without-a-job?job=${encodeURIComponent(job)}`,
    );
    expect(statusCode).toBe(200);
    expect(formOn(body, '/readings-without-a-job').rows).toBe('4');
  }
});

test('the page of a reading and that of its defect point to the same wire, later readings counted in', async () => {
  const { shop, page } = await shopWith('poles-behind', 'continuity.hot.press', { over: 'yes' });
  const write = async (reading: string, shown: Record<string, string>) => {
    const at = `/jobs/${shop.number}/readings/${reading}`;
    const form = formOn((await shop.fitter.get(at)).body, at);
    expect((await shop.fitter.postRaw(at, { ...form, ...shown })).statusCode).toBe(303);
  };
  await write('continuity.neutral.press', { over: 'yes' });
  await write('continuity.hot.locker', { ohms: '0.02' });
  await write('continuity.neutral.locker', { ohms: '0.02' });
  const [first] = shop.job().defects.filter((d) => d.status === 'open');
  const defect = `/jobs/${shop.number}/defects/${first?.defect.seq}`;
  for (const at of [page, defect]) {
    const body = words((await shop.fitter.get(at)).body);
    expect(body, at).toMatch(/most likely Hot and neutral exchanged at outlet 2/);
    expect(body, at).not.toMatch(/joined to its LINE side/);
  }
});

test('where a dead point reads live, the page says hands off and offers no reading to go on with', async () => {
  const { body } = await shopWith('absence-of-voltage', 'absence-of-voltage.inlet', { volts: '120' });
  expect(words(body)).toMatch(/fail 120 V .* Take it as live: hands off\./);
  expect(words(body)).not.toMatch(/Next: /);
  expect(words(body)).toMatch(/Write down the mend/);
});

test.each([
  ['chassis-to-earth', { volts: '55' }],
  ['no-glow', { answer: 'no' }],
])(
  'where the van’s skin may be live by %s, nothing live is offered to read on with',
  async (reading, shown) => {
    const { shop, body } = await shopWith('chassis-to-earth', reading, shown);
    expect(words(body)).toMatch(/Touch no metal of the van\. Unplug at the supply first/);
    expect(words(body)).not.toMatch(/Next: |Live: cord in/);
    const defect = shop.job().defects.find((d) => d.status === 'open')?.defect.seq;
    const page = (await shop.fitter.get(`/jobs/${shop.number}/defects/${defect}`)).body;
    expect(words(page)).not.toMatch(/Live: cord in/);
  },
);

test('once the place is made ready after days, what goes on says to measure the supply anew before the cord goes in', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'slot-voltages');
  const at = (page: string) => `/jobs/${shop.number}/${page}`;
  const said = async (page: string) => words((await shop.fitter.get(at(page))).body);
  const anew =
    /L2 The supply, before anything is plugged in, L3 .* and L4 .*: done before the place was made ready/;
  expect(await said('steps/slot-voltages')).not.toMatch(anew);
  const ready = at('steps/ready-for-live');
  const reopening = `${ready}/reopening`;
  await shop.fitter.postRaw(reopening, {
    ...formOn((await shop.fitter.get(ready)).body, reopening),
    reason: 'Another day.',
  });
  const ticks = ['dry', 'hands', 'extinguisher', 'loads', 'cautions'].map(
    (id) => [`ask.${id}`, 'yes'] as const,
  );
  await shop.fitter.postRaw(ready, {
    ...formOn((await shop.fitter.get(ready)).body, ready),
    ...Object.fromEntries(ticks),
    'ask.helper': 'Tam Whitlock',
  });
  for (const page of ['steps/slot-voltages', 'readings/voltage.hot-neutral.bench'])
    expect(await said(page), page).toMatch(anew);
});

test('a step and a reading that go on after days say to prove it dead again first, until the work goes on', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'poles-behind');
  const said = async (page: string) => words((await shop.fitter.get(`/jobs/${shop.number}/${page}`)).body);
  const again = /X1 Prove it dead was done on .* before a hand or a probe goes in/;
  const pages = ['steps/poles-behind', 'readings/continuity.hot.press'];
  for (const page of pages) expect(await said(page), page).toMatch(again);
  // The page that proves it does not ask for itself.
  expect(await said('steps/absence-of-voltage')).not.toMatch(again);
  const page = `/jobs/${shop.number}/${pages[1]}`;
  const form = formOn((await shop.fitter.get(page)).body, page);
  await shop.fitter.postRaw(page, { ...form, ohms: '0.02' });
  for (const open of [pages[0]!, 'readings/continuity.hot.locker'])
    expect(await said(open), open).not.toMatch(again);
});
