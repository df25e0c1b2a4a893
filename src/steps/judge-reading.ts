import type { InstrumentSnapshot, Shown } from '../logbook/entry.js';
import { judgeAgainstLimit } from '../meter/judge.js';
import type { Meter } from '../meter/meter.js';
import { uncertainty } from '../meter/uncertainty.js';
import { conditionsShowing } from '../trade/lamp-patterns.js';
import type { Verdict } from './assessment.js';
import { meterOf } from './meter-of.js';
import type { PlannedReading } from './step.js';

export interface Judged {
  readonly verdict: Verdict;
  /** In the reading's own unit; undefined for an observation or over-limit. */
  readonly uncertainty?: number;
  readonly remarks: readonly string[];
  /** Of the remarks, the one that says what would prove a figure beside its limit. */
  readonly toProve?: string;
}

/**
 * Judges what was shown against the planned limit with the instrument's stated error counted against the pass.
 * A numeric reading without an instrument of known accuracy is unproven.
 * @source ISO 14253-1 (guard band), as the project's rules take it
 */
export function judgeReading(
  planned: PlannedReading,
  shown: Shown,
  instrument: InstrumentSnapshot | undefined,
): Judged {
  const judged = judge(planned, shown, instrument);
  const { whenFails } = planned;
  // What a meter of no known error shows is no verdict, and still a warning.
  const warns = judged.verdict === 'fail' || (judged.verdict === 'unproven' && isBeyond(planned, shown));
  return warns && whenFails !== undefined ? { ...judged, remarks: [whenFails, ...judged.remarks] } : judged;
}

function isBeyond(planned: PlannedReading, shown: Shown): boolean {
  const limit = limitAt(planned, shown);
  if (limit === undefined || (shown.kind !== 'volts' && shown.kind !== 'loaded-volts')) return false;
  const { upper = Number.POSITIVE_INFINITY, lower = Number.NEGATIVE_INFINITY } = limit;
  return shown.volts > upper || shown.volts < lower;
}

/** The limit for the load that was plugged in. */
function limitAt(planned: PlannedReading, shown: Shown): PlannedReading['limit'] {
  const { limit } = planned;
  if (!limit?.growsWithLoad || limit.lower === undefined) return limit;
  return { ...limit, lower: limit.lower * loadShare(planned, shown) };
}

/** The load that was plugged in, as a share of the planned one. */
function loadShare({ amps }: PlannedReading, shown: Shown): number {
  return shown.kind === 'loaded-volts' && amps !== undefined ? shown.amps / amps : 1;
}

function judge(planned: PlannedReading, shown: Shown, instrument: InstrumentSnapshot | undefined): Judged {
  if (shown.kind === 'answer') return judgeAnswer(planned, shown.answer);
  if (shown.kind === 'lamps') return judgeLamps(shown);
  const meter = meterOf(instrument);
  const test = shown.kind === 'ohms' ? 'resistance' : shown.kind === 'volts' ? 'voltage' : 'loaded-voltage';
  const known = shown.kind === 'ohms' ? instrument?.ohms : instrument?.volts;
  // No meter is without error: one that says so says nothing of its own.
  if (known === undefined || meter === undefined || (known.percent === 0 && known.counts === 0)) {
    return {
      verdict: 'unproven',
      remarks: ['No instrument of known accuracy is named: take it again with one.'],
    };
  }
  const value = shown.kind === 'ohms' ? shown.ohms : shown.volts;
  const u = value === null ? 0 : uncertainty(meter, { test, value });
  // A range that was typed larger than the meter has proves no more than the meter’s own end.
  const end = meter.ohms.overLimit;
  const top = shown.kind === 'ohms' ? Math.min(shown.rangeOhms ?? end, end) : Number.POSITIVE_INFINITY;
  const limit = limitAt(planned, shown);
  const against =
    limit === undefined
      ? 'noted'
      : judgeAgainstLimit({
          value,
          uncertainty: u,
          upper: limit.upper,
          lower: limit.lower,
          overLimitAt: top,
        });
  const noProof = against === 'pass' ? whyNoProof(planned, shown, meter) : undefined;
  const toProve = against === 'unproven' ? whatWouldProve(planned, value, meter) : undefined;
  return {
    verdict: noProof === undefined ? against : 'unproven',
    ...(value === null ? {} : { uncertainty: u }),
    remarks: [...[noProof, toProve].filter((text) => text !== undefined), ...lookAgain(planned, shown, u)],
    ...(toProve === undefined ? {} : { toProve }),
  };
}

