import sharp from 'sharp';
import { expect, test } from 'vitest';
import { sourceText } from '../../../src/trade/source.js';
import { demoCircuit } from '../../circuit/demo-circuit.js';
import { playedShop } from '../played-shop.js';
import { formOn, plain } from '../read-form.js';

const picture = (background: string) =>
  sharp({ create: { width: 32, height: 24, channels: 3, background } })
    .jpeg()
    .toBuffer();
const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');

/** The page of a step that asks for a photo and for a name, opened by its fitter. */
async function openStep() {
  const shop = await playedShop((job) => job.next?.step.id === 'template-marked');
  const page = `/jobs/${shop.number}/steps/template-marked`;
  const form = async () => formOn((await shop.fitter.get(page)).body, page);
  const count = (kind: string) => shop.entries().filter((e) => e.kind === kind).length;
  return { ...shop, page, form, before: shop.entries().length, count };
}

test('a step says where each limit of what it has measured comes from, besides its own sources', async () => {
  const { fitter, number, job } = await openStep();
  for (const { step } of job().steps.values()) {
    const limits = step.asks.flatMap((ask) => (ask.kind === 'value' ? [ask.limitSource] : []));
    const html = (await fitter.get(`/jobs/${number}/steps/${step.id}`)).body;
    const fold = /<summary>Sources<\/summary>(.*?)<\/details>/s.exec(html)?.[1] ?? '';
    const said = [...fold.matchAll(/<p[^>]*>(.*?)<\/p>/gs)].map(([, line]) => plain(line!));
    const wanted = new Set([...step.sources, ...limits].map((source) => `Source: ${sourceText(source)}`));
    expect(said, step.id).toEqual([...wanted]);
  }
});

test('a step that the sheet answers names the lines that hold it, and no other step does', async () => {
  const circuit = demoCircuit({ 'cord.lengthM': 55 });
  const shop = await playedShop((job) => job.next?.step.id === 'tools-laid-out', { circuit });
  const page = async (id: string) => words((await shop.fitter.get(`/jobs/${shop.number}/steps/${id}`)).body);
  const open = shop.job().sheet.flatMap(({ met, line }) => (met ? [] : [line.title]));
  expect(open.length).toBeGreaterThan(0);
  expect(await page('cord-and-drop')).toContain(`Still open on the sheet: ${open.join('; ')}.`);
  expect(await page('ratings-ladder')).not.toContain('Still open on the sheet');
});

test('a limit that is one figure is said once', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'feed-found');
  const page = words((await shop.fitter.get(`/jobs/${shop.number}/steps/feed-found`)).body);
  expect(page).toContain('Limit: 0.');
  expect(page).not.toContain('at least 0');
});

test('volts between ground and body under which ohms were taken are a defect, and the bond is read again after it', async () => {
  const shop = await playedShop(
    (job) => job.next?.step.id === 'bond-path' && job.readings.get('bond')?.taken !== undefined,
  );
  const path = `/jobs/${shop.number}/steps/bond-path`;
  const form = formOn((await shop.fitter.get(path)).body, path);
  const ticks = shop
    .job()
    .steps.get('bond-path')!
    .step.asks.flatMap((a) => (a.kind === 'tick' ? [[`ask.${a.id}`, 'yes']] : []));
  const sent = { ...form, ...Object.fromEntries(ticks), 'ask.stray-volts': '0.2', instrument: 'i-meter' };
  expect((await shop.fitter.postRaw(path, sent)).statusCode).toBe(303);
  expect(shop.job().defects.at(-1)?.defect.body.what).toContain('0.2 V is over the limit, 0.05 V');
  const page = await shop.fitter.get(`/jobs/${shop.number}/defects/${shop.entries().length}`);
  expect(words(page.body)).toContain('Nothing was touched: the set-up or what was typed was wrong');
});

test('a photo that is kept ahead leaves what was typed beside it on the page, once however often it is sent', async () => {
  const { fitter, page, form, before, entries, job } = await openStep();
  const typed = { ...(await form()), ask: 'mark', 'ask.witness': 'Alone: <b> nobody was there' };
  const files = [{ field: 'photo.mark', name: 'mark.jpg', bytes: await picture('#446') }];
  for (let time = 0; time < 2; time += 1) {
    const reply = await fitter.postFiles(`${page}/photos`, typed, files, page);
    expect(reply.statusCode).toBe(200);
    expect(words(reply.body)).toContain('What you typed is still below');
    expect(formOn(reply.body, page)['ask.witness']).toBe(typed['ask.witness']);
    expect(entries().length).toBe(before + 1);
  }
  const other = [{ field: 'photo.mark', name: 'mark.jpg', bytes: await picture('#a46') }];
  await fitter.postFiles(`${page}/photos`, typed, other, page);
  expect(entries().length).toBe(before + 2);
  // The form itself can still be sent under the key that its photos came with.
  const { ask: _ask, ...rest } = typed;
  expect((await fitter.postRaw(page, rest)).statusCode).toBe(303);
  expect(job().steps.get('template-marked')?.status).toBe('done');
});

test('a photo alone leads back to the page of its step', async () => {
  const { fitter, page, form } = await openStep();
  const files = [{ field: 'photo.mark', name: 'mark.jpg', bytes: await picture('#446') }];
  const reply = await fitter.postFiles(`${page}/photos`, { ...(await form()), ask: 'mark' }, files, page);
  expect([reply.statusCode, reply.headers.location]).toEqual([303, `${page}#photos`]);
});

test('a photo that was chosen and not sent ahead is kept with the step', async () => {
  const { fitter, page, form, count, job } = await openStep();
  const photos = count('photo added');
  const typed = { ...(await form()), 'ask.witness': 'Tam Whitlock' };
  const files = [{ field: 'photo.mark', name: 'mark.jpg', bytes: await picture('#446') }];
  for (let time = 0; time < 2; time += 1)
    expect((await fitter.postFiles(page, typed, files, page)).statusCode).toBe(303);
  expect(count('photo added')).toBe(photos + 1);
  expect(job().steps.get('template-marked')?.status).toBe('done');
});

test('a photo is kept where the step beside it is refused, and what was typed stands there again', async () => {
  const { fitter, page, form, count } = await openStep();
  const photos = count('photo added');
  const typed = { ...(await form()), 'ask.witness': 'n'.repeat(81) };
  const files = [{ field: 'photo.mark', name: 'mark.jpg', bytes: await picture('#446') }];
  const reply = await fitter.postFiles(page, typed, files, page);
  expect(reply.statusCode).toBe(422);
  expect(formOn(reply.body, page)['ask.witness']).toBe(typed['ask.witness']);
  expect(count('photo added')).toBe(photos + 1);
});
