import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import type { Fault } from '../meter/fault.js';
import type { LimitVerdict } from '../meter/judge.js';
import type { Reading, ReadingsFile, Test } from '../meter/readings-file.js';
import { fullSchedule } from '../meter/schedule.js';
import { Evidence } from './evidence.js';
import { couldKill, faultsText, faultText, lookAt, mostUrgentFirst } from './fault-words.js';
import { type Joint, jointsUnderLoad } from './joint.js';
import { nextReading, type Standing } from './next-reading.js';
import { leastOwnShare } from './off-volts.js';
import { judgeRules, type RuleLimit } from './rules.js';
import { type SetupSlip, setupSlips } from './setup-slips.js';
import { type Hypothesis, type Ranked, rankSuspects } from './suspects.js';
import { Taken } from './taken.js';
import { unprotected } from './unprotected.js';

/** One suspect: what would be wrong, how probable it is, how one says it, and where to look first. */
export interface Suspect {
  readonly faults: readonly Fault[];
  readonly probability: number;
  readonly text: string;
  readonly lookAt: string;
  readonly reason: string;
}

/** The fault-finder's answer to a readings file. */
export interface Answer {
  readonly verdict: LimitVerdict;
  readonly suspects: readonly Suspect[];
  readonly limits: readonly RuleLimit[];
  readonly nextReading: Test | null;
  /** Slips of set-up to ask about before anything is opened. */
  readonly askFirst: readonly SetupSlip[];
  /** Faults that no reading taken can show. */
  readonly notLookedAt: readonly string[];
  /** Readings of the round that are not among those taken. */
  readonly missing: readonly Test[];
  /** Joints that the drop under load speaks of; said, never judged. */
  readonly joints: readonly Joint[];
  /** Why the van's breaker is none, or too large: no reading shows it, so the verdict does not say it either. */
  readonly unprotected: readonly string[];
}

/** Suspects less probable than this are named only if they could kill. */
const leastProbability = 1e-3;
/** A suspect is still allowed where no reading speaks against it by more than this (logarithm). */
const allowed = -2;
/** The leading suspects: within this factor of the first. */
const leadingFactor = 10;

/** Judges a readings file by the rules, names what explains it, and asks for the reading that would part what is left. */
export function diagnose(file: ReadingsFile): Answer {
  const circuit = withMeasuredSupply(file);
  const evidence = new Evidence(circuit, file.meter, file.readings);
  const ranked = rankSuspects(evidence);
  const taken = new Taken(evidence.readings, file.meter);
  const sound = ranked.hypotheses[0]!.faults.length === 0;
  const limits = judgeRules({ circuit: file.circuit, taken, mayFloat: floatsIn(evidence, ranked) });
  const suspects = sound ? [] : suspectsOf(circuit, evidence, ranked);
  const joints = jointsUnderLoad(atVolts(circuit, circuit.supply.volts * evidence.supplyShare), taken);
  const missing = fullSchedule(circuit).filter((test) => !taken.has(test));
  return {
    verdict: verdictOf(
      limits,
      sound && explainsAll(evidence, ranked.hypotheses[0]!) && !needsStiffer(evidence),
    ),
    suspects,
    limits,
    nextReading:
      nextReading(circuit, taken, standing(ranked, sound)) ??
      firstMissing(missing, taken, mayBeSound(ranked)),
    askFirst: setupSlips(file.circuit, evidence, sound ? [] : leading(ranked).map((h) => h.faults), joints),
    notLookedAt: notLookedAt(circuit, evidence, ranked, sound),
    missing,
    joints,
    unprotected: unprotected(file.circuit),
  };
}

/** Of suspects, the most probable first, those that lead. */
export function leadingOf<T extends { readonly probability: number }>(suspects: readonly T[]): readonly T[] {
  return suspects.filter((s) => s.probability >= (suspects[0]?.probability ?? 0) / leadingFactor);
}

function leading(ranked: Ranked): Ranked['hypotheses'] {
  return leadingOf(ranked.hypotheses.filter((h) => h.faults.length > 0));
}

/** What a supply's own slots are believed to show of its nominal volts: less may be a ghost, more is no supply for a van. */
const ownShare = { least: leastOwnShare, most: 1.13 };

/** The circuit with the supply's own volts where they were read at its slots and can be believed. */
function withMeasuredSupply({ circuit, readings }: ReadingsFile): ElectricalCircuit {
  const nominal = circuit.supply.volts;
  const read = readings.flatMap((r) =>
    r.test === 'voltage' && [r.from, r.to].sort().join() === 'supply.hot,supply.neutral' ? [r.volts] : [],
  );
  const mean = read.reduce((a, b) => a + b, 0) / read.length;
  const { least, most } = ownShare;
  if (read.length === 0 || mean < least * nominal || mean > most * nominal) return circuit;
  return atVolts(circuit, mean);
}

