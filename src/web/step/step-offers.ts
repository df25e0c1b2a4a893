import { unitFactor } from '../../circuit/units.js';
import type { Answer, EntryOf } from '../../logbook/entry.js';
import type { JobLog } from '../../logbook/job-log.js';
import type { TimeZone } from '../../logbook/time-zone.js';
import type { Assessment } from '../../steps/assessment.js';
import type { Ask, Step } from '../../steps/step.js';
import { one, type Typed } from '../page/form.js';
import { jobPath, whenText } from '../words/job-words.js';
import { askField } from './step-form.js';

type Value = Extract<Answer, { kind: 'value' }>;

/**
 * What the torque driver was set to last, for the torques of a step whose limits it lies in: by this person, in this job. It
 * is offered beside each screw, and stands for that screw alone once it is ticked there. A screw without a figure of its own
 * is offered none: a bolt of the body is not turned to what a small terminal takes.
 */
export function torqueOffers(step: Step, log: JobLog, person: string): ReadonlyMap<string, string> {
  const asks = step.asks.filter((a) => a.kind === 'value' && a.quantity === 'torque');
  if (asks.length === 0) return new Map();
  const last = log.entries
    .filter((e): e is EntryOf<'step done'> => e.kind === 'step done' && e.by.id === person)
    .reverse()
    .flatMap((e) => Object.values(e.body.answers).filter(isTorque));
  return new Map(
    asks.flatMap((ask): [string, string][] => {
      const within = last.find((v) => isWithin(ask, v.si));
      return within === undefined ? [] : [[ask.id, `${within.typed} ${within.unit}`]];
    }),
  );
}

function isTorque(answer: Answer): answer is Value {
  return answer.kind === 'value' && answer.si > 0 && unitFactor('torque', answer.unit) !== undefined;
}

function isWithin(ask: Ask, si: number): boolean {
  if (ask.kind !== 'value' || ask.min === undefined || ask.max === undefined) return false;
  return si >= ask.min * (1 - 1e-9) && si <= ask.max * (1 + 1e-9);
}

/** What an outlet's step may take over from another outlet's: how it was made, and nothing that was looked at or measured. */
interface AsOther {
  readonly outlet: number;
  readonly action: string;
  readonly said: string;
  readonly fields: Readonly<Record<string, string>>;
}

/** What the same step gives at the first outlet of the run where it is done; undefined where none gives anything. */
export function asOtherOutlet(
  number: string,
  job: Assessment,
  { id, outlet, asks }: Step,
  zone: TimeZone,
): AsOther | undefined {
  if (outlet === undefined) return undefined;
  const begin = id.slice(0, id.length - outlet.length);
  for (const [k, other] of job.circuit.run.entries()) {
    const theirs = other.id === outlet ? undefined : job.steps.get(`${begin}${other.id}`);
    if (theirs?.done === undefined) continue;
    const { answers } = theirs.done.body;
    const fields = Object.fromEntries(asks.flatMap((ask) => fieldsOf(ask, answers[ask.id])));
    if (Object.keys(fields).length === 0) continue;
    return {
      outlet: k + 1,
      action: `${jobPath(number, 'steps', id)}?fill=other-outlet`,
      said: `outlet ${k + 1} (${theirs.step.number}, ${theirs.done.by.name}, ${whenText(theirs.done.at, zone)})`,
      fields,
    };
  }
  return undefined;
}

function fieldsOf(ask: Ask, given: Answer | undefined): [string, string][] {
  if (given === undefined || !('alike' in ask)) return [];
  const field = askField(ask.id);
  if (given.kind === 'choice') return [[field, given.value]];
  if (given.kind !== 'value' || given.instrument !== undefined) return [];
  return [
    [field, given.typed],
    [`${field}.unit`, given.unit],
  ];
}

/** A form with what the other outlet has put into its empty fields, and the names of those. */
export function filledFrom({ fields }: AsOther, typed: Typed): { typed: Typed; filled: string[] } {
  const filled = Object.keys(fields).filter(
    (name) => !name.endsWith('.unit') && one(typed, name).trim() === '',
  );
  const taken = Object.entries(fields).filter(([name]) => filled.includes(name.replace(/\.unit$/, '')));
  return { typed: { ...typed, ...Object.fromEntries(taken) }, filled };
}
