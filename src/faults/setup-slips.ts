import { listText } from '../circuit/quantity-text.js';
import { type ElectricalCircuit, firstGroundFaultDevice } from '../meter/electrical-circuit.js';
import { type Fault, joinedOhm } from '../meter/fault.js';
import { outletOf, pointText } from '../meter/point.js';
import type { Reading } from '../meter/readings-file.js';
import { mayBeElectronics, touchesGround } from './as-met.js';
import type { Evidence } from './evidence.js';
import { roughOhms } from './fault-words.js';
import type { Joint } from './joint.js';
import { enoughLow, lowOhm } from './lead-ohm.js';
import { neitherThrough } from './neither-through.js';
import { offVolts, tooManyVolts } from './off-volts.js';
import { Taken } from './taken.js';
import { throughElectronics } from './through-electronics.js';

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
    | 'stays-alive'
    | 'device-electronics'
    | 'source-floats'
    | 'supply-off-volts'
    | 'supply-sags'
    | 'supply-stiff'
    | 'neither-through'
    | 'unexplained';
  readonly text: string;
}

interface Range {
  readonly least: number;
  readonly most: number;
}

/** A join between these ohms is as likely something left plugged in as a wire, Ω. */
const loadOhm = { least: 2, most: 5000 };
const fingersOhm = { least: 200_000, most: 5_000_000 };
/** Under so many volts a slot looks dead, V. */
const deadVolts = 5;

/** Logarithm of the likelihood at which a reading is as good as misread. */
const noExplanation = -8;
/** So many readings are named in one question. */
const mostNamed = 3;

const isWithin = (ohms: number, { least, most }: Range) => ohms >= least && ohms <= most;

