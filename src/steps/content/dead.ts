import type { Circuit } from '../../circuit/circuit.js';
import { readingLimits } from '../../trade/reading-limits.js';
import {
  choice,
  type DraftStep,
  draftStep,
  ohms,
  optionalNote,
  person,
  pieces,
  tick,
  value,
  volts,
} from './draft-step.js';
import {
  deviceFacts,
  feedFacts,
  groundFaultOutlet,
  lengthText,
  otherSourceFacts,
  outletName,
} from './figures.js';
import { from } from './sources.js';
import { deadHolds, deadSteps, hasRunBehind } from './step-order.js';

/** Everything that is proven with the cord out, in the order in which a later verdict leans on an earlier one. */
export function deadStepsOf(circuit: Circuit): DraftStep[] {
  return [
    absenceOfVoltage(circuit),
    groundPath(circuit),
    bondPath(circuit),
    polesToFirst(circuit),
    ...(hasRunBehind(circuit) ? [polesBehind(circuit)] : []),
    isolationAtInlet(circuit),
    ...(groundFaultOutlet(circuit) ? [isolationBehind(circuit)] : []),
    cordAlone(circuit),
    everythingOff(circuit),
  ];
}

const outletParts = (circuit: Circuit): string[] => circuit.run.map((o) => `outlet:${o.id}`);
const feedParts = (circuit: Circuit): string[] => circuit.run.map((o) => `feed:${o.id}`);
const wholeRun = (circuit: Circuit): Record<string, string> => ({
  ...deviceFacts(circuit, circuit.run.length),
  ...feedFacts(circuit, circuit.run.length, false),
});

/** The dead tests lean on the work being finished and on the absence of voltage. */
const afterProof = (circuit: Circuit): string[] => ['absence-of-voltage', ...deadHolds(circuit)];

function absenceOfVoltage(circuit: Circuit): DraftStep {
  const others = circuit.otherSources.length > 0;
  const device = groundFaultOutlet(circuit);
  return draftStep({
    id: 'absence-of-voltage',
    stage: 'dead',
    title: 'Prove it dead',
    do: [
      'Pull the cord and put it in your pocket.',
      ...(others ? ['Switch every other source off at its own disconnect.'] : []),
      'Take every load out, and a surge protector too.',
      'Switch the breaker on.',
      ...(device
        ? [
            'If the ground-fault device was ever live: it must have been tripped by TEST before the cord was pulled.',
          ]
        : []),
      'Try the meter on the known source.',
      'Test the pins of the inlet and every outlet with the test plug, AC and DC, each of the three pairs.',
      'Try the meter on the known source again.',
      'Short the leads with the wander lead in, write down what they show, and null or take it off.',
    ],
    why: 'A meter that died an hour ago reads nothing everywhere. Live, dead, live: only the three together say that it is dead.',
    rightWhen: [
      `Less than ${readingLimits.dead.value} V at the inlet and at every outlet.`,
      'The meter showed the known source before and after.',
    ],
    sources: [from.liveDeadLive, from.unplugged],
    cautions: ['mains-kills', 'work-dead', 'shutters', ...(others ? ['other-source-off'] : [])],
    asks: [
      tick(
        'cord-out',
        `Cord out, loads out, breaker on${others ? ', other sources off at their disconnect' : ''}`,
      ),
      ...(device
        ? [
            choice('device-state', 'The ground-fault device', [
              ['never-live', 'Was never live'],
              ['tripped', 'Was tripped by TEST before the cord was pulled'],
              [
                'latched',
                'Was live, and was not tripped',
                'Its contacts may be closed: plug in as for the live tests, press TEST, unplug, then come back.',
              ],
            ]),
          ]
        : []),
      tick('surge', 'Surge protector taken out, or there is none'),
      tick('proved-before', 'Meter showed the known source before'),
      tick('proved-after', 'Meter showed the known source after'),
      value({
        id: 'leads',
        label: 'Leads shorted, wander lead in',
        quantity: 'resistance',
        units: ohms,
        max: 2,
        limitSource: { ...from.practice, clause: '0.1 to 0.5 Ω is usual; over 2 Ω the leads are bad' },
        instrument: 'multimeter',
      }),
    ],
    waitsFor: deadHolds(circuit),
    hold: 'No other dead test before the circuit is proven dead.',
    concession: 'never',
    parts: ['inlet', ...outletParts(circuit)],
    basis: { ...deviceFacts(circuit, circuit.run.length), ...otherSourceFacts(circuit) },
  });
}

