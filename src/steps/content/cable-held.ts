import { type Box, boxesWithoutClamp, boxText } from '../../circuit/box.js';
import type { Circuit } from '../../circuit/circuit.js';
import { thickestDiameterMm } from '../../circuit/inlet-wire.js';
import { metresText, millimetresText } from '../../circuit/quantity-text.js';
import { buildLimits } from '../../trade/build-limits.js';
import { allCableFacts, cableLengths } from './cable-lengths.js';
import { feedParts, outletParts } from './circuit-parts.js';
import { type DraftStep, draftStep, millimetres, photo, tick, value } from './draft-step.js';
import { cableFacts, feedFacts, outletName } from './figures.js';
import { from } from './sources.js';

/** How hard a held cable is pulled: `buildLimits.strainPull`, its newtons rounded to what an arm can tell. */
const firmPull = `about 130 N (${buildLimits.strainPull.value} lbf)`;

export function supports(circuit: Circuit): DraftStep {
  const bare = boxesWithoutClamp(circuit).map((of) =>
    typeof of === 'string' ? of : outletName(circuit, of),
  );
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
      `Within ${metresText(fromBox.value)} of each box${bare.length > 0 ? ` (plastic boxes without a clamp: ${bare.join(', ')})` : ''}.`,
      `No gap over ${metresText(spacing.value)}.`,
      `In a van, better every ${metresText(buildLimits.supportSpacingBoat.value)}, as boats have it${boat ? '' : '; it is said here and not judged'}.`,
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
      ...cableLengths(circuit).map(({ id, tag }) => tick(`held-${id}`, `Held all along: ${tag}`)),
    ],
    waitsFor: ['route-pulled'],
    hold: 'No conductor is landed before its cable is supported.',
    parts: feedParts(circuit),
    basis: { ...allCableFacts(circuit), 'plastic boxes without a clamp': String(bare.length) },
  });
}

export function bends(circuit: Circuit): DraftStep {
  const od = thickestDiameterMm(circuit);
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
      `No bend is tighter than ${metresText(min)} in radius: five times the diameter of the cable.`,
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
    basis: { ...allCableFacts(circuit), 'cable diameter': millimetresText(od) },
  });
}

export function strainRelief(circuit: Circuit): DraftStep {
  const cables = circuit.run.map((o, k) => ({ o, count: circuit.run[k + 1] ? 'both cables' : 'the cable' }));
  return draftStep({
    id: 'strain-relief',
    stage: 'cable',
    title: 'Clamp the jacket at every box and pull',
    do: [
      'Bring the jacket through the clamp at the inlet and at every box.',
      `Leave ${metresText(buildLimits.jacketInBox.value / 1000)} of jacket showing inside.`,
      'Close the clamp so that it holds and does not crush.',
      `Pull firmly: ${firmPull}.`,
    ],
    why: 'A pull on the cable must end at the clamp. One that reaches the terminal loosens it, and a loose terminal is the commonest fire.',
    rightWhen: [`A firm pull of ${firmPull} moves nothing inside the box.`],
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
    parts: ['inlet', 'breaker', ...outletParts(circuit)],
    basis: {
      ...cableFacts(circuit),
      'cable diameter': millimetresText(circuit.cable.outsideDiameterMm),
      ...feedFacts(circuit, circuit.run.length, false),
      'box of the inlet': boxFact(circuit.inlet.box),
      'box of the breaker': boxFact(circuit.breaker.box),
      ...Object.fromEntries(circuit.run.map((o) => [`box of outlet ${o.id}`, boxFact(o.box)])),
    },
  });
}

const boxFact = (box: Box | undefined) => (box === undefined ? 'none given' : boxText(box));
