import { pointText } from '../../meter/point.js';
import type { Test } from '../../meter/readings-file.js';

/** Every point that can be touched on a circuit of so many outlets, in words. */
export function pointOptions(devices: readonly string[]): { value: string; label: string }[] {
  const poles = ['hot', 'neutral', 'ground'];
  const outlets = devices.flatMap((device, k) => [
    ...(device === 'gfci-receptacle'
      ? ['line.hot', 'line.neutral', 'load.hot', 'load.neutral'].map((p) => `outlet${k + 1}.${p}`)
      : []),
    ...poles.map((p) => `outlet${k + 1}.${p}`),
  ]);
  const names = [
    ...poles.map((p) => `inlet.${p}`),
    'chassis',
    ...outlets,
    ...poles.flatMap((p) => [`plug.${p}`, `connector.${p}`]),
    ...poles.map((p) => `supply.${p}`),
    'earth',
  ];
  return names.map((value) => ({ value, label: pointText(value) }));
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
