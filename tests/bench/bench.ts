// npm run bench: every measure beside its bare part, in one run. Ends with 1 where a mark is missed. `--only NAME` takes one; `--plot`
// draws instead how times grow with the number of jobs; `--full` takes jobs of 200 entries, 20 million in all, which takes long to make.
import { parseArgs } from 'node:util';
import folderOfTheRun from '../setup/folder-of-the-run.js';
import { faultFinder } from './fault-finder.js';
import { folding } from './folding.js';
import { plotGrowth } from './growth.js';
import { issuing } from './issuing.js';
import { manyJobs } from './many-jobs.js';
import { memory } from './memory.js';
import { twentyPhones } from './phones.js';
import { record } from './record.js';
import { type Measure, reached } from './row.js';
import { saving } from './saving.js';
import { stepPage } from './step-page.js';
import { takingOut } from './taking-out.js';

process.once('exit', folderOfTheRun());

const { values } = parseArgs({
  options: {
    only: { type: 'string', multiple: true },
    plot: { type: 'boolean', default: false },
    full: { type: 'boolean', default: false },
  },
});
const entriesEach = values.full ? 200 : 20;
const measures: Readonly<Record<string, Measure>> = {
  'step-page': stepPage,
  saving,
  folding,
  'fault-finder': faultFinder,
  'many-jobs': manyJobs(entriesEach),
  record,
  issuing,
  'taking-out': takingOut,
  memory: memory(entriesEach),
  phones: twentyPhones,
};

if (values.plot) await plotGrowth(entriesEach);
else process.exitCode = (await missedOf(values.only ?? Object.keys(measures))) === 0 ? 0 : 1;

/** Runs the measures, prints their rows, and answers how many marks were missed. */
async function missedOf(wanted: readonly string[]): Promise<number> {
  let missed = 0;
  for (const name of wanted) {
    const measure = measures[name];
    if (measure === undefined)
      throw new Error(`there is no measure ${name}; there are: ${Object.keys(measures).join(', ')}`);
    for (const row of await measure()) {
      const met = reached(row);
      if (!met) missed += 1;
      const mark = 'atLeast' in row.mark ? `≥ ${row.mark.atLeast}` : `≤ ${row.mark.atMost}`;
      console.log(
        `${met ? 'reached' : 'MISSED '}  ${row.ratio.toPrecision(3)} (${mark})  ${row.what} beside ${row.beside}: ${row.figures}`,
      );
    }
  }
  return missed;
}
