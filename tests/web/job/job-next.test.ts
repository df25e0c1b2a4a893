import { expect, test } from 'vitest';
import { playedShop } from '../played-shop.js';
import { formOn } from '../read-form.js';
import { passphrase } from '../shop-under-test.js';

test('once the record is issued, the job says to hand it over, and a withdrawal says to issue again', async () => {
  const shop = await playedShop();
  const job = `/jobs/${shop.number}`;
  const seen = async () => (await shop.fitter.get(job)).body;
  expect(await seen()).toContain('Issue the record');
  const page = `${job}/record`;
  const signed = {
    'signature.name': 'Ines Okafor',
    'signature.strokes': '[[[20,100],[300,60]]]',
    passphrase,
  };
  await shop.fitter.postRaw(page, { ...formOn((await shop.fitter.get(page)).body, page), ...signed });
  expect(await seen()).toContain('Hand over revision 1');
  await shop.fitter.post(`${page}/1/withdrawal`, { 'reason.1': 'The wrong van in the photo.' }, { page });
  expect(await seen()).toContain('Issue the record');
});

test('when nothing but the second look is left, the job says who has to look, and leads there', async () => {
  const shop = await playedShop(({ next }) => next?.step.id === 'issue-record');
  const page = (await shop.fitter.get(`/jobs/${shop.number}`)).body;
  expect(page).toContain('Tam Whitlock has not signed the second look.');
  expect(page).toMatch(/<a class="button go" href="\/jobs\/[\d-]+\/second-look">/);
});
