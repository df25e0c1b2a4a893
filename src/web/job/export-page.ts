import { Readable } from 'node:stream';
import { setImmediate as others } from 'node:timers/promises';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../errors.js';
import { zippableJob } from '../../store/carry/export-job.js';
import { zipJob } from '../../store/carry/job-zip.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { jobAt } from './job-at.js';

/** `/jobs/:job/export`: the whole job as one zip, for a fitter or a keeper. */
export function registerExport(app: FastifyInstance, services: Services): void {
  app.get('/jobs/:job/export', async (request, reply) => {
    const { number } = jobAt(services, request);
    const { roles } = requirePerson(request);
    if (!roles.includes('fitter') && !roles.includes('keeper'))
      throw new AppError('not-allowed', 'A fitter or a keeper takes a job out as a file.');
    return reply
      .type('application/zip')
      .header('content-disposition', `attachment; filename="job-${number}.zip"`)
      .header('cache-control', 'no-store')
      .send(Readable.from(inTurnWithOthers(zipJob(zippableJob(services.store, number)))));
  });
}

/** One piece after the other as they are sent, and whoever else asks meanwhile is answered between two. */
async function* inTurnWithOthers(pieces: Iterable<Uint8Array>): AsyncGenerator<Uint8Array> {
  for (const piece of pieces) {
    yield piece;
    await others();
  }
}
