import { bodyPlacement } from '../../src/drawing/body-placement.js';
import { circuitDrawing } from '../../src/drawing/circuit-drawing.js';
import { deviceBack } from '../../src/drawing/device-back.js';
import { type ReadingRow, readingsAgainstLimits } from '../../src/drawing/readings-against-limits.js';
import type { Scene } from '../../src/drawing/scene.js';
import { sumAgainstLimit } from '../../src/drawing/sum-against-limit.js';
import { type ProfilePoint, voltageProfile } from '../../src/drawing/voltage-profile.js';
import { circuitWith } from './drawing-circuit.js';

export const ohmRows: ReadingRow[] = [
  {
    label: 'G1 inlet ground to outlet 1',
    value: 0.1,
    uncertainty: 0.2,
    expected: 0.02,
    upper: 1,
    verdict: 'pass',
  },
  {
    label: 'B1 bond to the chassis',
    value: 3.4,
    uncertainty: 0.23,
    expected: 0.01,
    upper: 1,
    verdict: 'fail',
  },
  {
    label: 'I1 hot to ground',
    value: null,
    uncertainty: 0,
    rangeOhm: 4e7,
    expected: null,
    lower: 1e6,
    verdict: 'pass',
  },
  {
    label: 'I2 neutral to ground',
    value: null,
    uncertainty: 0,
    rangeOhm: 4e5,
    expected: null,
    lower: 1e6,
    verdict: 'unproven',
  },
  { label: 'I3 hot to neutral', value: 4.7e5, uncertainty: 6e3, lower: 1e6, verdict: 'fail' },
];
export const voltRows: ReadingRow[] = [
  {
    label: 'V1 outlet 1, hot to neutral',
    value: 119.8,
    uncertainty: 1.5,
    expected: 120,
    lower: 108,
    verdict: 'pass',
  },
  {
    label: 'V2 outlet 2, neutral to ground',
    value: 0.4,
    uncertainty: 0.3,
    expected: 0,
    upper: 5,
    verdict: 'pass',
  },
];

export function profilePoints(outlets: number): ProfilePoint[] {
  const run = Array.from({ length: outlets }, (_, k) => ({
    label: `Outlet ${k + 1}`,
    short: String(k + 1),
    distanceM: 10.6 + k * 1.6,
    volts: 116.6 - k * 0.35,
  }));
  return [
    { label: 'Supply', distanceM: 0, volts: 119.2 },
    { label: 'Inlet', distanceM: 7.6, volts: 117.1 },
    ...run,
  ];
}

/** One of every kind of drawing, in every layout. */
export function everyScene(): [string, Scene][] {
  const circuit = circuitWith(3);
  const limits = [{ label: '5 % under 120 V', volts: 114 }];
  const load = '12 A at the last outlet';
  return [
    ...(['wide', 'narrow'] as const).flatMap((layout): [string, Scene][] => [
      [
        `circuit ${layout}`,
        circuitDrawing({
          circuit,
          layout,
          progress: (_, c) => (c === 'hot' ? 'live' : c === 'neutral' ? 'landed' : 'planned'),
          defects: [{ place: 'feed:out2', conductor: 'neutral', word: 'open neutral' }],
          holds: [{ place: 'cord', word: 'nothing live yet' }],
          focus: ['outlet:out2'],
          href: (place) => `/parts/${place}`,
        }),
      ],
      [`profile ${layout}`, voltageProfile({ layout, points: profilePoints(3), limits, load })],
      [
        `profile of eight ${layout}`,
        voltageProfile({ layout, points: profilePoints(8), limits, load, lengthUnit: 'ft' }),
      ],
      [`ohms ${layout}`, readingsAgainstLimits({ layout, quantity: 'ohms', rows: ohmRows })],
      [
        `sum ${layout}`,
        sumAgainstLimit({
          layout,
          title: 'Loads that are on',
          unit: 'A',
          parts: [
            { label: 'task lamp', value: 0.2 },
            { label: 'glue pot by the long bench that folds out of the way', value: 2.5 },
            { label: 'nipping-press heater', value: 7.5 },
            { label: 'a quarter more for three hours', value: 0.675, extra: true },
          ],
          limit: { label: '15 A, the breaker', value: 15 },
        }),
      ],
      [`volts ${layout}`, readingsAgainstLimits({ layout, quantity: 'volts', rows: voltRows })],
    ]),
    ['ohms on paper', readingsAgainstLimits({ layout: 'paper', quantity: 'ohms', rows: ohmRows })],
    ['volts on paper', readingsAgainstLimits({ layout: 'paper', quantity: 'volts', rows: voltRows })],
    ...(['inlet', 'breaker', 'outlet:out1', 'outlet:out2', 'outlet:out3'] as const).map(
      (place): [string, Scene] => [
        `back of ${place}`,
        deviceBack({
          circuit,
          place,
          mark: { landings: ['feed-neutral', 'in-hot', 'hot'], word: 'look under the clamp' },
        }),
      ],
    ),
    ...(['left', 'right', 'rear-left', 'rear', 'front'] as const).map((side): [string, Scene] => [
      `inlet ${side}`,
      bodyPlacement({ inlet: { side, fromRearM: 0.9, heightM: 0.8 } }),
    ]),
  ];
}
