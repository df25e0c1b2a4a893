-- Who came in last and who was refused, for each person: shown to them and to the keepers. Nothing here is a source, and nothing of
-- the logbook follows from it.
CREATE TABLE access (
  person TEXT NOT NULL PRIMARY KEY,
  -- The newest sign-in, and the one before it.
  signed_in_ms INTEGER,
  before_ms INTEGER,
  -- Refused since the newest sign-in: sign-ins under this name, and passphrases typed once more.
  refused INTEGER NOT NULL DEFAULT 0 CHECK (refused >= 0),
  refused_again INTEGER NOT NULL DEFAULT 0 CHECK (refused_again >= 0),
  refused_ms INTEGER,
  -- What was refused before the newest sign-in, as it was told then.
  told_refused INTEGER NOT NULL DEFAULT 0,
  told_refused_again INTEGER NOT NULL DEFAULT 0,
  told_refused_ms INTEGER,
  -- The newest entry of the shop's logbook that this person has taken note of.
  noted_seq INTEGER NOT NULL DEFAULT 0
) STRICT, WITHOUT ROWID;
