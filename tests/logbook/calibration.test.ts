import { expect, test } from 'vitest';
import { calibrationOver, isFrom, mayBeFrom } from '../../src/logbook/calibration.js';
import { expiredText } from '../../src/steps/instrument-doubts.js';
import { instrumentUse } from '../../src/store/instrument-use.js';
import type { Store } from '../../src/store/open-store.js';
import { calibrationLines } from '../../src/web/shop/calibration.js';

const meter = {
  id: 'i-meter',
  kind: 'multimeter',
  name: 'Bench meter',
  serial: 'TLV-01',
  calibrated: '2025-03-02',
  due: '2026-03-02',
} as const;

test.each([
  ['in Maine, half past nine in the evening of its last day', '2026-03-03T02:30:00.000Z', false],
  ['in Alaska, a minute before midnight of its last day', '2026-03-03T08:59:00.000Z', false],
  ['in Hawaii, a minute before midnight of its last day', '2026-03-03T09:59:00.000Z', false],
  ['in Hawaii, at midnight after its last day', '2026-03-03T10:00:00.000Z', true],
  ['in Maine, in the morning after its last day', '2026-03-03T12:30:00.000Z', true],
])('a calibration %s: over at %s is %s', (_where, at, over) => {
  expect(calibrationOver(meter.due, at)).toBe(over);
  expect(expiredText(at, meter) !== undefined).toBe(over);
  const [line] = calibrationLines([{ ...meter, retired: false }], at);
  expect(line?.word).toBe(over ? 'overdue' : 'ends today');
});

test('a calibration without a last day is never over', () => {
  expect(calibrationOver(undefined, '2099-01-01T00:00:00.000Z')).toBe(false);
});

/** A store with one job, of which this is the one entry. */
const storeWith = (entry: unknown) =>
  ({
    db: { prepare: () => ({ pluck: () => ({ all: () => ['2026-001'] }) }) },
    logbook: { entries: () => [entry] },
  }) as unknown as Store;

test.each([
  ['in Guam, at noon of the day', '2026-03-03T02:00:00.000Z', true],
  ['in Guam, on its morning, which the page says', '2026-03-02T23:59:00.000Z', false],
  ['in Maine, at noon of the day before', '2026-03-02T17:00:00.000Z', false],
  ['in Hawaii, on the evening before, which is the first day by UTC', '2026-03-03T04:00:00.000Z', true],
  ['in Maine, on the day after', '2026-03-04T15:00:00.000Z', true],
])(
  'an instrument that is doubtful from a day on: what it gave %s (%s) is among it: %s',
  (_where, at, among) => {
    expect(isFrom('2026-03-03', at)).toBe(among);
    const taken = { kind: 'reading taken', seq: 1, at, body: { instrument: meter } };
    const store = storeWith(taken);
    expect(instrumentUse(store, meter.id, '2026-03-03')).toHaveLength(among ? 1 : 0);
    expect(instrumentUse(store, meter.id)).toHaveLength(1);
  },
);

test('what a clock that stood at 1970 dated is of an unknown day: it proves no calibration, and is among what a doubtful instrument gave', () => {
  const at = '1970-01-01T00:20:00.000Z';
  expect(expiredText(at, meter)).toMatch(
    /The clock said 1970-01-01, before Bench meter.* calibrated on 2025-03-02/,
  );
  expect(mayBeFrom('2025-03-02', '2025-03-01T14:00:00.000Z')).toBe(true);
  expect(mayBeFrom('2025-03-02', '2025-03-01T13:59:00.000Z')).toBe(false);
  expect(expiredText('2025-03-01T20:00:00.000Z', meter)).toBeUndefined();
  const { due: _due, ...endless } = meter;
  expect(expiredText(at, endless)).toBeUndefined();
  const taken = { kind: 'reading taken', seq: 1, at, body: { instrument: endless } };
  const store = storeWith(taken);
  expect(instrumentUse(store, meter.id, '2026-03-03')).toHaveLength(1);
});
