import { readFile } from 'node:fs/promises';
import type { FileIo } from '../../../src/command.js';
import { readJobFileAt } from '../../../src/command-line/import-command.js';
import { type Demo, makeDemo } from '../../../src/command-line/make-demo.js';
import { importJob } from '../../../src/store/import-job.js';
import type { JobFile } from '../../../src/store/job-file.js';
import type { Store } from '../../../src/store/open-store.js';

/** The invented shop with so many jobs besides the demonstration's own, finished but for their record. */
export async function makeDemoWithJobs(
  store: Store,
  count: number,
): Promise<{ readonly people: Demo['people']; readonly jobs: readonly string[] }> {
  const clock = () => new Date();
  const file = await readJobFileAt('bench', 'seed-demo/job.json', {
    readBytes: (path: string) => readFile(path),
  } as unknown as FileIo);
  const { people } = await makeDemo(store, clock, file);
  const jobs: string[] = [];
  for (let k = 1; k <= count; k += 1) jobs.push((await importJob(store, later(file, k))).number);
  return { people, jobs };
}

/** The same work, some days later, so that it is another job. */
function later(job: JobFile, days: number): JobFile {
  const { job: _number, ...rest } = job;
  return {
    ...rest,
    records: {},
    entries: job.entries.map(({ digest: _d, previous: _p, ...entry }) => ({
      ...entry,
      at: new Date(Date.parse(entry.at) + days * 86_400_000).toISOString(),
    })),
  } as JobFile;
}
