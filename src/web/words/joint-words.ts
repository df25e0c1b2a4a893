import type { Joint } from '../../faults/joint.js';

const words = {
  look: 'look for the warm one',
  mend: 'find the warm one and mend it',
  'meter-too-coarse': 'the meter is too coarse to say more',
} as const;

/** What a drop under load says of the joints on the way, in words; undefined where it says nothing. */
export function jointWords({ at, ohms, what }: Joint): string | undefined {
  if (what === 'none') return undefined;
  const size = `about ${Number(Math.max(0, ohms).toPrecision(2))} Ω more than the circuit predicts`;
  return `${at.replace('outlet', 'Outlet ')}: the joints on the way have ${size}: ${words[what]}.`;
}
