import fc from 'fast-check';
import { type Circuit, circuitSchema, words } from '../../src/circuit/circuit.js';

const keys = <T extends Record<string, string>>(list: T) =>
  fc.constantFrom(...(Object.keys(list) as (keyof T)[]));
const within = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const place = fc.constantFrom('bench', 'press', 'locker', 'ladder rack');

const box = fc.record({
  volumeCm3: within(100, 900),
  material: keys(words.boxMaterial),
  clamps: keys(words.clamps),
});

const outlet = fc.record(
  {
    place,
    device: keys(words.deviceKind),
    amps: fc.constantFrom(15, 20),
    terminals: keys(words.terminals),
    openNeutral: keys(words.openNeutral),
    selfTest: fc.boolean(),
    torqueNm: within(0.5, 4),
    feed: fc.record({ awg: fc.constantFrom(14, 12, 10), lengthM: within(0.1, 30) }),
    box,
    loads: fc.constantFrom([], [{ name: 'lamp', watts: 24 }], [{ name: 'heater', amps: 8, heats: true }]),
  },
  { requiredKeys: ['place', 'device', 'amps', 'terminals', 'feed', 'box'] },
);

/** Any circuit that the schema takes, the sheet's refusals included: the steps must stand for those too. */
export const anyCircuit: fc.Arbitrary<Circuit> = fc
  .record({
    vehicleUse: keys(words.vehicleUse),
    supply: fc.record({ amps: fc.constantFrom(15, 20, 30), loopOhms: within(0, 2) }),
    cord: fc.record({
      awg: fc.constantFrom(18, 16, 14, 12, 10),
      lengthM: within(0.3, 60),
      typeLetters: fc.constantFrom('SJTW', 'STW'),
    }),
    inlet: fc.record(
      {
        amps: fc.constantFrom(15, 20, 30),
        side: keys(words.side),
        fromRearM: within(0, 15),
        heightM: within(0, 4),
        panel: keys(words.panel),
        behindPanel: fc.constantFrom('nothing', 'a harness'),
        locking: fc.boolean(),
        torqueNm: within(0.5, 4),
        box,
      },
      { requiredKeys: ['amps', 'side', 'fromRearM', 'heightM', 'panel', 'behindPanel'] },
    ),
    entry: fc.record({ kind: keys(words.entry), holeMm: within(3, 150), coversWholeEdge: fc.boolean() }),
    breaker: fc.record(
      { amps: fc.constantFrom(15, 20, 30), place, torqueNm: within(0.5, 4), box },
      { requiredKeys: ['amps', 'place'] },
    ),
    inletWire: fc.option(
      fc.record({
        awg: fc.constantFrom(14, 12, 10),
        lengthM: within(0.1, 10),
        outsideDiameterMm: within(3, 30),
      }),
      { nil: undefined },
    ),
    bond: fc.record({ awg: fc.constantFrom(10, 8, 6), lengthM: within(0.1, 10) }),
    cable: fc.record({
      method: keys(words.cableMethod),
      strands: keys(words.strands),
      insulationC: fc.constantFrom(60, 75, 90),
      terminalsC: fc.constantFrom(60, 75),
      outsideDiameterMm: within(3, 30),
      supportSpacingM: within(0.05, 5),
      supportFromBoxM: within(0.01, 2),
      bendRadiusMm: within(1, 500),
    }),
    run: fc.array(outlet, { minLength: 1, maxLength: 8 }),
    otherSources: fc.array(
      fc.record({ kind: keys(words.otherSource), keptOff: keys(words.keptOff), metalCase: fc.boolean() }),
      { maxLength: 3 },
    ),
  })
  .map((given) => circuitSchema.parse({ ...given, run: given.run.map((o, k) => ({ ...o, id: `out${k}` })) }));

/** A plain run: a ground-fault device first, receptacles behind it; other places from the given patch. */
export function plainRun(circuit: Circuit, outlets: number): Circuit {
  const [first] = circuit.run;
  const run = Array.from({ length: outlets }, (_, k) => ({
    ...first!,
    id: `out${k}`,
    device: k === 0 ? ('gfci-receptacle' as const) : ('receptacle' as const),
  }));
  return { ...circuit, run, together: [] };
}
