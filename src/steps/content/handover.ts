import { type Circuit, words } from '../../circuit/circuit.js';
import { metresText } from '../../circuit/quantity-text.js';
import { issueStepId } from '../step.js';
import { feedParts, othersOff, outletParts, wholeRun } from './circuit-parts.js';
import { another, type DraftStep, draftStep, note, person, photo, tick } from './draft-step.js';
import { cordFacts, deviceFacts, groundFaultOutlet, livingQuarters, outletName } from './figures.js';
import { from } from './sources.js';
import { afterReady, deadTests, energised } from './step-order.js';

/** The short repeat with the trim on, labels, cord, owner, second look, record, re-check. */
export function handoverSteps(circuit: Circuit): DraftStep[] {
  return [
    trimOnRepeat(circuit),
    ...(groundFaultOutlet(circuit) ? [trimOnTest(circuit)] : []),
    labels(circuit),
    cordAndSpares(circuit),
    reCheckSet(circuit),
    ownerShown(circuit),
    defectsRead(circuit),
    issueRecord(),
  ];
}

/** The repeats with the trim on that bar what follows. */
const trimTests = (circuit: Circuit): string[] => [
  'trim-on-repeat',
  ...(groundFaultOutlet(circuit) ? ['trim-on-test'] : []),
];

function trimOnRepeat(circuit: Circuit): DraftStep {
  const rv = livingQuarters(circuit);
  const device = groundFaultOutlet(circuit);
  const others = circuit.otherSources.length > 0;
  return draftStep({
    id: 'trim-on-repeat',
    stage: 'handover',
    title: 'Trim on, then the dead tests once more',
    do: [
      'Put the trim on.',
      `Cord out${others ? ', every other source off at its own disconnect' : ''}. Prove it dead again, as in the dead tests.`,
      'Read ground at the last outlet and the bond.',
      'Read hot to ground and neutral to ground at the inlet and in the slots of the last outlet.',
    ],
    why: 'The trim screw through the cable is found here, or by the owner.',
    rightWhen: ['As before, within 0.1 Ω.', 'Hot to ground and neutral to ground at least 1 MΩ.'],
    sources: [from.practice, ...(rv ? [from.testedTwice] : [])],
    cautions: ['work-dead', 'mains-kills', ...othersOff(circuit)],
    asks: [
      tick('trim', 'Trim on, its screws counted and no longer than noted'),
      tick(
        'dead-again',
        `Proven dead again${others ? ', other sources off at their disconnect' : ''}, meter proven before and after`,
      ),
    ],
    waitsFor: [
      'run-photographed',
      ...deadTests(circuit),
      ...(device ? ['test-button'] : ['slot-voltages']),
      ...(circuit.otherSources.length > 0 ? ['other-source-off-pins'] : []),
      'under-load',
      'unplugged',
    ],
    hold: 'Nothing is plugged in again, and no record issued, before the repeat with the trim on.',
    concession: 'never',
    parts: ['inlet', 'bond', ...feedParts(circuit), ...outletParts(circuit)],
    basis: wholeRun(circuit),
  });
}

function trimOnTest(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'trim-on-test',
    stage: 'handover',
    title: 'TEST once more, with the trim on',
    do: [
      'Ready as for the live tests: second person, dry place, dry hands.',
      'Another supply than the one of the live tests: measure it first, and read the van’s skin before anyone touches it, as there.',
      'Cord into the van first, then into the supply. Breaker on, RESET.',
      'Press TEST and look at every outlet again.',
      'Pull the cord at the supply first.',
    ],
    why: 'The trim went on after the last press of the button.',
    rightWhen: ['Every outlet is dead.'],
    sources: [from.groundFault],
    cautions: [...energised, 'live-helper', 'live-weather', 'live-hands', 'one-try', 'surge-delay'],
    asks: [
      tick('ready-again', 'Second person, dry place and hands, as for the live tests'),
      tick('out', 'Supply out first'),
    ],
    waitsFor: afterReady(circuit, 'test-button', 'trim-on-repeat'),
    hold: 'No record is issued before TEST kills every outlet with the trim on.',
    concession: 'never',
    parts: outletParts(circuit),
    basis: wholeRun(circuit),
  });
}

function labels(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit);
  const rv = livingQuarters(circuit);
  const others = circuit.run.filter((o) => o !== device);
  const { amps, locking } = circuit.inlet;
  return draftStep({
    id: 'labels',
    stage: 'handover',
    title: 'Labels',
    do: [
      `Beside the inlet: 120 V AC, 60 Hz, ${amps} A, and not to exceed it.`,
      `At the breaker: ${circuit.breaker.amps} A, what it feeds.`,
      ...(device ? [`At ${outletName(circuit, device)}: TEST monthly.`] : []),
      ...(device && others.length > 0
        ? [`At the others: protected by the device at ${outletName(circuit, device)}.`]
        : []),
      'Over hidden cable: do not drill. Inside the trim at each end: the route.',
      'For the steering wheel: a tag that hangs there while the cord is in.',
    ],
    why: 'The next person has a drill in hand and no record.',
    rightWhen: [
      'Each is in its place and can be read.',
      ...(rv ? ['The inlet’s label has the wording that the edition in force asks.'] : []),
    ],
    sources: [...(rv ? [from.inletLabel] : []), from.practice],
    asks: [
      photo('inlet', 'The inlet’s label'),
      photo('breaker', 'The breaker’s label'),
      ...(device ? [photo('device', 'TEST monthly, at the device')] : []),
      ...(device && others.length > 0
        ? others.map((o) => tick(`protected-${o.id}`, `Label at ${outletName(circuit, o)}`))
        : []),
      photo('no-drill', 'Marks over hidden cable'),
      tick(
        'wheel',
        locking
          ? 'Tag for the steering wheel is in the van: this inlet does not pull out'
          : 'Tag for the steering wheel is in the van',
      ),
    ],
    waitsFor: trimTests(circuit),
    parts: ['inlet', 'breaker', ...circuit.run.map((o) => `outlet:${o.id}`)],
    basis: {
      'use of the van': words.vehicleUse[circuit.vehicleUse],
      'inlet rating': `${amps} A`,
      'breaker rating': `${circuit.breaker.amps} A`,
      ...deviceFacts(circuit, circuit.run.length),
    },
  });
}

