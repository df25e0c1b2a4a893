import { type Circuit, words } from '../../circuit/circuit.js';
import { metresText, millimetresText, ohmsText } from '../../circuit/quantity-text.js';
import { buildLimits } from '../../trade/build-limits.js';
import { readingLimits } from '../../trade/reading-limits.js';
import type { Ask } from '../step.js';
import { bends, strainRelief, supports } from './cable-held.js';
import { allCableFacts, cableLengths } from './cable-lengths.js';
import { feedParts } from './circuit-parts.js';
import {
  type DraftStep,
  draftStep,
  millimetres,
  note,
  optionalNote,
  photo,
  tick,
  value,
} from './draft-step.js';
import { cableFacts, feedFacts, outletName } from './figures.js';
import { from } from './sources.js';

/** The cable read, pulled, held, bent and photographed before anything covers it. */
export function cableSteps(circuit: Circuit): DraftStep[] {
  return [
    cableRead(circuit),
    edgesGuarded(circuit),
    routePulled(circuit),
    supports(circuit),
    bends(circuit),
    strainRelief(circuit),
    insulation(circuit),
    runPhotographed(circuit),
  ];
}

function cableRead(circuit: Circuit): DraftStep {
  const od = circuit.cable.outsideDiameterMm;
  const own = circuit.inletWire?.outsideDiameterMm;
  return draftStep({
    id: 'cable-read',
    stage: 'cable',
    title: 'Read the cable',
    do: ['Read the print on the jacket.', 'Measure its outside diameter.', 'Compare both with the sheet.'],
    why: 'Grommets, bends and boxes were computed for one cable. The one in the hand may be another.',
    rightWhen: [
      `The print says ${words.cableMethod[circuit.cable.method]}, ${words.strands[circuit.cable.strands]}, and the gauges of the sheet.`,
    ],
    sources: [from.ampacity, from.practice],
    asks: [
      diameterAsk('diameter', 'Outside diameter as measured', od),
      ...(own === undefined
        ? []
        : [
            diameterAsk('inlet-diameter', 'Outside diameter of the cable from the inlet to the breaker', own),
          ]),
      photo('print', 'The print on the jacket'),
    ],
    waitsFor: ['cable-chosen'],
    parts: feedParts(circuit),
    basis: {
      ...cableFacts(circuit),
      'cable diameter': millimetresText(od),
      ...(own === undefined ? {} : { 'diameter of the cable at the inlet': millimetresText(own) }),
      insulation: `${circuit.cable.insulationC} °C`,
      ...feedFacts(circuit, circuit.run.length, false),
    },
  });
}

function diameterAsk(id: string, label: string, od: number): Ask {
  return value({
    id,
    label,
    quantity: 'diameter',
    units: millimetres,
    min: od * 0.9,
    max: od * 1.1,
    expected: od,
    limitSource: { ...from.judged, clause: 'the diameter of the sheet within a tenth' },
  });
}

function edgesGuarded(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'edges-guarded',
    stage: 'cable',
    title: 'Walk the route and guard its edges',
    do: [
      'Walk the route from the inlet to every box.',
      'Fit a grommet in each hole before the cable goes in.',
      `Fit a steel plate where a screw could reach the cable: nearer than ${metresText(buildLimits.plateDepth.value / 1000)} to a surface.`,
      'Note the length of the trim screws.',
    ],
    why: 'The next person drives a trim screw without knowing what is behind.',
    rightWhen: ['No bare edge on the route; a plate wherever a screw could reach.'],
    sources: [from.grommet, from.plate],
    cautions: ['drill-van-dead', 'drill-both-sides'],
    asks: [
      tick('grommets', 'A grommet in every hole'),
      tick('plates', 'A plate wherever a screw could reach, or there is no such place'),
      note('screws', 'Length of the trim screws along the route'),
      photo('edges', 'The guarded edges'),
    ],
    waitsFor: ['cable-read', 'van-dead'],
    parts: feedParts(circuit),
    basis: allCableFacts(circuit),
  });
}

