-- What a shop keeps. Entries, the order they were written in, photos and records are only ever added to.

CREATE TABLE jobs (
  number TEXT NOT NULL PRIMARY KEY CHECK (length(number) BETWEEN 1 AND 40),
  opened_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE entries (
  job TEXT NOT NULL REFERENCES jobs (number),
  seq INTEGER NOT NULL CHECK (seq >= 1),
  at TEXT NOT NULL,
  by_id TEXT NOT NULL,
  by_name TEXT NOT NULL,
  kind TEXT NOT NULL,
  subject TEXT NOT NULL,
  body TEXT NOT NULL CHECK (json_valid(body)),
  form_key TEXT NOT NULL,
  previous TEXT NOT NULL CHECK (length(previous) = 64),
  digest TEXT NOT NULL UNIQUE CHECK (length(digest) = 64),
  PRIMARY KEY (job, seq),
  UNIQUE (job, form_key)
) STRICT, WITHOUT ROWID;

CREATE TABLE shop_entries (
  seq INTEGER NOT NULL PRIMARY KEY CHECK (seq >= 1),
  at TEXT NOT NULL,
  by_id TEXT NOT NULL,
  by_name TEXT NOT NULL,
  kind TEXT NOT NULL,
  subject TEXT NOT NULL,
  body TEXT NOT NULL CHECK (json_valid(body)),
  previous TEXT NOT NULL CHECK (length(previous) = 64),
  digest TEXT NOT NULL UNIQUE CHECK (length(digest) = 64)
) STRICT;

-- The order in which entries of all chains were written; each head covers the head before it and the entry's digest.
CREATE TABLE heads (
  n INTEGER NOT NULL PRIMARY KEY CHECK (n >= 1),
  chain TEXT NOT NULL,
  seq INTEGER NOT NULL,
  digest TEXT NOT NULL UNIQUE CHECK (length(digest) = 64),
  head TEXT NOT NULL CHECK (length(head) = 64)
) STRICT;

CREATE TABLE photos (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 64),
  original TEXT NOT NULL CHECK (length(original) = 64),
  width_px INTEGER NOT NULL CHECK (width_px > 0),
  height_px INTEGER NOT NULL CHECK (height_px > 0),
  jpeg BLOB NOT NULL,
  thumb BLOB NOT NULL,
  at TEXT NOT NULL
) STRICT;

CREATE TABLE records (
  sha256 TEXT NOT NULL PRIMARY KEY CHECK (length(sha256) = 64),
  job TEXT NOT NULL REFERENCES jobs (number),
  revision INTEGER NOT NULL CHECK (revision >= 1),
  pdf BLOB NOT NULL,
  at TEXT NOT NULL,
  UNIQUE (job, revision)
) STRICT;

-- The form keys that a person has used, and what each one wrote.
CREATE TABLE form_keys (
  person TEXT NOT NULL,
  form_key TEXT NOT NULL,
  job TEXT NOT NULL,
  fingerprint TEXT NOT NULL,
  first_seq INTEGER NOT NULL,
  last_seq INTEGER NOT NULL,
  at TEXT NOT NULL,
  PRIMARY KEY (person, form_key)
) STRICT, WITHOUT ROWID;

-- Passphrase hashes and encrypted keys. These may change.
CREATE TABLE secrets (
  name TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE sessions (
  id_digest TEXT NOT NULL PRIMARY KEY,
  handle TEXT NOT NULL UNIQUE,
  person TEXT NOT NULL,
  data TEXT NOT NULL CHECK (json_valid(data)),
  agent TEXT NOT NULL,
  made_ms INTEGER NOT NULL,
  seen_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX sessions_by_person ON sessions (person);

CREATE TRIGGER jobs_no_update BEFORE UPDATE ON jobs BEGIN SELECT raise(ABORT, 'jobs are only added to'); END;
CREATE TRIGGER jobs_no_delete BEFORE DELETE ON jobs BEGIN SELECT raise(ABORT, 'jobs are only added to'); END;

CREATE TRIGGER entries_no_update BEFORE UPDATE ON entries BEGIN SELECT raise(ABORT, 'entries are only added to'); END;
CREATE TRIGGER entries_no_delete BEFORE DELETE ON entries BEGIN SELECT raise(ABORT, 'entries are only added to'); END;
CREATE TRIGGER entries_in_order BEFORE INSERT ON entries BEGIN
  SELECT raise(ABORT, 'an entry follows the last one of its job')
  WHERE NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM entries WHERE job = NEW.job);
  SELECT raise(ABORT, 'an entry is tied to the digest before it')
  WHERE NEW.previous IS NOT coalesce(
    (SELECT digest FROM entries WHERE job = NEW.job ORDER BY seq DESC LIMIT 1),
    '0000000000000000000000000000000000000000000000000000000000000000');
END;

CREATE TRIGGER shop_entries_no_update BEFORE UPDATE ON shop_entries BEGIN SELECT raise(ABORT, 'entries are only added to'); END;
CREATE TRIGGER shop_entries_no_delete BEFORE DELETE ON shop_entries BEGIN SELECT raise(ABORT, 'entries are only added to'); END;
CREATE TRIGGER shop_entries_in_order BEFORE INSERT ON shop_entries BEGIN
  SELECT raise(ABORT, 'an entry follows the last one of the shop')
  WHERE NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM shop_entries);
  SELECT raise(ABORT, 'an entry is tied to the digest before it')
  WHERE NEW.previous IS NOT coalesce(
    (SELECT digest FROM shop_entries ORDER BY seq DESC LIMIT 1),
    '0000000000000000000000000000000000000000000000000000000000000000');
END;

CREATE TRIGGER heads_no_update BEFORE UPDATE ON heads BEGIN SELECT raise(ABORT, 'heads are only added to'); END;
CREATE TRIGGER heads_no_delete BEFORE DELETE ON heads BEGIN SELECT raise(ABORT, 'heads are only added to'); END;
CREATE TRIGGER heads_in_order BEFORE INSERT ON heads BEGIN
  SELECT raise(ABORT, 'a head follows the last one')
  WHERE NEW.n IS NOT (SELECT coalesce(max(n), 0) + 1 FROM heads);
END;

CREATE TRIGGER photos_no_update BEFORE UPDATE ON photos BEGIN SELECT raise(ABORT, 'photos are only added to'); END;
CREATE TRIGGER photos_no_delete BEFORE DELETE ON photos BEGIN SELECT raise(ABORT, 'photos are only added to'); END;
CREATE TRIGGER records_no_update BEFORE UPDATE ON records BEGIN SELECT raise(ABORT, 'records are only added to'); END;
CREATE TRIGGER records_no_delete BEFORE DELETE ON records BEGIN SELECT raise(ABORT, 'records are only added to'); END;
