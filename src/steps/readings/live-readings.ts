import type { Circuit, Outlet } from '../../circuit/circuit.js';
import { skinMayBeLive, unplugFirst } from '../../faults/first-of-all.js';
import { slotPairs } from '../../meter/schedule.js';
import { lampPatterns } from '../../trade/lamp-patterns.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { feedsUpTo } from '../content/circuit-parts.js';
import { deviceFacts, groundFaultOutlet, outletName, runFacts } from '../content/figures.js';
import { from } from '../content/sources.js';
import {
  bondTouched,
  boxOpened,
  deviceTouched,
  relandedAt,
  relandedUpTo,
  supplyOnly,
  waterFound,
} from './disturbers.js';
import { loadedReadings } from './loaded-readings.js';
import { ofOneSupply } from './one-supply.js';
import {
  answers,
  atMost,
  between,
  type Judging,
  liveCautions,
  type ReadingDraft,
  readingDraft,
} from './reading-draft.js';

/** Every reading that is taken with power: the van's skin first, then breaker and device, slots, TEST, load. */
export function liveReadings(circuit: Circuit): ReadingDraft[] {
  const device = groundFaultOutlet(circuit);
  return [
    ...skin(circuit),
    ...holding(circuit),
    ...circuit.run.flatMap((o) => [...slotVolts(circuit, o), lamps(circuit, o)]),
    ...(device ? circuit.run.flatMap((o) => afterTest(circuit, o)) : []),
    ...loadedReadings(circuit),
  ];
}

const slotFacts = (circuit: Circuit, o: Outlet): Record<string, string> =>
  runFacts(circuit, circuit.run.indexOf(o) + 1, false);

function skin(circuit: Circuit): ReadingDraft[] {
  const shared = {
    step: 'chassis-to-earth',
    stage: 'live',
    rule: 'chassis-to-earth',
    source: from.hotSkin,
    whenFails: skinMayBeLive,
    cautions: ['mains-kills', 'skin-untouched'],
    parts: ['supply', 'bond'],
    basis: { 'bond gauge': `${circuit.bond.awg} AWG` },
    disturbedBy: [bondTouched, boxOpened, supplyOnly],
  } as const;
  return [
    readingDraft({
      ...shared,
      id: 'no-glow',
      code: 'E1',
      title: 'Non-contact tester stays dark near the skin',
      test: 'observation',
      what: 'no-glow',
      question: 'Does the non-contact tester stay dark near the skin of the van?',
      expects: true,
      judging: answers(true),
      whenFails: `${skinMayBeLive} Once every dead test has passed it is mostly the supply, with hot on its ground, which its slots do not show: use another, and tell whoever keeps it.`,
      mistakes: ['silence'],
    }),
    readingDraft({
      ...shared,
      id: 'chassis-to-earth',
      code: 'E2',
      title: 'Chassis to true earth',
      ...between('voltage', 'chassis', 'earth'),
      judging: () => ({
        limit: {
          upper: readingLimits.chassisToEarthUnplug.value,
          text: `no more than ${readingLimits.chassisToEarthUnplug.value} V; above that unplug at the supply`,
        },
        look: {
          over: readingLimits.chassisToEarthLook.value,
          namesFigure: true,
          text: `Over ${readingLimits.chassisToEarthLook.value} V: look for the cause before anyone touches the van.`,
        },
      }),
      lowImpedance: 'never',
      mistakes: ['paint', 'dc-selected', 'leads-in-amps'],
    }),
  ];
}

function holding(circuit: Circuit): ReadingDraft[] {
  const device = groundFaultOutlet(circuit);
  return [
    readingDraft({
      id: 'supply-holds',
      code: 'SH',
      step: 'breaker-on',
      stage: 'live',
      title: 'The supply’s breaker stays in',
      test: 'observation',
      what: 'supply-holds',
      question: 'Does the supply’s breaker stay in, with the van’s breaker off and then on?',
      asked: { test: 'observation', what: 'supply-holds' },
      judging: answers(true),
      rule: 'isolation',
      source: from.practice,
      whenFails: unplugFirst,
      cautions: ['mains-kills', 'one-try'],
      parts: ['supply', 'breaker'],
      basis: { 'breaker rating': `${circuit.breaker.amps} A` },
      disturbedBy: [...relandedAt(circuit.run), deviceTouched, boxOpened, supplyOnly],
    }),
    ...(device
      ? [
          readingDraft({
            id: 'gfci-resets',
            code: 'GR',
            step: 'breaker-on',
            stage: 'live',
            title: 'The ground-fault device resets and stays',
            test: 'observation',
            what: 'gfci-resets',
            question: `Does it reset at the first press and stay for ${readingLimits.resetHold.value} s, loads out?`,
            asked: { test: 'observation', what: 'gfci-resets' },
            outlet: device.id,
            judging: answers(true),
            rule: 'ground-fault-device',
            source: from.groundFault,
            whenFails: unplugFirst,
            cautions: ['mains-kills', 'one-try'],
            parts: [`outlet:${device.id}`],
            basis: deviceFacts(circuit, circuit.run.length),
            disturbedBy: [...relandedAt(circuit.run), deviceTouched, boxOpened, waterFound],
          }),
        ]
      : []),
  ];
}