/** The questions to ask first, by what the most probable explanations look like and what the joints are under load. */
export function setupSlips(
  circuit: ElectricalCircuit,
  evidence: Evidence,
  leading: readonly (readonly Fault[])[],
  joints: readonly Joint[],
): SetupSlip[] {
  const any = (test: (fault: Fault) => boolean) => leading.some((faults) => faults.some(test));
  const open = (where: string, conductor: string) =>
    any((f) => f.fault === 'open' && f.where === where && 'conductor' in f && f.conductor === conductor);
  const joined = (pair: readonly string[], range: Range, where?: string) =>
    any(
      (f) =>
        isJoined(f, pair) &&
        isWithin(f.ohms ?? joinedOhm, range) &&
        (where === undefined || f.where === where),
    );
  const over = tooManyVolts(circuit, evidence);
  if (over !== undefined) return [{ slip: 'supply-off-volts', text: over }];
  const slips: SetupSlip[] = [];
  if (evidence.leadOhm > 0) {
    slips.push({
      slip: 'leads-not-nulled',
      text: `Were the leads nulled? Every low reading shows about ${roughOhms(evidence.leadOhm)} too much.`,
    });
  }
  const low = evidence.dead.filter((i) => evidence.shown(i) < lowOhm);
  const poor = any((f) => f.fault === 'high-resistance' && f.where !== 'supply' && f.ohms < lowOhm);
  if (evidence.leadOhm === 0 && poor && low.length > 0 && low.length < enoughLow) {
    slips.push({
      slip: 'leads-not-nulled',
      text: 'Were the leads nulled? What the two probes show held together is in every reading, and looks like a joint while few are taken.',
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
  slips.push(...asMet(circuit, evidence, any, joints));
  if (!any((f) => f.fault === 'fed-from-line' || f.fault === 'line-load-reversed'))
    slips.push(...aliveAfterTest(circuit, evidence, leading.length > 0));
  for (const text of neitherThrough(evidence.readings, leading))
    slips.push({ slip: 'neither-through', text });
  const alone = fromOneReading(evidence, [], leading.length === 0);
  const [likeliest] = leading;
  const ofOne = alone.length === 0 && likeliest ? fromOneReading(evidence, likeliest, false) : alone;
  return [...slips, ...(ofOne.length > 0 ? ofOne : unexplained(evidence, leading))];
}

/** Readings that none of the leading faults explains: their place is looked at before any of those. */
function unexplained(evidence: Evidence, leading: readonly (readonly Fault[])[]): SetupSlip[] {
  let stray = leading.length > 0 ? [...evidence.readings.keys()] : [];
  for (const faults of leading) {
    // Mostly the first explains them all.
    if (stray.length === 0) return [];
    const terms = evidence.terms(evidence.bench.shows(faults));
    stray = stray.filter((i) => terms[i]! <= noExplanation);
  }
  const pairs = stray.flatMap((i) => {
    const r = evidence.readings[i]!;
    return r.test === 'observation' ? [] : [`${pointText(r.from)} to ${pointText(r.to)}`];
  });
  if (pairs.length === 0) return [];
  // Nothing live is asked for twice.
  const isDead = stray.every((i) => evidence.readings[i]!.test === 'resistance');
  const again = isDead ? ' once it shows the same again' : '';
  const text = `No suspect explains ${listText(pairs.slice(0, mostNamed))}: what is wrong there is none of them, and${again} comes before them.`;
  return [{ slip: 'unexplained', text }];
}

/** What a supply or a device as one meets it shows in a sound van too. */
function asMet(
  circuit: ElectricalCircuit,
  evidence: Evidence,
  any: (test: (fault: Fault) => boolean) => boolean,
  joints: readonly Joint[],
): SetupSlip[] {
  const { readings } = evidence;
  const { volts } = circuit.supply;
  const slips: SetupSlip[] = [];
  if (any((f) => isJoined(f, ['hot', 'neutral'])) && readings.some((r) => mayBeElectronics(circuit, r))) {
    const text =
      'Is it the ground-fault device’s own electronics? They lie between hot and neutral and read some kΩ to MΩ, mostly otherwise with the probes exchanged. Only with its wires off does this pair tell of a join.';
    slips.push({ slip: 'device-electronics', text });
  }
  for (const text of throughElectronics(circuit, readings)) slips.push({ slip: 'device-electronics', text });
  const half = (r: Reading) =>
    r.test === 'voltage' && touchesGround(r) && r.volts > 0.3 * volts && r.volts < 0.7 * volts;
  if (any((f) => f.where === 'supply' && f.fault === 'open') && readings.filter(half).length > 1) {
    const text =
      'Is the supply a generator or an inverter? Where its neutral and ground are not joined, each pole stands near half its volts to ground, as with an open ground. Prove the van on another supply, and join nothing in the van.';
    slips.push({ slip: 'source-floats', text });
  }
  for (const text of offVolts(circuit, evidence)) slips.push({ slip: 'supply-off-volts', text });
  const sound = evidence.termsAsGiven([]);
  slips.push(...stiffer(evidence, sound));
  // It is not asked where it was answered, nor where no load goes on again. What the supply loses it loses at every outlet.
  const asked =
    new Taken(readings, evidence.bench.meter).loadedSupply().length === 0 &&
    joints.every((j) => j.what !== 'load-off' && j.what !== 'none');
  if (
    asked &&
    readings.some(
      (r, i) =>
        r.test === 'loaded-voltage' &&
        isPole(r) &&
        sound[i]! < -2 &&
        r.volts > 0.5 * volts &&
        r.volts < volts,
    )
  ) {
    const text =
      'Does the supply itself sag? Read hot to neutral at its own slots with the same load on and off: what is lost there is not the van’s.';
    slips.push({ slip: 'supply-sags', text });
  }
  return slips;
}

/** Neutral to ground under load that is less than the supply as it was given makes, whatever else it may be. */
function stiffer({ readings, bench }: Evidence, asGiven: Float64Array): SetupSlip[] {
  const { values } = bench.shows([]);
  const isLess = (r: Reading, i: number) =>
    r.test === 'loaded-voltage' && touchesGround(r) && !isHot(r) && asGiven[i]! < -2 && r.volts < values[i]!;
  const text =
    'Is the supply stiffer than was given, or is its ground jumped to its neutral? Neutral to ground under load shows less than its own neutral should make. Read hot to neutral at the supply’s own slots with the same load on and off: where that loses what was given, unplug, and tell whoever keeps it.';
  return readings.some(isLess) ? [{ slip: 'supply-stiff', text }] : [];
}

function isJoined(f: Fault, pair: readonly string[]): f is Extract<Fault, { fault: 'joined' }> {
  return f.fault === 'joined' && pair.every((c) => (f.conductors as readonly string[]).includes(c));
}

const isHot = (r: { readonly from: string; readonly to: string }) =>
  r.from.endsWith('.hot') || r.to.endsWith('.hot');
const isPole = (r: { readonly from: string; readonly to: string }) =>
  r.from.endsWith('.hot') && r.to.endsWith('.neutral');

/** What stays alive after TEST though no fault of the wiring that is known here leaves it so: the device, or another way in. */
function aliveAfterTest(
  circuit: ElectricalCircuit,
  { readings }: Evidence,
  besideSuspects: boolean,
): SetupSlip[] {
  const answers = readings.flatMap((r) =>
    r.test === 'observation' && r.what === 'dead-when-tripped' ? [r] : [],
  );
  const alive = answers.filter((r) => !r.answer).map((r) => r.at);
  if (alive.length === 0) return [];
  const device = `outlet${firstGroundFaultDevice(circuit)}`;
  const numbers = alive.flatMap((at) => outletOf(at) ?? []).sort((a, b) => a - b);
  const names = listText(numbers.map((n) => `outlet ${n}`));
  const [it, its, stays] =
    alive.length === 1 ? ['it', 'its box', 'it stays'] : ['them', 'their boxes', 'they stay'];
  const behind = `TEST left ${names} alive: does a second cable reach ${it} past the device, or another source? With the plug out, follow every cable from ${its} back: what feeds it lands on LINE, in the breaker’s box or at an inverter.`;
  const opens = `TEST left ${names} alive: did the device click? Press once more with nothing plugged in. If ${stays} alive, that device does not open its contacts: replace it, and use nothing before.`;
  const first = besideSuspects ? ` That comes before any suspect: with none of them ${stays} alive.` : '';
  return [{ slip: 'stays-alive', text: `${alive.includes(device) ? opens : behind}${first}` }];
}

/**
 * Where one single reading stands against "nothing wrong", or against the likeliest faults, that reading may be the slip;
 * `sound`: no fault explains it better.
 */
function fromOneReading(evidence: Evidence, faults: readonly Fault[], sound: boolean): SetupSlip[] {
  const against = [...evidence.terms(evidence.bench.shows(faults))].flatMap((t, i) => (t < -2 ? [i] : []));
  if (against.length !== 1) return fromOneDeadOutlet(against.map((i) => evidence.readings[i]!));
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
  const dead = reading.test === 'resistance' ? reading.ohms === null : reading.volts < deadVolts;
  const pair = `${pointText(reading.from)} to ${pointText(reading.to)}`;
  if (dead) {
    const text = `Did both probes touch? Read ${pair} again with both in together: a shutter opens for two.`;
    return [{ slip: 'probe-not-touching', text }];
  }
  if (!sound) return [];
  const text = `This one stands alone against all the others: hands off, and read ${pair} again before anything is opened.`;
  return [{ slip: 'stands-alone', text }];
}

/** Where all that stands against "nothing wrong" is that the slots of one outlet show no volts, the test plug or a trip may be the slip. */
function fromOneDeadOutlet(against: readonly Reading[]): SetupSlip[] {
  const outlets = new Set(
    against.map((r) => (r.test === 'voltage' && r.volts < deadVolts ? outletOf(r.from) : undefined)),
  );
  const [outlet] = outlets;
  if (outlets.size !== 1 || outlet === undefined) return [];
  const text = `Is the test plug fully home in outlet ${outlet}, and is the ground-fault device still set? Read an outlet that had its volts once more, then this one again: a shutter that did not open, or a trip in between, reads dead too.`;
  return [{ slip: 'probe-not-touching', text }];
}
