import { type Circuit, words } from '../../circuit/circuit.js';
import { buildLimits } from '../../trade/build-limits.js';
import { readingLimits } from '../../trade/reading-limits.js';
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
import { awgText, cableFacts, diameterText, feedFacts, lengthText, outletName } from './figures.js';
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

const feedParts = (circuit: Circuit): string[] => circuit.run.map((o) => `feed:${o.id}`);
const runFacts = (circuit: Circuit): Record<string, string> => ({
  ...cableFacts(circuit),
  ...feedFacts(circuit, circuit.run.length, true),
});

function tagOf(circuit: Circuit, k: number): string {
  return k === 0
    ? `feed 1 (${awgText(circuit.run[0]!.feed.awg)})`
    : `${k} → ${k + 1} (${awgText(circuit.run[k]!.feed.awg)})`;
}

function cableRead(circuit: Circuit): DraftStep {
  const od = circuit.cable.outsideDiameterMm;
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
      value({
        id: 'diameter',
        label: 'Outside diameter as measured',
        quantity: 'diameter',
        units: millimetres,
        min: od * 0.9,
        max: od * 1.1,
        expected: od,
        limitSource: { ...from.judged, clause: 'the diameter of the sheet within a tenth' },
      }),
      photo('print', 'The print on the jacket'),
    ],
    waitsFor: ['cable-chosen'],
    parts: feedParts(circuit),
    basis: {
      ...cableFacts(circuit),
      'cable diameter': diameterText(od),
      insulation: `${circuit.cable.insulationC} °C`,
      ...feedFacts(circuit, circuit.run.length, false),
    },
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
      `Fit a steel plate where a screw could reach the cable: nearer than ${lengthText(buildLimits.plateDepth.value / 1000)} to a surface.`,
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
    basis: runFacts(circuit),
  });
}

function routePulled(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'route-pulled',
    stage: 'cable',
    title: 'Pull the cable and tag both ends',
    do: [
      ...circuit.run.map(
        (o, k) =>
          `Pull ${tagOf(circuit, k)} to ${outletName(circuit, o)}, about ${lengthText(o.feed.lengthM)}, and tag both ends.`,
      ),
      'Tie it to no 12 V wiring.',
    ],
    why: 'An untagged end is a guess, and a guess at the first device puts feed on LOAD. Heat, fuel and moving parts find a cable in time.',
    rightWhen: [
      `No nearer than ${lengthText(buildLimits.fromExhaust.value)} to the exhaust.`,
      `${lengthText(buildLimits.fromFixedParts.value / 1000)} from fixed fuel and brake lines, ${lengthText(buildLimits.fromMovingParts.value / 1000)} from what moves; clear of seats and doors.`,
      'Apart from 12 V wiring, or behind a barrier.',
    ],
    sources: [from.clearances, from.apartFromDc, from.practice],
    cautions: ['no-supply-within-reach'],
    asks: [
      tick('clear', 'Clear of exhaust, fuel, brakes, seats and doors'),
      tick('apart', 'Apart from 12 V wiring'),
      ...circuit.run.map((o, k) => tick(`tag-${o.id}`, `Both ends of ${tagOf(circuit, k)} tagged`)),
      tick('capped', 'Inlet capped and tagged, no supply within reach'),
      photo('tags', 'The route and the tags'),
    ],
    waitsFor: ['cable-read', 'edge-guard', 'edges-guarded'],
    parts: feedParts(circuit),
    basis: runFacts(circuit),
  });
}

function supports(circuit: Circuit): DraftStep {
  const bare = boxesWithoutClamps(circuit);
  const fromBox = bare.length > 0 ? buildLimits.supportFromUnclampedBox : buildLimits.supportFromBox;
  const boat = circuit.cable.method === 'boat-cable';
  const spacing = buildLimits.supportSpacing;
  return draftStep({
    id: 'supports',
    stage: 'cable',
    title: 'Support the cable',
    do: [
      'Fix a support near each box and along the route.',
      'Measure the largest distance from a box and the largest gap.',
    ],
    why: 'What hangs swings, and what swings breaks at the terminal, where nobody sees it.',
    rightWhen: [
      `Within ${lengthText(fromBox.value)} of each box${bare.length > 0 ? ` (plastic boxes without a clamp: ${bare.join(', ')})` : ''}.`,
      `No gap over ${lengthText(spacing.value)}.`,
      `In a van, better every ${lengthText(buildLimits.supportSpacingBoat.value)}, as boats have it${boat ? '' : '; it is said here and not judged'}.`,
    ],
    sources: [from.supports, from.boatSupports],
    asks: [
      value({
        id: 'from-box',
        label: 'Largest distance from a box to its first support',
        quantity: 'length',
        units: millimetres,
        max: fromBox.value,
        expected: circuit.cable.supportFromBoxM,
        limitSource: fromBox.source,
      }),
      value({
        id: 'gap',
        label: 'Largest gap between supports',
        quantity: 'length',
        units: millimetres,
        max: spacing.value,
        expected: circuit.cable.supportSpacingM,
        limitSource: spacing.source,
      }),
      ...circuit.run.map((o, k) => tick(`held-${o.id}`, `${tagOf(circuit, k)} is held all along`)),
    ],
    waitsFor: ['route-pulled'],
    hold: 'No conductor is landed before its cable is supported.',
    parts: feedParts(circuit),
    basis: { ...runFacts(circuit), 'plastic boxes without a clamp': String(bare.length) },
  });
}

