import { type Circuit, type Outlet, words } from '../../circuit/circuit.js';
import { bond, caseBond } from './bonding.js';
import { othersOff } from './circuit-parts.js';
import { type DraftStep, draftStep, photo, tick } from './draft-step.js';
import { cableFacts, feedFacts, groundFaultOutlet, outletFacts, outletName } from './figures.js';
import {
  againAct,
  againAsk,
  endsRight,
  firmTug,
  landingTicks,
  madeAsks,
  proofAsks,
  torqueFact,
  torqueRight,
} from './hand-work.js';
import { breakerLandings, inletLandings, outletLandings } from './landings.js';
import { from } from './sources.js';
import { landingHolds } from './step-order.js';

/** Every conductor landed and proven by hand: inlet, bond, breaker, then each outlet twice. */
export function terminationSteps(circuit: Circuit): DraftStep[] {
  return [
    landInlet(circuit),
    inletTorque(circuit),
    bond(circuit),
    ...(circuit.otherSources.some((s) => s.metalCase) ? [caseBond(circuit)] : []),
    breakerBox(circuit),
    ...circuit.run.flatMap((o) => [landOutlet(circuit, o), proveHandWork(circuit, o)]),
  ];
}

function landInlet(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'land-inlet',
    stage: 'terminations',
    title: 'Inlet: land the conductors',
    do: [
      'Strip each wire to the length marked on the inlet.',
      'Get every strand in.',
      'Land hot on brass, neutral on silver, ground on green.',
      'Put one wire under each terminal.',
    ],
    why: 'Everything in the van hangs on these three screws. They are landed outside the hole, where they can be seen.',
    rightWhen: ['No stray strand, no insulation under a clamp, one wire a terminal.', ...endsRight(circuit)],
    sources: [from.terminal, from.colours],
    cautions: ['no-supply-within-reach', 'plug-out-first', 'work-dead', ...othersOff(circuit)],
    asks: [...landingTicks(inletLandings()), photo('back', 'The back of the inlet')],
    waitsFor: [...landingHolds, 'edge-guard'],
    parts: ['inlet'],
    basis: {
      'inlet rating': `${circuit.inlet.amps} A`,
      ...cableFacts(circuit),
      ...feedFacts(circuit, 1, false),
    },
  });
}

function inletTorque(circuit: Circuit): DraftStep {
  const { torqueNm } = circuit.inlet;
  return draftStep({
    id: 'inlet-torque',
    stage: 'terminations',
    title: 'Inlet: torque, tug, mark',
    do: [
      'Torque each screw once.',
      ...againAct(circuit),
      `Tug each conductor: ${firmTug}.`,
      'Put a paint mark across each screw.',
      'Close the clamp on the jacket and put the cover on.',
    ],
    why: 'A screw that is only tight by feel warms at ten amps. The mark tells later whether it moved.',
    rightWhen: [torqueRight(torqueNm), `Nothing moves at a firm tug of ${firmTug}.`],
    sources: [from.torque, from.pullOut, from.judged],
    cautions: ['plug-out-first', 'work-dead', ...othersOff(circuit)],
    asks: [
      ...proofAsks(inletLandings(), torqueNm),
      ...againAsk(circuit),
      tick('marks', 'Paint marks on'),
      tick('clamp', 'Clamp closed on the jacket, cover on'),
      photo('marked', 'The marked screws'),
    ],
    waitsFor: ['tools-laid-out', 'land-inlet'],
    hold: 'The inlet is not bedded and no dead test begins before its screws are proven.',
    parts: ['inlet'],
    basis: {
      'inlet rating': `${circuit.inlet.amps} A`,
      ...torqueFact(torqueNm),
      ...cableFacts(circuit),
      ...feedFacts(circuit, 1, false),
    },
  });
}

function breakerBox(circuit: Circuit): DraftStep {
  const landings = breakerLandings(circuit);
  const { torqueNm, box } = circuit.breaker;
  return draftStep({
    id: 'breaker-box',
    stage: 'terminations',
    title: 'Breaker’s box: land, torque, tug',
    do: [
      'Land hot on the breaker, neutral on its insulated bar, grounds on the ground bar.',
      ...(box?.material === 'metal' ? ['Bond the metal box.'] : []),
      'Put nothing else on the breaker.',
      'Torque each screw once.',
      ...againAct(circuit),
      'Tug each conductor and mark each screw.',
    ],
    why: 'The breaker carries the whole load. A loose hot here warms it until it trips or burns.',
    rightWhen: [
      torqueRight(torqueNm),
      'Bars and the ground of a metal box at the torque marked on them.',
      ...endsRight(circuit),
      'Nothing else is on the breaker.',
      `Nothing moves at a firm tug of ${firmTug}.`,
    ],
    sources: [from.terminal, from.torque, from.pullOut],
    cautions: ['no-supply-within-reach', 'plug-out-first', 'work-dead', 'one-bond', ...othersOff(circuit)],
    asks: [
      ...landingTicks(landings),
      ...proofAsks(landings, torqueNm),
      ...againAsk(circuit),
      tick('marks', 'Paint marks on'),
      photo('inside', 'The box, open'),
    ],
    waitsFor: [...landingHolds],
    parts: ['breaker', `feed:${circuit.run[0]!.id}`],
    basis: {
      'breaker rating': `${circuit.breaker.amps} A`,
      ...torqueFact(torqueNm),
      'box of the breaker': box ? words.boxMaterial[box.material] : 'none named',
      ...cableFacts(circuit),
      ...feedFacts(circuit, 1, false),
    },
  });
}

