import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fieldLabel, parseCircuit } from '../../src/circuit/parse-circuit.js';
import { demoJson, demoPatched, type Patch } from './demo-circuit.js';

test('the demonstration circuit is read', () => {
  expect(parseCircuit(demoJson())).toMatchObject({ ok: true, value: { run: [{ id: 'bench' }, {}, {}] } });
});

const mistakes: readonly [Patch, string, RegExp][] = [
  [{ 'run.1.feed.awg': 16 }, 'run.1.feed.awg', /^run 2 · feed · awg: choose 14, 12, 10, 8 or 6 AWG$/],
  [{ 'run.1.feed.awg': '12' }, 'run.1.feed.awg', /choose 14/],
  [{ 'run.1.feed.lengthM': -1 }, 'run.1.feed.lengthM', /at least 0.05 m/],
  [{ 'run.1.feed.lengthM': 1e9 }, 'run.1.feed.lengthM', /at most 30 m/],
  [{ 'run.1.feed.lengthM': Number.NaN }, 'run.1.feed.lengthM', /number/],
  [{ 'run.1.feed.lengthM': Number.POSITIVE_INFINITY }, 'run.1.feed.lengthM', /number/],
  [{ 'run.1.feed.lengthM': '2' }, 'run.1.feed.lengthM', /must be a number/],
  [{ 'run.1.feed': undefined }, 'run.1.feed', /is missing/],
  [{ run: [] }, 'run', /at least one outlet/],
  [{ run: 'three' }, 'run', /must be a list/],
  [{ run: undefined }, 'run', /is missing/],
  [{ breaker: undefined }, 'breaker', /^breaker: is missing$/],
  [{ breaker: null }, 'breaker', /must be an object/],
  [{ 'breaker.amps': 25 }, 'breaker.amps', /choose 15, 20 or 30 A/],
  [{ 'breaker.place': '   ' }, 'breaker.place', /must not be empty/],
  [{ 'breaker.place': 'x'.repeat(81) }, 'breaker.place', /at most 80/],
  [
    { 'inlet.amps': 50 },
    'inlet.amps',
    /choose 15, 20 or 30 A; an inlet of 50 A, or of 120\/240 V, is beyond/,
  ],
  [{ 'inlet.side': 'top' }, 'inlet.side', /choose one of the list/],
  [{ 'inlet.locking': 'yes' }, 'inlet.locking', /true or false/],
  [{ 'cord.awg': 20 }, 'cord.awg', /choose 18/],
  [{ 'cord.typeLetters': '12/3' }, 'cord.typeLetters', /letters on the jacket/],
  [{ 'cord.lengthFt': 25 }, 'cord.lengthFt', /is no field of a circuit/],
  [{ 'supply.volts': 240 }, 'supply.volts', /120/],
  [{ 'supply.loopOhms': -0.1 }, 'supply.loopOhms', /at least 0/],
  [{ 'run.2.id': 'bench' }, 'run.2.id', /used by an outlet before/],
  [{ 'run.2.id': '<b>' }, 'run.2.id', /small letters or digits/],
  [{ 'run.2.id': 'inlet' }, 'run.2.id', /is the name of another place/],
  [{ 'run.1.loads.0.amps': 3 }, 'run.1.loads.0.watts', /watts or amps, one of the two/],
  [{ 'run.1.loads.0.watts': 0 }, 'run.1.loads.0.watts', /at least 0.1 W/],
  [{ 'run.1.loads.0.name': 'kettle' }, 'together.1.loads.1', /does not have/],
  [{ 'entry.clampMinMm': 20 }, 'entry.clampMinMm', /larger than the largest/],
  [{ 'cable.insulationC': 105 }, 'cable.insulationC', /60, 75 or 90/],
  [{ otherSources: [{ kind: 'wind', keptOff: 'nothing' }] }, 'otherSources.0.kind', /choose one/],
  [{ format: 'inlet-readings/1' }, 'format', /inlet-circuit\/1/],
  [{ colour: 'green' }, 'colour', /is no field of a circuit/],
];

test.each(mistakes)('%j is refused at %s', (patch, field, message) => {
  const parsed = parseCircuit(demoPatched(patch));
  expect(parsed.ok).toBe(false);
  const issue = parsed.ok ? undefined : parsed.issues.find((i) => i.field === field);
  expect(issue?.message).toMatch(message);
});

test.each([[null], [undefined], [[]], ['circuit'], [12], [true]])('%j is no circuit', (json) => {
  expect(parseCircuit(json)).toMatchObject({ ok: false, issues: [{ field: '' }] });
});

test('anything at all is read or refused with a sentence, never with a crash', () => {
  fc.assert(
    fc.property(
      fc.anything(),
      fc.constantFrom('run', 'cord', 'together', 'entry', 'format'),
      (value, key) => {
        const parsed = parseCircuit({ ...demoJson(), [key]: value });
        expect(parsed.ok || parsed.issues.every((issue) => issue.message.length > 3)).toBe(true);
      },
    ),
  );
});

test('places in lists are counted from 1 in a label', () => {
  expect(fieldLabel(['run', 1, 'feed', 'awg'])).toBe('run 2 · feed · awg');
  expect(fieldLabel(['together', 0, 'loads', 2])).toBe('together 1 · loads 3');
  expect(fieldLabel([])).toBe('circuit');
});
