import { type Circuit, words } from '../../circuit/circuit.js';
import { readingLimits } from '../../trade/reading-limits.js';
import {
  celsius,
  choice,
  type DraftStep,
  draftStep,
  optionalNote,
  person,
  photo,
  tick,
  value,
} from './draft-step.js';
import { deviceFacts, feedFacts, groundFaultOutlet, otherSourceFacts, outletName } from './figures.js';
import { from } from './sources.js';
import { deadSteps } from './step-order.js';

/** What every live step says, and what it waits for: the dead tests themselves and a ready place. */
const energised = ['mains-kills', 'local-rules-first', 'licensed-electrician', 'gfci-limits'] as const;
const outletParts = (circuit: Circuit): string[] => circuit.run.map((o) => `outlet:${o.id}`);
const afterReady = (circuit: Circuit, ...more: string[]): string[] => [
  ...deadSteps(circuit),
  'ready-for-live',
  ...more,
];
const wholeRun = (circuit: Circuit): Record<string, string> => ({
  ...deviceFacts(circuit, circuit.run.length),
  ...feedFacts(circuit, circuit.run.length, false),
});

/** The supply first, then the cord, then the van: each before a hand touches the next. */
export function liveSteps(circuit: Circuit): DraftStep[] {
  const device = groundFaultOutlet(circuit) !== undefined;
  return [
    readyForLive(circuit),
    supplyMeasured(circuit),
    cordEndMeasured(circuit),
    chassisToEarth(circuit),
    breakerOn(circuit),
    slotVoltages(circuit),
    ...(device ? [testButton(circuit), plugInTester(circuit)] : []),
    underLoad(circuit),
    warmCheck(circuit),
    ...(circuit.otherSources.length > 0 ? [otherSourceOffPins(circuit)] : []),
    unplugged(circuit),
  ];
}

function readyForLive(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'ready-for-live',
    stage: 'live',
    title: 'Ready for live tests',
    do: [
      'Look at the weather and at the ground where you stand.',
      'Have a second person at the plug.',
      'Take rings and watch off and put dry shoes on.',
      "Take the loads out and switch the van's breaker off.",
      'Read the cautions aloud.',
    ],
    why: 'The second person pulls the plug. They must know that before, not when you cannot say it.',
    rightWhen: ['Every line is ticked and the second person has a name.'],
    sources: [from.practice, from.liveDeadLive],
    cautions: [...energised, 'live-helper', 'live-weather', 'live-hands'],
    asks: [
      tick('dry', 'Dry weather and dry ground, or both under cover'),
      tick('hands', 'No rings or watch, dry shoes, leads rated CAT III with shrouded tips'),
      tick('extinguisher', 'Extinguisher within reach'),
      tick('loads', "Loads out, van's breaker off"),
      tick('cautions', 'The cautions were read'),
      person('helper', 'Second person, who knows how to pull the plug and not to touch you; alone: why'),
    ],
    waitsFor: deadSteps(circuit),
    hold: 'Nothing is plugged in before every line is ticked.',
    concession: 'never',
    witness: true,
    parts: ['supply', 'inlet'],
    basis: otherSourceFacts(circuit),
  });
}

