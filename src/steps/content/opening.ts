import { type Circuit, words } from '../../circuit/circuit.js';
import { enteringDiameterMm } from '../../circuit/inlet-wire.js';
import { millimetresText } from '../../circuit/quantity-text.js';
import { type DraftStep, draftStep, millimetres, photo, tick, value } from './draft-step.js';
import { hoseTest, inletBedded } from './inlet-sealed.js';
import { from } from './sources.js';
import { cutHolds } from './step-order.js';

/** The hole, its edge, the grommet, the inlet bedded and hosed. */
export function openingSteps(circuit: Circuit): DraftStep[] {
  const existing = circuit.entry.kind === 'existing-opening';
  return [
    ...(existing ? [] : [pilotHole()]),
    holeCut(circuit, existing),
    edgePainted(circuit),
    dryFit(circuit),
    edgeGuard(circuit),
    inletBedded(circuit),
    hoseTest(circuit),
  ];
}

function wayInFacts(circuit: Circuit): Record<string, string> {
  return {
    'way in': words.entry[circuit.entry.kind],
    'hole of the way in': millimetresText(circuit.entry.holeMm),
    'inlet rating': `${circuit.inlet.amps} A`,
    'inlet panel': words.panel[circuit.inlet.panel],
  };
}

function pilotHole(): DraftStep {
  return draftStep({
    id: 'pilot-hole',
    stage: 'opening',
    title: 'Guard and drill the pilot',
    do: [
      'Put on eye, ear and hand protection.',
      'Set the depth stop and put a board or sheet behind the panel.',
      'Have someone watch inside, hands well away.',
      'Drill the pilot, then look inside before going on.',
    ],
    why: 'The pilot is the cheap hole: if it comes out in the wrong place, a plug closes it.',
    rightWhen: ['The pilot comes out where the mark says, within 3 mm (0.12 in).'],
    sources: [from.practice],
    cautions: ['cutting-guards', 'drill-both-sides', 'drill-van-dead'],
    asks: [
      tick('guards', 'Guards on, stop set, board behind, extinguisher within reach'),
      tick('where', 'The pilot came out where the mark says'),
      photo('inside', 'The pilot from inside'),
    ],
    waitsFor: [...cutHolds],
    parts: ['inlet'],
  });
}

function holeCut(circuit: Circuit, existing: boolean): DraftStep {
  const { holeMm } = circuit.entry;
  return draftStep({
    id: 'hole-cut',
    stage: 'opening',
    title: existing ? 'Fit the existing opening' : 'Cut the hole',
    do: existing
      ? [
          'Compare the opening with the inlet’s drawing.',
          'File or plate it to size. Use no torch.',
          `See that the hole for the cable is ${millimetresText(holeMm)}.`,
        ]
      : [
          'Cut to the inlet’s drawing with a sharp blade: cut, don’t tear.',
          'Use no torch.',
          `Make the hole for the cable: ${millimetresText(holeMm)}.`,
        ],
    why: 'A torn or burnt edge rusts under the gasket, and a hole that is too large seals on nothing.',
    rightWhen: [
      'The hole of the inlet is as its drawing says, within 0.5 mm (0.02 in) or the drawing’s own tolerance.',
      `The hole for the cable is ${millimetresText(holeMm)}, within 0.5 mm (0.02 in).`,
    ],
    sources: [from.inletSheet],
    cautions: ['cutting-guards', 'drill-both-sides', 'drill-van-dead'],
    asks: [
      value({
        id: 'drawing',
        label: 'Hole that the inlet’s drawing asks',
        quantity: 'diameter',
        units: millimetres,
        limitSource: from.inletSheet,
      }),
      value({
        id: 'inlet-hole',
        label: 'Hole of the inlet as it is',
        quantity: 'diameter',
        units: millimetres,
        limitSource: from.inletSheet,
      }),
      value({
        id: 'entry-hole',
        label: 'Hole for the cable as it is',
        quantity: 'diameter',
        units: millimetres,
        min: holeMm - 0.5,
        max: holeMm + 0.5,
        expected: holeMm,
        limitSource: { ...from.judged, clause: 'the sheet’s hole within 0.5 mm' },
      }),
      tick('tolerance', 'The inlet’s hole is within its drawing’s tolerance'),
    ],
    waitsFor: existing ? [...cutHolds] : [...cutHolds, 'pilot-hole'],
    parts: ['inlet'],
    basis: wayInFacts(circuit),
  });
}

