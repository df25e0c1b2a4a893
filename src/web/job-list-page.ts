import type { FastifyInstance } from 'fastify';
import { type JobLine, jobLine } from '../steps/job-line.js';
import { dayText, jobPath } from './job-words.js';
import { render } from './page.js';
import type { Services } from './services.js';

/** `/`: every job with its stage in words and what is next; what is set aside or closed stands apart. */
export function registerJobList(app: FastifyInstance, { store }: Services): void {
  app.get('/', async (_request, reply) => {
    const jobs = store.jobs.list().map(({ number, openedAt }) => ({
      ...lineModel(number, jobLine(store.logbook.log(number))),
      opened: dayText(openedAt),
    }));
    return render(reply, 'jobs', {
      title: 'Jobs',
      open: jobs.filter((j) => j.standing === 'open'),
      apart: jobs.filter((j) => j.standing !== 'open'),
    });
  });
}

function lineModel(number: string, line: JobLine) {
  return {
    ...line,
    number,
    href: jobPath(number),
    record: line.revision === 0 ? '' : `revision ${line.revision} issued`,
    next: line.next && { title: line.next.title, href: jobPath(number, ...line.next.path) },
  };
}
