import { readFileSync } from 'node:fs';

/** The demonstration job as a file's text. */
export const demoJobText = readFileSync(new URL('../../seed-demo/job.json', import.meta.url), 'utf8');

// biome-ignore lint/suspicious/noExplicitAny: a file is spoilt here in ways that its type does not allow
export type Raw = any;

/** A job file without digests and with something changed, as text; the demonstration's where no other is given. */
export function spoilt(change: (file: Raw) => void, from = demoJobText): string {
  const file = JSON.parse(from);
  for (const entry of file.entries) {
    delete entry.digest;
    delete entry.previous;
  }
  change(file);
  return JSON.stringify(file);
}
