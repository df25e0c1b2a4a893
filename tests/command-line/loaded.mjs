// Laid into a program before it starts (node --import): asked by a message, it tells which modules its main thread has loaded so far.
import { Session } from 'node:inspector';
import { isMainThread } from 'node:worker_threads';

if (isMainThread) {
  const loaded = [];
  const session = new Session();
  session.connect();
  session.on('Debugger.scriptParsed', ({ params }) => loaded.push(params.url));
  session.post('Debugger.enable');
  process.on('message', () => process.send?.(loaded));
  process.channel?.unref();
}