function boxesWithoutClamps(circuit: Circuit): string[] {
  return circuit.run
    .filter((o) => o.box.material === 'plastic' && o.box.clamps === 'external')
    .map((o) => outletName(circuit, o));
}

function bends(circuit: Circuit): DraftStep {
  const od = circuit.cable.outsideDiameterMm;
  const min = (od * buildLimits.bendDiameters.value) / 1000;
  return draftStep({
    id: 'bends',
    stage: 'cable',
    title: 'Bends and drip loop',
    do: [
      'Measure the tightest bend on its inner side.',
      'Let the cable hang in a loop whose lowest point is below the inlet, and below each box on an outside wall.',
    ],
    why: 'A tight bend works on the strands with every mile. Water runs along a cable to its lowest point: that point must not be a terminal.',
    rightWhen: [
      `No bend is tighter than ${lengthText(min)} in radius: five times the cable.`,
      'The lowest point is below the inlet and below each box on an outside wall.',
    ],
    sources: [from.bend],
    asks: [
      value({
        id: 'radius',
        label: 'Smallest radius, inner side',
        quantity: 'length',
        units: millimetres,
        min,
        expected: circuit.cable.bendRadiusMm / 1000,
        limitSource: buildLimits.bendDiameters.source,
      }),
      tick('loop', 'Drip loop below the inlet and below each box on an outside wall'),
      photo('loop-photo', 'The loop'),
    ],
    waitsFor: ['route-pulled'],
    parts: feedParts(circuit),
    basis: { ...runFacts(circuit), 'cable diameter': diameterText(od) },
  });
}

function strainRelief(circuit: Circuit): DraftStep {
  const cables = circuit.run.map((o, k) => ({ o, count: circuit.run[k + 1] ? 'both cables' : 'the cable' }));
  return draftStep({
    id: 'strain-relief',
    stage: 'cable',
    title: 'Clamp the jacket at every box and pull',
    do: [
      'Bring the jacket through the clamp at the inlet and at every box.',
      `Leave ${lengthText(buildLimits.jacketInBox.value / 1000)} of jacket showing inside.`,
      'Close the clamp so that it holds and does not crush.',
      'Pull firmly: about 30 lbf (130 N).',
    ],
    why: 'A pull on the cable must end at the clamp. One that reaches the terminal loosens it, and a loose terminal is the commonest fire.',
    rightWhen: ['A firm pull of about 30 lbf (130 N) moves nothing inside the box.'],
    sources: [from.strain, from.appliancePull, from.judged],
    asks: [
      tick('pull-inlet', 'Inlet: jacket clamped, pulled, nothing moved'),
      tick('pull-breaker', 'Box of the breaker: jackets clamped, pulled, nothing moved'),
      ...cables.map(({ o, count }) =>
        tick(`pull-${o.id}`, `Box of ${outletName(circuit, o)}: ${count} clamped, pulled, nothing moved`),
      ),
      photo('clamps', 'The clamps'),
    ],
    waitsFor: ['supports'],
    hold: 'No conductor is landed before a pull ends at the clamp.',
    parts: ['inlet', 'breaker', ...circuit.run.map((o) => `outlet:${o.id}`)],
    basis: {
      ...cableFacts(circuit),
      'cable diameter': diameterText(circuit.cable.outsideDiameterMm),
      ...feedFacts(circuit, circuit.run.length, false),
      ...Object.fromEntries(
        circuit.run.map((o) => [
          `box of outlet ${o.id}`,
          `${words.boxMaterial[o.box.material]}, ${words.clamps[o.box.clamps]}`,
        ]),
      ),
    },
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
      'At least 1 MΩ each.',
      'New and dry, expect over 100 MΩ; under 20 MΩ look for damp or a nick.',
    ],
    sources: [from.insulation, from.judged],
    cautions: ['insulation-tester'],
    asks: [
      ...circuit.run.flatMap((o, k) =>
        (
          [
            ['hot-neutral', 'hot to neutral'],
            ['hot-ground', 'hot to ground'],
            ['neutral-ground', 'neutral to ground'],
          ] as const
        ).map(([id, said]) =>
          value({
            id: `${id}-${o.id}`,
            label: `${tagOf(circuit, k)}, ${said}`,
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
    basis: runFacts(circuit),
  });
}

function runPhotographed(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'run-photographed',
    stage: 'cable',
    title: 'Photograph the whole run',
    do: ['Lay a tape along the run.', 'Photograph every hole, support and bend before anything covers it.'],
    why: 'Years later someone opens the trim with these pictures in hand, or drills without them.',
    rightWhen: ['Every hole, support and bend is in some picture.'],
    sources: [from.practice],
    asks: [photo('run', 'The run, with the tape'), optionalNote('remarks', 'What the pictures show')],
    waitsFor: ['supports', 'bends', 'strain-relief', 'edges-guarded'],
    hold: 'Nothing is covered before the run is photographed.',
    parts: feedParts(circuit),
    basis: runFacts(circuit),
  });
}
