import { mkdirSync, readdirSync, rmSync } from 'node:fs';
import { AppError } from '../errors.js';
import { ownThread } from '../own-thread.js';
import type { Manifest } from './backup-file.js';
import type { Store } from './open-store.js';

export type ThreadTask =
  | { readonly do: 'check'; readonly dir: string }
  | { readonly do: 'backup'; readonly dir: string; readonly file: string; readonly now: string };
export type ThreadAnswer =
  | { readonly found: readonly string[] }
  | { readonly manifest: Manifest }
  | { readonly refused: string };

/** Where backups go by themselves, how often, and how many of them stay. */
export interface BackupPlan {
  readonly dir: string;
  readonly everyHours: number;
  readonly keep: number;
}

/** What was done last, for the keeper's page. */
export interface UpkeepState {
  readonly plan: BackupPlan | undefined;
  /** The newest backup by the plan, this start's or an earlier one's. */
  readonly newest: { readonly file: string; readonly at: string } | undefined;
  /** Why the last try made none; undefined where it did. */
  readonly backupFault: string | undefined;
  readonly checked: { readonly at: string; readonly found: readonly string[] } | undefined;
}

export interface Upkeep {
  state(): UpkeepState;
  /** Looks through the whole store now; where something is found, the store is closed for writing. */
  check(): Promise<void>;
  /** Makes a backup by the plan now, and lets the oldest go. Does nothing where there is no plan. */
  backUp(): Promise<void>;
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
const name = /^inlet-(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z\.backup$/;

/** Looks through the store and backs it up, by itself, in a thread of its own: whoever works meanwhile is answered. */
export function keepUp({ store, clock, plan, log }: Parts): Upkeep {
  let checked: UpkeepState['checked'];
  let backupFault: string | undefined;
  let running: Promise<unknown> = Promise.resolve();

  /** One thing after the other. */
  const inTurn = (work: () => Promise<void>): Promise<void> => {
    const mine = running.then(work);
    running = mine.catch(() => undefined);
    return mine;
  };

  const check = () =>
    inTurn(async () => {
      const answer = await inThread({ do: 'check', dir: store.dir });
      const found = 'found' in answer ? answer.found : 'refused' in answer ? [answer.refused] : [];
      checked = { at: clock().toISOString(), found };
      const [first] = found;
      if (first === undefined) return log.info({}, 'the whole store was looked through: everything agrees');
      log.error({ found }, 'the store does not agree with itself');
      store.closeForWriting(first);
    });

  const backUp = () =>
    inTurn(async () => {
      if (plan === undefined) return;
      const now = clock();
      const file = `${plan.dir}/inlet-${now.toISOString().replace(/[-:]|\.\d+/g, '')}.backup`;
      backupFault = await madeIn(plan, { do: 'backup', dir: store.dir, file, now: now.toISOString() });
      if (backupFault === undefined) {
        letOldestGo(plan);
        log.info({ file }, 'a backup was made');
      } else log.error({ file, why: backupFault }, 'no backup was made');
    });

  const lookWhatIsDue = () => {
    const now = clock().getTime();
    if (checked === undefined || now - Date.parse(checked.at) >= checkEveryMs) void check().catch(noted);
    const newest = plan && Date.parse(newestIn(plan)?.at ?? '');
    if (plan !== undefined && !(now - (newest ?? Number.NaN) < plan.everyHours * hourMs))
      void backUp().catch(noted);
  };
  const noted = (error: unknown) => log.error({ err: error }, 'the upkeep of the store failed');
  const timer = setInterval(lookWhatIsDue, lookEveryMs).unref();
  setImmediate(lookWhatIsDue);

  return {
    state: () => ({ plan, newest: plan && newestIn(plan), backupFault, checked }),
    check,
    backUp,
    async stop() {
      clearInterval(timer);
      await running;
    },
  };
}

/** Why no backup was made, in words; undefined where it was. */
async function madeIn(plan: BackupPlan, task: ThreadTask): Promise<string | undefined> {
  try {
    mkdirSync(plan.dir, { recursive: true, mode: 0o700 });
    const answer = await inThread(task);
    return 'refused' in answer ? answer.refused : undefined;
  } catch (error) {
    return `${plan.dir} cannot be written in (${String((error as { code?: unknown }).code ?? error)}).`;
  }
}

/** The plan's backups, oldest first: what lies beside them is nobody's to take away. */
function backupsIn({ dir }: BackupPlan): { file: string; at: string }[] {
  let names: string[];
  try {
    names = readdirSync(dir);
  } catch {
    return [];
  }
  return names
    .filter((file) => name.test(file))
    .sort()
    .map((file) => ({ file, at: file.replace(name, '$1-$2-$3T$4:$5:$6.000Z') }));
}

function newestIn(plan: BackupPlan): UpkeepState['newest'] {
  return backupsIn(plan).at(-1);
}

function letOldestGo(plan: BackupPlan): void {
  for (const { file } of backupsIn(plan).slice(0, -plan.keep)) rmSync(`${plan.dir}/${file}`);
}

function inThread(task: ThreadTask): Promise<ThreadAnswer> {
  const worker = ownThread(import.meta.url, './upkeep-thread', { workerData: task });
  return new Promise((resolve, reject) => {
    worker.once('message', resolve);
    worker.once('error', reject);
    worker.once('exit', () =>
      reject(new AppError('unexpected', 'the thread that looks after the store ended')),
    );
  });
}
