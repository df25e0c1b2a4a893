import type { FastifyInstance } from 'fastify';
import { render } from './page.js';
import type { Services } from './services.js';

/** The list of jobs. */
export function registerJobPages(app: FastifyInstance, { store }: Services): void {
  app.get('/', async (_request, reply) => {
    const jobs = store.jobs.list().map(({ number, openedAt }) => ({
      number,
      opened: openedAt.slice(0, 10),
      vehicle: store.logbook.log(number).described?.vehicle.description ?? '',
    }));
    return render(reply, 'jobs', { title: 'Jobs', jobs });
  });
}
