-- What the shop is, is read without the openings of its jobs, of which there is one for every job.
CREATE INDEX shop_entries_but_openings ON shop_entries (seq) WHERE kind <> 'job opened';
