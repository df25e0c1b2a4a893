import { expect, test } from 'vitest';
import type { Circuit } from '../../../src/circuit/circuit.js';
import { demoCircuit, type PlayedShop, playedShop } from '../played-shop.js';
import { formOn } from '../read-form.js';
import { toMend } from '../shop-under-test.js';

const begun = (job: object | undefined) => job !== undefined;

/** A job that was only described, in a shop whose last circuit is the demonstration's. */
async function newJob({ fitter }: PlayedShop): Promise<string> {
  const form = formOn((await fitter.get('/jobs/new')).body, '/jobs');
  const described = { 'vehicle.description': 'A panel van', use: 'work-van', owner: 'Bo', place: 'The yard' };
  const sent = await fitter.postRaw('/jobs', { ...form, ...described });
  return String(sent.headers.location).split('?')[0] as string;
}

const sheetOf = ({ store }: PlayedShop, page: string) =>
  store.logbook.log(page.split('/')[2] ?? '').circuit as Circuit;

const own = {
  vehicleUse: 'work-van',
  'inlet.fromRearM': '4.5',
  'inlet.heightM': '2.8',
  'inlet.behindPanel': 'An empty pocket.',
  'breaker.place': 'behind the trim',
  'bond.lengthM': '3',
  'run.0.place': 'the bench',
  'run.0.feed.lengthM': '9.8',
};

test('a load is amps where its plate says amps, and is shown so again', async () => {
  const shop = await playedShop(begun);
  const page = await newJob(shop);
  const offered = formOn((await shop.fitter.get(page)).body, page);
  const filled = formOn((await shop.fitter.postRaw(page, { ...offered, act: 'parts' })).body, page);
  const load = { 'run.0.loads.0.name': 'heater', 'run.0.loads.0.amount': '7.5' };
  const unit = Object.keys(filled).filter((name) => /^run\.0\.loads\.0\..*unit$/.test(name));
  expect(unit).toHaveLength(1);
  const sent = await shop.fitter.postRaw(page, {
    ...{ ...filled, ...own, ...load, act: 'save' },
    [unit[0] as string]: 'A',
  });
  expect(toMend(sent.body)).toEqual([]);
  expect(sheetOf(shop, page).run[0]?.loads[0]).toMatchObject({ name: 'heater', amps: 7.5 });
  const again = formOn((await shop.fitter.get(page)).body, page);
  expect(again).toMatchObject({ [unit[0] as string]: 'A', 'run.0.loads.0.amount': '7.5' });
});

test('the parts of the shop’s last circuit are offered once, said, and filled in where nothing was typed', async () => {
  const shop = await playedShop(begun);
  const page = await newJob(shop);
  const first = await shop.fitter.get(page);
  expect(first.body).toContain(`The same parts as in job ${shop.number}?`);
  expect(first.body).toContain('worked out for copper, none of it for aluminum');
  const typed = { ...formOn(first.body, page), 'inlet.torqueNm': '18', act: 'parts' };
  const answer = await shop.fitter.postRaw(page, typed);
  const filled = formOn(answer.body, page);
  expect(answer.body).toContain(`filled in as in job ${shop.number}`);
  expect(answer.body).not.toContain('Fill in these parts');
  expect(filled['inlet.torqueNm']).toBe('18');
  expect(Number(filled['run.0.box.volumeCm3'])).toBeGreaterThan(0);
  const sent = await shop.fitter.postRaw(page, { ...filled, ...own, act: 'save' });
  expect(toMend(sent.body)).toEqual([]);
  const circuit = sheetOf(shop, page);
  // As it was shown, to four digits, and the circuit keeps what the marking says.
  expect(circuit.breaker.torqueNm).toBeCloseTo(demoCircuit.breaker.torqueNm ?? 0, 3);
  expect(circuit.run[0]?.loads).toEqual([]);
  expect([circuit.entry.coversWholeEdge, circuit.run[0]?.selfTest, circuit.run[0]?.openNeutral]).toEqual([
    false,
    false,
    'unknown',
  ]);
});

test('what must be mended is told in the order of the page', async () => {
  const shop = await playedShop(begun);
  const page = await newJob(shop);
  const { body } = await shop.fitter.get(page);
  const form = formOn(body, page);
  // A browser sends a form in the order of its page.
  const names = [...body.matchAll(/ name="([^"]+)"/g)].map(([, name]) => name as string);
  const sent = {
    ...Object.fromEntries(names.filter((n) => n in form).map((n) => [n, form[n] as string])),
    vehicleUse: '',
    'cord.lengthM': 'long',
    'inlet.behindPanel': '',
    'bond.lengthM': '',
  };
  const told = toMend((await shop.fitter.postRaw(page, { ...sent, act: 'save' })).body);
  const asked = [
    'What the van is',
    'Cord length',
    'Distance from the rear',
    'What is behind the panel',
    'Bond',
  ];
  const at = asked.map((label) => told.findIndex((line) => line.includes(label)));
  expect(at).not.toContain(-1);
  expect(at).toEqual([...at].sort((a, b) => a - b));
});

test('a set without a load is told by its number, and what is missing', async () => {
  const shop = await playedShop(begun);
  const page = await newJob(shop);
  const offered = formOn((await shop.fitter.get(page)).body, page);
  const filled = formOn((await shop.fitter.postRaw(page, { ...offered, act: 'parts' })).body, page);
  const load = { 'run.0.loads.0.name': 'heater', 'run.0.loads.0.amount': '7.5' };
  const set = { 'together.0.id': '0', 'together.0.name': 'winter' };
  const sent = await shop.fitter.postRaw(page, { ...filled, ...own, ...load, ...set, act: 'save' });
  expect(toMend(sent.body)).toEqual(['Set 1: tick at least one load of this set, or take the set out']);
});
