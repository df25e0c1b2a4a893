import { bench, describe } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import { Bench } from '../../src/meter/bench.js';
import type { Fault } from '../../src/meter/fault.js';
import { van } from '../meter/vans.js';
import { caseMeter, makeCase } from '../outside/ngspice/make-cases.js';
import { measureAll, type Wanted } from '../outside/ngspice/measure.js';

/** Five outlets, the whole round of readings. */
const circuit = van(5);
const one: Fault[] = [{ fault: 'high-resistance', conductor: 'neutral', where: 'feed3', ohms: 1.7 }];
const two: Fault[] = [...one, { fault: 'swapped', conductors: ['neutral', 'ground'], where: 'feed4' }];
const single = makeCase(circuit, one);
const double = makeCase(circuit, two);
const hypothesis = new Bench(circuit, caseMeter, single.file.readings);
const metered = single.file.readings.filter((r) => r.test !== 'observation');

describe('all readings of one hypothesis', () => {
  bench('by the network', () => {
    hypothesis.shows(one);
  });
  bench(
    'by the ngspice runs that it replaces, one a reading',
    () => {
      for (const reading of metered) {
        const dead = reading.test === 'resistance';
        const wanted: Wanted = {
          setUp: {
            circuit,
            faults: one,
            state: dead ? 'dead' : 'live',
            closed: new Set(dead ? [] : [1]),
            breakAt: 'start',
            probe: { from: reading.from, to: reading.to, inputOhm: caseMeter.inputOhms },
          },
          between: [reading.from, reading.to],
        };
        measureAll([wanted]);
      }
    },
    { iterations: 2, warmupIterations: 0, time: 0 },
  );
});

describe('an answer over five outlets', () => {
  bench('one fault', () => {
    diagnose(single.file);
  });
  bench('two faults', () => {
    diagnose(double.file);
  });
});