function supplyMeasured(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'supply-measured',
    stage: 'live',
    title: 'The supply, before anything is plugged in',
    do: [
      'Look at the receptacle: cracks, scorch, paint, old two-pin wiring.',
      'Ask whose it is, where its breaker is and whether it has ground-fault protection.',
      'Start on a range of 200 V or more and read hot to neutral, hot to ground, neutral to ground.',
      'Press TEST on its own ground-fault device if it has one, and reset it.',
    ],
    why: 'The van cannot make a bad outlet good. A 30 A outlet may have been wired for 240 V.',
    rightWhen: [
      'Hot to neutral 114 to 126 V is good, 108 to 127 V is usable; under 104 or over 132 V nothing is plugged in.',
      'Hot to ground within 2 V of hot to neutral; neutral to ground no more than 2 V.',
    ],
    sources: [from.supplyBand, from.supplyCeiling, from.slotVolts],
    cautions: [...energised, 'supply-voltage', 'live-hands'],
    asks: [
      choice('looks', 'The receptacle', [
        ['sound', 'Sound, dry and held firm'],
        ['damaged', 'Cracked, scorched, wet or loose', 'Plug nothing in here: find another receptacle.'],
      ]),
      choice('kind', 'What feeds it', [
        ['grid', 'The grid'],
        ['generator-bonded', 'A generator or inverter with neutral and ground joined'],
        ['generator-floating', 'A generator or inverter without that join: the two float about 60 V each'],
      ]),
      choice('protection', 'Its own ground-fault protection', [
        ['trips', 'It has it; TEST trips it'],
        ['none', 'None, or not known; first power-up is better taken elsewhere'],
        ['no-trip', 'It has it and TEST does not trip it', 'Plug nothing in here: tell whoever owns it.'],
      ]),
      optionalNote('whose', 'Whose receptacle, where its breaker is'),
    ],
    waitsFor: afterReady(circuit),
    hold: 'No cord goes in before the supply is measured.',
    concession: 'never',
    parts: ['supply'],
    basis: { 'supply rating': `${circuit.supply.amps} A` },
  });
}

function cordEndMeasured(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'cord-end-measured',
    stage: 'live',
    title: "The cord's free end",
    do: [
      'Lay the free end off the wet and out of reach.',
      'Plug the cord into the supply.',
      'Read the same three pairs at the slots of its free end.',
      'Pull it out of the supply again.',
    ],
    why: 'It parts what the supply does from what the cord does.',
    rightWhen: ['Each within 1 V of the supply.'],
    sources: [from.practice],
    cautions: [...energised, 'live-hands', 'shutters'],
    asks: [tick('out-again', 'Cord out of the supply again')],
    waitsFor: afterReady(circuit, 'supply-measured'),
    hold: 'The cord is not put into the van before its free end is right.',
    concession: 'never',
    parts: ['cord'],
    basis: { 'cord gauge': `${circuit.cord.awg} AWG`, 'cord type': circuit.cord.typeLetters },
  });
}

function chassisToEarth(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'chassis-to-earth',
    stage: 'live',
    title: 'Chassis to true earth',
    do: [
      "Van's breaker off. Plug the cord into the van first, then into the supply.",
      'Touch nothing of the van.',
      'Bring the non-contact tester near the skin. A glow: unplug at the supply.',
      'Read volts from bare body metal to true earth: a rod in damp soil or a bonded water pipe, not the ground of the same pedestal.',
    ],
    why: "This is the only test that finds a ground wire that is live from the supply. The van's own device does not see it: the ground does not pass its sensor.",
    rightWhen: [
      'No glow.',
      'Up to 2 V; between 2 and 5 V look for the cause; above 5 V unplug at the supply.',
    ],
    sources: [from.hotSkin],
    cautions: [...energised, 'skin-untouched', 'live-helper', 'live-hands'],
    asks: [
      choice('earth', 'True earth was', [
        ['rod', 'A rod in damp soil'],
        ['pipe', 'A bonded metal water pipe'],
        [
          'pedestal',
          'The ground of the same supply',
          'That ground is what is being tested: use a rod or a pipe.',
        ],
      ]),
    ],
    waitsFor: afterReady(circuit, 'cord-end-measured'),
    hold: 'Nobody touches the van before its skin is read.',
    concession: 'never',
    parts: ['supply', 'cord', 'bond'],
    basis: { 'bond gauge': `${circuit.bond.awg} AWG` },
  });
}

