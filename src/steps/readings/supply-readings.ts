import { type Circuit, words } from '../../circuit/circuit.js';
import { slotPairs } from '../../meter/schedule.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { cordFacts, otherSourceFacts } from '../content/figures.js';
import { from } from '../content/sources.js';
import { boxOpened, cordChanged, supplyOnly } from './disturbers.js';
import { drivenVolts, neutralGroundVolts } from './live-readings.js';
import { ofOneSupply } from './one-supply.js';
import {
  atMost,
  between,
  type Judging,
  liveCautions,
  type ReadingDraft,
  readingDraft,
} from './reading-draft.js';

/** The supply with nothing plugged in, then the cord's free end: what is not the van's. */
export function supplyReadings(circuit: Circuit): ReadingDraft[] {
  const supplyRating = { 'supply rating': `${circuit.supply.amps} A` };
  return [
    ...slotPairs.map((pair, i) =>
      readingDraft({
        ...betweenSlots('supply', pair),
        // Hot to neutral here is what the others are held against.
        ...(pair[1] === 'neutral' ? {} : ofOneSupply(pair, readingLimits.hotGroundAgainstNeutralLook.value)),
        id: `supply.${pair.join('-')}`,
        code: `SU${i + 1}`,
        step: 'supply-measured',
        title: `Supply: volts ${pair.join(' to ')}`,
        whenFails: 'Plug nothing in here before the supply is put right.',
        cautions: [...liveCautions, 'supply-voltage'],
        mistakes: ['leads-in-amps', 'dc-selected', 'three-lamps'],
        parts: ['supply'],
        basis: supplyRating,
        disturbedBy: [supplyOnly],
      }),
    ),
    ...slotPairs.map((pair, i) =>
      readingDraft({
        ...betweenSlots('connector', pair),
        ...ofOneSupply(pair, readingLimits.cordEndAgainstSupplyLook.value, `supply.${pair.join('-')}`),
        id: `cord-end.${pair.join('-')}`,
        code: `CE${i + 1}`,
        step: 'cord-end-measured',
        title: `Cord’s free end: volts ${pair.join(' to ')}`,
        whenFails: 'Unplug the cord at the supply. This end goes into no van before it reads right.',
        cautions: liveCautions,
        mistakes: ['shutter', 'wrong-row'],
        parts: ['cord'],
        basis: { ...cordFacts(circuit), ...supplyRating },
        disturbedBy: [cordChanged, supplyOnly],
      }),
    ),
  ];
}

/** What two slots of a live receptacle ask, be it the supply's own or the one at the end of the cord. */
function betweenSlots(place: 'supply' | 'connector', [a, b]: (typeof slotPairs)[number]) {
  return {
    stage: 'live' as const,
    ...between('voltage', `${place}.${a}`, `${place}.${b}`),
    judging: a === 'neutral' ? neutralGroundVolts : b === 'neutral' ? supplyVolts : drivenVolts,
    rule: 'supply' as const,
    source: a === 'neutral' ? from.slotVolts : readingLimits.supplyLow.source,
    concession: b === 'neutral' ? ('never' as const) : ('named-person' as const),
    lowImpedance: a === 'hot' && b === 'ground' ? ('never' as const) : ('allowed' as const),
  };
}

function supplyVolts(): Judging {
  const [lower, upper] = [readingLimits.supplyLow.value, readingLimits.supplyHigh.value];
  const { supplyGoodLow, supplyGoodHigh, supplyUsableLow, supplyUsableHigh } = readingLimits;
  const good = `${supplyGoodLow.value} to ${supplyGoodHigh.value} V is good`;
  const usable = `${supplyUsableLow.value} to ${supplyUsableHigh.value} V usable`;
  return {
    limit: {
      lower,
      upper,
      text: `${lower} to ${upper} V; ${good}, ${usable}; outside ${lower} to ${upper} V nothing is plugged in`,
    },
    look: {
      over: supplyUsableHigh.value,
      under: supplyUsableLow.value,
      namesFigure: true,
      text: `Outside ${supplyUsableLow.value} to ${supplyUsableHigh.value} V: tell whoever owns this supply. A low one sags further under load, may be too weak to prove the van on, and is hard on motors and chargers: a stronger one is better.`,
    },
  };
}

/** The pins of the inlet with another source running and the cord out; only where there is another source. */
export function otherSourceReadings(circuit: Circuit): ReadingDraft[] {
  if (circuit.otherSources.length === 0) return [];
  const names = circuit.otherSources.map((s) => words.otherSource[s.kind]).join(', ');
  const pins = [
    ['hot-neutral', 'hot to neutral', 'asked'],
    ['hot-body', 'hot pin to the body', 'never'],
    ['neutral-body', 'neutral pin to the body', 'never'],
  ] as const;
  return pins.map(([id, said, lowImpedance], i) =>
    readingDraft({
      id: `other-source.${id}`,
      code: `OS${i + 1}`,
      step: 'other-source-off-pins',
      stage: 'live',
      title: `Inlet’s pins with the ${names} on and the cord out: ${said}`,
      test: 'voltage',
      question: 'Cord out, each source on in turn: write the largest.',
      expects: 0,
      judging: atMost(readingLimits.otherSourcePins.value, 'V'),
      whenFails: 'Take the pins as live: hands off. Switch that source off at its own disconnect.',
      rule: 'other-source',
      source: readingLimits.otherSourcePins.source,
      lowImpedance,
      cautions: [...liveCautions, 'inlet-pins'],
      mistakes: ['ghost', 'blown-fuse'],
      parts: ['inlet'],
      basis: otherSourceFacts(circuit),
      disturbedBy: [boxOpened],
    }),
  );
}
