import { expect, test } from 'vitest';
import { demoCircuit, playedShop } from '../played-shop.js';
import { plain } from '../read-form.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, '')).replace(/\s+/g, ' ');
const times = (text: string, what: RegExp) => text.match(new RegExp(what, 'g'))?.length ?? 0;

test('a live page says each caution once, its own before what holds at all of them, and names the law', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'slot-voltages');
  const at = `/jobs/${shop.number}`;
  const step = (await shop.fitter.get(`${at}/steps/slot-voltages`)).body;
  const reading = (await shop.fitter.get(`${at}/readings/voltage.hot-ground.${demoCircuit.run[1]?.id}`)).body;
  for (const [name, html] of Object.entries({ step, reading })) {
    const said = words(html);
    const once = [
      /through one hand and in wet shoes/,
      /prove it dead: try the meter/,
      /does not protect between hot and neutral/,
      /authority having jurisdiction/,
      /licensed electrician/,
      /that trip is no fault|That is no fault/,
    ];
    for (const what of once) expect([name, String(what), times(said, what)]).toEqual([name, String(what), 1]);
    expect(said.indexOf('No rings or watch'), name).toBeLessThan(
      said.indexOf('Work dead, and prove it dead'),
    );
  }
  // What holds at all live work is one line that opens, and open where it is ticked as read.
  const folded = /<details>([\s\S]*?)<\/details>/.exec(
    /<div class="caution"[\s\S]*?<\/div>/.exec(step)?.[0] ?? '',
  )?.[1];
  expect(
    words(folded ?? '').match(/work dead, prove dead|Work dead, and prove|licensed electrician/g),
  ).toHaveLength(3);
  expect(folded).not.toContain('No rings or watch');
  const ready = (await shop.fitter.get(`${at}/steps/ready-for-live`)).body;
  expect(/<div class="caution"[\s\S]*?<\/div>/.exec(ready)?.[0]).toMatch(/licensed electrician/);
  expect(/<div class="caution"[\s\S]*?<\/div>/.exec(ready)?.[0]).not.toContain('<details');
  // Off the live steps the same caution may be all that there is to say.
  const chosen = (await shop.fitter.get(`${at}/steps/device-chosen`)).body;
  const alone = /<div class="caution"[\s\S]*?<\/div>/.exec(chosen)?.[0];
  expect(alone).toContain('caution-word');
  expect(alone).not.toContain('<details');
  expect(step).not.toContain('<footer');
  expect(reading).toContain('<footer');
});

test('a fail leads on before it tells who took it, and names the unlikely without a picture of each', async () => {
  const shop = await playedShop((job) => job.defects.some((d) => d.status === 'open'));
  const path = `/jobs/${shop.number}/readings/ground-path.${demoCircuit.run[1]?.id}`;
  const { body } = await shop.fitter.get(path);
  const card = /<section class="verdict-card[\s\S]*?<\/section>/.exec(body)?.[0] ?? '';
  expect(card.indexOf('button go')).toBeGreaterThan(0);
  expect(card.indexOf('button go')).toBeLessThan(card.indexOf('Write down the mend'));
  expect(card.indexOf('Write down the mend')).toBeLessThan(card.indexOf('Ines Okafor'));
  const defect = /href="([^"]*\/defects\/\d+)#mend"/.exec(card)?.[1] ?? '';
  const whole = (await shop.fitter.get(defect)).body;
  for (const html of [body, whole])
    expect(words(html)).toMatch(/Unlikely, not ruled out:.*Hot and ground exchanged/);
  const pictures = (html: string) => times(html, /<div class="picture">/);
  expect(pictures(body)).toBeLessThan(pictures(whole));
  expect(pictures(body)).toBeGreaterThan(0);
});
