import type { Sql } from './database.js';
import type { Guard } from './write-guard.js';

/** An issued record as it was signed; `sha256` (hex) is over the whole file. */
export interface NewRecord {
  readonly sha256: string;
  readonly job: string;
  readonly revision: number;
  readonly pdf: Buffer;
}
interface StoredRecord extends NewRecord {
  readonly at: string;
}

export interface RecordStore {
  put(record: NewRecord): void;
  get(job: string, revision: number): StoredRecord | undefined;
  bySha256(sha256: string): StoredRecord | undefined;
}

export function makeRecordStore(db: Sql, guard: Guard): RecordStore {
  return {
    put(record) {
      guard.write((now) =>
        db
          .prepare(
            'INSERT INTO records (sha256, job, revision, pdf, at) VALUES (@sha256, @job, @revision, @pdf, @at)',
          )
          .run({ ...record, at: now }),
      );
    },
    get(job, revision) {
      return db.prepare('SELECT * FROM records WHERE job = ? AND revision = ?').get(job, revision) as
        | StoredRecord
        | undefined;
    },
    bySha256(sha256) {
      return db.prepare('SELECT * FROM records WHERE sha256 = ?').get(sha256) as StoredRecord | undefined;
    },
  };
}
