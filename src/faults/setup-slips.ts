import { type ElectricalCircuit, firstGroundFaultDevice } from '../meter/electrical-circuit.js';
import { type Fault, joinedOhm } from '../meter/fault.js';
import { pointText } from '../meter/point.js';
import type { Evidence } from './evidence.js';
import { roughOhms } from './fault.js';

/** A slip of set-up that the readings allow: to be asked before anything is opened. */
export interface SetupSlip {
  readonly slip:
    | 'breaker-off'
    | 'supply-off'
    | 'load-left-in'
    | 'cord-left-in'
    | 'probe-not-touching'
    | 'fingers-on-probes'
    | 'leads-not-nulled'
    | 'appliance-leaks'
    | 'stands-alone'
    | 'stays-alive';
  readonly text: string;
}

interface Range {
  readonly least: number;
  readonly most: number;
}

/** A join between these ohms is as likely something left plugged in as a wire, Ω. */
const loadOhm = { least: 2, most: 5000 };
const fingersOhm = { least: 200_000, most: 5_000_000 };

const isWithin = (ohms: number, { least, most }: Range) => ohms >= least && ohms <= most;

/** The questions to ask first, by what the most probable explanations look like. */
export function setupSlips(
  circuit: ElectricalCircuit,
  evidence: Evidence,
  leading: readonly (readonly Fault[])[],
): SetupSlip[] {
  const any = (test: (fault: Fault) => boolean) => leading.some((faults) => faults.some(test));
  const open = (where: string, conductor: string) =>
    any((f) => f.fault === 'open' && f.where === where && 'conductor' in f && f.conductor === conductor);
  const joined = (pair: readonly string[], range: Range, where?: string) =>
    any(
      (f) =>
        f.fault === 'joined' &&
        pair.every((c) => (f.conductors as readonly string[]).includes(c)) &&
        isWithin(f.ohms ?? joinedOhm, range) &&
        (where === undefined || f.where === where),
    );
  const slips: SetupSlip[] = [];
  if (evidence.leadOhm > 0) {
    slips.push({
      slip: 'leads-not-nulled',
      text: `Were the leads nulled? Every low reading shows about ${roughOhms(evidence.leadOhm)} too much.`,
    });
  }
  if (circuit.breaker !== null && open('feed1', 'hot')) {
    slips.push({ slip: 'breaker-off', text: 'Is the van’s breaker on, pushed fully home?' });
  }
  if (open('supply', 'hot') || open('supply', 'neutral')) {
    slips.push({
      slip: 'supply-off',
      // No reading of the van parts an outlet that is dead from a supply that is off: another outlet of the same supply does.
      text: 'Is the supply switched on (at a site, the pedestal’s breaker of this outlet), and has its own device not tripped? Then read these slots again, and those of another outlet there: where that one is right, this one is at fault. Open nothing of it, and plug nothing in.',
    });
  }
  if (joined(['hot', 'neutral'], loadOhm)) {
    slips.push({
      slip: 'load-left-in',
      text: 'Is something still plugged in or wired in: a lamp, a charger, a heater?',
    });
  }
  if (joined(['neutral', 'ground'], { least: 0, most: loadOhm.least }, 'inlet')) {
    slips.push({
      slip: 'cord-left-in',
      text: 'Is the cord out of the inlet, and every other source off? Neutral and ground meet at the source.',
    });
  }
  if (any((f) => f.fault === 'joined' && isWithin(f.ohms ?? joinedOhm, fingersOhm))) {
    slips.push({
      slip: 'fingers-on-probes',
      text: 'Were fingers on both probes? A hand alone reads about a megohm: hold one probe by a clip.',
    });
  }
  if (!any((f) => f.fault === 'fed-from-line' || f.fault === 'line-load-reversed'))
    slips.push(...aliveAfterTest(circuit, evidence));
  return [...slips, ...fromOneReading(evidence, leading.length === 0)];
}

/** What stays alive after TEST though no fault of the wiring that is known here leaves it so: the device, or another way in. */
function aliveAfterTest(circuit: ElectricalCircuit, { readings }: Evidence): SetupSlip[] {
  const answers = readings.flatMap((r) =>
    r.test === 'observation' && r.what === 'dead-when-tripped' ? [r] : [],
  );
  const alive = answers.filter((r) => !r.answer).map((r) => r.at);
  if (alive.length === 0) return [];
  const device = `outlet${firstGroundFaultDevice(circuit)}`;
  const names = alive.map((at) => at.replace('outlet', 'outlet ')).sort();
  const behind = `TEST left ${names.join(' and ')} alive: does a second cable reach it past the device, or another source? With the plug out, follow every cable from its box back: what feeds it lands on LINE, in the breaker’s box or at an inverter.`;
  const opens = `TEST left ${names.join(' and ')} alive: did the device click? Press once more with nothing plugged in. If it stays alive, that device does not open its contacts: replace it, and use nothing before.`;
  return [{ slip: 'stays-alive', text: alive.includes(device) ? opens : behind }];
}

/** Where one single reading stands against "nothing wrong", that reading may be the slip; `sound`: no fault explains it better. */
function fromOneReading(evidence: Evidence, sound: boolean): SetupSlip[] {
  const against = [...evidence.terms(evidence.bench.shows([]))].flatMap((t, i) => (t < -2 ? [i] : []));
  if (against.length !== 1) return [];
  const reading = evidence.readings[against[0]!]!;
  if (reading.test === 'observation') {
    if (reading.what !== 'gfci-resets' && reading.what !== 'holds-under-load') return [];
    return [
      {
        slip: 'appliance-leaks',
        text: 'Unplug everything and try once: an appliance that leaks, or the device itself, does this too.',
      },
    ];
  }
  const dead = reading.test === 'resistance' ? reading.ohms === null : reading.volts < 5;
  const pair = `${pointText(reading.from)} to ${pointText(reading.to)}`;
  if (dead) {
    const text = `Did both probes touch? Read ${pair} again with both in together: a shutter opens for two.`;
    return [{ slip: 'probe-not-touching', text }];
  }
  if (!sound) return [];
  const text = `This one stands alone against all the others: hands off, and read ${pair} again before anything is opened.`;
  return [{ slip: 'stands-alone', text }];
}
