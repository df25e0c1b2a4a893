import type { FastifyInstance } from 'fastify';
import { standingRecord } from '../logbook/standing-record.js';
import { assess } from '../steps/assess.js';
import { stages } from '../steps/step.js';
import type { JobAt } from './job-at.js';
import { jobNext } from './job-next.js';
import { dayText, jobPath } from './job-words.js';
import { render } from './page.js';
import type { Services } from './services.js';

/** `/`: every job with its stage in words and what is next; what is set aside or closed stands apart. */
export function registerJobList(app: FastifyInstance, { store }: Services): void {
  app.get('/', async (_request, reply) => {
    const jobs = store.jobs.list().map(({ number, openedAt }) => {
      const log = store.logbook.log(number);
      return { ...jobLine({ number, log, job: assess(log) }), opened: dayText(openedAt) };
    });
    return render(reply, 'jobs', {
      title: 'Jobs',
      open: jobs.filter((j) => j.standing === 'open'),
      apart: jobs.filter((j) => j.standing !== 'open'),
    });
  });
}

/** A job as one line of the list. */
export function jobLine(at: JobAt) {
  const { number, log, job } = at;
  const standing = standingRecord(log);
  return {
    number,
    href: jobPath(number),
    vehicle: log.described?.vehicle.description ?? '',
    owner: log.described?.owner ?? '',
    standing: log.standing,
    stage: job === undefined ? 'No circuit yet' : stages[job.stage],
    record: standing === undefined ? '' : `revision ${standing.body.revision} issued`,
    openDefects: job?.defects.filter((d) => d.status === 'open').length ?? 0,
    next: jobNext(at),
    reason: reasonOf(at),
  };
}

function reasonOf({ log }: JobAt): string {
  const last = log.entries.findLast((e) => e.kind === 'job set aside' || e.kind === 'job closed');
  return last !== undefined && 'reason' in last.body ? String(last.body.reason) : '';
}
