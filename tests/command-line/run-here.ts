import { readFile, writeFile } from 'node:fs/promises';
import { runCommand } from '../../src/run-command.js';

/** A command in this process, with what it said. */
export async function runHere(...args: readonly string[]) {
  const said = { out: [] as string[], err: [] as string[] };
  const status = await runCommand(args, {
    out: (line) => void said.out.push(line),
    err: (line) => void said.err.push(line),
    readFile: (path) => readFile(path, 'utf8'),
    readBytes: (path) => readFile(path),
    writeBytes: (path, bytes) => writeFile(path, bytes),
  });
  return { status, out: said.out.join('\n'), err: said.err.join('\n') };
}
