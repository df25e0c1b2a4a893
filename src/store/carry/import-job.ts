import { AppError } from '../../errors.js';
import type { Entry, EntryOf } from '../../logbook/entry.js';
import { sha256Of } from '../../logbook/sha256.js';
import { verifyRecord } from '../../record/verify-pdf.js';
import { assess } from '../../steps/assess.js';
import { fingerprintOf } from '../form-keys.js';
import type { Store } from '../open-store.js';
import type { NewPhoto } from '../photo-store.js';
import type { NewRecord } from '../record-store.js';
import { restorePhoto } from '../take-photo.js';
import { heldOf } from './carried-on.js';
import type { JobFile } from './job-file.js';
import { besidePath } from './job-zip.js';
import { replay } from './replay-job.js';

/** What an import made: the job's number here, and whether its newest digest is the one the file ended with. */
interface Imported {
  readonly number: string;
  /** So many of the file's entries were here already, and stay as they are. */
  readonly held: number;
  readonly entries: number;
  readonly sameChain: boolean;
  /** The steps that are open again, each with its first reason: among them those of which today's rules ask more than was written. */
  readonly openAgain: readonly string[];
  /** People of this shop whom entries name that were not written here: a seal says nothing of who made it. */
  readonly ofOwn: readonly { readonly name: string; readonly entries: number }[];
}

/**
 * Writes a job file into the store, all or nothing, through the same gate as the pages; times and names are the file's. What an earlier
 * version sealed stays as it was sealed, and today's rules say what of it is open again. Of a job that is here and was carried on in
 * another folder, what is new goes behind what is here.
 * Throws AppError `bad-file` for an entry that the gate refuses, a job that is here already (under whatever number), a
 * number that is taken, or a photo or record that is named and not there or is not what it should be.
 */
export async function importJob(store: Store, file: JobFile): Promise<Imported> {
  const photos = await photosOf(file);
  const records = await recordsOf(file);
  return store.transact(() => {
    const held = heldOf(store, file);
    if (held === 0) {
      refuseSecondCopy(store, file);
      refuseTakenNumber(store, file);
    }
    let number = file.job ?? '';
    let opened = held > 0;
    const written = replay(
      file,
      (step) => {
        const content = { imported: step.entry };
        const photo = step.entry.kind === 'photo added' ? photos.get(step.entry.body.photo) : undefined;
        const record = step.entry.kind === 'record issued' ? records.get(step.entry.body.sha256) : undefined;
        if (!opened) {
          const first = store.jobs.open({ ...step, content, ...(number === '' ? {} : { number }) });
          if (!first.ok) return first;
          opened = true;
          number = first.value.number;
          return { ok: true, value: first.value.entries };
        }
        return store.logbook.append({
          ...step,
          job: number,
          content,
          attach: {
            photos: photo === undefined ? [] : [photo],
            records: record === undefined ? [] : [{ ...record, job: number }],
          },
        });
      },
      held,
    );
    return {
      number,
      held,
      entries: written.length,
      sameChain: file.entries.at(-1)?.digest === written.at(-1)?.digest,
      openAgain: openAgain(store, number),
      ofOwn: ofOwn(store, written),
    };
  });
}

function openAgain({ logbook }: Store, number: string): string[] {
  const steps = [...(assess(logbook.log(number))?.steps.values() ?? [])];
  return steps.flatMap(({ step, status, reopened: [why] }) =>
    status === 'done' || why === undefined ? [] : [`${step.number} ${step.title}: ${why}`],
  );
}

function ofOwn({ shop }: Store, written: readonly Entry[]): Imported['ofOwn'] {
  return shop.state().people.flatMap(({ id, name }) => {
    const entries = written.filter(({ by }) => by.id === id).length;
    return entries === 0 ? [] : [{ name, entries }];
  });
}

/**
 * The same job is not taken twice: neither whole, nor as it stood earlier or later. Form keys say nothing here, since two
 * jobs from elsewhere may well share theirs; the entries do.
 */
