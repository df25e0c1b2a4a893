import { Worker, type WorkerOptions } from 'node:worker_threads';

/**
 * Starts a module of this program in a thread of its own, compiled or from its sources. `name` is relative to the module
 * at `here`, without an extension.
 */
export function ownThread(here: string, name: string, options: WorkerOptions): Worker {
  if (!here.endsWith('.ts')) return new Worker(new URL(`${name}.js`, here), options);
  // Run from its sources, a thread needs their loader as well.
  const source = JSON.stringify(new URL(`${name}.ts`, here).href);
  const start = `import('tsx/esm/api').then(({ register }) => { register(); return import(${source}); })`;
  return new Worker(start, { ...options, eval: true });
}
