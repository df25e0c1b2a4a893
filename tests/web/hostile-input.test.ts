import type { LightMyRequestResponse } from 'fastify';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { jobNumbers } from '../store/temp-store.js';
import { type PlayedShop, playedShop } from './played-shop.js';
import { formOn, plain } from './read-form.js';
import { Browser, signedIn, toMend } from './shop-under-test.js';

type Fields = Readonly<Record<string, string>>;
/** What is sent, the status that answers, and what the answer must say. */
type Attempt = readonly [
  title: string,
  send: () => Promise<LightMyRequestResponse>,
  status: number,
  says: RegExp,
];

/** Makes every attempt and holds each to its answer and to a logbook that is as it was before. */
async function refuseAll(shop: PlayedShop, attempts: readonly Attempt[]): Promise<void> {
  const before = shop.entries().at(-1)?.digest;
  const jobs = jobNumbers(shop.store).length;
  for (const [title, send, status, says] of attempts) {
    const reply = await send();
    expect(reply.statusCode, title).toBe(status);
    expect(plain(reply.body.replace(/<[^>]+>/g, ' ')), title).toMatch(says);
    expect(shop.entries().at(-1)?.digest, `${title}: the logbook`).toBe(before);
    expect(jobNumbers(shop.store).length, `${title}: the jobs`).toBe(jobs);
  }
}

/** The form of a page with some fields changed; `undefined` takes a field out. */
async function changed(
  shop: PlayedShop,
  page: string,
  changes: Readonly<Record<string, string | undefined>>,
  action = page,
  by: Browser = shop.fitter,
): Promise<LightMyRequestResponse> {
  const fields: Record<string, string> = formOn((await by.get(page)).body, action);
  for (const [name, value] of Object.entries(changes)) {
    if (value === undefined) delete fields[name];
    else fields[name] = value;
  }
  return by.postRaw(action, fields);
}

const started = (shop: Awaited<ReturnType<typeof playedShop>>) => `/jobs/${shop.number}`;

test('a circuit that cannot be is refused field by field, with everything that was typed still there', async () => {
  const shop = await playedShop((job) => job.log.steps.size === 0);
  const page = `${started(shop)}/circuit`;
  const circuit = (changes: Readonly<Record<string, string | undefined>>) => () =>
    changed(shop, page, { act: 'save', ...changes });
  const outlet = (k: number, from: Fields): Fields =>
    Object.fromEntries(
      Object.entries(from)
        .filter(([name]) => name.startsWith('run.1.'))
        .map(([name, value]) => [
          name.replace('run.1.', `run.${k}.`),
          name.endsWith('.id') ? `more${k}xx` : value,
        ]),
    );
  const typed = formOn((await shop.fitter.get(page)).body, page);
  const thirteen = Object.assign({}, ...[3, 4, 5, 6, 7, 8, 9, 10, 11, 12].map((k) => outlet(k, typed)));
  await refuseAll(shop, [
    ['an empty length', circuit({ 'cord.lengthM': '' }), 422, /Cord length: needs a value/],
    ['a negative length', circuit({ 'cord.lengthM': '-5' }), 422, /must be at least 0\.99 ft/],
    ['not a number', circuit({ 'cord.lengthM': 'NaN' }), 422, /“NaN” is not a number/],
    ['an exponent', circuit({ 'cord.lengthM': '1e9' }), 422, /“1e9” is not a number/],
    ['a huge length', circuit({ 'cord.lengthM': '999999999' }), 422, /must be at most 196\.85 ft/],
    ['a unit of something else', circuit({ 'cord.lengthM.unit': 'kg' }), 422, /has no unit “kg”/],
    [
      'millimetres taken for metres',
      circuit({ 'bond.lengthM': '1000', 'bond.lengthM.unit': 'm' }),
      422,
      /at most 10 m/,
    ],
    ['a rating that no inlet has', circuit({ 'inlet.amps': '17' }), 422, /choose 15, 20 or 30 A/],
    ['a wiring method of no list', circuit({ 'cable.method': 'bell-wire' }), 422, /choose one of the list/],
    ['script for type letters', circuit({ 'cord.typeLetters': '<script>' }), 422, /letters on the jacket/],
    [
      'a grip that takes nothing',
      circuit({ 'entry.clampMinMm': '0.6' }),
      422,
      /is larger than the largest it takes/,
    ],
    ['a load without its amount', circuit({ 'run.0.loads.0.amount': '' }), 422, /needs the watts or amps/],
    ['a load in words', circuit({ 'run.0.loads.0.amount': 'lots' }), 422, /“lots” is not a number/],
    ['a load below nothing', circuit({ 'run.0.loads.0.amount': '-3' }), 422, /must be at least/],
    [
      'two loads of one name',
      circuit({ 'run.0.loads.1.name': typed['run.0.loads.0.name'] }),
      422,
      /is used by a load before it/,
    ],
    [
      'an outlet named twice',
      circuit({ 'run.1.id': typed['run.0.id'] }),
      422,
      /is used by an outlet before it/,
    ],
    [
      'an outlet named as a path',
      circuit({ 'run.1.id': '../../etc' }),
      422,
      /4 to 12 small letters or digits/,
    ],
    ['no outlet at all', circuit({ 'run.0.id': undefined }), 422, /needs at least one outlet/],
    ['thirteen outlets', circuit(thirteen), 422, /takes at most 12 outlets/],
    ['an outlet nowhere', circuit({ 'run.0.place': '   ' }), 422, /must not be empty/],
    ['a note without end', circuit({ note: 'x'.repeat(2001) }), 422, /takes at most 2000 characters/],
  ]);
  const again = await changed(shop, page, {
    act: 'save',
    'cord.lengthM': '-5',
    'inlet.behindPanel': 'a <b>pocket</b>',
  });
  const kept = formOn(again.body, page);
  expect(kept['cord.lengthM']).toBe('-5');
  expect(kept['inlet.behindPanel']).toBe('a <b>pocket</b>');
  expect(again.body).not.toContain('<b>pocket');
});

