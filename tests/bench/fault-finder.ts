import { diagnose } from '../../src/faults/diagnose.js';
import { Bench } from '../../src/meter/bench.js';
import type { Fault } from '../../src/meter/fault.js';
import { van } from '../meter/vans.js';
import { caseMeter, makeCase } from '../outside/ngspice/make-cases.js';
import { measureAll, type Wanted } from '../outside/ngspice/measure.js';
import { type Measure, timed } from './row.js';

/** Five outlets, the whole round of readings. */
const circuit = van(5);
const one: Fault[] = [{ fault: 'high-resistance', conductor: 'neutral', where: 'feed3', ohms: 1.7 }];
const two: Fault[] = [...one, { fault: 'swapped', conductors: ['neutral', 'ground'], where: 'feed4' }];

/** All readings of one hypothesis beside the ngspice runs that they replace; an answer for two faults beside one second. */
export const faultFinder: Measure = async () => {
  const { readings } = makeCase(circuit, one).file;
  const hypothesis = new Bench(circuit, caseMeter, readings);
  const round = 200;
  const network =
    (await timed(() => {
      for (let k = 0; k < round; k += 1) hypothesis.shows(one);
    })) / round;
  const ngspice = await timed(
    () => {
      for (const reading of readings) {
        if (reading.test === 'observation') continue;
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
    { runs: 2, warm: 0 },
  );
  const double = makeCase(circuit, two).file;
  const answerMs = await timed(() => diagnose(double));
  return [
    {
      what: 'all readings of one fault hypothesis, as times a second',
      beside: 'the ngspice runs that they replace, one a reading',
      figures: `${(network * 1000).toFixed(1)} µs and ${ngspice.toFixed(0)} ms`,
      ratio: ngspice / network,
      mark: { atLeast: 1000 },
    },
    {
      what: 'two faults over five outlets',
      beside: 'one second',
      figures: `${answerMs.toFixed(0)} ms`,
      ratio: answerMs / 1000,
      mark: { atMost: 1 },
    },
  ];
};
