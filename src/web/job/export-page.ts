import type { FastifyInstance } from 'fastify';
import { AppError } from '../../errors.js';
import { exportedJob } from '../../store/carry/export-job.js';
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
      .send(Buffer.from(zipJob(exportedJob(services.store, number))));
  });
}
