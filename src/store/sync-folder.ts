import { closeSync, fsyncSync, openSync } from 'node:fs';

/** Puts a folder's names on the disk: a file that was renamed in it is there after a power cut. */
export function syncFolder(folder: string): void {
  const handle = openSync(folder, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
