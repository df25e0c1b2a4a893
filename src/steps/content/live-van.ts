import type { Circuit } from '../../circuit/circuit.js';
import { fromSi } from '../../circuit/units.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { outletParts, wholeRun } from './circuit-parts.js';
import { celsius, choice, type DraftStep, draftStep, tick, value } from './draft-step.js';
import { groundFaultOutlet, outletName, runFacts } from './figures.js';
import { from } from './sources.js';
import { afterReady, energised } from './step-order.js';

export function slotVoltages(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'slot-voltages',
    stage: 'live',
    title: 'Volts at every slot',
    do: [
      'Loads out. Read each outlet with the test plug: hot to neutral, hot to ground, neutral to ground.',
      'Use a low-impedance range for hot to neutral only.',
    ],
    why: 'The dead tests said which wire is where; this says that the whole of it works, the face of the device too.',
    rightWhen: [
      `Hot to neutral and hot to ground within ${readingLimits.slotAgainstSupplyLook.value} V of the supply. Further off, yet within its limit: look for the cause.`,
      `Neutral to ground no more than ${readingLimits.neutralGroundLook.value} V; up to ${readingLimits.neutralGround.value} V look for the cause.`,
    ],
    sources: [from.slotVolts, from.practice],
    cautions: [...energised, 'low-impedance-trips', 'shutters', 'live-hands'],
    waitsFor: afterReady(circuit, 'breaker-on'),
    hold: 'Nothing is plugged into an outlet before its three volts are right.',
    concession: 'never',
    parts: outletParts(circuit),
    basis: wholeRun(circuit),
  });
}

export function testButton(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit)!;
  return draftStep({
    id: 'test-button',
    stage: 'live',
    title: 'TEST: every outlet goes dead',
    do: [
      `Press TEST on ${outletName(circuit, device)}.`,
      'Try each outlet with a lamp, then with the meter: the device’s own face too.',
      'Press RESET.',
    ],
    why: 'An outlet that stays alive is fed from LINE: it works every day and protects nobody.',
    rightWhen: [
      `Every outlet is dead: under ${readingLimits.deadAfterTest.value} V hot to neutral and hot to ground.`,
    ],
    sources: [from.groundFault, from.faceDead],
    cautions: [...energised, 'one-try', 'shutters'],
    asks: [tick('reset', 'Reset, and it stays')],
    waitsFor: afterReady(circuit, 'breaker-on', 'slot-voltages'),
    hold: 'Nobody uses an outlet before TEST kills every one of them.',
    concession: 'never',
    parts: outletParts(circuit),
    basis: wholeRun(circuit),
  });
}

export function plugInTester(circuit: Circuit): DraftStep {
  const last = circuit.run.at(-1)!;
  return draftStep({
    id: 'plug-in-tester',
    stage: 'live',
    title: `Plug-in tester at ${outletName(circuit, last)}`,
    conditional: 'A plug-in ground-fault tester is on hand.',
    do: [
      `Press its button at ${outletName(circuit, last)} and wait ${readingLimits.testerWait.value} s.`,
      'Say which device tripped: the van’s or the supply’s.',
    ],
    why: 'It sends a little current to ground: it trips only if ground and device both do their work.',
    rightWhen: [`The van’s device or the supply’s trips within ${readingLimits.testerWait.value} s.`],
    sources: [from.plugTester],
    cautions: [...energised],
    asks: [
      choice('tripped', 'What tripped', [
        ['van', 'The van’s device'],
        ['supply', 'The supply’s device'],
        ['both', 'Both'],
        ['none', 'Neither', 'No trip is unproven until the ground path is proven: raise a defect.'],
      ]),
      value({
        id: 'seconds',
        label: 'After',
        quantity: 'time',
        units: { metric: 's', imperial: 's' },
        max: readingLimits.testerWait.value / 60,
        limitSource: readingLimits.testerWait.source,
        optional: true,
      }),
    ],
    waitsFor: afterReady(circuit, 'test-button'),
    parts: [`outlet:${last.id}`],
    basis: wholeRun(circuit),
  });
}

