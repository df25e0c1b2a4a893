import { expect, test } from 'vitest';
import type { Assessment } from '../../src/steps/assessment.js';
import { playedShop } from './played-shop.js';
import { formOn, plain } from './read-form.js';
import { toMend } from './shop-under-test.js';

/** Acts by a button alone, and those that would end what is looked through. */
const buttonsAlone = /sign-out|sessions|notices|withdrawal|backup|check|verify/;

/** The texts that a person types into a form, by name; no passphrase. */
function textsOf(inner: string): string[] {
  return [...inner.matchAll(/<(?:input|textarea)\b[^>]*name="([^"]*)"[^>]*>/g)]
    .filter(([tag]) => !/type="(hidden|checkbox|radio|file|password)"/.test(tag))
    .map(([, name]) => name!);
}

const pagesOf = (number: string, job: Assessment, instrument: string | undefined) => {
  const at = `/jobs/${number}`;
  return [
    ...['', '/circuit', '/description', '/sheet', '/defects', '/second-look', '/record'].map(
      (p) => `${at}${p}`,
    ),
    ...['/jobs/new', '/people', '/people/tam', '/instruments', `/instruments/${instrument}`, '/shop'],
    '/readings-without-a-job',
    ...[...job.steps.keys()].map((step) => `${at}/steps/${step}`),
    ...[...job.readings.keys()].filter((_, k) => k % 6 === 0).map((reading) => `${at}/readings/${reading}`),
    ...job.defects.map(({ defect }) => `${at}/defects/${defect.seq}`),
  ];
};

test.each([
  ['that has only its circuit', (job: Assessment) => job.log.steps.size === 0],
  ['that is whole', () => false],
])(
  'of a job %s every form that is refused has all that was typed on its page, and each fault leads to its field',
  async (_what, until) => {
    const { fitter, number, store, job } = await playedShop(until);
    const faults: string[] = [];
    const looked = new Set<string>();
    for (const url of pagesOf(number, job(), store.shop.state().instruments[0]?.id)) {
      const { body } = await fitter.get(url);
      for (const [, head = '', inner = ''] of body.matchAll(/<form\b([^>]*)>([\s\S]*?)<\/form>/g)) {
        const action = plain(/method="post" action="([^"]*)"/.exec(head)?.[1] ?? '');
        const names = textsOf(inner);
        if (action === '' || names.length === 0 || buttonsAlone.test(action) || looked.has(action)) continue;
        looked.add(action);
        for (const text of [(name: string) => `${name} `.repeat(400).trim(), () => '']) {
          const typed = Object.fromEntries(names.map((name) => [name, text(name)]));
          const reply = await fitter.postRaw(action, { ...formOn(body, action), ...typed });
          const page = plain(reply.body);
          const fault = (what: string) => faults.push(`${action}: ${what}`);
          if (reply.statusCode !== 422) fault(String(reply.statusCode));
          for (const [name, value] of Object.entries(typed)) if (!page.includes(value)) fault(`lost ${name}`);
          const said = toMend(reply.body);
          const led = [...reply.body.matchAll(/<li><a href="#(f-[^"]*)"/g)].map(([, id]) => id!);
          if (said.length === 0 || led.length !== said.length) fault(`leads to no field: ${said.join(' ')}`);
          for (const id of led) if (!reply.body.includes(`id="${id}"`)) fault(`no field ${id}`);
        }
      }
    }
    expect(faults).toEqual([]);
    expect(looked.size).toBeGreaterThan(9);
  },
  300_000,
);
