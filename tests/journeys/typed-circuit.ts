import type { Page } from 'playwright-core';
import type { Hands } from './hands.js';

/** What is typed over the form's own start, with feet and inches as a shop in feet and inches writes them. */
const ahead: Readonly<Record<string, string>> = {
  'inlet.fromRearM': '4.5',
  'inlet.heightM': '2.8',
  'inlet.behindPanel': 'Empty pocket behind the rear quarter trim; harness moved and tied back.',
  'inlet.torqueNm': '14',
  'entry.holeMm': '0.875',
  'entry.clampMinMm': '0.4',
  'entry.clampMaxMm': '0.5',
};
const behind: Readonly<Record<string, string>> = {
  'breaker.place': 'enclosure behind the left rear trim door',
  'breaker.torqueNm': '20',
  'bond.lengthM': '3',
  'cable.outsideDiameterMm': '0.45',
};
interface TypedOutlet {
  readonly place: string;
  readonly feet: string;
  readonly load: string;
  readonly watts: string;
}
const outlets: readonly TypedOutlet[] = [
  { place: 'sewing bench, left wall', feet: '9.8', load: 'glue pot', watts: '300' },
  { place: 'nipping press, rear bulkhead', feet: '6.6', load: 'nipping-press heater', watts: '900' },
  { place: 'battery locker, right wall', feet: '6.6', load: 'battery charger', watts: '260' },
];

/** One outlet so far from the inlet, and a load so large, that the drop misses the advice and needs a concession. */
export const oneFarOutlet: readonly TypedOutlet[] = [
  { place: 'the bench', feet: '35', load: 'kettle', watts: '1400' },
];

/** Types a circuit, the demonstration's, from the form's top to its end, an outlet and a load at a time, and sends it. */
export async function typeCircuit(page: Page, hands: Hands, run = outlets): Promise<void> {
  const type = (name: string, text: string) => hands.type(page, field(page, name), text);
  for (const [name, text] of Object.entries(ahead)) await type(name, text);
  await hands.tick(page, field(page, 'entry.coversWholeEdge'));
  for (const [name, text] of Object.entries(behind)) await type(name, text);
  for (const [k, { place, feet, load, watts }] of run.entries()) {
    if (k > 0) await hands.press(page, page.locator('button[value="add-outlet"]'));
    await type(`run.${k}.place`, place);
    await type(`run.${k}.torqueNm`, '14');
    await hands.choose(page, field(page, `run.${k}.feed.awg`), '12');
    await type(`run.${k}.feed.lengthM`, feet);
    await type(`run.${k}.box.volumeCm3`, '30.3');
    if (k === 0) {
      await hands.choose(page, field(page, 'run.0.openNeutral'), 'stays');
      await hands.tick(page, field(page, 'run.0.selfTest'));
    }
    await type(`run.${k}.loads.0.name`, load);
    await type(`run.${k}.loads.0.amount`, watts);
  }
  await hands.press(page, page.locator('button.go[value=save]'));
}

/** From the sheet that a drop holds: two sets of what may run together, sent again. */
export async function mendSheet(page: Page, hands: Hands): Promise<void> {
  await hands.press(page, page.locator('.notice.stop a.go'));
  for (const [k, name, load] of [
    [0, 'gluing', 'glue pot'],
    [1, 'pressing', 'nipping-press heater'],
  ] as const) {
    await hands.press(page, page.locator('button[value="add-set"]'));
    await hands.type(page, field(page, `together.${k}.name`), name);
    for (const each of [load, 'battery charger'])
      await hands.tick(page, page.locator(`label:has-text("${each},") >> nth=${k} >> input`));
  }
  await hands.press(page, page.locator('button.go[value=save]'));
}

function field(page: Page, name: string) {
  return page.locator(`[name="${name}"]`).first();
}
