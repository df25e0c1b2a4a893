import { expect, test } from 'vitest';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { filesIn, runTool } from '../record/outside-tool.js';
import { makeLink, type PlayedShop, playedShop, secondLook } from '../web/played-shop.js';
import { formOn, plain } from '../web/read-form.js';
import { Browser, passphrase, toMend } from '../web/shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');
const signed = { 'signature.name': 'Ines Okafor', 'signature.strokes': '[[[20,100],[300,60]]]', passphrase };

async function issue(shop: PlayedShop, changed?: string) {
  const page = `/jobs/${shop.number}/record`;
  const more = changed === undefined ? {} : { changed };
  const form = { ...formOn((await shop.fitter.get(page)).body, page), ...signed, ...more };
  const reply = await shop.fitter.postRaw(page, form);
  expect([reply.statusCode, toMend(reply.body)]).toEqual([303, []]);
}

test('what is found wrong after the record went out is said at once to whoever holds it, and the next revision says what changed and why', async () => {
  const shop = await playedShop();
  await issue(shop);
  const page = `/jobs/${shop.number}/record`;
  const first = (await shop.fitter.get(`${page}/1`)).rawPayload;
  const link = await makeLink(shop.fitter, shop.number);
  const owner = new Browser(shop.app, '192.0.2.7');
  const stranger = new Browser(shop.app, '192.0.2.8');
  const check = async (bytes: Buffer) =>
    words((await stranger.postFiles('/verify', {}, [{ field: 'record', name: 'r.pdf', bytes }])).body);
  expect(words((await owner.get(link)).body)).not.toContain('in question');

  shop.clock.move(86_400_000);
  await shop.fitter.signIn('ines');
  const raised = await shop.fitter.post(`/jobs/${shop.number}/defects`, {
    about: 'place:the locker',
    what: 'The ground lug at the locker turns by hand.',
  });
  const defect = raised.headers.location as string;
  const told = words((await owner.get(link)).body);
  expect(told).toMatch(
    /This record is in question Ask the shop before .* does not say this: Found on \d+ \w+ 20\d\d: the locker: The ground lug at the locker turns by hand\./,
  );
  expect(words((await shop.fitter.get(page)).body)).toContain('Revision 1 is in question');
  expect(words((await shop.fitter.get(`/jobs/${shop.number}`)).body)).toContain('The record is in question.');
  expect(await check(first)).toMatch(/in question since \d+ \w+ 20\d\d/);
  expect(await check(first)).not.toContain('ground lug');

  await shop.fitter.post(
    `${defect}/rework`,
    {
      found: 'It was the cover that turned.',
      done: 'The cover was screwed down.',
      disturbs: 'nothing-touched',
    },
    { page: defect },
  );
  // The van's own breaker label: a step of ticks, opened again and done again.
  const labels = [...shop.job().steps.values()].find(
    (s) => s.step.stage === 'handover' && s.done && s.step.asks.every((a) => a.kind === 'tick'),
  )!;
  const step = `/jobs/${shop.number}/steps/${labels.step.id}`;
  await shop.fitter.post(`${step}/reopening`, { reason: 'The label came off in the rain.' }, { page: step });
  expect(words((await owner.get(link)).body)).toContain('was opened again: The label came off in the rain.');
  const answers = Object.fromEntries(labels.step.asks.map((a) => [`ask.${a.id}`, 'yes']));
  expect((await shop.fitter.post(step, answers)).statusCode).toBe(303);
  const tam = new Browser(shop.app, '192.0.2.12');
  await tam.signIn('tam');
  const looked = await secondLook(tam, shop.number);
  expect([looked.statusCode, toMend(looked.body)]).toEqual([303, []]);
  // The work is in order again, and the paper in the owner's hands still does not say so.
  expect(words((await owner.get(link)).body)).toContain('This record is in question');
  await issue(shop, 'A label was made anew.');

  const after = words((await owner.get(link)).body);
  expect(after).not.toContain('in question');
  expect(after).toContain(
    'What revision 2 changed It takes the place of revision 1. Why: A label was made anew.',
  );
  expect(after).toContain('The label came off in the rain.');
  const pdf = (await shop.fitter.get(`/jobs/${shop.number}/record/2`)).rawPayload;
  expect((await verifyRecord(pdf)).state).toBe('intact');
  const printed = runTool('pdftotext', ['-layout', filesIn({ pdf }).pdf, '-']).text.replace(/\s+/g, ' ');
  for (const line of [
    'What changed since revision 1',
    'Why there is a further revision: A label was made anew.',
    'was opened again: The label came off in the rain.',
    'the locker: The ground lug at the locker turns by hand.',
    'A step was done:',
  ])
    expect(printed).toContain(line);
  expect(await check(first)).toContain(
    'Revision 2 came after it and takes its place. Why: A label was made anew.',
  );
  expect((await shop.fitter.get(`${page}/1`)).rawPayload.equals(first)).toBe(true);
}, 120_000);
