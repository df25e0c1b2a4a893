import type { Circuit } from '../src/circuit/circuit.js';
import { fromSi, inSi, inUnit } from '../src/circuit/units.js';
import { seal } from '../src/logbook/chain.js';
import type { Answer, Entry, EntryBody, InstrumentSnapshot, NewEntry, Shown } from '../src/logbook/entry.js';
import { instrumentsNamed } from '../src/logbook/instrument-snapshot.js';
import { foldJob, type JobLog } from '../src/logbook/job-log.js';
import { accept } from '../src/steps/accept.js';
import { assess } from '../src/steps/assess.js';
import type { Assessment, StepStanding } from '../src/steps/assessment.js';
import { workBars } from '../src/steps/issue-bars.js';
import type { Asker } from '../src/steps/proposal.js';
import type { Ask, PlannedReading } from '../src/steps/step.js';
import { issueStepId } from '../src/steps/step.js';

/** What a careful fitter does with a job, from its circuit to the second look, as entries that went through the one gate. */
export interface Script {
  readonly job: string;
  readonly described: EntryBody<'job described'>;
  readonly circuit: Circuit;
  readonly rules: string;
  readonly fitter: Asker;
  readonly checker: Asker;
  readonly meter: InstrumentSnapshot;
  readonly driver: InstrumentSnapshot;
  /** The time of the entry with this number. */
  readonly at: (seq: number) => string;
  /** A photo for this ask of this step; undefined where the script brings none. */
  readonly photo?: (step: StepStanding['step'], ask: Ask) => EntryBody<'photo added'> | undefined;
  /** Answers that are not the usual ones: by "stepId.askId". */
  readonly answers?: Readonly<Record<string, Answer>>;
  /** Readings that go wrong the first time, by id, with what was found and done about it. */
  readonly mishaps?: Readonly<
    Record<
      string,
      {
        readonly shown: Shown;
        readonly found: string;
        readonly done: string;
        readonly disturbs: EntryBody<'defect reworked'>['disturbs'];
      }
    >
  >;
  /** Stop when this is true of the job. */
  readonly until?: (job: Assessment) => boolean;
}

/** Plays a script to its end: the entries of a job whose record may be issued, unless it was stopped before. */
export function playJob(script: Script): Entry[] {
  const entries: Entry[] = [];
  const write = (entry: NewEntry, by: Asker) => {
    const answer = accept(foldJob(entries), entry, { by, people: [script.fitter, script.checker] });
    if (!answer.ok) {
      const why = answer.issues.map((i) => `${i.field}: ${i.message}`).join('; ');
      throw new Error(`${entry.kind} of ${entry.subject} is refused: ${why}`);
    }
    for (const accepted of answer.value) {
      const seq = entries.length + 1;
      const placed = {
        ...accepted,
        job: script.job,
        at: script.at(seq),
        by: { id: by.id, name: by.name },
        key: `played-${seq}`,
      };
      entries.push(seal(placed, entries.at(-1)) as Entry);
    }
  };
  write({ kind: 'job described', subject: 'job', body: script.described }, script.fitter);
  write(
    {
      kind: 'circuit set',
      subject: 'job',
      body: { circuit: script.circuit, rules: script.rules, reason: '' },
    },
    script.fitter,
  );
  const spent = new Set<string>();
  for (;;) {
    const log = foldJob(entries);
    const job = assess(log) as Assessment;
    if (script.until?.(job)) return entries;
    if (job.next === undefined || job.next.step.id === issueStepId) break;
    const before = entries.length;
    workOn(job.next, job, log, script, write, spent);
    if (entries.length === before) break;
  }
  const ended = assess(foldJob(entries)) as Assessment;
  if (workBars(ended).length === 0 && script.described.checker !== '') {
    write(
      {
        kind: 'second look signed',
        subject: 'job',
        body: {
          statement: 'Looked at the work and at every reading, and read the concessions aloud.',
          signature: { name: script.checker.name, strokes: scrawl(script.checker.name) },
        },
      },
      script.checker,
    );
  }
  return entries;
}

function workOn(
  standing: StepStanding,
  job: Assessment,
  log: JobLog,
  script: Script,
  write: (entry: NewEntry, by: Asker) => void,
  spent: Set<string>,
): void {
  const { step } = standing;
  const waiting = step.readings
    .map((id) => job.readings.get(id))
    .find((r) => r?.planned.required && r.verdict !== 'pass');
  if (waiting !== undefined) {
    const { planned } = waiting;
    const subject = `reading:${planned.id}`;
    const defect = job.defects.find((d) => d.defect.subject === subject && d.status === 'open');
    const mishap = script.mishaps?.[planned.id];
    if (defect !== undefined && mishap !== undefined) {
      const { found, done, disturbs } = mishap;
      write(
        { kind: 'defect reworked', subject, body: { defect: defect.defect.seq, found, done, disturbs } },
        script.fitter,
      );
      return;
    }
    const goesWrong = mishap !== undefined && !spent.has(planned.id);
    spent.add(planned.id);
    const shown = goesWrong ? mishap.shown : shownWhenSound(planned, script.meter);
    const instrument = shown.kind === 'answer' ? {} : { instrument: script.meter };
    write({ kind: 'reading taken', subject, body: { shown, note: '', ...instrument } }, script.fitter);
    return;
  }
  // A step of the sheet alone is done by changing the circuit or by a concession: no script does either.
  if (step.asks.length === 0) return;
  const body = doneAs(step, log, script, write);
  write({ kind: 'step done', subject: `step:${step.id}`, body }, script.fitter);
}

