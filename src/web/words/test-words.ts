import { pointNames, pointText } from '../../meter/point.js';
import type { Test } from '../../meter/readings-file.js';

/** Every point that can be touched where these devices are the run, in words. */
export function pointOptions(devices: readonly string[]): { value: string; label: string }[] {
  return pointNames(devices).map((value) => ({ value, label: pointText(value) }));
}

/** A test that could be taken, as one says it. */
export function testWords(test: Test): string {
  if (test.test === 'observation') {
    const asks: Record<string, string> = {
      'supply-holds': 'Does the supply’s breaker stay in?',
      'gfci-resets': 'Does the ground-fault device reset and stay?',
      'dead-when-tripped': 'After TEST, is it dead at',
      'holds-under-load': 'Does it hold under the test load at',
      'three-lamp': 'Which of a tester’s three lamps light at',
    };
    return 'at' in test
      ? `${asks[test.what]} ${test.at.replace('outlet', 'outlet ')}?`
      : (asks[test.what] ?? test.what);
  }
  const kind = { resistance: 'Ohms', voltage: 'Volts', 'loaded-voltage': 'Volts under the test load' }[
    test.test
  ];
  return `${kind}: from ${pointText(test.from)} to ${pointText(test.to)}.`;
}
