import type { Circuit } from '../../circuit/circuit.js';
import { slotPairs } from '../../meter/schedule.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { cordFacts } from '../content/figures.js';
import { from } from '../content/sources.js';
import { through } from './dead-readings.js';
import { cordChanged } from './disturbers.js';
import {
  answers,
  atLeast,
  atMost,
  between,
  type Judging,
  lineOver,
  type ReadingDraft,
  readingDraft,
} from './reading-draft.js';

const look = {
  above: readingLimits.cordLook.value,
  text: 'Higher than its length predicts: flex both ends, look for brown blades and slack springs.',
};

/** The cord alone, unplugged at both ends: each conductor through, the three pairs apart, its plug whole. */
export function cordReadings(circuit: Circuit): ReadingDraft[] {
  const shared = {
    step: 'cord-alone',
    stage: 'dead',
    rule: 'cord',
    source: from.cordTest,
    mistakes: ['leads-not-nulled', 'shutter'],
    parts: ['cord'],
    basis: cordFacts(circuit),
    disturbedBy: [cordChanged],
  } as const;
  return [
    ...(['hot', 'neutral', 'ground'] as const).map((c, i) =>
      readingDraft({
        ...shared,
        id: `cord.${c}`,
        code: `CO${i + 1}`,
        title: `Cord: ${c}, blade to slot`,
        ...between('resistance', `plug.${c}`, `connector.${c}`),
        judging: c === 'ground' ? atMost(readingLimits.cordGround.value, 'Ω', look) : throughCord,
        concession: c === 'ground' ? 'never' : 'named-person',
      }),
    ),
    ...slotPairs.map(([a, b], i) =>
      readingDraft({
        ...shared,
        id: `cord.${a}-${b}`,
        code: `CO${i + 4}`,
        title: `Cord: ${a} to ${b}, apart`,
        ...between('resistance', `plug.${a}`, `plug.${b}`),
        judging: atLeast(readingLimits.isolation.value, 'at least 1 MΩ'),
        mistakes: ['low-range-ol', 'fingers'],
        concession: b === 'ground' ? 'never' : 'named-person',
      }),
    ),
    readingDraft({
      ...shared,
      id: 'cord.plug-fits',
      code: 'CO7',
      title: 'Cord: plug and connector whole',
      test: 'observation',
      what: 'cord-plug-fits',
      question:
        'Does the cord fit supply and inlet without an adapter, ground pin whole, one plug and one connector?',
      expects: true,
      judging: answers(true),
      source: from.practice,
      mistakes: [],
    }),
  ];
}

function throughCord(expected: number | null | boolean): Judging {
  const { limit } = through(expected);
  return { limit, look: { over: lineOver(expected, look.above), text: look.text } };
}
