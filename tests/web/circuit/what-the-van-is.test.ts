import { expect, test } from 'vitest';
import { formOn } from '../read-form.js';
import { shopUnderTest, signedIn, toMend } from '../shop-under-test.js';

test('what the van is, is taken from the new job or chosen on the circuit’s form; the page guesses nothing', async () => {
  const shop = await shopUnderTest();
  const fitter = signedIn(shop, 'ines');
  for (const use of ['work-van', 'living-quarters']) {
    const described = { 'vehicle.description': 'A van', use, owner: 'Odile Brandt', place: 'bay 2' };
    const opened = await fitter.post('/jobs', { ...described, fitter: 'Ines Okafor' }, { page: '/jobs/new' });
    const led = String(opened.headers.location);
    const circuit = led.split('?')[0] as string;
    expect(formOn((await fitter.get(led)).body, circuit).vehicleUse).toBe(use);
    // Come back to by another way, the form does not know it any more, and asks.
    const form = formOn((await fitter.get(circuit)).body, circuit);
    expect(form.vehicleUse).toBe('');
    const sent = await fitter.postRaw(circuit, { ...form, act: 'save' });
    expect(toMend(sent.body)).toContain('Supply, What the van is: choose one of the list');
  }
});
