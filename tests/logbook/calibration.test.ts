import { expect, test } from 'vitest';
import { calibrationOver } from '../../src/logbook/calibration.js';
import { expiredText } from '../../src/steps/accept-questioned.js';
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
