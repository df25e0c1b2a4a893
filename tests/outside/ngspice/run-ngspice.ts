import { spawnSync } from 'node:child_process';
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { scratchFolder } from '../../scratch-folder.js';

/** Complex values by vector name, as one `.ac` at 60 Hz gave them. */
export type Vectors = ReadonlyMap<string, { readonly re: number; readonly im: number }>;

/** Runs one deck and returns the saved vectors (`v(node)`, `i(source)`), names in lower case. */
export function runNgspice(lines: readonly string[], save: Iterable<string>): Vectors {
  const folder = scratchFolder();
  try {
    const vectors = [...new Set(save)];
    const deck = [
      'van circuit',
      '.options rshunt=1e11 pivtol=1e-18 noacct',
      ...lines,
      ...chunks(vectors, 40).map((some) => `.save ${some.join(' ')}`),
      '.ac lin 1 60 60',
      '.end',
      '',
    ];
    writeFileSync(join(folder, 'deck.cir'), deck.join('\n'));
    const run = spawnSync('ngspice', ['-b', '-r', 'out.raw', 'deck.cir'], {
      cwd: folder,
      encoding: 'utf8',
      maxBuffer: 1 << 28,
    });
    if (run.error)
      throw new Error('ngspice cannot be run: install the Debian package ngspice', { cause: run.error });
    return parseRaw(readFileSync(join(folder, 'out.raw')));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function parseRaw(raw: Buffer): Vectors {
  const marker = Buffer.from('Binary:\n');
  const at = raw.indexOf(marker);
  if (at < 0) throw new Error('ngspice wrote no binary vectors');
  const head = raw.subarray(0, at).toString('utf8').split('\n');
  const start = head.findIndex((line) => line.startsWith('Variables:'));
  const names = head.slice(start + 1).flatMap((line) => {
    const parts = line.trim().split('\t');
    return parts.length >= 3 ? [parts[1]!.toLowerCase()] : [];
  });
  const vectors = new Map<string, { re: number; im: number }>();
  names.forEach((name, i) => {
    const offset = at + marker.length + i * 16;
    vectors.set(name, { re: raw.readDoubleLE(offset), im: raw.readDoubleLE(offset + 8) });
  });
  return vectors;
}

function chunks<T>(list: readonly T[], size: number): T[][] {
  const out: T[][] = [];
  for (let i = 0; i < list.length; i += size) out.push(list.slice(i, i + size));
  return out;
}
