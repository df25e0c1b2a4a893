import { type Circuit, words } from '../../circuit/circuit.js';
import { othersOff } from './circuit-parts.js';
import {
  choice,
  type DraftStep,
  draftStep,
  lookedAgain,
  ohms,
  photo,
  pieces,
  tick,
  value,
} from './draft-step.js';
import { groundFaultOutlet, neighbourFacts, outletName } from './figures.js';
import { from } from './sources.js';

/** Which cable is the feed, what stands before the first device, and LINE and LOAD read from its own back. */
export function orderSteps(circuit: Circuit): DraftStep[] {
  const device = groundFaultOutlet(circuit);
  return [
    feedFound(circuit),
    breakerFirst(circuit),
    ...(device ? [lineLoadRead(circuit), lineLoadLookedAgain(circuit)] : []),
  ];
}

const firstDevice = (circuit: Circuit) => groundFaultOutlet(circuit) ?? circuit.run[0]!;

function feedFound(circuit: Circuit): DraftStep {
  const o = firstDevice(circuit);
  const run = circuit.run[circuit.run.indexOf(o) + 1] !== undefined;
  return draftStep({
    id: 'feed-found',
    stage: 'order',
    title: `Find the feed at ${outletName(circuit, o)}`,
    outlet: o.id,
    do: [
      'Cord out; the breaker on where it is landed already.',
      'At the inlet end, clip hot and ground of the cable together; where the inlet is landed, clip its pins.',
      'At the box, find the cable whose hot and ground now close.',
      'Take the clip off and see it open again.',
      run
        ? 'Tag it FEED, and the other RUN.'
        : 'Tag it FEED. It is the only one: nothing goes on from this box.',
    ],
    why: 'Colour of tape and memory are wrong often enough. A feed on LOAD leaves the device dead, or worse, an old one alive and without protection.',
    rightWhen: ['One cable reads a few tenths of an ohm, and OL again with the clip off.'],
    sources: [from.practice],
    cautions: ['no-supply-within-reach', 'removal-count', ...othersOff(circuit)],
    asks: [
      value({
        id: 'closed',
        label: 'FEED, hot to ground, with the clip on',
        quantity: 'resistance',
        units: ohms,
        max: 5,
        limitSource: { ...from.judged, clause: 'a few tenths of an ohm and the leads' },
        instrument: 'multimeter',
      }),
      tick('open-again', 'OL again with the clip off'),
      value({
        id: 'clips-left',
        label: 'Clips still on (those put on, less those taken off)',
        quantity: 'count',
        units: pieces,
        min: 0,
        max: 0,
        expected: 0,
        limitSource: from.practice,
      }),
      photo('tags', run ? 'The tags FEED and RUN' : 'The tag FEED'),
    ],
    waitsFor: ['route-pulled', 'tools-laid-out'],
    hold: 'The first device is not landed before its feed is found.',
    concession: 'never',
    parts: [`feed:${o.id}`, `outlet:${o.id}`],
    basis: neighbourFacts(circuit, o),
  });
}

function breakerFirst(circuit: Circuit): DraftStep {
  const o = firstDevice(circuit);
  return draftStep({
    id: 'breaker-first',
    stage: 'order',
    title: 'Breaker first, nothing tapped before the device',
    do: [
      `Follow the hot from the inlet to the breaker and on to ${outletName(circuit, o)}.`,
      'Take the bonding screw or strap out of the box of the breaker and throw it away.',
      'See that nothing is tapped off before the device. A surge protector or a transfer switch may stand there.',
    ],
    why: 'What is tapped off before the device is alive without it. A bonding screw left in joins neutral and ground in the van: its device stays quiet, and the body carries the current.',
    rightWhen: [
      'Inlet, breaker, ground-fault device, in this order.',
      'The neutral bar stands on insulation; bonding screw and strap are out.',
    ],
    sources: [from.oneBond, from.oneBondSister, from.vehicleCircuit],
    cautions: ['one-bond', 'breaker-behind'],
    asks: [
      choice('order', 'Order as followed by hand', [
        ['as-planned', 'Inlet, breaker, first device, nothing tapped'],
        ['with-surge', 'The same, with a surge protector or transfer switch in between'],
        ['tapped', 'Something is tapped off before the device', 'Move it behind the device first.'],
      ]),
      choice('bonding', 'Bonding screw or strap in the box of the breaker', [
        ['taken-out', 'Taken out and thrown away'],
        ['none', 'Looked for; there is none'],
        ['left-in', 'Still in', 'Take it out: neutral and ground are never joined in the van.'],
      ]),
      photo('bar', 'The neutral bar'),
    ],
    waitsFor: ['breaker-box'],
    hold: 'The first device is not landed before the order is seen and the bonding screw is out.',
    concession: 'never',
    parts: ['breaker', `feed:${o.id}`],
    basis: { 'breaker rating': `${circuit.breaker.amps} A`, ...neighbourFacts(circuit, o) },
  });
}

function lineLoadRead(circuit: Circuit): DraftStep {
  const o = firstDevice(circuit);
  return draftStep({
    id: 'line-load-read',
    stage: 'order',
    title: 'Read LINE and LOAD on the back',
    outlet: o.id,
    do: [
      'Turn this very device over and read its back.',
      'Say which screws are LINE and which are LOAD; makers differ.',
      'Leave the tape on LOAD until the run is landed.',
    ],
    why: 'On one device LINE is at the top, on the next at the bottom. The back is the only word that counts.',
    rightWhen: ['The picture shows the words LINE and LOAD.'],
    sources: [from.deviceSheet, from.faceDead],
    asks: [
      choice('line-at', 'LINE, seen from the back with the ground hole down', [
        ['top', 'At the top'],
        ['bottom', 'At the bottom'],
        ['other', 'Otherwise, as the picture shows'],
        ['not-marked', 'Not marked', 'A device without the words is not used.'],
      ]),
      photo('back', 'The back of the device, LINE and LOAD readable'),
    ],
    waitsFor: ['feed-found'],
    hold: 'The first device is not landed before its back is read.',
    concession: 'never',
    parts: [`outlet:${o.id}`],
    basis: { device: words.deviceKind[o.device], 'ground-fault device at': `outlet ${o.id}` },
  });
}

function lineLoadLookedAgain(circuit: Circuit): DraftStep {
  const o = firstDevice(circuit);
  const run = circuit.run[circuit.run.indexOf(o) + 1] !== undefined;
  return draftStep({
    id: 'line-load-looked-again',
    stage: 'order',
    title: 'Look again with the second person',
    outlet: o.id,
    do: [
      run
        ? 'Show the second person FEED on LINE and RUN on LOAD.'
        : 'Show the second person FEED on LINE and the tape still on LOAD.',
      'Have them read the words from the back themselves.',
    ],
    why: 'Who landed it sees what they meant to land.',
    rightWhen: [run ? 'FEED is on LINE, RUN is on LOAD.' : 'FEED is on LINE; nothing is on LOAD.'],
    sources: [from.deviceSheet, from.practice],
    asks: [photo('landed', 'The back of the device, landed'), lookedAgain],
    waitsFor: [`land.${o.id}`],
    hold: 'No dead test begins before LINE and LOAD were looked at twice.',
    parts: [`outlet:${o.id}`],
    basis: {
      device: words.deviceKind[o.device],
      ...neighbourFacts(circuit, o),
    },
  });
}