/** How a step is written down by who did it as it is asked; its photos that are not there yet are written first. */
export function doneAs(
  step: StepStanding['step'],
  log: JobLog,
  script: Script,
  write: (entry: NewEntry, by: Asker) => void,
): EntryBody<'step done'> {
  const answers: Record<string, Answer> = {};
  for (const ask of step.asks) {
    const answer = script.answers?.[`${step.id}.${ask.id}`] ?? usualAnswer(step, ask, log, script, write);
    if (answer !== undefined) answers[ask.id] = answer;
  }
  const named = instrumentsNamed(answers);
  const instruments = [script.meter, script.driver].filter((i) => named.includes(i.id));
  return instruments.length > 0 ? { answers, instruments } : { answers };
}

/** What the meter shows on the sound circuit, rounded as it would round. */
export function shownWhenSound(planned: PlannedReading, meter: InstrumentSnapshot): Shown {
  const { value } = planned.expected;
  if (planned.test === 'observation')
    return { kind: 'answer', answer: planned.limit?.answer ?? value === true };
  const number = typeof value === 'number' ? value : 0;
  const volts = Math.round(number * 10) / 10;
  if (planned.test === 'voltage')
    return { kind: 'volts', volts, lowImpedance: planned.lowImpedance === 'asked' };
  if (planned.test === 'loaded-voltage') return { kind: 'loaded-volts', volts, amps: planned.amps ?? 8 };
  if (value === null) return { kind: 'ohms', ohms: null, rangeOhms: meter.ohms?.overLimit ?? 40_000_000 };
  const digit = meter.ohms?.resolution ?? 0.1;
  return { kind: 'ohms', ohms: Number((Math.round(number / digit) * digit).toFixed(4)) };
}

function usualAnswer(
  step: StepStanding['step'],
  ask: Ask,
  log: JobLog,
  script: Script,
  write: (entry: NewEntry, by: Asker) => void,
): Answer | undefined {
  switch (ask.kind) {
    case 'tick':
      return { kind: 'tick' };
    case 'choice': {
      if (ask.optional) return undefined;
      const option = ask.options.find((o) => o.refused === undefined && o.needs === undefined);
      return option === undefined ? undefined : { kind: 'choice', value: option.value };
    }
    case 'value':
      return ask.optional && ask.expected === undefined && ask.min === undefined
        ? undefined
        : usualValue(ask, script);
    case 'note':
      return ask.optional ? undefined : { kind: 'note', text: 'As on the sheet.' };
    case 'person':
      return { kind: 'person', name: script.checker.name };
    case 'photo': {
      const body = script.photo?.(step, ask);
      if (body === undefined) return undefined;
      if (!log.photos.some((p) => p.body.photo === body.photo))
        write({ kind: 'photo added', subject: `step:${step.id}`, body }, script.fitter);
      return { kind: 'photo', photos: [body.photo] };
    }
  }
}

function usualValue(ask: Extract<Ask, { kind: 'value' }>, script: Script): Answer {
  const unit = ask.units.imperial;
  // A mild day, where a temperature has no limits.
  const si = ask.expected ?? (ask.quantity === 'temperature' ? 20 : between(ask.min, ask.max));
  const typed = roundInside(ask, si, unit);
  const instrument =
    ask.instrument === 'torque-driver'
      ? { instrument: script.driver.id }
      : ask.instrument === 'multimeter'
        ? { instrument: script.meter.id }
        : {};
  return { kind: 'value', typed, unit, si: inSi(ask.quantity, Number(typed), unit) as number, ...instrument };
}

function between(min: number | undefined, max: number | undefined): number {
  if (min !== undefined && max !== undefined) return (min + max) / 2;
  if (min !== undefined) return min * 1.2;
  return max === undefined ? 1 : max * 0.8;
}

/** The value as a person writes it: with as few decimals as keep it inside its limits. */
function roundInside(ask: Extract<Ask, { kind: 'value' }>, si: number, unit: string): string {
  for (let decimals = 0; decimals <= 4; decimals++) {
    const typed = inUnit(ask.quantity, si, unit, decimals).split(' ')[0] as string;
    const back = inSi(ask.quantity, Number(typed), unit) as number;
    const inside = (ask.min === undefined || back >= ask.min) && (ask.max === undefined || back <= ask.max);
    if (inside && Math.abs(back - si) <= 0.05 * Math.abs(si)) return typed;
  }
  return String(fromSi(ask.quantity, si, unit));
}

/** A drawn line that is nobody's signature: a wave for each letter of the name. */
export function scrawl(name: string): [number, number][][] {
  const points = [...name].flatMap((letter, k): [number, number][] => {
    const height = 30 + ((letter.codePointAt(0) ?? 0) % 9) * 7;
    const x = 40 + (k * 500) / name.length;
    return [
      [Math.round(x), 110],
      [Math.round(x + 180 / name.length), 110 - height],
      [Math.round(x + 330 / name.length), 120],
    ];
  });
  return [points];
}
