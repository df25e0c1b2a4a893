import { open, rm, stat, writeFile } from 'node:fs/promises';
import { type FileIo, UsageError } from '../command.js';

/**
 * Writes a file that was not there before, and confirms it on the disk. One that is there already stays as it is, and the promise is
 * refused with `EEXIST`; what could not be written whole is taken away again. A pipe or a device is written to as it is.
 */
export async function writeNew(path: string, bytes: Uint8Array): Promise<void> {
  const there = await stat(path).catch(() => undefined);
  if (there !== undefined && !there.isFile()) return writeFile(path, bytes);
  const file = await open(path, 'wx');
  try {
    await file.writeFile(bytes);
    await file.sync();
  } catch (error) {
    await rm(path, { force: true });
    throw error;
  } finally {
    await file.close();
  }
}

/** Writes what a command makes to the file that it was told; throws UsageError, naming command and file, where it cannot. */
export async function writeOut(command: string, path: string, bytes: Uint8Array, io: FileIo): Promise<void> {
  await io.writeBytes(path, bytes).catch((error: NodeJS.ErrnoException) => {
    const why = error.code === 'EEXIST' ? 'is there already; name another file' : 'cannot be written';
    throw new UsageError(`${command}: ${path}: ${why}`);
  });
}
