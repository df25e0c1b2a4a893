// npm run bench: every measure beside its bare part, in one run. Ends with 1 where a mark is missed.
import { parseArgs } from 'node:util';
import { faultFinder } from './fault-finder.js';
import { folding } from './folding.js';
import { issuing } from './issuing.js';
import { manyJobs } from './many-jobs.js';
import { memory } from './memory.js';
import { record } from './record.js';
import { type Measure, reached } from './row.js';
import { saving } from './saving.js';
import { stepPage } from './step-page.js';

const measures: Readonly<Record<string, Measure>> = {
  'step-page': stepPage,
  saving,
  folding,
  'fault-finder': faultFinder,
  'many-jobs': manyJobs(10_000),
  record,
  issuing,
  memory,
};

const { values } = parseArgs({ options: { only: { type: 'string', multiple: true } } });
const wanted = values.only ?? Object.keys(measures);
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
process.exitCode = missed === 0 ? 0 : 1;
