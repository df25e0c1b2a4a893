import type { FastifyInstance, FastifyRequest } from 'fastify';
import { ratings } from '../../circuit/circuit.js';
import { ampsText, gaugeText } from '../../circuit/quantity-text.js';
import { type Answer, diagnose } from '../../faults/diagnose.js';
import { firstOfAll } from '../../faults/first-of-all.js';
import { goOnWith } from '../../faults/go-on-with.js';
import { isJobNumber } from '../../logbook/job-number.js';
import { parseReadingsFile, type ReadingsFile } from '../../meter/readings-file.js';
import { assess } from '../../steps/assess.js';
import { suspectsIn } from '../../steps/suspects.js';
import { wireSizes } from '../../trade/wire.js';
import { sketchOf } from '../circuit/sketch-circuit.js';
import { type FlatTyped, flat, one, overLong, typedOf } from '../page/form.js';
import { filledAgain } from '../page/kept-form.js';
import { render } from '../page/page.js';
import type { Services } from '../services.js';
import { jointWords } from '../words/joint-words.js';
import { pointOptions, testWords } from '../words/test-words.js';
import { lampOptions } from './readings-without-job-answers.js';
import {
  afterReadingsAct,
  counts,
  firstReadingsTyped,
  readingsFileFrom,
} from './readings-without-job-form.js';
import { readingsOfJobTyped } from './readings-without-job-prefill.js';
import { suspectModels } from './suspect-model.js';

const view = 'readings-without-job';
/** A pasted file may be this long: far more than any van's readings. */
const mostFileText = 400_000;

/** `/readings-without-a-job`: a circuit and a few readings in, an answer out; nothing is kept. */
export function registerReadingsWithoutJob(app: FastifyInstance, services: Services): void {
  app.get('/readings-without-a-job', async (request, reply) => {
    const units = services.store.shop.state().units;
    const again = filledAgain(request)?.kept;
    const typed = again
      ? { ...flat(again.typed), file: one(again.typed, 'file') }
      : (typedForJob(services, request) ?? firstReadingsTyped(units));
    return render(reply, view, pageModel(typed), { typed });
  });

  app.post('/readings-without-a-job', async (request, reply) => {
    const all = typedOf(request);
    const { act = 'answer', ...short } = flat(all);
    const sent = { ...short, file: one(all, 'file') };
    if (act !== 'answer') {
      const typed = afterReadingsAct(sent, act);
      return render(reply, view, pageModel(typed), { typed });
    }
    const long = overLong('file', sent.file, mostFileText);
    const file = long.length > 0 ? { ok: false as const, issues: long } : readingsFileFrom(sent);
    if (!file.ok)
      return render(reply, view, pageModel(sent), { status: 422, typed: sent, issues: file.issues });
    return render(reply, view, { ...pageModel(sent), answer: answerModel(file.value) }, { typed: sent });
  });
}

/** Filled in from a job, with a row for the test that was asked for, where the address names a job that has a circuit. */
function typedForJob({ store }: Services, request: FastifyRequest) {
  const asked = Object.entries(request.query as Record<string, unknown>);
  const query = Object.fromEntries(asked.flatMap(([k, v]) => (typeof v === 'string' ? [[k, v]] : [])));
  const number = query.job ?? '';
  if (!isJobNumber(number) || !store.jobs.has(number)) return undefined;
  const job = assess(store.logbook.log(number));
  return job && readingsOfJobTyped(number, job, query);
}

function pageModel(typed: FlatTyped) {
  const { outlets, rows } = counts(typed);
  const pasted = typed.file ? parseReadingsFile(typed.file.trim()) : undefined;
  const devices = pasted?.ok
    ? pasted.file.circuit.run.map((o) => o.device)
    : Array.from({ length: outlets }, (_, k) => typed[`outlet.${k}.device`] ?? 'receptacle');
  return {
    title: 'Readings without a job',
    wide: true,
    job: typed.job ?? '',
    fromFile: pasted?.ok ? pasted.file.readings.length : undefined,
    outlets: devices.map((_, k) => k),
    rows: Array.from({ length: rows }, (_, k) => k),
    points: pointOptions(devices),
    lampOptions,
    sizes: wireSizes.map((awg) => ({ value: awg, label: gaugeText(awg) })),
    ratings: ratings.map((amps) => ({ value: amps, label: ampsText(amps) })),
  };
}

function answerModel(file: ReadingsFile) {
  const answer = diagnose(file);
  const first = firstOfAll(file, answer);
  const next = goOnWith(file, answer);
  return {
    first,
    verdict: answer.verdict,
    sentence: sentenceOf(answer),
    unprotected: answer.unprotected,
    broken: answer.limits.filter((l) => l.verdict === 'fail').map((l) => l.text),
    unproven: answer.limits.filter((l) => l.verdict === 'unproven').map((l) => l.text),
    askFirst: answer.askFirst.map((a) => a.text),
    suspects: suspectModels(sketchOf(file.circuit), suspectsIn(answer)),
    joints: answer.joints.flatMap((j) => jointWords(j) ?? []),
    notLookedAt: answer.notLookedAt,
    missing: answer.missing.slice(0, 8).map(testWords),
    next: next && { words: testWords(next), fields: nextFields(next) },
  };
}

function sentenceOf({ verdict, missing, unprotected }: Answer): string {
  if (verdict === 'pass' && unprotected.length > 0)
    return 'The rules are met by these readings; what no reading shows is wrong all the same, and no concession covers it:';
  if (verdict === 'pass')
    return 'Every rule is met by these readings, the meter’s error counted against each.';
  if (verdict === 'fail') return 'A rule is broken for certain.';
  return missing.length > 0 ? 'These readings cannot tell: some are missing.' : 'These readings cannot tell.';
}

/** The asked-for reading as fields of a row, where a row can hold it. */
function nextFields(next: NonNullable<Answer['nextReading']>): [string, string][] {
  if (next.test === 'observation') return [];
  const amps = next.test === 'loaded-voltage' ? String(next.amps) : '';
  return [
    ['next.test', next.test],
    ['next.from', next.from],
    ['next.to', next.to],
    ['next.amps', amps],
  ];
}
