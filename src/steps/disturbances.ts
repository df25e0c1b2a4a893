import type { Circuit } from '../circuit/circuit.js';
import type { Disturbance, EntryOf } from '../logbook/entry.js';
import { retest } from './retest.js';
import type { PlannedReading, Step } from './step.js';

/**
 * Whether a mend makes a reading be taken again. A reading names what disturbs it (`disturbedBy`) by the `what` of a
 * disturbance, for a conductor that was landed again as `conductor-relanded:<outletId>`: a box disturbs its own readings
 * and those of all boxes behind it. A mend that names no outlet disturbs every reading of its kind.
 */
export function disturbs(circuit: Circuit, disturbance: Disturbance, reading: PlannedReading): boolean {
  const { what, outlet } = disturbance;
  if (what !== 'conductor-relanded') return reading.disturbedBy.includes(what);
  const known = outlet !== undefined && circuit.run.some((o) => o.id === outlet);
  return known
    ? reading.disturbedBy.includes(`${what}:${outlet}`)
    : reading.disturbedBy.some((d) => d.startsWith(`${what}:`));
}

type Mend = Pick<EntryOf<'defect reworked'>, 'subject' | 'body'>;

/**
 * Whether a mend opens a reading again: by what it disturbed, or because what was wrong was its own step. An earth that was none, or
 * volts on the points, spoils what was read under it, though nothing was touched in the van.
 */
export function reopensReading(circuit: Circuit, mend: Mend, reading: PlannedReading): boolean {
  return (
    mend.subject === `step:${reading.step}` ||
    wasLive(mend, reading.step) ||
    mend.body.disturbs.some((d) => disturbs(circuit, d, reading))
  );
}

/** Whether a mend makes the hand work or the precautions of a step be done again. */
export function reopensStep(circuit: Circuit, mend: Mend, { id }: Step): boolean {
  return wasLive(mend, id) || mend.body.disturbs.some((d) => disturbedSteps(circuit, d).includes(id));
}

/** Where one point was live it is proven dead from the start: what fed it may have been off while the others were read. */
const wasLive = ({ subject }: Mend, step: string) =>
  step === 'absence-of-voltage' && subject.startsWith(`reading:${step}.`);

/**
 * The steps that a mend opens again: the hand work at its place (torque, tug, fold), and before anything is tested again
 * the proof that it is dead, the count of clips, the readiness for power and the repeat with the trim on. Another device, cord or supply
 * is looked at like the first. Steps that carry readings open with those.
 */
export function disturbedSteps(circuit: Circuit, disturbance: Disturbance): string[] {
  const { what, outlet } = disturbance;
  const devices = circuit.run.filter((o) => o.device === 'gfci-receptacle');
  switch (what) {
    case 'conductor-relanded': {
      const at = circuit.run.filter((o) => o.id === outlet);
      const opened = at.length > 0 ? at : circuit.run;
      return [
        ...opened.map((o) => `prove-hand-work.${o.id}`),
        ...(opened.includes(devices[0]!) ? ['line-load-looked-again'] : []),
        ...retest,
      ];
    }
    case 'ground-fault-device-touched':
      return [
        'device-chosen',
        'line-load-read',
        ...devices.map((o) => `prove-hand-work.${o.id}`),
        'line-load-looked-again',
        ...retest,
      ];
    case 'bond-touched':
      return ['bond', ...retest];
    case 'breaker-or-inlet-box-opened':
      return ['inlet-torque', 'breaker-box', 'breaker-first', ...retest];
    case 'water-or-new-hole':
      return ['hose-test', ...retest];
    case 'cord-changed':
      return ['cord-alone', 'cord-end-measured', 'cord-and-spares', 'ready-for-live'];
    case 'supply-only':
      return ['supply-measured', 'ready-for-live'];
    case 'nothing-touched':
      return [];
  }
}
