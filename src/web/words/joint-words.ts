import { uncapital } from '../../circuit/quantity-text.js';
import { type Joint, loadOff } from '../../faults/joint.js';

const todo = { look: 'look for the warm one', mend: 'find the warm one and mend it' } as const;

/** What a drop under load says of the joints on the way, in words; undefined where it says nothing. */
export function jointWords({ at, amps, ohms, uncertaintyOhm, what }: Joint): string | undefined {
  if (what === 'none') return undefined;
  const place = at.replace('outlet', 'Outlet ');
  const most = `about ${Number((Math.max(0, ohms) + uncertaintyOhm).toPrecision(2))} Ω`;
  if (what === 'meter-too-coarse')
    return `${place}: no joint on the way shows, though one of up to ${most} more than predicted would not show on this meter.`;
  if (what === 'load-off') return `${place}: ${uncapital(loadOff(ohms, amps))}`;
  const size = `about ${Number(ohms.toPrecision(2))} Ω more than the circuit predicts`;
  return `${place}: the joints on the way have ${size}: ${todo[what]}.`;
}
