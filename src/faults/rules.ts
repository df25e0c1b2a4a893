import { conductorOhm } from '../circuit/conductor.js';
import {
  conductors,
  type ElectricalCircuit,
  firstGroundFaultDevice,
  isGroundFaultDevice,
} from '../meter/electrical-circuit.js';
import { judgeAgainstLimit, type LimitVerdict } from '../meter/judge.js';
import { predictOne } from '../meter/predict.js';
import type { Reading } from '../meter/readings-file.js';
import { slotPairs } from '../meter/schedule.js';
import { readingLimits } from '../trade/reading-limits.js';
import { isOverVolts } from './as-met.js';
import { roughOhms } from './fault-words.js';
import { deadLimits, judgeApart, type Limits, liveLimits } from './rule-limits.js';
import type { Measured, Taken } from './taken.js';

export type RuleName =
  | 'ground-path'
  | 'bond'
  | 'isolation'
  | 'neutral-apart'
  | 'cord'
  | 'chassis-to-earth'
  | 'polarity'
  | 'ground-fault-device'
  | 'drop';

/** One rule at one place, judged on the readings. */
export interface RuleLimit {
  readonly rule: RuleName;
  readonly at: string;
  readonly verdict: LimitVerdict;
  readonly text: string;
  /** Said where even the least that a path can be is more than the circuit predicts, Ω. */
  readonly higherThanPredicted?: { readonly leastOhm: number; readonly predictedOhm: number };
}

/** What the rules are judged on: the readings, and which of them may be ghosts by what explains them best. */
interface Judged {
  readonly circuit: ElectricalCircuit;
  readonly taken: Taken;
  readonly mayFloat: (reading: Reading) => boolean;
}

/** Every rule at every place, in the order of the work. A rule without its readings is unproven. */
export function judgeRules(judged: Judged): RuleLimit[] {
  return [
    ...groundPaths(judged),
    ...isolation(judged),
    ...cord(judged),
    chassisToEarth(judged),
    ...polarity(judged),
    ...groundFaultDevice(judged),
    ...drop(judged),
  ];
}

/** The worst of several: a fail decides, then a missing proof. Nothing at all is unproven. */
function worst(verdicts: readonly LimitVerdict[]): LimitVerdict {
  if (verdicts.includes('fail')) return 'fail';
  return verdicts.length === 0 || verdicts.includes('unproven') ? 'unproven' : 'pass';
}

function groundPaths({ circuit, taken }: Judged): RuleLimit[] {
  const { groundPath, bond } = deadLimits;
  const paths = circuit.run.map((_, k) => `outlet${k + 1}`);
  const higher = (to: string) => {
    const test = { test: 'resistance', from: 'inlet.ground', to } as const;
    const prediction = predictOne(circuit, taken.meter, [], test);
    const predictedOhm = prediction.kind === 'ohms' ? (prediction.ohms ?? 0) : 0;
    const leastOhm = leastOf(taken.ohms('inlet.ground', to));
    return leastOhm > predictedOhm ? { higherThanPredicted: { leastOhm, predictedOhm } } : {};
  };
  return [
    ...paths.map(
      (at): RuleLimit => ({
        rule: 'ground-path',
        at,
        verdict: all(taken.ohms('inlet.ground', `${at}.ground`), groundPath),
        text: `Inlet ground to the ground slot of ${placeWords(at)}, at most ${groundPath.upper} Ω`,
        ...higher(`${at}.ground`),
      }),
    ),
    {
      rule: 'bond',
      at: 'chassis',
      verdict: all(taken.ohms('inlet.ground', 'chassis'), bond),
      text: `Inlet ground to the chassis, at most ${bond.upper} Ω`,
      ...higher('chassis'),
    },
  ];
}