test('a job without its van, and an address that is none, are refused', async () => {
  const shop = await playedShop((job) => job.log.steps.size === 0);
  const described = (changes: Fields) => () =>
    changed(
      shop,
      '/jobs/new',
      { 'vehicle.description': 'A van', owner: 'Odile Brandt', place: 'here', ...changes },
      '/jobs',
    );
  const get = (url: string) => () => shop.fitter.get(url);
  await refuseAll(shop, [
    ['no van', described({ 'vehicle.description': '' }), 422, /must not be empty/],
    [
      'a van as long as a book',
      described({ 'vehicle.description': 'v'.repeat(201) }),
      422,
      /takes at most 200 characters/,
    ],
    ['no owner', described({ owner: ' ' }), 422, /must not be empty/],
    [
      'a form without its key',
      described({ _key: '' }),
      422,
      /without its key\.[\s\S]*Open its page here again/,
    ],
    ['a job that is not there', get('/jobs/2099-999'), 404, /no job 2099-999/],
    ['a job named as a path', get('/jobs/..%2F..%2Fetc'), 404, /Nothing here/],
    ['a step that is not there', get(`${started(shop)}/steps/no-such`), 404, /no such step/],
    ['a reading that is not there', get(`${started(shop)}/readings/no-such`), 404, /no such reading/],
    ['a defect that is not there', get(`${started(shop)}/defects/77`), 404, /no such defect/],
    ['a part that is not there', get(`${started(shop)}/parts/feed:nowhere`), 404, /no such part/],
    ['a record that is not there', get(`${started(shop)}/record/1`), 404, /No such revision/],
    ['an owner’s link that was guessed', get('/o/aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa'), 404, /opens nothing/],
    ['a photo that is not there', get(`/photos/${'0'.repeat(64)}`), 404, /no such photo/],
  ]);
});

