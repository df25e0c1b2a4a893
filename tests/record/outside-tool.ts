import { Buffer } from 'node:buffer';
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { scratchFolder } from '../scratch-folder.js';

/** Runs a tool from outside the project. Throws, naming it, where it is not installed. */
export function runTool(command: string, args: readonly string[]): { code: number; text: string } {
  const run = spawnSync(command, [...args], {
    encoding: 'utf8',
    maxBuffer: 64 * 1024 * 1024,
    env: { ...process.env, TZ: 'UTC', LC_ALL: 'C.UTF-8' },
  });
  if (run.error) throw new Error(`${command} is needed for this check: ${run.error.message}`);
  return { code: run.status ?? -1, text: `${run.stdout}${run.stderr}` };
}

/** A folder of its own with files in it; answers the path of each. */
export function filesIn<K extends string>(files: Record<K, Uint8Array | string>): Record<K, string> {
  const folder = scratchFolder();
  const paths = Object.entries<Uint8Array | string>(files).map(([name, content]) => {
    writeFileSync(join(folder, name), content);
    return [name, join(folder, name)];
  });
  return Object.fromEntries(paths) as Record<K, string>;
}

/** A copy with one byte changed. */
export function flipped(bytes: Buffer, at: number, mask = 0x01): Buffer {
  const changed = Buffer.from(bytes);
  changed[at] = changed[at]! ^ mask;
  return changed;
}

/** The signature and the bytes it covers, cut out of a PDF as its ByteRange says, by no code of the project's. */
export function cutSignature(pdf: Buffer): { cms: Buffer; covered: Buffer } {
  const [, from, to, rest] = /\/ByteRange \[0 (\d+) (\d+) (\d+)\]/
    .exec(pdf.toString('latin1'))!
    .map(Number) as [number, number, number, number];
  const hex = pdf.toString('latin1', from + 1, to - 1);
  return {
    cms: Buffer.from(hex, 'hex'),
    covered: Buffer.concat([pdf.subarray(0, from), pdf.subarray(to, to + rest)]),
  };
}