export function underLoad(circuit: Circuit): DraftStep {
  const last = circuit.run.at(-1)!;
  return draftStep({
    id: 'under-load',
    stage: 'live',
    title: 'Under load',
    do: [
      'Plug in a resistive load of known amps, 8 A or more; the test plug goes in the other half of that outlet.',
      `At ${outletName(circuit, last)}, and better at every outlet, read hot to neutral with the load off, on and off again.`,
      'With the load on, read neutral to ground, and hot to neutral in the supply’s other half where it has one.',
    ],
    why: 'A loose joint of 0.3 Ω passes every dead test and makes 43 W at 12 A in a plastic box. Under load it shows as volts.',
    rightWhen: [
      `Resistance that the drop shows beyond the predicted: up to ${readingLimits.unexplainedLook.value} Ω is right. From there on look for the warm joint; above ${readingLimits.unexplainedMend.value} Ω mend it.`,
      `Van and cord lose no more than ${readingLimits.dropVanAndCord.value} %, everything no more than ${readingLimits.drop.value} %, scaled to the full load.`,
      'The plug sits firm in its slots: a meter in the other half of the outlet does not see their contacts.',
      'Neutral to ground under load is about half of the whole drop; 0.0 V means neutral and ground are joined nearby: stop.',
    ],
    sources: [from.dropNote, from.judged],
    cautions: [...energised, 'live-hands', 'heat-near-paper'],
    waitsFor: afterReady(circuit, 'slot-voltages', ...(groundFaultOutlet(circuit) ? ['test-button'] : [])),
    parts: ['supply', 'cord', ...circuit.run.flatMap((o) => [`feed:${o.id}`, `outlet:${o.id}`])],
    basis: {
      ...runFacts(circuit, circuit.run.length, true),
      'cord gauge': `${circuit.cord.awg} AWG`,
    },
  });
}

export function warmCheck(circuit: Circuit): DraftStep {
  const rise = readingLimits.warmRise;
  const spots = [
    ['plug', 'cord’s plug at the supply'],
    ['inlet', 'inlet'],
    ['breaker', 'breaker'],
    ['outlet', 'loaded outlet'],
  ] as const;
  return draftStep({
    id: 'warm-check',
    stage: 'live',
    title: 'Warm check after half an hour',
    conditional: 'Half an hour is to spare.',
    do: [
      'Run the largest set that may run together for 30 minutes.',
      'Read the air, then plug, inlet, breaker and outlet with the infrared thermometer. Shiny metal reads wrong: put tape on it.',
      'Loads off, unplug at the supply, then feel the blades.',
    ],
    why: 'A joint that is only a little loose is found by its warmth.',
    rightWhen: [
      `None more than ${rise.value} °C (${fromSi('temperature-rise', rise.value, '°F')} °F) over the air; no smell.`,
    ],
    sources: [from.warm],
    cautions: [...energised, 'heat-near-paper'],
    asks: [
      ...spots.map(([id, said]) =>
        value({
          id: `rise-${id}`,
          label: `Rise over the air: ${said}`,
          quantity: 'temperature-rise',
          units: celsius,
          max: rise.value,
          limitSource: rise.source,
          instrument: 'thermometer',
        }),
      ),
      tick('no-smell', 'No smell, no brown'),
    ],
    waitsFor: afterReady(circuit, 'under-load'),
    parts: ['cord', 'inlet', 'breaker', ...outletParts(circuit)],
    basis: Object.fromEntries(
      circuit.run.map((o) => [
        `loads of outlet ${o.id}`,
        o.loads.map((l) => `${l.name} ${l.watts ? `${l.watts} W` : `${l.amps} A`}`).join(', ') || 'none',
      ]),
    ),
  });
}
