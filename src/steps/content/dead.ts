import type { Circuit } from '../../circuit/circuit.js';
import { metresText } from '../../circuit/quantity-text.js';
import { readingLimits } from '../../trade/reading-limits.js';
import type { Ask } from '../step.js';
import { cordAlone, everythingOff } from './before-power.js';
import { feedParts, feedsUpTo, othersOff, outletParts, wholeRun } from './circuit-parts.js';
import { choice, type DraftStep, draftStep, ohms, optionalNote, tick, value, volts } from './draft-step.js';
import { deviceFacts, groundFaultOutlet, otherSourceFacts, outletName, runFacts } from './figures.js';
import { isolationAtInlet, isolationBehind } from './isolation.js';
import { from } from './sources.js';
import { afterProof, deadHolds, hasRunBehind } from './step-order.js';

/** Everything that is proven with the cord out, in the order in which a later verdict leans on an earlier one. */
export function deadSteps(circuit: Circuit): DraftStep[] {
  return [
    absenceOfVoltage(circuit),
    groundPath(circuit),
    bondPath(circuit),
    polesToFirst(circuit),
    ...(hasRunBehind(circuit) ? [polesBehind(circuit)] : []),
    ...(groundFaultOutlet(circuit) ? [isolationBehind(circuit)] : []),
    isolationAtInlet(circuit),
    cordAlone(circuit),
    everythingOff(circuit),
  ];
}