/** Why a value that meets its limit proves nothing all the same; undefined where it does. */
function whyNoProof(planned: PlannedReading, shown: Shown, meter: Meter): string | undefined {
  if (shown.kind === 'ohms' && shown.ohms !== null && shown.ohms > meter.ohms.overLimit)
    return 'This is more than that meter can show: look at the figure, its unit and the meter that is named.';
  if (shown.kind === 'loaded-volts' && planned.amps !== undefined && shown.amps < planned.amps)
    return `A load of ${shown.amps} A is too small: a poor joint shows from ${planned.amps} A on. Take it again with such a load.`;
  return undefined;
}

function judgeAnswer(planned: PlannedReading, answer: boolean): Judged {
  const right = planned.limit?.answer;
  if (right === undefined) return { verdict: 'noted', remarks: [] };
  return { verdict: answer === right ? 'pass' : 'fail', remarks: [] };
}

/** A wrong pattern is a sign of something wrong; the right one is noted, and proves nothing that kills. */
function judgeLamps(shown: Extract<Shown, { kind: 'lamps' }>): Judged {
  const rows = conditionsShowing(shown);
  const conditions = rows.filter((row) => row.id !== 'sound').map((row) => row.condition);
  if (rows.some((row) => row.id === 'sound')) {
    return {
      verdict: 'noted',
      remarks: [
        `These lamps light in the same way with: ${conditions.join('; ')}. Only readings tell them apart.`,
      ],
    };
  }
  const meaning = conditions.length > 0 ? conditions.join('; or ') : 'no single fault that we know of';
  return { verdict: 'fail', remarks: [`This pattern comes with: ${meaning}.`] };
}

function lookAgain(planned: PlannedReading, shown: Shown, u: number): string[] {
  const value = shown.kind === 'ohms' ? shown.ohms : 'volts' in shown ? shown.volts : null;
  if (planned.look === undefined || value === null) return [];
  // What a load takes grows with its current, and the line with it.
  const { over = Number.POSITIVE_INFINITY, under = Number.NEGATIVE_INFINITY, text } = planned.look;
  const line = over * loadShare(planned, shown);
  if (value - u > line || value + u < under) return [text];
  return shown.kind === 'ohms' && value > line ? [hiddenByError(line)] : [];
}

/** More is shown than the circuit predicts, and the meter may be off by as much: passed over in silence it would be taken for right. */
function hiddenByError(line: number): string {
  return `Shown above ${line} Ω, where this is looked at again, though the meter may be off by as much: null the leads and read it once more, or use a low-ohm meter.`;
}

const acrossLimit = 'The meter’s error reaches across the limit';

function whatWouldProve(planned: PlannedReading, value: number | null, meter: Meter): string {
  if (planned.test !== 'resistance') return `${acrossLimit}: take it again with a finer meter.`;
  if (value === null)
    return `OL on a range that stops below the limit proves nothing: use the ${meter.ohms.overLimit >= 1e6 ? 'highest' : 'megohm'} range.`;
  if (planned.limit?.lower !== undefined)
    return `${acrossLimit}: dry it, hold no probe by hand, and read again.`;
  const nullFirst = `${acrossLimit}: null the leads`;
  // A load draws its current through hot and neutral; no ground is ever proven by it.
  return carriesLoad(planned)
    ? `${nullFirst}, use a low-ohm meter, or prove it by the loaded voltage.`
    : `${nullFirst}, or use a low-ohm meter.`;
}

function carriesLoad({ from }: PlannedReading): boolean {
  return from !== undefined && /\.(hot|neutral)$/.test(from);
}
