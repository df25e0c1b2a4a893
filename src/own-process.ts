import { type ChildProcess, fork } from 'node:child_process';
import { constants, setPriority } from 'node:os';
import { fileURLToPath } from 'node:url';
import { packageRoot } from './package-root.js';

/**
 * Starts a module of this program in a process of its own, compiled or from its sources, that may hold so many MiB, and behind whoever is
 * at work: for what strangers send, and for what goes through the whole store. A thread that runs out of memory within one call of the
 * engine takes the whole program along, and keeps room in it that the program never gives back. `name` is relative to the module at
 * `here`, without an extension.
 */
export function ownProcess(here: string, name: string, mebibytes: number): ChildProcess {
  const fromSource = here.endsWith('.ts');
  const child = fork(fileURLToPath(new URL(`${name}.${fromSource ? 'ts' : 'js'}`, here)), [], {
    cwd: packageRoot,
    execArgv: [`--max-old-space-size=${mebibytes}`, ...(fromSource ? ['--import', 'tsx'] : [])],
    serialization: 'advanced',
    // What the engine prints where it gives up is of no use to anybody.
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });
  try {
    if (child.pid !== undefined) setPriority(child.pid, constants.priority.PRIORITY_BELOW_NORMAL);
  } catch {
    // Where the system does not let it, the work is done all the same.
  }
  return child;
}
