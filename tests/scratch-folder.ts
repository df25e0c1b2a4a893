import { existsSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';

/**
 * A new empty folder. It need not be taken away: it lies in the folder of the run (`setup/folder-of-the-run`), which goes as a whole
 * when the run ends, whatever failed in it. Whoever fills it with much takes it away sooner.
 */
export function scratchFolder(): string {
  return mkdtempSync(`${tmpdir()}/scratch-`);
}

/** A new empty folder in memory where the machine has one, for what is written thousands of times; else as `scratchFolder`. Whoever makes it takes it away. */
export function scratchInMemory(): string {
  return existsSync('/dev/shm') ? mkdtempSync('/dev/shm/inlet-scratch-') : scratchFolder();
}
