import { readFileSync } from 'node:fs';
import fastify from 'fastify';
import { expect, test } from 'vitest';
import { jsonSchemas } from '../../src/store/json-schemas.js';

const job = JSON.parse(readFileSync(new URL('../../seed-demo/job.json', import.meta.url), 'utf8'));
const circuit = JSON.parse(readFileSync(new URL('../../seed-demo/circuit.json', import.meta.url), 'utf8'));
const readings = {
  format: 'inlet-readings/1',
  circuit: {
    supply: { volts: 120, loopOhms: 0.3 },
    cord: { awg: 12, lengthM: 7.62 },
    inlet: { amps: 15 },
    bond: { awg: 8, lengthM: 1 },
    run: [{ device: 'gfci-receptacle', feed: { awg: 12, lengthM: 3 } }],
  },
  meter: {
    ohms: { percent: 0.5, counts: 2, resolution: 0.01, overLimit: 1e7 },
    volts: { percent: 0.5, counts: 2, resolution: 0.1 },
    inputOhms: 1e7,
  },
  readings: [{ test: 'resistance', from: 'outlet1.ground', to: 'inlet.ground', ohms: null }],
};

/**
 * What a validator that knows nothing of this project answers: that it fits, or where not and why. It reads an older draft,
 * which passes over the places of a stroke (`prefixItems`) and takes all else as 2020-12 means it.
 */
async function judged(name: string, file: unknown): Promise<string> {
  const { $schema, ...rest } = (jsonSchemas[name] as () => { $schema: string })();
  const body = JSON.parse(JSON.stringify(rest), (_key, value) => {
    const { prefixItems, items, ...others } = value ?? {};
    return prefixItems === undefined ? value : others;
  });
  expect($schema).toBe('https://json-schema.org/draft/2020-12/schema');
  const options = { coerceTypes: false, removeAdditional: false, useDefaults: false, strict: false } as const;
  const app = fastify({ ajv: { customOptions: options }, bodyLimit: 64 * 1024 * 1024 });
  app.post('/', { schema: { body } }, async () => 'fits');
  const answer = await app.inject({ method: 'POST', url: '/', payload: file as object });
  await app.close();
  return answer.statusCode === 200 ? 'fits' : answer.json().message;
}

test('the demonstration’s job and circuit, and readings, fit the schemas of their formats', async () => {
  expect(await judged('inlet-job-1', job)).toBe('fits');
  expect(await judged('inlet-circuit-1', circuit)).toBe('fits');
  expect(await judged('inlet-readings-1', readings)).toBe('fits');
});

test('a file that is wrong in one place does not fit, and a validator says where', async () => {
  expect(await judged('inlet-circuit-1', { ...circuit, cord: { ...circuit.cord, awg: 'twelve' } })).toMatch(
    /cord\/awg/,
  );
  expect(await judged('inlet-job-1', { ...job, format: 'inlet-job/9' })).toMatch(/format/);
  const entries = [
    { ...job.entries[0], body: { ...job.entries[0].body, owner: 7 } },
    ...job.entries.slice(1),
  ];
  expect(await judged('inlet-job-1', { ...job, entries })).toMatch(/entries\/0\/body\/owner/);
  expect(await judged('inlet-readings-1', { ...readings, readings: [{ test: 'guess' }] })).toMatch(
    /readings/,
  );
});
