// Laid into the compiled server before it starts (node --import): told to watch, it tells what the process held since.
import { readFileSync, writeFileSync } from 'node:fs';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { isMainThread } from 'node:worker_threads';

if (isMainThread) {
  const delay = monitorEventLoopDelay({ resolution: 5 });
  process.on('message', (word) => process.send?.(word === 'watch' ? watch() : held()));
  // No server outlives the bench that started it.
  process.once('disconnect', () => process.kill(process.pid, 'SIGTERM'));
  // Who only listens keeps no server running that was told to stop.
  process.channel?.unref();

  /** The kernel forgets the most that was held so far. */
  function watch() {
    writeFileSync('/proc/self/clear_refs', '5');
    delay.reset();
    delay.enable();
    return null;
  }

  function held() {
    delay.disable();
    const kilobytes = /VmHWM:\s+(\d+) kB/.exec(readFileSync('/proc/self/status', 'utf8'))?.[1];
    return {
      p99Ms: delay.percentile(99) / 1e6,
      mostMs: delay.max / 1e6,
      mostMb: Number(kilobytes) / 1024,
    };
  }
}