test('a step out of order, a refused choice, a missing answer or a file that is no picture is not written down', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'van-dead');
  const job = started(shop);
  const step = `${job}/steps/van-dead`;
  const right: Fields = {
    'ask.kind': 'engine',
    'ask.key': 'yes',
    'ask.others': 'yes',
    'ask.wait': 'yes',
    'ask.volts': '0',
    'ask.volts.unit': 'V',
  };
  const answer = (changes: Readonly<Record<string, string | undefined>>) => () =>
    changed(shop, step, { ...right, ...changes });
  const photos = `${job}/steps/template-marked/photos`;
  const photo =
    (bytes: Buffer, ask: string, name = 'mark.jpg') =>
    () =>
      shop.fitter.postFiles(photos, { ask }, [{ field: 'photo.mark', name, bytes }], step);
  const jpeg = await sharp({ create: { width: 8, height: 8, channels: 3, background: '#000' } })
    .jpeg()
    .toBuffer();
  const svg = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>');
  const reopen = (id: string, reason: string) => () =>
    shop.fitter.post(`${job}/steps/${id}/reopening`, { reason }, { page: step });
  await refuseAll(shop, [
    [
      'a step before what holds it',
      () => shop.fitter.post(`${job}/steps/pilot-hole`, { 'ask.guards': 'yes' }, { page: step }),
      422,
      /holds this|comes first/,
    ],
    ['a choice that is refused', answer({ 'ask.kind': 'high-voltage' }), 422, /stop|maker/i],
    ['a choice of no list', answer({ 'ask.kind': 'steam' }), 422, /choose one of the list/],
    ['no choice', answer({ 'ask.kind': undefined }), 422, /needs a choice/],
    ['a tick left out', answer({ 'ask.key': undefined }), 422, /is not ticked yet/],
    ['no figure', answer({ 'ask.volts': '' }), 422, /needs a value/],
    ['a figure in words', answer({ 'ask.volts': 'none' }), 422, /“none” is not a number/],
    ['a figure below nothing', answer({ 'ask.volts': '-1' }), 422, /must not be negative/],
    ['a unit of something else', answer({ 'ask.volts.unit': 'furlong' }), 422, /has no unit “furlong”/],
    ['a figure of sixty digits', answer({ 'ask.volts': '0'.repeat(60) }), 422, /more digits than any meter/],
    ['text called .jpg', photo(Buffer.from('not a picture at all'), 'mark'), 422, /is not a picture/],
    ['a drawing with a script', photo(svg, 'mark', 'mark.png'), 422, /is not a picture/],
    ['half a picture', photo(jpeg.subarray(0, 60), 'mark'), 422, /is damaged/],
    ['an empty file', photo(Buffer.alloc(0), 'mark'), 422, /is an empty file: choose it again/],
    ['a photo that nothing asks for', photo(jpeg, 'passport'), 422, /asks for no such photo/],
    ['a step opened again for no reason', reopen('walk-round', ' '), 422, /say why/],
    ['a step opened again that is not done', reopen('van-dead', 'a slip'), 422, /is not done/],
    [
      'a circuit changed for no reason',
      () => changed(shop, `${job}/circuit`, { act: 'save', reason: '' }),
      422,
      /say why the circuit changes/,
    ],
  ]);
});

