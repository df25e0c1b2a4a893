import type { Circuit } from '../../circuit/circuit.js';
import { readingLimits } from '../../trade/reading-limits.js';
import {
  another,
  choice,
  type DraftStep,
  draftStep,
  optionalNote,
  tick,
  value,
  volts,
} from './draft-step.js';
import { deviceFacts, groundFaultOutlet, otherSourceFacts, outletName } from './figures.js';
import { otherSourceOffPins, unplugged } from './live-finish.js';
import { plugInTester, slotVoltages, testButton, underLoad, warmCheck } from './live-van.js';
import { from } from './sources.js';
import { afterReady, deadTests, energised } from './step-order.js';

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
  const others = circuit.otherSources.length > 0;
  return draftStep({
    id: 'ready-for-live',
    stage: 'live',
    title: 'Ready for live tests',
    do: [
      'Look at the weather and at the ground where you stand.',
      'Have a second person at the plug.',
      'Take rings and watch off and put dry shoes on.',
      'Take the loads out and switch the van’s breaker off.',
      ...(others ? ['See that every other source is still off at its own disconnect.'] : []),
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
      tick('loads', `Loads out, van’s breaker off${others ? ', every other source off' : ''}`),
      tick('cautions', 'The cautions were read'),
      another('helper', 'Second person, who knows how to pull the plug and not to touch you; alone: why'),
    ],
    waitsFor: deadTests(circuit),
    hold: 'Nothing is plugged in before every line is ticked.',
    concession: 'never',
    parts: ['supply', 'inlet'],
    basis: otherSourceFacts(circuit),
  });
}

function supplyMeasured(circuit: Circuit): DraftStep {
  const { supplyLow, supplyHigh } = readingLimits;
  const good = `${readingLimits.supplyGoodLow.value} to ${readingLimits.supplyGoodHigh.value}`;
  const usable = `${readingLimits.supplyUsableLow.value} to ${readingLimits.supplyUsableHigh.value}`;
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
    why: 'The van cannot make a bad outlet good. A 30 A outlet may have been wired for 240 V. What its ground can carry these volts do not show.',
    rightWhen: [
      `Hot to neutral ${good} V is good, ${usable} V is usable; under ${supplyLow.value} or over ${supplyHigh.value} V nothing is plugged in.`,
      `Hot to ground within ${readingLimits.hotGroundAgainstNeutralLook.value} V of hot to neutral; neutral to ground no more than ${readingLimits.neutralGroundLook.value} V; up to ${readingLimits.neutralGround.value} V look for the cause.`,
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
        [
          'generator-floating',
          'A generator or inverter without that join: each reads about 60 V to ground',
          'Prove the van on another supply: on this one no reading to ground says right from wrong, and no plug-in tester trips. Never join the two in the van to cure it.',
        ],
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
    title: 'The cord’s free end',
    do: [
      'Lay the free end off the wet and out of reach.',
      'Plug the cord into the supply.',
      'Read the same three pairs at the slots of its free end.',
      'Pull it out of the supply again.',
    ],
    why: 'It tells a bad cord from a bad supply.',
    rightWhen: [
      `Each within ${readingLimits.cordEndAgainstSupplyLook.value} V of the supply. Further off, yet within its limit: look for the cause.`,
    ],
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
  const look = readingLimits.chassisToEarthLook.value;
  const unplug = readingLimits.chassisToEarthUnplug.value;
  return draftStep({
    id: 'chassis-to-earth',
    stage: 'live',
    title: 'Chassis to true earth',
    do: [
      'Set the rod in damp soil, or find the pipe, before the cord goes in.',
      'Cord still out of the supply: on AC read its hot slot to that earth. Only its full volts prove rod, leads and meter.',
      'Van’s breaker off. Plug the cord into the van first, then into the supply.',
      'From here on nobody touches the van.',
      'Bring the non-contact tester near the skin. A glow: unplug at the supply.',
      'With the probes alone, read volts from bare body metal to true earth: the rod or a bonded water pipe, not the ground of the same pedestal.',
    ],
    why: 'This is the only test that finds a ground wire that is live from the supply. The van’s own device does not see it: the ground does not pass its sensor. A lead that does not reach, dry soil or DC selected shows 0 V on a live skin.',
    rightWhen: [
      `The supply’s hot slot shows ${readingLimits.supplyLow.value} to ${readingLimits.supplyHigh.value} V to true earth. Less: the earth is none, or that slot is not its hot. Plug nothing in.`,
      'No glow.',
      `Up to ${look} V; between ${look} and ${unplug} V look for the cause; above ${unplug} V unplug at the supply.`,
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
      value({
        id: 'earth-proved',
        label: 'The supply’s hot slot to true earth, before the cord went in',
        quantity: 'voltage',
        units: volts,
        min: readingLimits.supplyLow.value,
        max: readingLimits.supplyHigh.value,
        expected: circuit.supply.volts,
        limitSource: from.hotSkin,
        instrument: 'multimeter',
      }),
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
      'See that the supply’s breaker stays in with the van’s breaker off.',
      'Switch the van’s breaker on.',
      ...(device
        ? [`Press RESET on ${outletName(circuit, device)} once and wait ${readingLimits.resetHold.value} s.`]
        : []),
    ],
    why: 'What will not hold has a reason. Held in by hand, a breaker or a button makes heat of it.',
    rightWhen: [
      'The supply’s breaker stays in.',
      ...(device ? [`The device resets and stays for ${readingLimits.resetHold.value} s.`] : []),
    ],
    sources: [from.groundFault, from.practice],
    cautions: [...energised, 'one-try', 'live-helper', 'surge-delay'],
    waitsFor: afterReady(circuit, 'chassis-to-earth'),
    hold: 'No slot is read before the breaker and the device hold.',
    concession: 'never',
    parts: ['breaker', ...(device ? [`outlet:${device.id}`] : [])],
    basis: { 'breaker rating': `${circuit.breaker.amps} A`, ...deviceFacts(circuit, circuit.run.length) },
  });
}