function edgePainted(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'edge-painted',
    stage: 'opening',
    title: 'Deburr, clean and paint the edge',
    do: [
      'Take off every burr.',
      'Vacuum every chip, the sill of the sliding door too.',
      'Degrease, prime and paint the bare edge, and let it dry.',
    ],
    why: 'Bare steel rusts from the edge inward, and a chip left in the sill rusts there or finds a conductor.',
    rightWhen: ['No bright metal, no burr to a fingertip, no chip in the sill.'],
    sources: [from.vanMaker],
    cautions: ['cutting-guards'],
    asks: [
      tick('clean', 'Burrs and chips gone'),
      tick(
        'painted',
        circuit.inlet.panel === 'plastic-panel'
          ? 'No bare metal left, painted where there was'
          : 'Edge primed, painted and dry',
      ),
      photo('edge', 'The edge and the sill'),
    ],
    waitsFor: ['hole-cut'],
    parts: ['inlet'],
    basis: { 'inlet panel': words.panel[circuit.inlet.panel] },
  });
}

function dryFit(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'dry-fit',
    stage: 'opening',
    title: 'Fit the inlet dry',
    do: [
      'Hold the inlet in its hole, upright.',
      'Put a backing plate behind a panel that flexes.',
      'Find the drain or breather, and see that it is open and screened.',
      'Put the cord on and see whether the cover still keeps rain out. Where it does not, tell the owner: not left in alone in the wet.',
    ],
    why: 'What does not sit flat without sealant will not seal with it.',
    rightWhen: [
      'The cover shuts by itself.',
      'No daylight at the gasket.',
      'A push with the hand does not flex the skin.',
    ],
    sources: [from.practice, from.inletSheet],
    asks: [
      tick('cover', 'Upright; the cover shuts by itself'),
      tick('flat', 'No daylight at the gasket; the skin does not flex'),
      tick('drain', 'Drain or breather open and screened'),
      photo('fit', 'The inlet in its hole'),
    ],
    waitsFor: ['edge-painted'],
    parts: ['inlet'],
    basis: { 'inlet rating': `${circuit.inlet.amps} A`, 'inlet panel': words.panel[circuit.inlet.panel] },
  });
}

function edgeGuard(circuit: Circuit): DraftStep {
  const { clampMinMm, clampMaxMm, kind } = circuit.entry;
  const od = enteringDiameterMm(circuit);
  const range =
    clampMinMm !== undefined && clampMaxMm !== undefined
      ? `${millimetresText(clampMinMm)} to ${millimetresText(clampMaxMm)}`
      : undefined;
  return draftStep({
    id: 'edge-guard',
    stage: 'opening',
    title: 'Grommet or cord grip where the cable passes',
    do: [
      kind === 'cord-grip'
        ? 'Fix the cord grip in the panel.'
        : 'Fix the grommet so that it covers all of the edge.',
      'Do it before the cable is pulled.',
    ],
    why: 'A bare edge saws through a jacket with every mile. Slipped on afterwards, a grommet is split, and a split grommet falls out.',
    rightWhen: [
      'All of the edge is covered, and the guard is fixed before the cable.',
      range === undefined
        ? `It takes a cable of ${millimetresText(od)}.`
        : `It takes ${range}; the cable is ${millimetresText(od)}.`,
    ],
    sources: [from.grommet],
    asks: [
      value({
        id: 'cable-diameter',
        label: 'Cable, outside diameter as measured',
        quantity: 'diameter',
        units: millimetres,
        min: clampMinMm,
        max: clampMaxMm,
        expected: od,
        limitSource: { ...from.grommet, clause: '300.4(B)(1), and what the guard itself takes' },
      }),
      tick('whole-edge', 'All of the edge is covered'),
      photo('guard', 'The guard in place, before the cable'),
    ],
    waitsFor: ['edge-painted'],
    parts: ['inlet'],
    basis: {
      'way in': words.entry[kind],
      'hole of the way in': millimetresText(circuit.entry.holeMm),
      ...(range === undefined ? {} : { 'guard takes': range }),
      'cable diameter': millimetresText(od),
    },
  });
}
