import type { Worker } from 'node:worker_threads';
import { oneAtATime } from '../../in-turns.js';
import { ownThread } from '../../own-thread.js';
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

export type ThreadTask =
  | { readonly do: 'check'; readonly dir: string }
  | { readonly do: 'backup'; readonly dir: string; readonly file: string; readonly now: string };
export type ThreadAnswer =
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

/** Looks through the store and backs it up, by itself, in a thread of its own: whoever works meanwhile is answered. */
export function keepUp({ store, clock, plan, log }: Parts): Upkeep {
  let checked: UpkeepState['checked'];
  let checkFault: string | undefined;
  let backupFault: string | undefined;
  let worker: Worker | undefined;
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

  const inThread = (task: ThreadTask): Promise<ThreadAnswer> => {
    const mine = ownThread(import.meta.url, './upkeep-thread', { workerData: task });
    worker = mine;
    return new Promise((resolve) => {
      mine.once('message', resolve);
      mine.once('error', (error: Error) => resolve({ refused: error.message }));
      mine.once('exit', () => resolve({ refused: 'what looks after the store was ended on the way' }));
    });
  };

  const check = () =>
    inTurn(async () => {
      const answer = await inThread({ do: 'check', dir: store.dir });
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
        refusalIn(await inThread({ do: 'backup', dir: store.dir, file, now: now.toISOString() }));
      if (stopped) return;
      if (backupFault !== undefined) return log.error({ file, why: backupFault }, 'no backup was made');
      folder.letOldestGo(now);
      log.info({ file }, 'a backup was made');
    });

  const lookWhatIsDue = async () => {
    if (stopped) return;
    const now = clock();
    if (isDue(checked?.at, checkEveryMs, now)) void check().catch(noted);
    const newest = folder?.list(now).at(-1)?.at;
    if (plan !== undefined && isDue(newest, plan.everyHours * hourMs, now)) void backUp().catch(noted);
  };
  const noted = (error: unknown) => log.error({ err: error }, 'the upkeep of the store failed');
  const look = () => void lookWhatIsDue().catch(noted);
  const timer = setInterval(look, lookEveryMs).unref();
  setImmediate(look);

  return {
    state: () => ({ plan, newest: folder?.list(clock()).at(-1), backupFault, checked, checkFault }),
    check,
    backUp,
    async stop() {
      stopped = true;
      clearInterval(timer);
      await worker?.terminate();
      await inTurn(async () => undefined);
      // A thread that was ended on the way has not put its own things away.
      if (folder !== undefined && worker !== undefined && plan !== undefined) faultOf(folder, plan);
    },
  };
}

/** Whether what was done last is so long ago, or lies ahead since the clock was set back, that it is to be done again. */
function isDue(last: string | undefined, everyMs: number, now: Date): boolean {
  const agoMs = now.getTime() - Date.parse(last ?? '');
  return !(agoMs >= 0 && agoMs < everyMs);
}

function refusalIn(answer: ThreadAnswer): string | undefined {
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
