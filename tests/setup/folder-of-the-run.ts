import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';

const prefix = 'inlet-tests-';
/** No run takes a day: what is older was left by one that was killed. */
const leftAfterMs = 24 * 60 * 60 * 1000;

/**
 * Gives the run one folder for whatever it or a program that it starts keeps for a while (a database, a browser's profile), by the
 * variable that all of them ask, and takes it away at the end.
 */
export default function folderOfTheRun(): () => void {
  const of = tmpdir();
  for (const name of readdirSync(of))
    if (name.startsWith(prefix) && statSync(`${of}/${name}`).mtimeMs < Date.now() - leftAfterMs)
      rmSync(`${of}/${name}`, { recursive: true, force: true });
  const before = process.env.TMPDIR;
  const folder = mkdtempSync(`${of}/${prefix}`);
  process.env.TMPDIR = folder;
  return () => {
    if (before === undefined) delete process.env.TMPDIR;
    else process.env.TMPDIR = before;
    rmSync(folder, { recursive: true, force: true, maxRetries: 3 });
  };
}