function refuseSecondCopy(store: Store, file: JobFile): void {
  const theirs = file.entries.map(writtenOf);
  const opened = new Date(file.entries[0]?.at ?? '').toISOString();
  for (const number of store.jobs.openedAt(opened)) {
    const mine = store.logbook.entries(number).map(writtenOf);
    const shared = Math.min(mine.length, theirs.length);
    if (mine.slice(0, shared).some((what, k) => what !== theirs[k])) continue;
    const more = theirs.length - mine.length;
    const state = more > 0 ? `, without its last ${more}` : more < 0 ? `, and ${-more} more` : '';
    throw new AppError(
      'bad-file',
      `this job is here already: ${number} holds the ${theirs.length} entries of the file${state}`,
    );
  }
}

/** Every shop begins its year with the same number, so this is met often; a folder holds one job of each, and no seal is made anew. */
function refuseTakenNumber({ jobs }: Store, { job }: JobFile): void {
  if (job === undefined || !jobs.has(job)) return;
  throw new AppError(
    'bad-file',
    `there is a job ${job} already, and it is another one. The number is part of each seal and stands on each record, so no other can be given. Bring this job into a folder of its own, with --data OTHER-FOLDER, and work on it there`,
  );
}

/** What an entry says, when and by whom, without its place in a chain. */
function writtenOf({ at, by, kind, subject, body }: Pick<JobFile['entries'][number], Written>): string {
  return fingerprintOf({ at: new Date(at).toISOString(), by: by.id, kind, subject, body });
}
type Written = 'at' | 'by' | 'kind' | 'subject' | 'body';

/** The photos that a file's entries name, each looked at: throws AppError `bad-file` for one that is missing or spoilt. */
export async function photosOf(file: JobFile): Promise<Map<string, NewPhoto>> {
  const kept = new Map<string, NewPhoto>();
  for (const entry of file.entries) {
    if (entry.kind !== 'photo added') continue;
    const { photo: id, original } = entry.body as EntryOf<'photo added'>['body'];
    if (kept.has(id)) continue;
    const jpeg = bytesOf(file.photos, id, 'photo');
    const restored = await restorePhoto(jpeg, original);
    if (!restored.ok)
      throw new AppError('bad-file', `photo ${id.slice(0, 12)} ${restored.issues[0]?.message}`);
    kept.set(id, restored.value);
  }
  return kept;
}

/** The records that a file's entries name; one that is not intact, or not the one of its entry, is refused. */
async function recordsOf(file: JobFile): Promise<Map<string, Omit<NewRecord, 'job'>>> {
  const kept = new Map<string, Omit<NewRecord, 'job'>>();
  for (const entry of file.entries) {
    if (entry.kind !== 'record issued') continue;
    const { sha256, bytes, revision, head, fingerprint } = entry.body as EntryOf<'record issued'>['body'];
    const pdf = bytesOf(file.records, sha256, 'record');
    const found = await verifyRecord(pdf, { fingerprint });
    const intact = found.state === 'intact' && pdf.length === bytes;
    if (!intact || found.facts.revision !== revision || found.facts.head !== head)
      throw new AppError(
        'bad-file',
        `record ${sha256.slice(0, 12)} is not the record that its entry speaks of`,
      );
    kept.set(sha256, { sha256, revision, pdf });
  }
  return kept;
}

function bytesOf(kept: Readonly<Record<string, string>>, id: string, what: 'photo' | 'record'): Buffer {
  const text = Object.hasOwn(kept, id) ? kept[id] : undefined;
  if (text === undefined)
    throw new AppError(
      'bad-file',
      `${what} ${id.slice(0, 12)} is named but not in the file, nor is there a ${besidePath(what, id)}`,
    );
  const bytes = Buffer.from(text, 'base64');
  if (sha256Of(bytes) !== id)
    throw new AppError('bad-file', `${what} ${id.slice(0, 12)} is not the one that its digest names`);
  return bytes;
}