function groundPath(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'ground-path',
    stage: 'dead',
    title: 'Ground path to every outlet',
    do: [
      "Put one probe on the inlet's ground pin and the other in the ground slot of each outlet.",
      'Write the figure; a buzzer is no reading.',
      'Move the cable and the plug while you read.',
    ],
    why: 'Every later verdict leans on the ground. It is the wire that nobody misses until it is needed.',
    rightWhen: [
      `No more than ${readingLimits.groundPath.value} Ω to every ground slot.`,
      `Looked at again above the expected value and ${readingLimits.groundPathLook.value} Ω.`,
    ],
    sources: [from.oneOhm, from.computed],
    cautions: ['work-dead'],
    asks: [
      tick(
        'steady',
        `Steady while cable and plug were moved: no jump over ${readingLimits.wiggleJump.value} Ω`,
      ),
    ],
    waitsFor: afterProof(circuit),
    hold: 'Nothing is energised before every ground slot is reached.',
    concession: 'never',
    parts: ['inlet', ...feedParts(circuit), ...outletParts(circuit)],
    basis: wholeRun(circuit),
  });
}

function bondPath(circuit: Circuit): DraftStep {
  const cases = circuit.otherSources.some((s) => s.metalCase);
  const metalBoxes = circuit.run.filter((o) => o.box.material === 'metal');
  return draftStep({
    id: 'bond-path',
    stage: 'dead',
    title: 'Bond to the body',
    do: [
      `Look for volts between inlet ground and body, AC and DC. Above ${readingLimits.strayVolts.value} V take the battery negative off first.`,
      "Read from the inlet's ground pin to a second bare spot of the body: a seat bolt, a door striker.",
      'Scratch through paint.',
      'Touch each metal box, plate and the flange of the inlet.',
    ],
    why: "Read to the bond's own bolt, the paint under the ring is left out, and the paint is the fault.",
    rightWhen: [
      `No more than ${readingLimits.bond.value} Ω.`,
      `Looked at again above the expected value and ${readingLimits.bondLook.value} Ω.`,
    ],
    sources: [from.practice, from.equipmentGround, from.computed],
    cautions: ['work-dead'],
    asks: [
      value({
        id: 'stray-volts',
        label: 'Largest volts between inlet ground and body before ohms were taken',
        quantity: 'voltage',
        units: volts,
        max: readingLimits.strayVolts.value,
        expected: 0,
        limitSource: readingLimits.strayVolts.source,
        instrument: 'multimeter',
      }),
      tick('second-spot', "Taken to a second bare spot, not to the bond's own bolt"),
      tick('flange', 'Flange and metal plates: under 1 Ω each, or plastic'),
      ...metalBoxes.map((o) => tick(`box-${o.id}`, `Metal box of ${outletName(circuit, o)}: under 1 Ω`)),
      ...(cases ? [tick('cases', 'Metal cases of the other sources: under 1 Ω')] : []),
      optionalNote('spots', 'Which spots'),
    ],
    waitsFor: [...afterProof(circuit), 'ground-path'],
    hold: 'Nothing is energised before the body is bonded.',
    concession: 'never',
    parts: ['inlet', 'bond'],
    basis: {
      'bond gauge': `${circuit.bond.awg} AWG`,
      'bond length': lengthText(circuit.bond.lengthM),
      ...otherSourceFacts(circuit),
      ...Object.fromEntries(metalBoxes.map((o) => [`box of outlet ${o.id}`, 'metal'])),
    },
  });
}