/** The device and the lengths of cable that end in its box. */
function boxParts(circuit: Circuit, o: Outlet): string[] {
  const behind = circuit.run[circuit.run.indexOf(o) + 1];
  return [`feed:${o.id}`, `outlet:${o.id}`, ...(behind ? [`feed:${behind.id}`] : [])];
}

function landOutlet(circuit: Circuit, o: Outlet): DraftStep {
  const landings = outletLandings(circuit, o);
  const device = o.device === 'gfci-receptacle';
  const first = (groundFaultOutlet(circuit) ?? circuit.run[0]) === o;
  const run = landings.some((l) => l.id === 'run-hot');
  const spliced = landings.some((l) => l.id === 'pigtail-splice');
  const metal = o.box.material === 'metal';
  return draftStep({
    id: `land.${o.id}`,
    stage: 'terminations',
    title: `Land the conductors at ${outletName(circuit, o)}`,
    outlet: o.id,
    do: [
      'Strip each wire to the length marked on the device.',
      'Use the clamp plate or the screw, never a push-in hole. Around a screw the wire goes clockwise.',
      spliced
        ? `Splice the grounds first, in a listed connector for so many wires of this kind, with a pigtail to the device${metal ? ' and one to the metal box' : ''}, and tug each.`
        : 'Land the ground first, on the green screw.',
      ...(device
        ? [run ? 'FEED goes on LINE, RUN goes on LOAD.' : 'FEED goes on LINE; LOAD stays under its tape.']
        : []),
      'Land neutral on silver, then hot on brass.',
    ],
    why: 'Most faults are made here: white on brass, a strand beside the plate, bare ground against silver. Tick each wire as it is landed; copy no tick from another box.',
    rightWhen: [
      ...(spliced ? ['With the device taken out, the grounds are still joined.'] : []),
      'One wire a screw; no stray strand and no insulation under it.',
      ...endsRight(circuit),
      'At least 152 mm (6 in) of free conductor at the box.',
    ],
    sources: [from.terminal, from.colours, from.groundSplice, from.freeLength, from.deviceSheet],
    cautions: ['no-supply-within-reach', 'plug-out-first', 'work-dead', ...othersOff(circuit)],
    asks: [...landingTicks(landings), ...madeAsks()],
    waitsFor: [
      ...landingHolds,
      ...(first ? ['feed-found', 'breaker-first', ...(device ? ['line-load-read'] : [])] : []),
    ],
    parts: boxParts(circuit, o),
    basis: outletFacts(circuit, o),
  });
}

function proveHandWork(circuit: Circuit, o: Outlet): DraftStep {
  const landings = outletLandings(circuit, o);
  const device = o.device === 'gfci-receptacle';
  return draftStep({
    id: `prove-hand-work.${o.id}`,
    stage: 'terminations',
    title: `Torque, tug and fold back at ${outletName(circuit, o)}`,
    outlet: o.id,
    do: [
      'Torque every screw once.',
      ...againAct(circuit),
      'Tug every conductor.',
      'Mark the screws and photograph the back.',
      'Fold the grounds back first, bare copper away from the sides.',
      device
        ? 'Leave the device out of its box, face to you: the dead tests reach its screws first.'
        : 'Push the device in, screw it and label the face.',
    ],
    why: 'The dead tests do not feel a loose screw: its resistance shows only under load, warm. The hand finds it now.',
    rightWhen: [
      torqueRight(o.torqueNm),
      `Nothing moves at a firm tug of ${firmTug}.`,
      'No bare copper near a side screw.',
    ],
    sources: [from.torque, from.torqueTest, from.pullOut, from.judged],
    cautions: ['plug-out-first', 'work-dead', ...othersOff(circuit)],
    asks: [
      ...proofAsks(landings, o.torqueNm),
      ...againAsk(circuit),
      tick('marks', 'Paint marks on'),
      tick(
        'folded',
        device
          ? 'Grounds folded back, bare copper clear of the sides'
          : 'Folded in, bare copper clear of the sides, face on',
      ),
      photo('back', 'The back of the device'),
    ],
    waitsFor: ['tools-laid-out', `land.${o.id}`],
    parts: boxParts(circuit, o),
    basis: { ...outletFacts(circuit, o), ...torqueFact(o.torqueNm) },
  });
}
