import type { FastifyInstance } from 'fastify';
import type { TimeZone } from '../../logbook/time-zone.js';
import { goTo } from '../page/page.js';
import type { Services } from '../services.js';
import { whenText } from '../words/job-words.js';

/** `/shop/backup` and `/shop/check`: what looks after the store by itself, asked for at once. */
export function registerUpkeepPages(app: FastifyInstance, { upkeep }: Services): void {
  app.post('/shop/backup', async (_request, reply) => {
    const done = await soon(upkeep?.backUp());
    const fault = upkeep?.state().backupFault;
    const said = fault === undefined ? 'A backup was made.' : `No backup was made: ${fault}`;
    return goTo(reply, '/shop#upkeep', done ? said : goesOn);
  });

  app.post('/shop/check', async (_request, reply) => {
    const done = await soon(upkeep?.check());
    const { checked, checkFault } = upkeep?.state() ?? {};
    const said =
      checkFault !== undefined
        ? `It could not be looked through: ${checkFault}`
        : checked?.found.length === 0
          ? 'Everything agrees.'
          : 'Something does not agree: see below.';
    return goTo(reply, '/shop#upkeep', done ? said : goesOn);
  });
}

const patienceMs = 20_000;
const goesOn = 'This takes a while. It goes on by itself; load this page again to see how it went.';

/** Whether a piece of upkeep is done while somebody waits for the page: a large shop takes minutes. */
function soon(work: Promise<void> | undefined): Promise<boolean> {
  const late = new Promise<boolean>((resolve) => setTimeout(() => resolve(false), patienceMs).unref());
  return Promise.race([(work ?? Promise.resolve()).then(() => true), late]);
}

/** What looks after the store did last, in words. */
export function upkeepModel({ upkeep }: Services, zone: TimeZone) {
  if (upkeep === undefined) return undefined;
  const { plan, newest, backupFault, checked, checkFault } = upkeep.state();
  return {
    planned: plan !== undefined,
    backupFault,
    checkFault,
    found: checked?.found ?? [],
    facts: [
      {
        term: 'By plan',
        value:
          plan === undefined
            ? 'none: start with --backup-dir'
            : `every ${plan.everyHours} h, the newest ${plan.keep} kept in ${plan.dir}`,
      },
      ...(plan === undefined
        ? []
        : [{ term: 'Newest backup', value: newest === undefined ? 'none yet' : whenText(newest.at, zone) }]),
      {
        term: 'Looked through',
        value:
          checked === undefined
            ? 'not yet since the start'
            : `${whenText(checked.at, zone)}: ${checked.found.length === 0 ? 'everything agrees' : 'something does not agree'}`,
      },
    ],
  };
}
