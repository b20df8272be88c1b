-- Studies of a team, and the units that are done.
CREATE TABLE IF NOT EXISTS study (
	name    text    NOT NULL PRIMARY KEY,
	kind    text    NOT NULL,
	spec    bytea   NOT NULL,
	units   integer NOT NULL CHECK (units > 0)
);

CREATE TABLE IF NOT EXISTS unit (
	study   text    NOT NULL REFERENCES study (name) ON DELETE CASCADE,
	number  integer NOT NULL,
	result  bytea,
	failure text    NOT NULL, -- '' for a unit that is done
	PRIMARY KEY (study, number)
);

-- The queue, as the library gue (version 5) wants it.
CREATE TABLE IF NOT EXISTS gue_jobs (
	job_id      text        NOT NULL PRIMARY KEY,
	priority    smallint    NOT NULL,
	run_at      timestamptz NOT NULL,
	job_type    text        NOT NULL,
	args        bytea       NOT NULL,
	error_count integer     NOT NULL DEFAULT 0,
	last_error  text,
	queue       text        NOT NULL,
	created_at  timestamptz NOT NULL,
	updated_at  timestamptz NOT NULL
);

CREATE INDEX IF NOT EXISTS idx_gue_jobs_selector ON gue_jobs (queue, run_at, priority);
