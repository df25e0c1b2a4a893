import type { Circuit } from '../../circuit/circuit.js';
import { feedParts, outletParts, wholeRun } from './circuit-parts.js';
import { type DraftStep, draftStep, optionalNote, tick } from './draft-step.js';
import { groundFaultOutlet, outletName } from './figures.js';
import { from } from './sources.js';
import { afterProof, hasRunBehind } from './step-order.js';

const onReachingRange = tick('range', 'OL was read on a range that reaches 1 MΩ, no finger on both probes');

/** Behind the device, while its LOAD screws can still be reached. */
export function isolationBehind(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit)!;
  const run = hasRunBehind(circuit);
  return draftStep({
    id: 'isolation-behind',
    stage: 'dead',
    title: 'Isolation on LOAD',
    do: [
      ...(run ? [] : ['Lift the tape on LOAD for these readings, and put it back: nothing is landed there.']),
      `Read at the LOAD screws of ${outletName(circuit, device)}, its ground slot for ground, on a range that reaches 1 MΩ.`,
      'Hot to ground, neutral to ground, hot to neutral.',
      'Hot to neutral: read once more with the probes exchanged, and note both.',
    ],
    why: 'With the contacts open, LINE, LOAD and face are three separate circuits: a join behind the device is invisible from the inlet.',
    rightWhen: [
      'Hot to ground and neutral to ground at least 1 MΩ.',
      'Hot to neutral over 1 kΩ: parts of the device may lie across it, so it is no proof of isolation.',
      ...(run
        ? [
            'A low neutral to ground is a bare ground on a silver screw in a box behind, until shown otherwise.',
          ]
        : []),
    ],
    sources: [from.oneBond, from.oneBondSister, from.judged],
    cautions: ['work-dead', 'one-bond'],
    asks: [onReachingRange, optionalNote('exchanged', 'Hot to neutral with the probes exchanged')],
    waitsFor: [...afterProof(circuit), 'ground-path', 'poles-to-first', ...(run ? ['poles-behind'] : [])],
    hold: 'Nothing is energised before hot, neutral and ground are apart behind the device.',
    concession: 'never',
    parts: [...feedParts(circuit), ...outletParts(circuit)],
    basis: wholeRun(circuit),
  });
}

/** At the inlet and, where there is a device, at its face: after it was folded in, so that a pinch in the fold is found. */
export function isolationAtInlet(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit);
  return draftStep({
    id: 'isolation-at-inlet',
    stage: 'dead',
    title: device ? 'Fold the device in; isolation at the inlet and at its face' : 'Isolation at the inlet',
    do: [
      ...(device
        ? [`Fold ${outletName(circuit, device)} into its box, screw it in and put its face on.`]
        : []),
      'Read hot to ground, neutral to ground, hot to neutral at the pins of the inlet, on a range that reaches 1 MΩ.',
      ...(device ? ['Read the same three pairs in its face, with the test plug.'] : []),
      'Hot to neutral: read once more with the probes exchanged, and note both.',
    ],
    why: 'A join of neutral and ground in the van stays unnoticed: everything works, and the body carries the current. Only this reading finds it. An ohmmeter finds joins; it tests no insulation.',
    rightWhen: [
      'Hot to ground and neutral to ground at least 1 MΩ.',
      device
        ? 'Hot to neutral over 1 kΩ: the electronics of the device lie across it, so kΩ to MΩ is no fault and no proof of isolation.'
        : 'Hot to neutral at least 1 MΩ.',
    ],
    sources: [from.oneBond, from.oneBondSister, from.judged],
    cautions: ['work-dead', 'one-bond', ...(device ? ['shutters' as const] : [])],
    asks: [
      ...(device ? [tick('folded', 'The ground-fault device is folded in and its face is on')] : []),
      onReachingRange,
      optionalNote('exchanged', 'Hot to neutral with the probes exchanged'),
    ],
    waitsFor: [
      ...afterProof(circuit),
      'ground-path',
      'poles-to-first',
      ...(hasRunBehind(circuit) ? ['poles-behind'] : []),
      ...(device ? ['isolation-behind'] : []),
    ],
    // A pinch in the fold shows only once it is folded.
    ...(device ? { provesOwnWork: true } : {}),
    hold: 'Nothing is energised before hot, neutral and ground are apart.',
    concession: 'never',
    parts: ['inlet', ...feedParts(circuit), ...outletParts(circuit)],
    basis: wholeRun(circuit),
  });
}