function cordAndSpares(circuit: Circuit): DraftStep {
  const { awg, lengthM, typeLetters } = circuit.cord;
  return draftStep({
    id: 'cord-and-spares',
    stage: 'handover',
    title: 'The cord that belongs to it, and spares',
    do: [
      `Tag the cord: ${awg} AWG, ${metresText(lengthM)}, ${typeLetters}, number of the job.`,
      'Put spares in a bag: the same device, gasket, an end for the cord, labels, screws.',
      'Fit an extinguisher, a smoke and a CO alarm where the van has none.',
    ],
    why: 'Without the right spare, the roadside repair is a wrong one.',
    rightWhen: ['The cord is tagged and the bag is in the van.'],
    sources: [from.practice],
    cautions: ['no-double-ended-lead'],
    asks: [
      photo('tag', 'The tag on the cord'),
      tick('spares', 'Spares in a bag, in the van'),
      tick('alarms', 'Extinguisher, smoke and CO alarm in the van'),
    ],
    waitsFor: ['cord-alone'],
    parts: ['cord'],
    basis: cordFacts(circuit),
  });
}

function reCheckSet(circuit: Circuit): DraftStep {
  return draftStep({
    id: 're-check-set',
    stage: 'handover',
    title: 'Set the re-check',
    do: [
      'Set a date: after the first 800 km (500 miles) or 30 days.',
      'Then yearly, and after water, a crash, drilling or a new device.',
      ...(livingQuarters(circuit)
        ? []
        : ['Where the van works on building sites: its cord and its grounds every three months.']),
      'At the re-check look and tug, dead. Turn a screw only if its mark has moved.',
    ],
    why: 'Stranded copper settles in its first weeks. A screw that is turned again without need ends up too tight.',
    rightWhen: ['A date is set and the owner has it.'],
    sources: [from.practice, ...(livingQuarters(circuit) ? [] : [from.cordTest])],
    asks: [note('date', 'Date of the first re-check, and who does it')],
    basis: { 'use of the van': words.vehicleUse[circuit.vehicleUse] },
  });
}

function ownerShown(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit) !== undefined;
  return draftStep({
    id: 'owner-shown',
    stage: 'handover',
    title: 'The owner does it with you',
    do: [
      'Have the owner try the supply with a tester or a meter, and say what it shows.',
      'Have the owner plug in: loads and breaker off, cord into the van first, the supply last.',
      ...(device ? ['Have the owner press TEST, see everything dead, and press RESET.'] : []),
      'Have the owner unplug: loads off, supply out first.',
      'Read the ten sentences together.',
    ],
    why: 'What was watched is forgotten. What was done with one’s own hand is not.',
    rightWhen: ['The owner did it and did not only watch.'],
    sources: [from.practice],
    cautions: [...energised, 'generator-outdoors', 'heat-near-paper'],
    asks: [tick('did-it', 'The owner did it with their own hands'), person('owner', 'Who did it')],
    waitsFor: [...trimTests(circuit), 'labels', 'cord-and-spares'],
    parts: ['supply', 'cord', 'inlet'],
  });
}

function defectsRead(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'defects-read',
    stage: 'handover',
    title: 'Defects closed, concessions read aloud',
    do: [
      'Go through every defect and see it closed.',
      'Read every concession aloud, with its reason and its name.',
      'Have the checker look again at whatever they choose.',
    ],
    why: 'A concession that nobody heard is a surprise for the next person.',
    rightWhen: ['No defect is open, and the checker has looked again; alone: that is said.'],
    sources: [from.practice],
    cautions: ['no-approval'],
    asks: [
      tick('closed', 'No defect is open'),
      tick('read', 'Concessions read aloud, or there are none'),
      another('checker', 'Who looked again; alone: why'),
    ],
    waitsFor: [...trimTests(circuit), 'labels', 'cord-and-spares', 'owner-shown', 're-check-set'],
    hold: 'The record is not issued before this is read and looked at.',
  });
}

function issueRecord(): DraftStep {
  return draftStep({
    id: issueStepId,
    stage: 'handover',
    title: 'Issue the record',
    do: ['Sign and issue the record.', 'Give the owner the link, and ask for the acknowledgement.'],
    why: 'It says what was checked on its date, by whom and with what. It says no more than that.',
    rightWhen: ['A record is issued and stands.'],
    sources: [from.practice],
    cautions: ['no-approval'],
    waitsFor: ['defects-read', 're-check-set'],
  });
}
