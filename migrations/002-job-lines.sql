-- What the list of jobs shows and searches. Every row is computed from its job's entries, is written in the transaction
-- that writes them, and can be made anew from them at any time: nothing here is a source.

CREATE TABLE job_lines (
  id INTEGER NOT NULL PRIMARY KEY,
  job TEXT NOT NULL UNIQUE REFERENCES jobs (number),
  -- When the newest entry was written.
  at TEXT NOT NULL,
  -- The version of the rules that computed the row; '' where none has yet.
  logic TEXT NOT NULL,
  -- What a search looks through: without accents, in small letters.
  words TEXT NOT NULL,
  standing TEXT NOT NULL,
  held INTEGER NOT NULL CHECK (held IN (0, 1)),
  issued INTEGER NOT NULL CHECK (issued IN (0, 1)),
  in_question INTEGER NOT NULL CHECK (in_question IN (0, 1)),
  line TEXT NOT NULL CHECK (json_valid(line))
) STRICT;

CREATE INDEX job_lines_newest ON job_lines (at, job);
CREATE INDEX job_lines_standing ON job_lines (standing, at, job);
CREATE INDEX job_lines_held ON job_lines (at, job) WHERE held = 1;
CREATE INDEX job_lines_issued ON job_lines (at, job) WHERE issued = 1;
CREATE INDEX job_lines_in_question ON job_lines (at, job) WHERE in_question = 1;

-- Finds any three letters inside a word; its rows are those of job_lines by their id.
CREATE VIRTUAL TABLE job_words USING fts5 (words, content = '', contentless_delete = 1, tokenize = 'trigram');

-- Jobs that are here already are listed at once and computed when they are first shown, or in the background.
INSERT INTO job_lines (job, at, logic, words, standing, held, issued, in_question, line)
  SELECT number,
    coalesce((SELECT at FROM entries WHERE job = number ORDER BY seq DESC LIMIT 1), opened_at),
    '', '', '', 0, 0, 0, 'null'
  FROM jobs;
