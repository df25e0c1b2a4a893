import type { ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { resolve } from 'node:path';
import { oneAtATime } from '../../in-turns.js';
import { ownProcess } from '../../own-process.js';
import { whyNot } from '../data-folder.js';
import type { Store } from '../open-store.js';
import type { Manifest } from './backup-file.js';
import {
  type BackupFolder,
  type BackupPlan,
  backupFolder,
  type PlannedBackup,
  shopMark,
} from './backup-folder.js';

export type UpkeepTask =
  | { readonly do: 'check'; readonly dir: string }
  | { readonly do: 'backup'; readonly dir: string; readonly file: string; readonly now: string };
export type UpkeepAnswer =
  | { readonly found: readonly string[] }
  | { readonly manifest: Manifest }
  | { readonly refused: string };

/** What was done last, for the keeper's page. */
interface UpkeepState {
  readonly plan: BackupPlan | undefined;
  /** The newest backup by the plan, this start's or an earlier one's. */
  readonly newest: PlannedBackup | undefined;
  /** Why the last try made none; undefined where it did. */
  readonly backupFault: string | undefined;
  readonly checked: { readonly at: string; readonly found: readonly string[] } | undefined;
  /** Why the last try could not look through the store; undefined where it did. */
  readonly checkFault: string | undefined;
}

export interface Upkeep {
  state(): UpkeepState;
  /** Looks through the whole store now; where something is found, the store is closed for writing. */
  check(): Promise<void>;
  /** Makes a backup by the plan now, and lets the oldest go. Does nothing where there is no plan. */
  backUp(): Promise<void>;
  /** Ends what is under way, at once: nothing of it is kept. */
  stop(): Promise<void>;
}

interface Parts {
  readonly store: Store;
  readonly clock: () => Date;
  readonly plan?: BackupPlan | undefined;
  readonly log: { info(facts: object, said: string): void; error(facts: object, said: string): void };
}

const hourMs = 3_600_000;
/** A machine that slept through its hour is soon asked again. */
const lookEveryMs = hourMs / 6;
const checkEveryMs = 24 * hourMs;
/** It goes from row to row: what a photo and the rows of one job take is far below. */
const mebibytesAtMost = 1024;

/**
 * Looks through the store and backs it up, by itself, in a process of its own: whoever works meanwhile is answered, and what it held goes
 * back to the machine.
 */
export function keepUp({ store, clock, plan, log }: Parts): Upkeep {
  // A process of its own stands in another folder.
  const dir = resolve(store.dir);
  let checked: UpkeepState['checked'];
  let checkFault: string | undefined;
  let backupFault: string | undefined;
  let worker: ChildProcess | undefined;
  let stopped = false;
  let mark: string | undefined;
  const markOnce = () => {
    // A shop has none before it is set up, and then the same for ever.
    if (mark === undefined || !/[^0]/.test(mark)) mark = shopMark(store.db);
    return mark;
  };
  const folder = plan && backupFolder(plan, markOnce);

  const next = oneAtATime();
  const inTurn = (work: () => Promise<void>): Promise<void> =>
    next(async () => {
      if (!stopped) await work();
    });

  const inProcess = (task: UpkeepTask): Promise<UpkeepAnswer> => {
    const mine = ownProcess(import.meta.url, './upkeep-process', mebibytesAtMost);
    worker = mine;
    return new Promise<UpkeepAnswer>((answer) => {
      mine.once('message', answer);
      mine.once('error', (error) => answer({ refused: error.message }));
      mine.once('close', () => answer({ refused: 'what looks after the store was ended on the way' }));
      // Where it ends before it has heard all, that is told by its end.
      mine.send(task, () => undefined);
    });
  };

  const check = () =>
    inTurn(async () => {
      const answer = await inProcess({ do: 'check', dir });
      checkFault = 'refused' in answer ? answer.refused : undefined;
      if (stopped) return;
      if (!('found' in answer))
        return log.error({ why: checkFault }, 'the store could not be looked through');
      checked = { at: clock().toISOString(), found: answer.found };
      const [first] = answer.found;
      if (first === undefined) return log.info({}, 'the whole store was looked through: everything agrees');
      log.error({ found: answer.found }, 'the store does not agree with itself');
      store.closeForWriting(first);
    });

  const backUp = () =>
    inTurn(async () => {
      if (folder === undefined || plan === undefined) return;
      const now = clock();
      const named = folder.nameAt(now);
      const file = `${plan.dir}/${named}`;
      // Asked twice within a second: the one that is there is as good.
      if (folder.list(now).at(-1)?.file === named) return;
      backupFault =
        faultOf(folder, plan) ??
        refusalIn(await inProcess({ do: 'backup', dir, file: resolve(file), now: now.toISOString() }));
      if (stopped) return;
      if (backupFault !== undefined) return log.error({ file, why: backupFault }, 'no backup was made');
      folder.letOldestGo(now);
      log.info({ file }, 'a backup was made');
    });

  const noted = (error: unknown) => log.error({ err: error }, 'the upkeep of the store failed');
  const backUpWhereDue = async () => {
    const now = clock();
    if (plan !== undefined && isDue(folder?.list(now).at(-1)?.at, plan.everyHours * hourMs, now))
      await backUp();
  };
  const doWhatIsDue = async () => {
    const checkIsDue = isDue(checked?.at, checkEveryMs, clock());
    await Promise.all([checkIsDue && check().catch(noted), backUpWhereDue().catch(noted)]);
  };
  // What lasts longer than the time between two looks is not due once more for it.
  let looking = false;
  const look = async () => {
    if (stopped || looking) return;
    looking = true;
    await doWhatIsDue();
    looking = false;
  };
  const timer = setInterval(look, lookEveryMs).unref();
  setImmediate(look);

  return {
    state: () => ({ plan, newest: folder?.list(clock()).at(-1), backupFault, checked, checkFault }),
    check,
    backUp,
    async stop() {
      stopped = true;
      clearInterval(timer);
      if (worker !== undefined) await ended(worker);
      await inTurn(async () => undefined);
      // One that was ended on the way has not put its own things away.
      if (folder !== undefined && worker !== undefined && plan !== undefined) faultOf(folder, plan);
    },
  };
}

/** Ends it at once, and waits until it is gone. */
async function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null || child.pid === undefined) return;
  child.kill('SIGKILL');
  await once(child, 'exit');
}

/** Whether what was done last is so long ago, or lies ahead since the clock was set back, that it is to be done again. */
function isDue(last: string | undefined, everyMs: number, now: Date): boolean {
  const agoMs = now.getTime() - Date.parse(last ?? '');
  return !(agoMs >= 0 && agoMs < everyMs);
}

function refusalIn(answer: UpkeepAnswer): string | undefined {
  return 'refused' in answer ? answer.refused : undefined;
}

/** Says in words why nothing can be written in the plan's folder. */
function faultOf(folder: BackupFolder, plan: BackupPlan): string | undefined {
  try {
    folder.prepare();
    return undefined;
  } catch (error) {
    return `${plan.dir} cannot be written in: ${whyNot(plan.dir, error)}.`;
  }
}