function slotVolts(circuit: Circuit, o: Outlet): ReadingDraft[] {
  const k = circuit.run.indexOf(o) + 1;
  return slotPairs.map((pair, i) => {
    const [a, b] = pair;
    return readingDraft({
      id: `voltage.${a}-${b}.${o.id}`,
      code: `V${k}${'abc'[i]}`,
      step: 'slot-voltages',
      stage: 'live',
      title: `Volts ${a} to ${b} at ${outletName(circuit, o)}`,
      ...between('voltage', `outlet${k}.${a}`, `outlet${k}.${b}`),
      outlet: o.id,
      judging: a === 'neutral' ? neutralGroundVolts : drivenVolts,
      ...ofOneSupply(pair, readingLimits.slotAgainstSupplyLook.value),
      rule: 'polarity',
      source: a === 'neutral' ? readingLimits.neutralGround.source : readingLimits.slotShareOfSupply.source,
      lowImpedance: a === 'hot' && b === 'ground' ? 'never' : 'allowed',
      whenFails: unplugFirst,
      cautions: [...liveCautions, ...(a === 'hot' && b === 'ground' ? ['low-impedance-trips' as const] : [])],
      mistakes: [
        'wrong-row',
        'ghost',
        'shutter',
        ...(a === 'hot' && b === 'ground' ? ['low-impedance-ground' as const] : []),
      ],
      parts: [...feedsUpTo(circuit, o), `outlet:${o.id}`],
      basis: slotFacts(circuit, o),
      disturbedBy: [...relandedUpTo(circuit, o), deviceTouched, boxOpened],
    });
  });
}

/** What a three-lamp tester lights: one more observation, never a proof, and never a maker's legend. */
function lamps(circuit: Circuit, o: Outlet): ReadingDraft {
  const k = circuit.run.indexOf(o) + 1;
  return readingDraft({
    id: `lamps.${o.id}`,
    code: `TL${k}`,
    step: 'slot-voltages',
    stage: 'live',
    title: `Three-lamp tester at ${outletName(circuit, o)}`,
    test: 'observation',
    what: 'three-lamp',
    question: 'Which of the three lamps light? Every load out.',
    from: `outlet${k}.hot`,
    to: `outlet${k}.neutral`,
    outlet: o.id,
    required: false,
    expects: null,
    expectsText: 'hot–neutral on, hot–ground on, neutral–ground off',
    judging: () => ({ limit: undefined }),
    rule: 'polarity',
    source: lampPatterns.source,
    cautions: liveCautions,
    mistakes: ['three-lamps'],
    parts: [...feedsUpTo(circuit, o), `outlet:${o.id}`],
    basis: slotFacts(circuit, o),
    disturbedBy: [...relandedUpTo(circuit, o), deviceTouched, boxOpened],
  });
}

/** Neutral to ground at a slot or at the supply: a limit, and a line above which the cause is looked for. */
export function neutralGroundVolts(): Judging {
  return {
    limit: {
      upper: readingLimits.neutralGround.value,
      text: `no more than ${readingLimits.neutralGround.value} V`,
    },
    look: {
      over: readingLimits.neutralGroundLook.value,
      namesFigure: true,
      text: `Over ${readingLimits.neutralGroundLook.value} V with no load: look at the neutral and at what else runs on this supply.`,
    },
  };
}

/** What is said of volts that a supply may have and hardly should. */
const highSupply = {
  over: readingLimits.supplyUsableHigh.value,
  namesFigure: true,
  text: `Over ${readingLimits.supplyUsableHigh.value} V: high for a 120 V supply; tell whoever owns it.`,
} as const;

/** Hot to neutral or to ground: what a supply may have, and no less than a share of what this one showed. */
export function drivenVolts(): Judging {
  const [lower, upper] = [readingLimits.supplyLow.value, readingLimits.supplyHigh.value];
  const share = readingLimits.slotShareOfSupply.value;
  return {
    limit: {
      lower,
      upper,
      text: `${lower} to ${upper} V, and no less than ${share} of what the supply showed`,
    },
    look: highSupply,
  };
}

function afterTest(circuit: Circuit, o: Outlet): ReadingDraft[] {
  const k = circuit.run.indexOf(o) + 1;
  const shared = {
    step: 'test-button',
    stage: 'live',
    rule: 'ground-fault-device',
    outlet: o.id,
    whenFails: unplugFirst,
    cautions: ['mains-kills', 'one-try', 'shutters'],
    parts: [...feedsUpTo(circuit, o), `outlet:${o.id}`],
    basis: slotFacts(circuit, o),
    disturbedBy: [...relandedUpTo(circuit, o), deviceTouched, waterFound],
  } as const;
  return [
    readingDraft({
      ...shared,
      id: `dead-when-tripped.${o.id}`,
      code: `TD${k}`,
      title: `After TEST: ${outletName(circuit, o)} is dead`,
      test: 'observation',
      what: 'dead-when-tripped',
      question:
        'After TEST, with a lamp and the meter at its slots, hot to neutral and hot to ground: is it dead?',
      from: `outlet${k}.hot`,
      to: `outlet${k}.neutral`,
      asked: { test: 'observation', what: 'dead-when-tripped', at: `outlet${k}` },
      judging: answers(true),
      source: from.groundFault,
      mistakes: ['shutter', 'ghost'],
    }),
    ...(['neutral', 'ground'] as const).map((b, i) =>
      readingDraft({
        ...shared,
        id: `after-test-volts.hot-${b}.${o.id}`,
        code: `TV${k}${'ab'[i]}`,
        title: `After TEST: volts hot to ${b} at ${outletName(circuit, o)}`,
        test: 'voltage',
        from: `outlet${k}.hot`,
        to: `outlet${k}.${b}`,
        expects: 0,
        required: false,
        judging: atMost(readingLimits.deadAfterTest.value, 'V'),
        source: readingLimits.deadAfterTest.source,
        lowImpedance: b === 'neutral' ? 'asked' : 'allowed',
        mistakes: ['ghost', 'shutter'],
      }),
    ),
  ];
}