function isolation({ circuit, taken }: Judged): RuleLimit[] {
  const devices = circuit.run.flatMap((_, k) =>
    isGroundFaultDevice(circuit, k + 1) ? [`outlet${k + 1}`] : [],
  );
  const places = [
    { at: 'inlet', point: (c: string) => `inlet.${c}` },
    ...devices.map((at) => ({
      at: `${at}.load`,
      point: (c: string) => (c === 'ground' ? `${at}.ground` : `${at}.load.${c}`),
    })),
    ...devices.map((at) => ({ at, point: (c: string) => `${at}.${c}` })),
  ];
  return places.flatMap(({ at, point }): RuleLimit[] => {
    const verdicts = slotPairs.map(([a, b]) => {
      const electronics = b === 'neutral' && devices.length > 0;
      return worst(taken.ohms(point(a), point(b)).map((m) => judgeApart(m, electronics)));
    });
    return [
      {
        rule: 'isolation',
        at,
        verdict: worst(verdicts),
        text: `The three conductors apart at ${placeWords(at)}, at least ${roughOhms(deadLimits.apart.lower)} by ohmmeter`,
      },
      {
        rule: 'neutral-apart',
        at,
        // No electronics stand between these two: whatever leads there for certain is a join.
        verdict: verdicts[2]!,
        text: `Neutral and ground nowhere joined in the van, seen from ${placeWords(at)}`,
      },
    ];
  });
}

/**
 * Through is through: a joint that is poor is said where it is higher than predicted, and judged by the drop. That its conductors lie
 * apart is not asked for here; where it was read it counts.
 */
function cord({ circuit, taken }: Judged): RuleLimit[] {
  const predictedOhm = conductorOhm({ ...circuit.cord, temperatureC: circuit.temperatureC });
  const { through } = deadLimits;
  return conductors.map((c): RuleLimit => {
    const own = taken.ohms(`plug.${c}`, `connector.${c}`);
    const crossed = conductors.flatMap((other) =>
      other === c ? [] : taken.ohms(`plug.${c}`, `connector.${other}`),
    );
    const verdicts = [all(own, through)];
    if (crossed.length > 0) verdicts.push(all(crossed, { lower: through.upper }));
    const apart = conductors.flatMap((other) =>
      other === c ? [] : ['plug', 'connector'].flatMap((end) => taken.ohms(`${end}.${c}`, `${end}.${other}`)),
    );
    if (apart.length > 0) verdicts.push(all(apart, deadLimits.apart));
    const leastOhm = leastOf(own);
    return {
      rule: 'cord',
      at: `cord.${c}`,
      verdict: worst(verdicts),
      text: `The cord’s ${c} through and on its own pin${apart.length > 0 ? ', apart from the others' : ''}`,
      ...(leastOhm > predictedOhm && leastOhm < through.upper
        ? { higherThanPredicted: { leastOhm, predictedOhm } }
        : {}),
    };
  });
}

function chassisToEarth({ circuit, taken, mayFloat }: Judged): RuleLimit {
  const limit = liveLimits(circuit).chassisToEarth;
  const read = taken.volts('chassis', 'earth');
  const verdict = all(read, limit);
  const ghost = verdict === 'pass' && read.some((m) => mayFloat(m.reading));
  return {
    rule: 'chassis-to-earth',
    at: 'chassis',
    verdict: ghost ? 'unproven' : verdict,
    text: `Chassis to true earth, at most ${limit.upper} V`,
  };
}

/**
 * Right hot, neutral and ground at every slot. A slot that shows too little, or volts between neutral and ground, is wrong
 * whether the point is driven or floats; a slot that shows enough is right only where it does not float.
 */
function polarity(judged: Judged): RuleLimit[] {
  const { circuit, taken, mayFloat } = judged;
  const { slot, neutralGround } = liveLimits(circuit);
  return circuit.run.map((_, k): RuleLimit => {
    const at = `outlet${k + 1}`;
    const fed = isFed(judged, k + 1);
    const live = slotPairs.map(([a, b]) => {
      const read = taken.volts(`${at}.${a}`, `${at}.${b}`);
      if (read.some((m) => isOverVolts(circuit, m))) return 'fail';
      const verdict = all(read, a === 'neutral' ? neutralGround : slot);
      if (verdict === 'pass') return read.some((m) => mayFloat(m.reading)) ? 'unproven' : 'pass';
      return verdict === 'fail' && (fed || a === 'neutral') ? 'fail' : 'unproven';
    });
    const verdict = worst([...live, ...(isBesideDevice(judged, k + 1) ? [] : deadPaths(judged, k + 1))]);
    return {
      rule: 'polarity',
      at,
      verdict,
      text: `Hot, neutral and ground each in its own slot of ${placeWords(at)}`,
    };
  });
}

/**
 * True where an outlet behind a device has its volts though neither hot nor neutral comes from LOAD: it is fed past the
 * device, which is that device's rule and says nothing of what stands in which slot.
 */
