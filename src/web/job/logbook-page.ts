import type { FastifyInstance } from 'fastify';
import { clockSteps, clockStepText } from '../../logbook/clock-steps.js';
import type { Entry } from '../../logbook/entry.js';
import { circuitAt } from '../../logbook/job-log.js';
import { zoneNote } from '../../logbook/time-zone.js';
import { planOf } from '../../steps/plan-of.js';
import { stageIds, stages } from '../../steps/step.js';
import { subjectWords } from '../../steps/subject-words.js';
import { renderKept } from '../page/kept-page.js';
import type { Services } from '../services.js';
import { entryWords } from '../words/entry-words.js';
import { jobPath, writtenText } from '../words/job-words.js';
import { type JobAt, jobAt } from './job-at.js';

/** `/jobs/:job/logbook`: every entry in order, never rewritten; a struck one shows struck. And the whole of it as a file. */
export function registerLogbookPage(app: FastifyInstance, services: Services): void {
  app.get('/jobs/:job/logbook', async (request, reply) => {
    const at = jobAt(services, request);
    return renderKept(reply, services, at.log, 'logbook', () => ({
      title: `Logbook of job ${at.number}`,
      wide: true,
      backTo: 'job',
      times: zoneNote(at.zone),
      export: jobPath(at.number, 'export'),
      clockSteps: clockSteps(at.log.entries).map((step) => ({
        text: clockStepText(step),
        href: `#entry-${step.after}`,
      })),
      marks: marksOf(at),
      entries: at.log.entries.map((entry) => entryModel(at, entry)),
    }));
  });
}

/** A long logbook's way to its parts: the first entry of each stage, the first defect, and the newest entry. */
function marksOf({ log, job }: JobAt): { href: string; label: string }[] {
  const at = (entry: Entry | undefined, label: string) =>
    entry === undefined ? [] : [{ href: `#entry-${entry.seq}`, label }];
  const stageOf = (entry: Entry) =>
    entry.subject.startsWith('step:')
      ? job?.steps.get(entry.subject.slice('step:'.length))?.step.stage
      : undefined;
  return [
    ...at(log.entries.at(-1), 'The newest entry'),
    ...at(
      log.entries.find((e) => e.kind === 'defect raised'),
      'The first defect',
    ),
    ...stageIds.flatMap((id) =>
      at(
        log.entries.find((e) => stageOf(e) === id),
        stages[id],
      ),
    ),
  ];
}

function entryModel({ number, log, zone }: JobAt, entry: Entry) {
  const circuit = circuitAt(log, entry.seq);
  const plan = circuit && planOf(circuit);
  const struck = log.struck.get(entry.seq);
  return {
    seq: entry.seq,
    kind: entry.kind,
    about: entry.subject === 'job' ? '' : subjectWords(entry.subject, plan),
    when: writtenText(entry, zone),
    by: entry.by.name,
    lines: entryWords(entry, plan),
    photo: entry.kind === 'photo added' ? entry.body : undefined,
    href: entry.kind === 'defect raised' ? jobPath(number, 'defects', entry.seq) : undefined,
    struck: struck && `struck by ${struck.by.name} in entry ${struck.seq}: ${struck.body.reason}`,
    digest: entry.digest.slice(0, 12),
  };
}
