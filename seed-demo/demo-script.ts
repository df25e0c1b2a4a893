import type { Circuit } from '../src/circuit/circuit.js';
import { inSi } from '../src/circuit/units.js';
import type { Answer, InstrumentSnapshot } from '../src/logbook/entry.js';
import type { Asker } from '../src/steps/proposal.js';
import { rulesVersion } from '../src/trade/rules-version.js';
import type { Script } from './play-job.js';

/** The invented scenario: van Marginalia, shop Thimble Lane Vanworks. */
const fitter: Asker = { id: 'p-ines', name: 'Ines Okafor', roles: ['fitter', 'keeper'] };
const checker: Asker = { id: 'p-tam', name: 'Tam Whitlock', roles: ['checker'] };
export const demoPeople = [fitter, checker];

export const demoMeter: InstrumentSnapshot = {
  id: 'i-meter',
  kind: 'multimeter',
  name: 'hand meter, fused, CAT III',
  serial: 'TL-0417',
  calibrated: '2026-05-12',
  ohms: { percent: 0.9, counts: 2, resolution: 0.01, overLimit: 40_000_000 },
  volts: { percent: 1, counts: 3, resolution: 0.1 },
  inputOhms: 10_000_000,
};
export const demoDriver: InstrumentSnapshot = {
  id: 'i-driver',
  kind: 'torque-driver',
  name: 'torque screwdriver, 5 to 50 in-lbf',
  serial: 'TL-0093',
  calibrated: '2026-02-03',
};
export const demoInstruments = [demoMeter, demoDriver];

/** Two working days: an entry every few minutes, with the night between, before the live tests are made ready. */
function at(seq: number): string {
  const minutes = seq * 4;
  const night = minutes > 474 ? 15 * 60 : 0;
  return new Date(Date.UTC(2026, 8, 14, 13, 5) + (minutes + night) * 60_000).toISOString();
}

const said = (text: string): Answer => ({ kind: 'note', text });
const inches = (typed: string): Answer => ({
  kind: 'value',
  typed,
  unit: 'in',
  si: inSi('diameter', Number(typed), 'in') as number,
});
const ohms = (typed: string): Answer => ({
  kind: 'value',
  typed,
  unit: 'Ω',
  si: Number(typed),
  instrument: demoMeter.id,
});

/** The demonstration: everything goes well but one reading, whose cause is found where the fault-finder pointed. */
export function demoScript(circuit: Circuit, job = '2026-001'): Script {
  const second = circuit.run[1]?.id ?? '';
  return {
    job,
    described: {
      vehicle: {
        description: 'Marginalia, a travelling book-repair workshop in a high-roof panel van',
        plate: '',
        vin: '',
        invented: true,
      },
      owner: 'Odile Brandt',
      place: 'Thimble Lane Vanworks, bay 2',
      fitter: fitter.name,
      checker: checker.name,
    },
    circuit,
    rules: rulesVersion,
    fitter,
    checker,
    meter: demoMeter,
    driver: demoDriver,
    at,
    answers: {
      'device-chosen.open-neutral': { kind: 'choice', value: 'accepted-by-us' },
      'last-word.who': said(
        'The county office, asked on 10 September: a work van, no permit, nobody else looks at it.',
      ),
      'look-behind.page': said(
        'Body-builder guide, rear quarter: no airbag there; the tail-lamp harness was moved.',
      ),
      'hole-cut.drawing': inches('2.75'),
      'hole-cut.inlet-hole': inches('2.76'),
      'edges-guarded.screws': said('5/8 in along the whole route; the cable lies 2 in behind.'),
      'inlet-bedded.sealant': said(
        'Butyl tape under the flange, which needs no cure; painter’s tape kept the bead off the paint.',
      ),
      'feed-found.closed': ohms('0.1'),
      'absence-of-voltage.leads': ohms('0.2'),
      'owner-shown.owner': { kind: 'person', name: 'Odile Brandt' },
      're-check-set.date': said(
        '15 October, Ines Okafor, at the shop; sooner if 500 miles are driven before.',
      ),
    },
    mishaps: {
      [`ground-path.${second}`]: {
        shown: { kind: 'ohms', ohms: null, rangeOhms: 40_000_000 },
        found: 'The ground pigtail at outlet 2 was twisted but not under its splice.',
        done: 'Spliced again with the listed connector, each conductor tugged, the device folded back.',
        disturbs: [{ what: 'conductor-relanded', outlet: second }],
      },
    },
  };
}
