-- Whether every line was computed by this version is asked at each start: with a hundred thousand jobs that may not mean reading them all.
CREATE INDEX job_lines_logic ON job_lines (logic);