function routePulled(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'route-pulled',
    stage: 'cable',
    title: 'Pull the cable and tag both ends',
    do: [
      ...cableLengths(circuit).map(
        ({ tag, lengthM, outlet }) =>
          `Pull ${tag}${outlet ? ` to ${outletName(circuit, outlet)}` : ''}, about ${metresText(lengthM)}, and tag both ends.`,
      ),
      'Tie it to no 12 V wiring.',
    ],
    why: 'An untagged end is a guess, and a guess at the first device puts feed on LOAD. Heat, fuel and moving parts find a cable in time.',
    rightWhen: [
      `No nearer than ${metresText(buildLimits.fromExhaust.value)} to the exhaust.`,
      `At least ${metresText(buildLimits.fromFixedParts.value / 1000)} from fixed fuel and brake lines, ${metresText(buildLimits.fromMovingParts.value / 1000)} from what moves; clear of seats and doors.`,
      'Apart from 12 V wiring, or behind a barrier.',
    ],
    sources: [from.clearances, from.apartFromDc, from.practice],
    cautions: ['no-supply-within-reach'],
    asks: [
      tick('clear', 'Clear of exhaust, fuel, brakes, seats and doors'),
      tick('apart', 'Apart from 12 V wiring'),
      ...cableLengths(circuit).map(({ id, tag }) => tick(`tag-${id}`, `Both ends of ${tag} tagged`)),
      tick('capped', 'Inlet capped and tagged, or not in yet; no supply within reach'),
      photo('tags', 'The route and the tags'),
    ],
    waitsFor: ['cable-read', 'edge-guard', 'edges-guarded'],
    parts: feedParts(circuit),
    basis: allCableFacts(circuit),
  });
}

function insulation(circuit: Circuit): DraftStep {
  const limit = readingLimits.insulationTest;
  return draftStep({
    id: 'insulation-bare-cable',
    stage: 'cable',
    title: 'Insulation of the bare cable at 500 V',
    conditional: 'An insulation tester is on hand and no device is landed yet.',
    do: [
      'Leave both ends of each length free and apart.',
      'Test hot to neutral, hot to ground and neutral to ground at 500 V DC.',
      'Discharge the cable after each test.',
    ],
    why: 'This is the one moment at which the insulation can be tested at voltage without a device in the way. It is an extra; the record says so where it was not done.',
    rightWhen: [
      `At least ${ohmsText(limit.value, 2)} each.`,
      `New and dry, expect over 100 MΩ; under ${ohmsText(readingLimits.insulationNewLook.value, 2)} look for damp or a nick.`,
    ],
    sources: [from.insulation, from.judged],
    cautions: ['insulation-tester'],
    asks: [
      ...cableLengths(circuit).flatMap((length) =>
        (
          [
            ['hot-neutral', 'hot to neutral'],
            ['hot-ground', 'hot to ground'],
            ['neutral-ground', 'neutral to ground'],
          ] as const
        ).map(([id, said]) =>
          value({
            id: `${id}-${length.id}`,
            label: `${length.tag}, ${said}`,
            quantity: 'resistance',
            units: { metric: 'MΩ', imperial: 'MΩ' },
            min: limit.value,
            limitSource: limit.source,
            instrument: 'insulation-tester',
          }),
        ),
      ),
      tick('discharged', 'Discharged after each test'),
      optionalNote('air', 'Temperature and damp of the air'),
    ],
    waitsFor: ['strain-relief'],
    parts: feedParts(circuit),
    basis: allCableFacts(circuit),
  });
}

function runPhotographed(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'run-photographed',
    stage: 'cable',
    title: 'Photograph the whole run',
    do: ['Lay a tape along the run.', 'Take photos of every hole, support and bend before they are covered.'],
    why: 'Years later someone opens the trim with these pictures in hand, or drills without them.',
    rightWhen: ['Every hole, support and bend is in some picture.'],
    sources: [from.practice],
    asks: [photo('run', 'The run, with the tape'), optionalNote('remarks', 'What the pictures show')],
    waitsFor: ['supports', 'bends', 'strain-relief', 'edges-guarded'],
    hold: 'Nothing is covered before the run is photographed.',
    parts: feedParts(circuit),
    basis: allCableFacts(circuit),
  });
}
