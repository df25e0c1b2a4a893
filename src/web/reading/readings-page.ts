import type { FastifyInstance } from 'fastify';
import { readingsCsv } from '../../record/readings-csv.js';
import { isDue, type ReadingStanding } from '../../steps/assessment.js';
import { type WorkAt, workAt } from '../job/job-at.js';
import { renderKept } from '../page/kept-page.js';
import type { Services } from '../services.js';
import { cautionsOf, readingLine } from '../step/step-model.js';
import { jobPath } from '../words/job-words.js';
import { uncertaintyText } from '../words/reading-words.js';
import { readingScales } from './reading-drawing.js';

const groups = [
  { id: 'dead', title: 'Dead: cord out, every source off' },
  { id: 'live', title: 'Live' },
  { id: 'handover', title: 'Again, with the trim on' },
] as const;

const groupCautions = {
  dead: ['mains-kills', 'work-dead', 'other-source-off'],
  live: ['live-helper', 'live-hands', 'skin-untouched'],
  handover: ['mains-kills', 'work-dead', 'other-source-off', 'live-helper', 'live-hands'],
} as const;

/** `/jobs/:job/readings`: every reading that the circuit calls for, what it should show, what it showed; and as CSV. */
export function registerReadingsPage(app: FastifyInstance, services: Services): void {
  app.get('/jobs/:job/readings', async (request, reply) => {
    const at = workAt(services, request);
    return renderKept(reply, services, at.log, 'readings', () => readingsModel(at));
  });

  app.get('/jobs/:job/readings.csv', async (request, reply) => {
    const { number, job } = workAt(services, request);
    return reply
      .type('text/csv; charset=utf-8; header=present')
      .header('content-disposition', `attachment; filename="readings-${number}.csv"`)
      .header('cache-control', 'no-store')
      .send(readingsCsv(job));
  });
}

function readingsModel({ number, job }: WorkAt) {
  const all = [...job.readings.values()];
  const missing = all.filter(isDue);
  const left = missing.length;
  const first = missing[0]?.planned;
  return {
    title: 'Readings',
    csv: jobPath(number, 'readings.csv'),
    wide: true,
    backTo: 'job',
    left,
    firstLeft: first && { href: `#reading-${first.id}`, label: `First to take: ${first.code}` },
    groups: groups
      .map((g) => ({
        ...g,
        cautions: cautionsOf(groupCautions[g.id], { live: g.id !== 'dead' }),
        scales: readingScales(
          all.filter((r) => r.planned.stage === g.id),
          g.id,
        ),
        readings: all.filter((r) => r.planned.stage === g.id).map((r) => row(number, r)),
      }))
      .filter((g) => g.readings.length > 0),
  };
}

function row(number: string, reading: ReadingStanding) {
  const instrument = reading.taken?.body.instrument;
  return {
    ...readingLine(number, reading),
    uncertainty: uncertaintyText(reading),
    instrument: instrument === undefined ? '' : `${instrument.name}, ${instrument.serial}`,
  };
}