function absenceOfVoltage(circuit: Circuit): DraftStep {
  const others = circuit.otherSources.length > 0;
  const device = groundFaultOutlet(circuit);
  return draftStep({
    id: 'absence-of-voltage',
    stage: 'dead',
    title: 'Prove it dead',
    do: [
      'Pull the cord and keep it with you.',
      ...(others ? ['Switch every other source off at its own disconnect.'] : []),
      'Take every load out.',
      'Switch the breaker on.',
      ...(device
        ? [
            'Was the ground-fault device ever live? Then it must have been tripped by TEST before the cord was pulled.',
          ]
        : []),
      'Try the meter on the known source.',
      'Test at the pins of the inlet, and with the test plug at every outlet: hot to neutral, hot to ground, neutral to ground, each on AC and on DC.',
      ...(device
        ? [
            `At ${outletName(circuit, device)} test at its LINE and LOAD screws too, wherever they can be reached, before a finger comes near.`,
          ]
        : []),
      'Try the meter on the known source again.',
      'Only now, proven dead, take out a surge protector that is wired in.',
      'Put the wander lead in and touch the tips together. Write down what the meter shows, then null it or take it off each reading.',
    ],
    why: `A meter that died an hour ago reads nothing everywhere. Live, dead, live: only the three together say that it is dead.${
      device
        ? ' What feeds LINE from another side, as an inverter behind a transfer switch does, shows neither at the inlet’s pins nor in any slot of a device that is tripped.'
        : ''
    }`,
    rightWhen: [
      `Less than ${readingLimits.dead.value} V at the inlet and at every outlet.`,
      'The meter showed the known source before and after.',
    ],
    sources: [from.liveDeadLive, from.unplugged],
    cautions: ['mains-kills', 'work-dead', 'shutters', ...othersOff(circuit)],
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
      'Put one probe on the inlet’s ground pin and, by the test plug, the other on the ground slot of each outlet.',
      'Write the figure; a buzzer is no reading.',
      'Move the cable and the plug while you read.',
    ],
    why: 'Every later verdict leans on the ground. It is the wire that nobody misses until it is needed.',
    rightWhen: [
      `No more than ${readingLimits.groundPath.value} Ω to every ground slot.`,
      `More than ${readingLimits.groundPathLook.value} Ω above the expected value: look again.`,
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
  // What hangs on the supply’s breaker alone is touched as well as any outlet.
  const ahead = (['inlet', 'breaker'] as const).filter((at) => circuit[at].box?.material === 'metal');
  return draftStep({
    id: 'bond-path',
    stage: 'dead',
    title: 'Bond to the body',
    do: [
      `Look for volts between inlet ground and body, AC and DC. Above ${readingLimits.strayVolts.value} V take the battery negative off first.`,
      'Read from the inlet’s ground pin to a second bare spot of the body: a seat bolt, a door striker.',
      'Scratch through paint.',
      'Read to each metal box, each metal plate and the flange of the inlet too.',
    ],
    why: 'Read to the bond’s own bolt, the paint under the ring is left out, and the paint is the fault.',
    rightWhen: [
      `No more than ${readingLimits.bond.value} Ω.`,
      `More than ${readingLimits.bondLook.value} Ω above the expected value: look again.`,
    ],
    sources: [from.practice, from.equipmentGround, from.computed],
    cautions: ['work-dead'],
    asks: [
      value({
        id: 'stray-volts',
        label: 'Largest volts between inlet ground and body before ohms were taken',
        quantity: 'voltage',
        units: volts,
        expected: 0,
        max: readingLimits.strayVolts.value,
        limitSource: readingLimits.strayVolts.source,
        instrument: 'multimeter',
      }),
      tick('second-spot', 'Taken to a second bare spot, not to the bond’s own bolt'),
      tick('flange', 'Flange, metal plates, the metal case of a charger: under 1 Ω each, or plastic'),
      ...ahead.map((at) => tick(`metal-box-${at}`, `Metal box of the ${at}: under 1 Ω`)),
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
      'bond length': metresText(circuit.bond.lengthM),
      ...otherSourceFacts(circuit),
      ...Object.fromEntries(ahead.map((at) => [`box of the ${at}`, 'metal'])),
      ...Object.fromEntries(metalBoxes.map((o) => [`box of outlet ${o.id}`, 'metal'])),
    },
  });
}

function polesToFirst(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit);
  const [hot, neutral] = device
    ? [`the hot LINE screw of ${outletName(circuit, device)}`, 'the neutral one']
    : ['the hot slot of every outlet', 'the neutral slot'];
  return draftStep({
    id: 'poles-to-first',
    stage: 'dead',
    title: device ? 'Hot and neutral to LINE' : 'Hot and neutral to every outlet',
    do: [
      `Read from the inlet’s hot pin to ${hot}, and from its neutral pin to ${neutral}.`,
      'OL? First see that the breaker is on and that both probes touch.',
      'Switch the breaker off and read both once more, then switch it on again.',
    ],
    why: 'Each pole closed on its own pin, and open to the other, is the polarity of the van: whatever the supply does.',
    rightWhen: [
      `Through, and no more than ${readingLimits.conductorLook.value} Ω above the expected value. A loose joint shows only later, under load.`,
      'With the breaker off the hot reads OL.',
    ],
    sources: [from.computed, from.judged],
    cautions: ['work-dead', ...(device ? [] : ['shutters' as const])],
    asks: [
      tick('steady', `Steady while the cable was moved: no jump over ${readingLimits.wiggleJump.value} Ω`),
      whatBreakerOpens(),
    ],
    waitsFor: [...afterProof(circuit), 'ground-path'],
    hold: 'Nothing is energised before each pole is on its own pin.',
    concession: 'never',
    parts: ['inlet', ...(device ? feedsUpTo(circuit, device) : feedParts(circuit))],
    basis: device ? runFacts(circuit, circuit.run.indexOf(device) + 1, false) : wholeRun(circuit),
  });
}

/** With the breaker on, one that is bridged or stands in the neutral reads like a right one, dead and live. */
function whatBreakerOpens(): Ask {
  return choice('breaker-off', 'With the breaker off', [
    ['hot', 'The hot reads OL, the neutral is through'],
    ['both', 'Both read OL: a breaker of two poles'],
    [
      'neutral',
      'The neutral reads OL, the hot is through',
      'The breaker stands in the neutral: switched off it leaves the van live, and what hot sends to ground it does not cut off. Land the hot on it, the neutral on its bar.',
    ],
    [
      'neither',
      'Both are through',
      'Nothing in the van cuts its hot off: follow it through the box of the breaker. The inlet’s hot and the run’s are on the two sides of the breaker, and nothing bridges them.',
    ],
  ]);
}

function polesBehind(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit)!;
  return draftStep({
    id: 'poles-behind',
    stage: 'dead',
    title: 'Hot and neutral from LOAD to the outlets behind',
    do: [
      `Read from the LOAD screws of ${outletName(circuit, device)} to the slots of every outlet behind it: hot to hot, neutral to neutral.`,
      'Use the test plug: one probe alone does not open a shutter.',
      'Move each cable and plug while you read.',
    ],
    why: 'The device’s contacts are open without power, so nothing from the inlet reaches behind them. Its own face is proven live.',
    rightWhen: [
      `Through, no more than ${readingLimits.conductorLook.value} Ω above the expected value, and no jump when moved.`,
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