test('a reading that no meter shows, or that comes before its time, is not written down', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const job = started(shop);
  const page = `${job}/readings/ground-path.bench`;
  const shown = (changes: Readonly<Record<string, string | undefined>>) => () =>
    changed(shop, page, { ohms: '0.02', ...changes });
  const live = `${job}/readings/voltage.hot-ground.bench`;
  const strike = (fields: Fields) => () => shop.fitter.post(`${page}/strike`, fields, { page });
  const raise = (fields: Fields) => () =>
    shop.fitter.post(`${job}/defects`, fields, { page: `${job}/defects` });
  await refuseAll(shop, [
    ['nothing shown', shown({ ohms: '' }), 422, /type what the meter showed/],
    ['less than nothing', shown({ ohms: '-0.1' }), 422, /no resistance is under 0: volts stand/],
    ['two points', shown({ ohms: '0.1.2' }), 422, /“0\.1\.2” is not a number/],
    ['infinity', shown({ ohms: 'Infinity' }), 422, /is not a number/],
    ['more than any meter', shown({ ohms: '2000', 'ohms.unit': 'MΩ' }), 422, /OL above 40 MΩ/],
    ['volts for ohms', shown({ 'ohms.unit': 'V' }), 422, /has no unit “V”/],
    ['a figure and over-limit', shown({ over: 'yes' }), 422, /keep one of the two/],
    ['no meter', shown({ instrument: '' }), 422, /say which instrument/],
    ['a meter of no shelf', shown({ instrument: 'i-nothing' }), 422, /choose one of the list/],
    ['a note without end', shown({ note: 'n'.repeat(501) }), 422, /takes at most 500 characters/],
    [
      'a live reading before the dead tests',
      () => shop.fitter.post(live, { volts: '120', instrument: 'i-meter' }, { page }),
      422,
      /holds this|comes first/,
    ],
    [
      'a slip of no reading',
      strike({ entry: '9999', reason: 'a slip' }),
      422,
      /no reading with this entry number/,
    ],
    ['a slip of a step', strike({ entry: '5', reason: 'a slip' }), 422, /no reading with this entry number/],
    ['a slip for no reason', strike({ entry: '5', reason: '' }), 422, /say what the slip was/],
    ['a defect of nothing', raise({ about: 'step:walk-round', what: '' }), 422, /must not be empty/],
    ['a defect of no step', raise({ about: 'step:no-such', what: 'x' }), 422, /no such step/],
    [
      'a defect of a made-up place',
      raise({ about: '<script>', what: 'x' }),
      422,
      /Say what the defect is about/,
    ],
  ]);
});

test('a mend says what it disturbed, and where', async () => {
  const shop = await playedShop((job) => job.defects.some((d) => d.status === 'open'));
  const seq = shop.job().defects.at(-1)?.defect.seq;
  const page = `${started(shop)}/defects/${seq}`;
  const mend = (fields: Fields) => () =>
    shop.fitter.post(`${page}/rework`, { found: 'loose', done: 'landed', ...fields }, { page });
  await refuseAll(shop, [
    ['nothing disturbed', mend({}), 422, /say what the mend disturbed/],
    ['something of no list', mend({ disturbs: 'the-moon' }), 422, /say what the mend disturbed/],
    ['a conductor landed nowhere', mend({ disturbs: 'conductor-relanded' }), 422, /at which outlet/],
    [
      'an outlet of no circuit',
      mend({ disturbs: 'conductor-relanded', 'disturbs.outlet': 'nowhere' }),
      422,
      /at which outlet/,
    ],
    ['nothing found', mend({ found: '', disturbs: 'bond-touched' }), 422, /must not be empty/],
  ]);
});

