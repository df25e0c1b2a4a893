import { parentPort, workerData } from 'node:worker_threads';
import { AppError } from '../../errors.js';
import { headsName, openBeside } from '../open-beside.js';
import { findingText, makeBackup } from './backup.js';
import { findings } from './findings.js';
import type { ThreadAnswer, ThreadTask } from './upkeep.js';

/** What a person can take in; the command `check-data` names them all. */
const namedAtMost = 20;

const task = workerData as ThreadTask;
parentPort?.postMessage(answer());

function answer(): ThreadAnswer {
  try {
    if (task.do === 'check') return { found: foundIn(task.dir) };
    return { manifest: makeBackup(task.dir, task.file, new Date(task.now)) };
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    // A database that cannot be read at all is a finding too.
    if (task.do === 'check' && error.code === 'logbook-broken') return { found: [error.message] };
    return { refused: error.message };
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
