import fc from 'fast-check';
import { expect, test } from 'vitest';
import { clockSteps, clockStepText } from '../../src/logbook/clock-steps.js';
import type { Entry } from '../../src/logbook/entry.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { filesIn, runTool } from '../record/outside-tool.js';
import { jobOf, played } from '../steps/played.js';
import { playedShop, secondLook } from '../web/played-shop.js';
import { formOn, plain } from '../web/read-form.js';
import { Browser, passphrase, toMend } from '../web/shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');
const hour = 3_600_000;

test('a clock that goes back an hour is said on the logbook’s page and in the record, and breaks no rule', async () => {
  const shop = await playedShop();
  const take = async (volts: string) => {
    const url = `/jobs/${shop.number}/readings/absence-of-voltage.inlet`;
    const form = { ...formOn((await shop.fitter.get(url)).body, url), volts };
    expect((await shop.fitter.postRaw(url, form)).statusCode).toBe(303);
    return shop.entries().length;
  };
  const before = await take('0');
  shop.clock.move(-hour);
  const after = await take('0');
  expect(after).toBe(before + 1);
  const said = `The clock went back 1 h between entries ${before} and ${after}.`;
  expect(words((await shop.fitter.get(`/jobs/${shop.number}/logbook`)).body)).toContain(said);
  expect(shop.job().readings.get('absence-of-voltage.inlet')?.taken?.seq).toBe(after);

  const tam = new Browser(shop.app, '192.0.2.12');
  await tam.signIn('tam');
  const looked = await secondLook(tam, shop.number);
  expect([looked.statusCode, toMend(looked.body)]).toEqual([303, []]);
  const page = `/jobs/${shop.number}/record`;
  const signed = { 'signature.name': 'Ines Okafor', 'signature.strokes': '', passphrase };
  const form = { ...formOn((await shop.fitter.get(page)).body, page), ...signed };
  const early = await shop.fitter.postRaw(page, form);
  // The key was made an hour later than it is now by this clock: what is signed now would not verify, and the refusal says why.
  expect(toMend(early.body).join() + words(early.body)).toMatch(
    /holds from (\S+) 08:00 UTC to .* the clock of this machine says \1 07:00 UTC\. Set the clock right/,
  );
  shop.clock.move(hour);
  const sent = await shop.fitter.postRaw(page, {
    ...formOn((await shop.fitter.get(page)).body, page),
    ...signed,
  });
  expect([sent.statusCode, toMend(sent.body)]).toEqual([303, []]);
  const pdf = (await shop.fitter.get(`${page}/1`)).rawPayload;
  expect(await verifyRecord(pdf)).toMatchObject({ state: 'intact', composedAgain: 'same' });
  expect(runTool('pdftotext', ['-layout', filesIn({ pdf }).pdf, '-']).text.replace(/\s+/g, ' ')).toContain(
    said,
  );
});

test('whatever the clock did, steps, readings, defects and what bars the record are those of the order of the entries', () => {
  const entries = played();
  const standing = (log: readonly Entry[]) => {
    const job = jobOf(log);
    return {
      steps: [...job.steps.values()].map((s) => [s.step.id, s.status, s.reopened]),
      readings: [...job.readings.values()].map((r) => [r.planned.id, r.verdict, r.taken?.seq]),
      defects: job.defects.map((d) => [d.defect.seq, d.status]),
      bars: job.barsIssue,
    };
  };
  const right = standing(entries);
  const anyTime = fc.date({ min: new Date('1970-01-01'), max: new Date('2099-12-31'), noInvalidDate: true });
  fc.assert(
    fc.property(fc.array(anyTime, { minLength: entries.length, maxLength: entries.length }), (times) => {
      const hostile = entries.map((e, k) => ({ ...e, at: times[k]!.toISOString() }));
      expect(standing(hostile)).toEqual(right);
      const back = clockSteps(hostile);
      const longWayRound = hostile.filter(
        (e, k) => k > 0 && Date.parse(hostile[k - 1]!.at) - Date.parse(e.at) >= 1000,
      );
      expect(back.map((s) => s.after)).toEqual(longWayRound.map((e) => e.seq));
    }),
    { numRuns: 25 },
  );
});

test.each([
  [-hour, 'The clock went back 1 h between entries 1 and 2.'],
  [-(2 * 86_400_000 + 3 * hour), 'The clock went back 2 days 3 h between entries 1 and 2.'],
  [-61_000, 'The clock went back 1 min 1 s between entries 1 and 2.'],
  [-999, ''],
  [0, ''],
  [hour, ''],
])('a step of %i ms is said as “%s”', (step, said) => {
  const at = (seq: number, ms: number) => ({
    seq,
    at: new Date(Date.UTC(2026, 9, 25, 1) + ms).toISOString(),
  });
  expect(
    clockSteps([at(1, 0), at(2, step)])
      .map(clockStepText)
      .join(),
  ).toBe(said);
});
