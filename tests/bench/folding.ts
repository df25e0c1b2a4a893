import { mkdirSync } from 'node:fs';
import { foldJob } from '../../src/logbook/job-log.js';
import { openDatabase } from '../../src/store/database.js';
import { databaseName } from '../../src/store/open-beside.js';
import { readEntries } from '../../src/store/sealed-entries.js';
import { type Measure, timedInTurns } from './row.js';
import { serveDemo } from './served/shop.js';
import { inFolder } from './served/start.js';

export const folding: Measure = () =>
  inFolder(async (dir) => {
    mkdirSync(`${dir}/shop`);
    const shop = await serveDemo(`${dir}/shop`, { jobs: 1, entries: 1000 });
    const [job = ''] = shop.jobs;
    await shop.stop();
    const db = openDatabase(`${dir}/shop/${databaseName}`, { readOnly: true });
    const select = db.prepare('SELECT * FROM entries WHERE job = ? ORDER BY seq');
    const [read = 0, folded = 0] = await timedInTurns(
      [() => select.all(job), () => foldJob(readEntries(db, job))],
      { runs: 40, warm: 10 },
    );
    db.close();
    return [
      {
        what: 'a job of 1,000 entries, read and folded',
        beside: 'reading the same rows',
        figures: `${folded.toFixed(2)} and ${read.toFixed(2)} ms`,
        ratio: folded / read,
        mark: { atMost: 3 },
      },
    ];
  });