test('another person’s rights, a foreign form and a form sent again do nothing', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const job = started(shop);
  const tam = signedIn(shop, 'tam');
  const stranger = new Browser(shop.app, '192.0.2.9');
  const page = `${job}/readings/ground-path.bench`;
  const form = formOn((await shop.fitter.get(page)).body, page);
  const signature: Fields = { 'signature.name': 'Ines Okafor', 'signature.strokes': '' };
  await refuseAll(shop, [
    [
      'a checker does the fitter’s step',
      () => tam.post(`${job}/steps/ground-path`, { 'ask.steady': 'yes' }, { page }),
      422,
      /Tam Whitlock does not hold the role/,
    ],
    [
      'a checker sets the circuit',
      () => changed(shop, `${job}/circuit`, { act: 'save', reason: 'why not' }, `${job}/circuit`, tam),
      422,
      /does not hold the role/,
    ],
    ['a checker takes the job out', () => tam.get(`${job}/export`), 403, /fitter or a keeper/],
    [
      'a checker issues the record',
      () => tam.post(`${job}/record`, { ...signature, passphrase: 'x' }, { page }),
      403,
      /fitter or a keeper/,
    ],
    [
      'a checker hands out a link',
      () => tam.post(`${job}/link`, { heldBy: 'Odile Brandt', until: '2027-02-23' }, { page }),
      403,
      /fitter or a keeper/,
    ],
    [
      'the fitter concedes their own work',
      () => shop.fitter.post(`${job}/steps/labels/concession`, { concession: 'because' }, { page }),
      422,
      /another person/,
    ],
    [
      'a concession of what none covers',
      () => tam.post(`${page}/concession`, { concession: 'because' }, { page }),
      422,
      /No concession covers this/,
    ],
    [
      'the fitter signs the second look',
      () => shop.fitter.post(`${job}/second-look`, { statement: 'looked', ...signature }, { page }),
      422,
      /another person/,
    ],
    [
      'a record with the wrong passphrase',
      () => shop.fitter.post(`${job}/record`, { ...signature, passphrase: 'wrong words entirely' }, { page }),
      422,
      /is not yours/,
    ],
    [
      'a signature of strokes that are none',
      () =>
        shop.fitter.post(
          `${job}/record`,
          { 'signature.name': 'Ines', 'signature.strokes': '[[["x"]]]', passphrase: 'x' },
          { page },
        ),
      422,
      /cannot be read/,
    ],
    [
      'a link to no record',
      () => shop.fitter.post(`${job}/link`, { heldBy: 'Odile Brandt', until: '2027-02-23' }, { page }),
      422,
      /No record stands/,
    ],
    [
      'a withdrawal of no record',
      () => shop.fitter.post(`${job}/record/3/withdrawal`, { 'reason.3': 'x' }, { page }),
      404,
      /No such revision/,
    ],
    ['a stranger', () => stranger.postRaw(page, { ...form, ohms: '0.02' }), 401, /session|Sign in/],
    [
      'no token',
      () => shop.fitter.postRaw(page, { ...form, _csrf: '', ohms: '0.02' }),
      403,
      /did not come from a page/,
    ],
    [
      'another origin',
      () => shop.fitter.postRaw(page, { ...form, ohms: '0.02' }, { origin: 'https://elsewhere.example' }),
      403,
      /another site/,
    ],
    [
      'a cross-site form',
      () => shop.fitter.postRaw(page, { ...form, ohms: '0.02' }, { 'sec-fetch-site': 'cross-site' }),
      403,
      /another site/,
    ],
    [
      'a form of a megabyte',
      () => shop.fitter.postRaw(page, { ...form, note: 'x'.repeat(1_100_000) }),
      413,
      /larger than/,
    ],
    [
      'a job set aside for no reason',
      () => shop.fitter.post(`${job}/rest`, { reason: '' }, { page }),
      422,
      /say why/,
    ],
    [
      'a job taken up that is open',
      () => shop.fitter.post(`${job}/resumption`, { reason: 'on with it' }, { page }),
      422,
      /is open already/,
    ],
  ]);
  const sent = { ...form, ohms: '0.02' };
  const before = shop.entries().length;
  expect((await shop.fitter.postRaw(page, sent)).statusCode).toBe(303);
  expect((await shop.fitter.postRaw(page, sent)).statusCode).toBe(303);
  expect(shop.entries().length).toBe(before + 1);
  const other = await shop.fitter.postRaw(page, { ...sent, ohms: '0.9' });
  expect(other.statusCode).toBe(422);
  expect(other.body).toContain('already sent with other content');
  expect(shop.entries().length).toBe(before + 1);
});

test('script in a note is kept as text and shown as text, on every page that shows it', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const job = started(shop);
  const script = '<img src=x onerror="alert(1)"><script>alert(2)</script>';
  await shop.fitter.post(`${job}/defects`, { about: 'place:bond', what: script }, { page: `${job}/defects` });
  const seq = shop.job().defects.at(-1)?.defect.seq;
  for (const page of [job, `${job}/defects`, `${job}/defects/${seq}`, `${job}/logbook`, `${job}/record`]) {
    const { body } = await shop.fitter.get(page);
    expect(body, page).not.toContain('<script>alert');
    expect(body, page).not.toContain('<img src=x');
  }
  expect((await shop.fitter.get(`${job}/logbook`)).body).toContain('&lt;script&gt;alert(2)');
});

test('an issue that is barred says what bars it and where that is mended', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const { body } = await shop.fitter.get(`${started(shop)}/record`);
  expect(body).toContain('things bar the record');
  expect(body).toContain(`${started(shop)}/steps/ground-path`);
  expect(toMend(body)).toEqual([]);
  expect(body).not.toContain('Issue and sign');
});
