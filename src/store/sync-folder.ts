import { closeSync, fsyncSync, openSync } from 'node:fs';

/** Puts a folder's names on the disk: a file that was renamed in it is there after a power cut. */
export function syncFolder(folder: string): void {
  syncFile(folder);
}

/** Puts a file on the disk. */
export function syncFile(file: string): void {
  const handle = openSync(file, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