function polesToFirst(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit);
  const target = device ? `the LINE screws of ${outletName(circuit, device)}` : 'the slots of every outlet';
  return draftStep({
    id: 'poles-to-first',
    stage: 'dead',
    title: device ? 'Hot and neutral to LINE' : 'Hot and neutral to every outlet',
    do: [
      `Read from the inlet's hot pin to the hot side and from its neutral pin to the neutral side of ${target}.`,
      'OL: is the breaker on? Did the probe touch?',
    ],
    why: 'Each pole closed on its own pin, and open to the other, is the polarity of the van: whatever the supply does.',
    rightWhen: [
      `Through, and no more than the expected value and ${readingLimits.conductorLook.value} Ω; a joint is proven later, under load.`,
    ],
    sources: [from.computed, from.judged],
    cautions: ['work-dead', ...(device ? [] : ['shutters'])],
    asks: [
      tick('steady', `Steady while the cable was moved: no jump over ${readingLimits.wiggleJump.value} Ω`),
    ],
    waitsFor: [...afterProof(circuit), 'ground-path'],
    hold: 'Nothing is energised before each pole is on its own pin.',
    concession: 'never',
    parts: ['inlet', ...feedParts(circuit).slice(0, device ? circuit.run.indexOf(device) + 1 : undefined)],
    basis: device
      ? {
          ...deviceFacts(circuit, circuit.run.indexOf(device) + 1),
          ...feedFacts(circuit, circuit.run.indexOf(device) + 1, false),
        }
      : wholeRun(circuit),
  });
}

function polesBehind(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit)!;
  return draftStep({
    id: 'poles-behind',
    stage: 'dead',
    title: 'Hot and neutral from LOAD to the outlets behind',
    do: [
      `Read from the LOAD screws of ${outletName(circuit, device)} to the hot and neutral slots of every outlet behind it.`,
      'Use the test plug: one probe alone does not open a shutter.',
      'Move each cable and plug while you read.',
    ],
    why: "The device's contacts are open without power, so nothing from the inlet reaches behind them. Its own face is proven live.",
    rightWhen: [
      `Through, and no more than the expected value and ${readingLimits.conductorLook.value} Ω; no jump when moved.`,
    ],
    sources: [from.computed, from.judged],
    cautions: ['work-dead', 'shutters'],
    asks: [
      tick(
        'steady',
        `Steady while each cable and plug was moved: no jump over ${readingLimits.wiggleJump.value} Ω`,
      ),
    ],
    waitsFor: [...afterProof(circuit), 'ground-path'],
    hold: 'Nothing is energised before each pole is on its own pin.',
    concession: 'never',
    parts: [...feedParts(circuit), ...outletParts(circuit)],
    basis: wholeRun(circuit),
  });
}

function isolationAtInlet(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit);
  return draftStep({
    id: 'isolation-at-inlet',
    stage: 'dead',
    title: device ? 'Isolation on LINE, at the inlet' : 'Isolation, at the inlet',
    do: [
      ...(device
        ? ['Fold the ground-fault device into its box and screw it in; a pinch in the fold is found now.']
        : []),
      'Read hot to ground, neutral to ground, hot to neutral at the pins of the inlet, on a range that reaches 1 MΩ.',
      'Hot to neutral: read once more with the probes exchanged, and note both.',
    ],
    why: 'A join of neutral and ground in the van stays unnoticed: everything works, and the body carries the current. Only this reading finds it. An ohmmeter finds joins; it tests no insulation.',
    rightWhen: [
      'Hot to ground and neutral to ground at least 1 MΩ.',
      device
        ? 'Hot to neutral over 1 kΩ: the electronics of the device lie across it, so kΩ to MΩ is no fault.'
        : 'Hot to neutral at least 1 MΩ.',
    ],
    sources: [from.oneBond, from.oneBondSister, from.judged],
    cautions: ['work-dead', 'one-bond'],
    asks: [
      ...(device
        ? [tick('folded', `${capital(outletName(circuit, device))} folded in and its face on`)]
        : []),
      tick('range', 'OL was read on a range that reaches 1 MΩ, no finger on both probes'),
      optionalNote('exchanged', 'Hot to neutral with the probes exchanged'),
    ],
    waitsFor: [
      ...afterProof(circuit),
      'ground-path',
      'poles-to-first',
      ...(hasRunBehind(circuit) ? ['poles-behind'] : []),
    ],
    hold: 'Nothing is energised before hot, neutral and ground are apart.',
    concession: 'never',
    parts: ['inlet', ...feedParts(circuit)],
    basis: wholeRun(circuit),
  });
}