function atVolts(circuit: ElectricalCircuit, volts: number): ElectricalCircuit {
  const { supply } = circuit;
  return { ...circuit, supply: { ...supply, volts, nominalVolts: supply.nominalVolts ?? supply.volts } };
}

/** Whether a reading is a ghost by what explains the readings: half the probability on its floating is enough to doubt it. */
function floatsIn(evidence: Evidence, ranked: Ranked): (reading: Reading) => boolean {
  const floats = new Float64Array(evidence.readings.length);
  for (const h of ranked.hypotheses) {
    if (h.probability < 1e-3) continue;
    const { values } = evidence.bench.shows(h.faults);
    for (let i = 0; i < values.length; i++) if (Number.isNaN(values[i]!)) floats[i]! += h.probability;
  }
  return (reading) => floats[evidence.readings.indexOf(reading)]! > 0.5;
}

/** `sound`: nothing is wrong by the likeliest explanation, and it leaves no reading unexplained. */
function verdictOf(limits: readonly RuleLimit[], sound: boolean): LimitVerdict {
  if (limits.some((l) => l.verdict === 'fail')) return 'fail';
  return sound && limits.every((l) => l.verdict === 'pass') ? 'pass' : 'unproven';
}

/** All that is probable enough, and however unlikely it is, all that could kill and that the readings still allow. */
function suspectsOf(circuit: ElectricalCircuit, evidence: Evidence, ranked: Ranked): Suspect[] {
  return ranked.hypotheses
    .filter((h) => h.faults.length > 0)
    .filter((h) => h.probability >= leastProbability || (isDeadly(h) && isAllowed(evidence, h)))
    .map(({ faults, probability, reason }) => {
      const ordered = mostUrgentFirst(faults);
      return {
        faults: ordered.map(roundOhms),
        probability,
        text: faultsText(ordered, circuit),
        lookAt: ordered.map((f) => lookAt(f, circuit)).join(' '),
        reason,
      };
    });
}

function isDeadly(hypothesis: Hypothesis): boolean {
  return hypothesis.faults.some(couldKill);
}

function isAllowed(evidence: Evidence, hypothesis: Hypothesis): boolean {
  return hypothesis.logLikelihood >= 10 * allowed && explainsAll(evidence, hypothesis);
}

/** Whether no reading speaks against it, one that no rule asks for included. */
function explainsAll(evidence: Evidence, hypothesis: Hypothesis): boolean {
  return evidence.terms(evidence.bench.shows(hypothesis.faults)).every((t) => t > allowed);
}

/**
 * Whether a sound van shows what was read under load on a supply alone that is stiffer than it was taken for: neutral to ground
 * that small is shown too where the supply's ground is jumped to its neutral.
 */
function needsStiffer(evidence: Evidence): boolean {
  return evidence.termsAsGiven([]).some((t) => t <= allowed);
}

/** Explanations that a next reading should part; where nothing seems wrong, also what no reading has shown yet. */
function standing(ranked: Ranked, sound: boolean): Standing[] {
  const seen = ranked.hypotheses.filter((h) => h.probability > 1e-4).slice(0, 40);
  if (!sound) return seen;
  const base = seen[0]!.probability;
  return [
    ...seen,
    ...ranked.unseen.map((c) => ({ faults: [c.fault], probability: base * Math.exp(c.logPrior) })),
  ];
}

/** Nothing wrong is among what leads: the round goes on. */
function mayBeSound({ hypotheses }: Ranked): boolean {
  return leadingOf(hypotheses).some((h) => h.faults.length === 0);
}

function firstMissing(missing: readonly Test[], taken: Taken, sound: boolean): Test | null {
  return sound && !taken.answers('supply-holds').includes(false) ? (missing[0] ?? null) : null;
}

function notLookedAt(
  circuit: ElectricalCircuit,
  evidence: Evidence,
  ranked: Ranked,
  sound: boolean,
): string[] {
  const unseen = ranked.unseen.map((c) => c.fault);
  const deadly = sound
    ? ranked.hypotheses.filter(
        (h) => h.faults.length === 1 && isDeadly(h) && isAllowed(evidence, h) && h.logLikelihood > -1,
      )
    : [];
  return [...unseen, ...deadly.flatMap((h) => h.faults)].map((f) =>
    faultText(f, circuit, { withOhms: false }),
  );
}

function roundOhms(fault: Fault): Fault {
  return 'ohms' in fault && fault.ohms !== undefined
    ? { ...fault, ohms: Number(fault.ohms.toPrecision(3)) }
    : fault;
}
