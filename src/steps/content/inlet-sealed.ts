import { type Circuit, words } from '../../circuit/circuit.js';
import { othersOff } from './circuit-parts.js';
import {
  celsius,
  choice,
  type DraftStep,
  draftStep,
  minutes,
  note,
  optionalNote,
  photo,
  tick,
  value,
} from './draft-step.js';
import { from } from './sources.js';

export function inletBedded(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'inlet-bedded',
    stage: 'opening',
    title: 'Bed the inlet',
    do: [
      'Land, torque and photograph the inlet first: this step waits for that.',
      'Lay the gasket or the butyl.',
      'Drive the screws evenly.',
      'Seal the perimeter except the drain.',
      'Write down product, batch and hours to cure.',
    ],
    why: 'Wires are landed outside the hole, where they can be seen. A seal that must be broken to land a wire is no seal.',
    rightWhen: [
      'The bead is unbroken.',
      'The sealant suits the paint or plastic, and the air is warm enough for it.',
      'The weep hole is open.',
    ],
    sources: [
      { publication: 'Trade practice on recreational vehicles', clause: 'butyl under inlets', sure: 'B' },
      from.practice,
    ],
    asks: [
      note('sealant', 'Sealant: product, batch, hours to cure'),
      value({
        id: 'air',
        label: 'Air temperature',
        quantity: 'temperature',
        units: celsius,
        limitSource: { ...from.practice, note: 'the sealant’s own leaflet' },
        instrument: 'thermometer',
      }),
      tick('warm-enough', 'Warm and dry enough by the sealant’s leaflet'),
      tick('weep', 'The weep hole is open'),
      photo('bead', 'The bead all round'),
    ],
    waitsFor: ['dry-fit', 'land-inlet', 'inlet-torque', 'bond'],
    parts: ['inlet'],
    basis: { 'inlet panel': words.panel[circuit.inlet.panel], 'inlet rating': `${circuit.inlet.amps} A` },
  });
}

export function hoseTest(circuit: Circuit): DraftStep {
  const others = circuit.otherSources.length > 0;
  return draftStep({
    id: 'hose-test',
    stage: 'opening',
    title: 'Hose test',
    do: [
      'Wait until the sealant has cured.',
      `Cord out, cover of the inlet shut, breaker off${others ? ', other sources off at their own disconnect' : ''}.`,
      'Let a garden hose rain on the inlet for five minutes: from the top, both sides and below. Use no pressure washer.',
      'Watch from inside with dry paper.',
      'Wait thirty minutes before the dead tests.',
    ],
    why: 'Water that comes in is found now, or by the owner behind the trim. It is found before anything is live.',
    rightWhen: ['Dry behind the panel and dry in the box.'],
    sources: [from.practice],
    cautions: ['no-supply-within-reach', ...othersOff(circuit)],
    asks: [
      tick('cured', 'Cured as long as the leaflet says'),
      tick('off', `Cord out, breaker off${others ? ', other sources off' : ''}`),
      value({
        id: 'hosed',
        label: 'Hosed for',
        quantity: 'time',
        units: minutes,
        min: 5,
        limitSource: from.practice,
      }),
      choice('found', 'Behind the panel and in the box', [
        ['dry', 'Dry'],
        ['wet', 'Wet', 'Raise a defect: seal again, dry, hose again; isolation is read after drying.'],
      ]),
      value({
        id: 'waited',
        label: 'Waited afterwards',
        quantity: 'time',
        units: minutes,
        min: 30,
        limitSource: from.practice,
      }),
      photo('paper', 'The paper behind the panel'),
      optionalNote('remarks', 'Weather, way of the water'),
    ],
    waitsFor: ['inlet-bedded', 'edge-guard'],
    hold: 'No dead test and no covering before the inlet was hosed and found dry.',
    parts: ['inlet'],
    basis: { 'inlet panel': words.panel[circuit.inlet.panel] },
  });
}
