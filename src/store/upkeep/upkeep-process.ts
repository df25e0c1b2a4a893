import { AppError } from '../../errors.js';
import { headsName, openBeside } from '../open-beside.js';
import { makeBackup } from './backup.js';
import { findingText } from './finding.js';
import { findings } from './findings.js';
import type { UpkeepAnswer, UpkeepTask } from './upkeep.js';

/** What a person can take in; the command `check-data` names them all. */
const namedAtMost = 20;

// The server ends it. What a terminal or systemd tells all of its processes at once is for the server alone to hear.
for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => undefined);

/** The process of `keepUp`: does one task, answers, and is gone. */
process.once('message', (task: UpkeepTask) => {
  process.send?.(answerTo(task), () => process.exit());
});

function answerTo(task: UpkeepTask): UpkeepAnswer {
  try {
    if (task.do === 'check') return { found: foundIn(task.dir) };
    return { manifest: makeBackup(task.dir, task.file, new Date(task.now)) };
  } catch (error) {
    // A database that cannot be read at all is a finding too.
    if (task.do === 'check' && error instanceof AppError && error.code === 'logbook-broken')
      return { found: [error.message] };
    return { refused: error instanceof Error ? error.message : String(error) };
  }
}

function foundIn(dir: string): string[] {
  const db = openBeside(dir);
  try {
    const found: string[] = [];
    for (const finding of findings(db, `${dir}/${headsName}`))
      if (found.push(findingText(finding)) >= namedAtMost) break;
    return found;
  } finally {
    db.close();
  }
}