function breakerOn(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit);
  return draftStep({
    id: 'breaker-on',
    stage: 'live',
    title: device ? 'Breaker on, reset once' : 'Breaker on',
    do: [
      "See that the supply's breaker stays in with the van's breaker off.",
      "Switch the van's breaker on.",
      ...(device ? [`Press RESET on ${outletName(circuit, device)} once and wait 60 s.`] : []),
    ],
    why: 'What will not hold has a reason. Held in by hand, a breaker or a button makes heat of it.',
    rightWhen: [
      "The supply's breaker stays in.",
      ...(device ? ['The device resets and stays for 60 s.'] : []),
    ],
    sources: [from.groundFault, from.practice],
    cautions: [...energised, 'one-try', 'live-helper'],
    waitsFor: afterReady(circuit, 'chassis-to-earth'),
    hold: 'No slot is read before the breaker and the device hold.',
    concession: 'never',
    parts: ['breaker', ...(device ? [`outlet:${device.id}`] : [])],
    basis: { 'breaker rating': `${circuit.breaker.amps} A`, ...deviceFacts(circuit, circuit.run.length) },
  });
}

function slotVoltages(circuit: Circuit): DraftStep {
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
      'Hot to neutral and hot to ground within 2 V of the supply.',
      'Neutral to ground no more than 2 V.',
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

function testButton(circuit: Circuit): DraftStep {
  const device = groundFaultOutlet(circuit)!;
  return draftStep({
    id: 'test-button',
    stage: 'live',
    title: 'TEST: every outlet goes dead',
    do: [
      `Press TEST on ${outletName(circuit, device)}.`,
      'Put a lamp and the meter at each outlet, its own face too.',
      'Press RESET.',
    ],
    why: 'An outlet that stays alive is fed from LINE: it works every day and protects nobody.',
    rightWhen: ['Every outlet is dead: under 5 V hot to neutral and hot to ground.'],
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

function plugInTester(circuit: Circuit): DraftStep {
  const last = circuit.run.at(-1)!;
  return draftStep({
    id: 'plug-in-tester',
    stage: 'live',
    title: `Plug-in tester at ${outletName(circuit, last)}`,
    conditional: 'A plug-in ground-fault tester is on hand.',
    do: [
      `Press its button at ${outletName(circuit, last)} and wait ${readingLimits.testerWait.value} s.`,
      "Say which device tripped: the van's or the supply's.",
    ],
    why: 'It sends a little current to ground: it trips only if ground and device both do their work.',
    rightWhen: [`The van's device or the supply's trips within ${readingLimits.testerWait.value} s.`],
    sources: [from.plugTester],
    cautions: [...energised],
    asks: [
      choice('tripped', 'What tripped', [
        ['van', "The van's device"],
        ['supply', "The supply's device"],
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

function underLoad(circuit: Circuit): DraftStep {
  const last = circuit.run.at(-1)!;
  return draftStep({
    id: 'under-load',
    stage: 'live',
    title: 'Under load',
    do: [
      'Plug in a resistive load of known amps, 8 A or more.',
      `At ${outletName(circuit, last)}, and better at every outlet: read hot to neutral off, on and off again.`,
      'With the load on, read neutral to ground, and hot to neutral at the supply.',
    ],
    why: 'A loose joint of 0.3 Ω passes every dead test and makes 43 W at 12 A in a plastic box. Under load it shows as volts.',
    rightWhen: [
      `What the drop speaks of beyond the predicted: up to ${readingLimits.unexplainedLook.value} Ω passes, above ${readingLimits.unexplainedMend.value} Ω is mended.`,
      `Van and cord lose no more than ${readingLimits.dropVanAndCord.value} %, everything no more than ${readingLimits.drop.value} %, scaled to the full load.`,
      'Neutral to ground under load is about half of the whole drop; 0.0 V means neutral and ground are joined nearby: stop.',
    ],
    sources: [from.dropNote, from.judged],
    cautions: [...energised, 'live-hands', 'heat-near-paper'],
    waitsFor: afterReady(circuit, 'slot-voltages', ...(groundFaultOutlet(circuit) ? ['test-button'] : [])),
    parts: ['supply', 'cord', ...circuit.run.flatMap((o) => [`feed:${o.id}`, `outlet:${o.id}`])],
    basis: {
      ...deviceFacts(circuit, circuit.run.length),
      ...feedFacts(circuit, circuit.run.length, true),
      'cord gauge': `${circuit.cord.awg} AWG`,
    },
  });
}

function warmCheck(circuit: Circuit): DraftStep {
  const rise = readingLimits.warmRise;
  const spots = [
    ['plug', "cord's plug at the supply"],
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
      'Read plug, inlet, breaker and outlet with the infrared thermometer.',
      'Unplug, then feel the blades.',
    ],
    why: 'A joint that is only a little loose is found by its warmth.',
    rightWhen: [`None more than ${rise.value} °C over the air; no smell.`],
    sources: [from.warm],
    cautions: [...energised, 'heat-near-paper'],
    asks: [
      ...spots.map(([id, said]) =>
        value({
          id: `rise-${id}`,
          label: `Rise over the air: ${said}`,
          quantity: 'temperature',
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
        o.loads.map((l) => `${l.name} ${l.watts ?? ''}${l.watts ? ' W' : `${l.amps} A`}`).join(', ') ||
          'none',
      ]),
    ),
  });
}

function otherSourceOffPins(circuit: Circuit): DraftStep {
  const names = circuit.otherSources.map((s) => words.otherSource[s.kind]).join(', ');
  return draftStep({
    id: 'other-source-off-pins',
    stage: 'live',
    title: "No other source at the inlet's pins",
    do: [
      'Pull the cord.',
      `Start each other source: ${names}.`,
      'Read the pins of the inlet: hot to neutral on a low-impedance range, then each pin to the body on the ordinary range.',
      "Press the source's own TEST where it has one.",
      "Plug the shore cord in and see that the source's own join of neutral and ground lets go.",
    ],
    why: 'Blades live on the outside of a van kill a child.',
    rightWhen: [
      `Each pin under ${readingLimits.otherSourcePins.value} V.`,
      'With shore in, neutral to ground reads as before and the supply holds.',
    ],
    sources: [from.otherSupply, from.oneBond],
    cautions: [...energised, 'inlet-pins', 'one-bond', 'generator-outdoors'],
    asks: [
      choice('lets-go', "The source's own join of neutral and ground, with shore in", [
        ['lets-go', 'Lets go: the supply holds and the volts are as before'],
        ['none', 'It has none'],
        ['stays', 'Stays joined', 'Neutral and ground are joined twice: unplug and mend it.'],
      ]),
      photo('source', 'The source and its switch'),
    ],
    waitsFor: afterReady(circuit, 'slot-voltages'),
    hold: 'Nobody uses the van before no other source reaches the pins.',
    concession: 'never',
    parts: ['inlet'],
    basis: otherSourceFacts(circuit),
  });
}

function unplugged(circuit: Circuit): DraftStep {
  const others = circuit.otherSources.length > 0;
  return draftStep({
    id: 'unplugged',
    stage: 'live',
    title: 'Finish: supply out first',
    do: [
      'Loads off, then TEST, then breaker off.',
      'Pull the cord at the supply first, at the inlet last.',
      ...(others ? ['Switch the other sources off.'] : []),
      "Put the van's 12 V back on.",
    ],
    why: 'Pulled at the van first, a live end lies in the wet grass. Tripped by TEST, the device is open for certain when the dead tests are repeated.',
    rightWhen: ['No spark; the cover of the inlet is shut.'],
    sources: [from.practice],
    cautions: ['mains-kills'],
    asks: [
      tick('order', 'Loads off, TEST, breaker off, supply out first, inlet last'),
      tick('cover', 'Cover of the inlet shut'),
      tick('twelve-volts', "The van's 12 V is back on, or stays off for the trim"),
    ],
    waitsFor: afterReady(
      circuit,
      'under-load',
      ...(groundFaultOutlet(circuit) ? ['test-button'] : []),
      ...(others ? ['other-source-off-pins'] : []),
    ),
    parts: ['supply', 'cord', 'inlet'],
    basis: otherSourceFacts(circuit),
  });
}
