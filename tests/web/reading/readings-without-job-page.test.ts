import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { predict } from '../../../src/meter/predict.js';
import { fullSchedule } from '../../../src/meter/schedule.js';
import { usualMeter } from '../../../src/steps/meter-of.js';
import { jobNumbers } from '../../store/temp-store.js';
import { formOn, plain } from '../read-form.js';
import { shopUnderTest, signedIn } from '../shop-under-test.js';

const page = '/readings-without-a-job';
const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');

async function atTheBench() {
  const shop = await shopUnderTest();
  const browser = signedIn(shop, 'ines');
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
  expect(jobNumbers(shop.store)).toEqual([]);
  const next = await browser.postRaw(page, { ...formOn(body, page), act: 'add-next' });
  expect(formOn(next.body, page).rows).toBe('5');
  expect(formOn(next.body, page)['row.1.value']).toBe('OL');
});

test('a pasted readings file is answered, and a bad one is refused with the index of its reading', async () => {
  const { browser, form } = await atTheBench();
  const file = readFileSync(new URL('../../faults/cases/case-001.json', import.meta.url), 'utf8');
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

test('a pass by the readings says in the same breath that the van has no breaker', async () => {
  const { browser, form } = await atTheBench();
  const text = readFileSync(new URL('../../faults/cases/case-015.json', import.meta.url), 'utf8');
  const { body } = await browser.postRaw(page, { ...form, act: 'answer', file: text });
  expect(words(body)).toMatch(
    /pass The rules are met by these readings; what no reading shows is wrong all the same[^.]* There is no breaker in the van/,
  );
  const guarded = text.replace('"breaker": null', '"breaker": { "amps": 15 }');
  const sound = await browser.postRaw(page, { ...form, act: 'answer', file: guarded });
  expect(words(sound.body)).toContain('Every rule is met by these readings');
});

test('a cable of its own from the inlet to the breaker is taken, and refused without its length', async () => {
  const { browser, form } = await atTheBench();
  const van = { inletAmps: '30', breakerAmps: '20', 'outlet.0.awg': '12', 'outlet.1.awg': '12' };
  const sent = { ...form, ...van, ...row(0, 'inlet.ground', 'outlet1.ground', '0.02'), act: 'answer' };
  const tooThin = 'Between the inlet and the breaker 12 AWG may stand behind 20 A';
  expect(words((await browser.postRaw(page, sent)).body)).toContain(tooThin);
  const own = { ...sent, 'inletWire.awg': '10', 'inletWire.length': '2' };
  const { statusCode, body } = await browser.postRaw(page, own);
  expect([statusCode, words(body).includes(tooThin)]).toEqual([200, false]);
  expect(formOn(body, page)).toMatchObject({ 'inletWire.awg': '10', 'inletWire.length': '2' });
  for (const part of ['inletWire.awg', 'inletWire.length']) {
    const half = await browser.postRaw(page, { ...own, [part]: '' });
    expect([half.statusCode, half.body.match(/id="f-[\w-]+-issue"/g)?.length ?? 0]).toEqual([422, 1]);
    expect(words(half.body)).toContain('needs a number');
  }
});

test('where the van’s skin is live, to unplug is said first and nothing live is asked for', async () => {
  const { browser, form } = await atTheBench();
  const text = readFileSync(new URL('../../faults/cases/case-001.json', import.meta.url), 'utf8');
  const skin = { test: 'voltage', from: 'chassis', to: 'earth', volts: 55 };
  const file = JSON.stringify({ ...JSON.parse(text), readings: [skin] });
  const { body } = await browser.postRaw(page, { ...form, act: 'answer', file });
  expect(body).toMatch(
    /verdict-word" id="answer-word">fail<[\s\S]{0,200}Touch no metal of the van\. Unplug at the supply first/,
  );
  expect(/<p class="next-word">[\s\S]*?<h2>([\s\S]*?)<\/h2>/.exec(body)?.[1] ?? 'Ohms').toMatch(/^Ohms/);
});

test('a long file is read to its end, with or without a byte-order mark', async () => {
  const { browser, form } = await atTheBench();
  const text = readFileSync(new URL('../../faults/cases/case-005.json', import.meta.url), 'utf8');
  const long = JSON.stringify(JSON.parse(text), null, 4);
  expect(long.length).toBeGreaterThan(5000);
  for (const file of [long, `\uFEFF${long}`]) {
    const { statusCode, body } = await browser.postRaw(page, { ...form, act: 'answer', file });
    expect(statusCode).toBe(200);
    expect(words(body)).toContain('What the readings point to');
  }
});

test('a reading that is typed is taken beside those of a pasted file', async () => {
  const { browser, form } = await atTheBench();
  const text = readFileSync(new URL('../../faults/cases/case-015.json', import.meta.url), 'utf8');
  const typed = row(0, 'inlet.ground', 'outlet2.ground', 'OL');
  const { body } = await browser.postRaw(page, { ...form, ...typed, act: 'answer', file: text });
  expect(words(body)).toContain(
    'fail Leave the cord out: what these dead readings show is mended and read again before anything is plugged in. A rule is broken for certain',
  );
  expect(words(body)).toContain('Inlet ground to the ground slot of outlet 2');
});

test('the whole round of a sound van, typed by hand, is a pass', async () => {
  const { browser, form } = await atTheBench();
  let rows: Record<string, string> = {};
  let k = 0;
  const circuit = {
    supply: { volts: 120, loopOhms: 0.3 },
    cord: { awg: 12, lengthM: 25 * 0.3048 },
    inlet: { amps: 15 },
    breaker: { amps: 15 },
    bond: { awg: 8, lengthM: 3 * 0.3048 },
    run: [
      { device: 'gfci-receptacle' as const, feed: { awg: 14, lengthM: 10 * 0.3048 } },
      { device: 'receptacle' as const, feed: { awg: 14, lengthM: 6 * 0.3048 } },
    ],
  };
  const tests = fullSchedule(circuit);
  predict(circuit, usualMeter, [], tests).forEach((p, i) => {
    const t = tests[i]!;
    if (t.test === 'observation') {
      const at = 'at' in t ? Number(t.at.at(-1)) - 1 : 0;
      const field = { 'dead-when-tripped': `dead.${at}`, 'holds-under-load': `holds.${at}` }[
        t.what as string
      ];
      rows = { ...rows, [field ?? t.what]: 'yes' };
    } else {
      const value =
        p.kind === 'ohms'
          ? p.ohms === null
            ? 'OL'
            : p.ohms.toFixed(1)
          : p.kind === 'volts'
            ? p.volts.toFixed(1)
            : '';
      rows = { ...rows, ...row(k, t.from, t.to, value), [`row.${k}.test`]: t.test };
      k += 1;
    }
  });
  const { body } = await browser.postRaw(page, { ...form, ...rows, rows: String(k), act: 'answer' });
  expect(words(body)).toContain('pass Every rule is met by these readings');
});

test('the lamps of a three-lamp tester are entered as those that light, and read as an observation', async () => {
  const { browser, form } = await atTheBench();
  expect(words((await browser.get(page)).body)).toMatch(/hot–neutral and hot–ground hot–neutral/);
  const some = { 'supply-holds': 'yes', 'gfci-resets': 'yes', 'lamps.0': '6', 'lamps.1': '4' };
  const { body } = await browser.postRaw(page, { ...form, ...some, act: 'answer' });
  expect(words(body)).toMatch(/Ground open between outlet 1 and outlet 2/);
  expect(formOn(body, page)['lamps.1']).toBe('4');
});

test('what the device did under the load is entered with the load, and a load that is none is refused', async () => {
  const { browser, form } = await atTheBench();
  const some = { 'holds.1': 'no', loadA: 'much' };
  const refused = await browser.postRaw(page, { ...form, ...some, act: 'answer' });
  expect(refused.statusCode).toBe(422);
  expect(words(refused.body)).toMatch(/needs a load above 0/);
  const { body } = await browser.postRaw(page, { ...form, ...some, loadA: '8', act: 'answer' });
  expect(words(body)).toContain('holds under load');
});

test('a circuit that names no ground-fault device is not passed, and the page says what is not proven', async () => {
  const { browser, form } = await atTheBench();
  const plainRun = { 'outlet.0.device': 'receptacle', ...row(0, 'inlet.ground', 'outlet1.ground', '0.1') };
  const { body } = await browser.postRaw(page, { ...form, ...plainRun, act: 'answer' });
  expect(words(body)).toContain('names no ground-fault device');
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

test('figures are read as a tape and a meter say them, and no other unit than the field’s', async () => {
  const { browser, form } = await atTheBench();
  const answer = (changes: Record<string, string>) =>
    browser.postRaw(page, { ...form, act: 'answer', unit: 'ft', ...changes });
  const ends = ['inlet.hot', 'outlet1.line.hot'] as const;
  const plain = await answer({ ...row(0, ...ends, '0.3'), 'cord.length': '30.5', volts: '120' });
  const said = await answer({ ...row(0, ...ends, '0.3 Ω'), 'cord.length': `30' 6"`, volts: '120v' });
  expect([plain.statusCode, said.statusCode]).toEqual([200, 200]);
  expect(words(said.body)).toContain('What is not proven');
  expect(words(said.body)).toBe(words(plain.body));
  expect((await answer({ ...row(0, ...ends, '0.3 kΩ'), 'row.0.unit': 'Ω' })).statusCode).toBe(422);
  expect((await answer({ ...row(0, ...ends, '0.3'), 'cord.length': '9 m' })).statusCode).toBe(422);
});

function row(k: number, from: string, to: string, value: string): Record<string, string> {
  return {
    [`row.${k}.test`]: 'resistance',
    [`row.${k}.from`]: from,
    [`row.${k}.to`]: to,
    [`row.${k}.value`]: value,
  };
}
