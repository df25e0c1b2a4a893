import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { packageRoot } from './package-root.js';

/**
 * Starts a module of this program in a process of its own, compiled or from its sources, that may hold so many MiB: for what strangers
 * send. A thread that runs out of memory within one call of the engine takes the whole program along. `name` is relative to the module at
 * `here`, without an extension.
 */
export function ownProcess(here: string, name: string, mebibytes: number): ChildProcess {
  const fromSource = here.endsWith('.ts');
  return fork(fileURLToPath(new URL(`${name}.${fromSource ? 'ts' : 'js'}`, here)), [], {
    cwd: packageRoot,
    execArgv: [`--max-old-space-size=${mebibytes}`, ...(fromSource ? ['--import', 'tsx'] : [])],
    serialization: 'advanced',
    // What the engine prints where it gives up is of no use to anybody.
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });
}