function isolationBehind(circuit: Circuit): DraftStep {
  const run = hasRunBehind(circuit);
  return draftStep({
    id: 'isolation-behind',
    stage: 'dead',
    title: run ? 'Isolation on LOAD and at the face' : 'Isolation at the face',
    do: [
      ...(run ? ['Read the three pairs at the last outlet, with the test plug.'] : []),
      'Read the three pairs in the face of the ground-fault device.',
    ],
    why: 'With the contacts open, LINE, LOAD and face are three separate circuits: a join behind the device is invisible from the inlet.',
    rightWhen: [
      'Hot to ground and neutral to ground at least 1 MΩ.',
      'Hot to neutral over 1 kΩ: sense leads of the device may lie across it.',
      ...(run ? ['Neutral to ground low: bare ground on a silver screw, until shown otherwise.'] : []),
    ],
    sources: [from.oneBond, from.oneBondSister, from.judged],
    cautions: ['work-dead', 'one-bond', 'shutters'],
    asks: [tick('range', 'OL was read on a range that reaches 1 MΩ, no finger on both probes')],
    waitsFor: [...afterProof(circuit), 'ground-path', 'isolation-at-inlet'],
    hold: 'Nothing is energised before hot, neutral and ground are apart behind the device too.',
    concession: 'never',
    parts: [...feedParts(circuit), ...outletParts(circuit)],
    basis: wholeRun(circuit),
  });
}

function cordAlone(circuit: Circuit): DraftStep {
  const { awg, lengthM, typeLetters } = circuit.cord;
  return draftStep({
    id: 'cord-alone',
    stage: 'dead',
    title: 'The cord alone',
    do: [
      'Unplug the cord at both ends.',
      'Read each conductor from blade to slot, then the three pairs.',
      'Flex both ends while you read.',
      'Tag the cord with the number of the job.',
    ],
    why: 'The cord is the part most often bad, and the part that nobody opens.',
    rightWhen: [
      `Each conductor no more than the expected value and ${readingLimits.cordLook.value} Ω, ground no more than ${readingLimits.cordGround.value} Ω.`,
      'The three pairs are apart.',
    ],
    sources: [from.cordTest, from.computed],
    asks: [
      tick('flexed', 'Steady while both ends were flexed'),
      tick('tagged', 'Cord tagged with the number of the job'),
    ],
    waitsFor: ['tools-laid-out', 'cord-and-drop'],
    hold: 'The cord is plugged in nowhere before it is proven.',
    parts: ['cord'],
    basis: { 'cord gauge': `${awg} AWG`, 'cord length': lengthText(lengthM), 'cord type': typeLetters },
  });
}

function everythingOff(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'everything-off',
    stage: 'dead',
    title: 'Everything off that was put on',
    do: [
      'Take off clips, shorting plugs and tags for testing.',
      'Count them with the second person.',
      'Put every plate and cover on.',
    ],
    why: 'A clip left on is a dead short when the cord goes in.',
    rightWhen: ['As many came off as were put on.', 'Every plate and cover is on.'],
    sources: [from.practice],
    cautions: ['removal-count'],
    asks: [
      value({
        id: 'put-on',
        label: 'Clips, jumpers and shorting plugs put on',
        quantity: 'count',
        units: pieces,
        limitSource: from.practice,
      }),
      value({
        id: 'left-on',
        label: 'Of these still on',
        quantity: 'count',
        units: pieces,
        min: 0,
        max: 0,
        expected: 0,
        limitSource: from.practice,
      }),
      tick('plates', 'Every plate and cover is on'),
      person('witness', 'Who counted with you; alone: why, and that you counted twice'),
    ],
    waitsFor: [...deadSteps(circuit).filter((id) => id !== 'everything-off'), ...deadHolds(circuit)],
    hold: 'Nothing is energised before the count agrees.',
    concession: 'never',
    witness: true,
    parts: ['inlet', 'breaker', ...outletParts(circuit)],
    basis: wholeRun(circuit),
  });
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
