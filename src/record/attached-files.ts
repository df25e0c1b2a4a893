import { Buffer } from 'node:buffer';
import { canonicalJson, type Json } from '../logbook/canonical.js';
import type { Assessment } from '../steps/assessment.js';
import { readingsFileOf } from '../steps/readings-file-of.js';
import type { Attachment } from './attached-data.js';
import { readingsCsv } from './readings-csv.js';
import { type RecordFacts, recordFactsJsonSchema } from './record-facts.js';

/** Every file that travels inside a record, in the order in which it is put there. `jobFile` is the text of job.json. */
export function attachmentsOf(job: Assessment, said: RecordFacts, jobFile: string): Attachment[] {
  const json = (name: string, description: string, text: string): Attachment => ({
    name,
    description,
    type: 'application/json',
    data: Buffer.from(text, 'utf8'),
  });
  return [
    json('record.json', 'What this record says of itself', canonicalJson(said as Json)),
    json(
      'record.schema.json',
      'The JSON Schema of record.json',
      `${JSON.stringify(recordFactsJsonSchema(), null, 1)}\n`,
    ),
    json('job.json', 'The job with its whole logbook', jobFile),
    json('readings.json', 'The readings as measured', `${JSON.stringify(readingsFileOf(job), null, 1)}\n`),
    {
      name: 'readings.csv',
      description: 'The readings with what was expected, their limits and verdicts, for a spreadsheet',
      type: 'text/csv',
      data: Buffer.from(readingsCsv(job), 'utf8'),
    },
  ];
}
