import type { FastifyInstance } from 'fastify';
import type { Services } from '../services.js';

/** Few enough that a request between two batches waits some hundredths of a second. */
const batch = 4;

/**
 * Once the server listens, lines of the list that this version has not computed yet are computed, a few at a time, with
 * room for requests between. Where the disk refuses, the list goes on computing what it shows, and says what it misses.
 */
export function fillList(app: FastifyInstance, { store }: Services): void {
  let next: NodeJS.Immediate | undefined;
  const fillSome = () => {
    try {
      if (store.broken === undefined && store.lines.fill(batch) > 0) next = setImmediate(fillSome);
    } catch (error) {
      app.log.warn({ err: error }, 'the list of jobs could not be filled');
    }
  };
  app.addHook('onListen', async () => {
    next = setImmediate(fillSome);
  });
  app.addHook('preClose', async () => clearImmediate(next));
}