function isBesideDevice(judged: Judged, outlet: number): boolean {
  const { circuit, taken } = judged;
  const { slot } = liveLimits(circuit);
  const at = `outlet${outlet}`;
  const devices = circuit.run.slice(0, outlet - 1).some((_, k) => isGroundFaultDevice(circuit, k + 1));
  const hasVolts = (pair: string) => all(taken.volts(`${at}.hot`, `${at}.${pair}`), slot) === 'pass';
  return devices && deadPaths(judged, outlet).length === 2 && hasVolts('neutral') && hasVolts('ground');
}

/** A hot or neutral that does not reach its outlet at all is a fail; any number is left to the loaded voltage. */
function deadPaths({ circuit, taken }: Judged, outlet: number): LimitVerdict[] {
  const device = isGroundFaultDevice(circuit, outlet);
  let start = 'inlet';
  for (let k = outlet - 1; k >= 1 && start === 'inlet'; k--)
    if (isGroundFaultDevice(circuit, k)) start = `outlet${k}.load`;
  const end = device ? `outlet${outlet}.line` : `outlet${outlet}`;
  return (['hot', 'neutral'] as const).flatMap((c) => {
    const verdict = all(taken.ohms(`${start}.${c}`, `${end}.${c}`), deadLimits.through);
    return verdict === 'fail' ? ['fail'] : [];
  });
}

/** True where the readings themselves say that volts reach this outlet's device. */
function isFed({ circuit, taken }: Judged, outlet: number): boolean {
  if (taken.answers('supply-holds').includes(false)) return false;
  let behind = false;
  for (let k = 1; k <= outlet; k++) behind ||= isGroundFaultDevice(circuit, k);
  const resets = taken.answers('gfci-resets');
  if (behind) return resets.length > 0 && !resets.includes(false);
  const enough = liveLimits(circuit).slot.lower;
  return taken.readings.some((r) => r.test === 'voltage' && r.volts >= enough);
}

function groundFaultDevice(judged: Judged): RuleLimit[] {
  const { circuit, taken } = judged;
  const rule = 'ground-fault-device';
  const first = firstGroundFaultDevice(circuit);
  if (first === 0) {
    const text =
      'This circuit names no ground-fault device: nothing read here shows that one guards its outlets';
    return [{ rule, at: 'outlet1', verdict: 'unproven', text }];
  }
  const yes = (answers: readonly boolean[]) => worst(answers.map((a) => (a ? 'pass' : 'fail')));
  return circuit.run.map((_, k): RuleLimit => {
    const at = `outlet${k + 1}`;
    const dead = yes(taken.answers('dead-when-tripped', at));
    if (k + 1 !== first) {
      const past = isBesideDevice(judged, k + 1);
      const text = past
        ? `Behind the device, ${placeWords(at)} is fed past it, not from its LOAD`
        : `After TEST ${placeWords(at)} is dead`;
      return { rule, at, verdict: past ? 'fail' : dead, text };
    }
    const verdict = worst([yes(taken.answers('gfci-resets')), yes(taken.answers('holds-under-load')), dead]);
    const text = 'The device resets and stays, holds under load, and TEST leaves its slots dead';
    return { rule, at, verdict, text };
  });
}

/** At each outlet that took the load, so that the one that fails is named; where none did it is missing at the last. */
function drop({ circuit, taken }: Judged): RuleLimit[] {
  const loaded = taken.loaded();
  const outlets = loaded.length > 0 ? loaded.map((m) => m.outlet) : [`outlet${circuit.run.length}`];
  return [...new Set(outlets)].map((at) => ({
    rule: 'drop',
    at,
    verdict: all(
      loaded.filter((m) => m.outlet === at),
      liveLimits(circuit).loaded,
    ),
    text: `At the test load no more than ${readingLimits.drop.value} % under the supply’s volts`,
  }));
}

function all(read: readonly Measured[], limit: Limits): LimitVerdict {
  return worst(read.map((m) => judgeAgainstLimit({ ...m, ...limit })));
}

/** The least that a path can be by the ohms that were read there, Ω; an over-limit names none, and minus infinity where nothing was read. */
function leastOf(read: readonly Measured[]): number {
  return Math.max(...read.map((m) => (m.value ?? 0) - m.uncertainty));
}

/** "outlet 1", "the LOAD of outlet 1", "the inlet". */
function placeWords(at: string): string {
  const [place = '', part] = at.split('.');
  const words = place === 'inlet' ? 'the inlet' : place.replace('outlet', 'outlet ');
  return part === 'load' ? `the LOAD screws of ${words}` : words;
}
