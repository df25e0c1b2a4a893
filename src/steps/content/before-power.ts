import type { Circuit } from '../../circuit/circuit.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { outletParts, wholeRun } from './circuit-parts.js';
import { another, type DraftStep, draftStep, pieces, tick, value } from './draft-step.js';
import { cordFacts } from './figures.js';
import { from } from './sources.js';
import { deadHolds, deadTests } from './step-order.js';

export function cordAlone(circuit: Circuit): DraftStep {
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
      `Each conductor no more than ${readingLimits.cordLook.value} Ω above the expected value, ground no more than ${readingLimits.cordGround.value} Ω.`,
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
    basis: cordFacts(circuit),
  });
}

export function everythingOff(circuit: Circuit): DraftStep {
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
      another('witness', 'Who counted with you; alone: why, and that you counted twice'),
    ],
    waitsFor: [...deadTests(circuit).filter((id) => id !== 'everything-off'), ...deadHolds(circuit)],
    hold: 'Nothing is energised before the count agrees.',
    concession: 'never',
    parts: ['inlet', 'breaker', ...outletParts(circuit)],
    basis: wholeRun(circuit),
  });
}
