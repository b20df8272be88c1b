-- The workshop file, version 1. Times are milliseconds since 1970 in UTC;
-- hashes are SHA-256 in lower-case hexadecimal.

-- The bytes of documents and attachments, each kept once.
CREATE TABLE blob (
	sha256 TEXT NOT NULL PRIMARY KEY,
	data   BLOB NOT NULL
) STRICT;

-- A pot, a stove, a test…: which revision stands now.
CREATE TABLE record (
	id   TEXT NOT NULL PRIMARY KEY,
	kind TEXT NOT NULL,
	head TEXT NOT NULL REFERENCES revision (id) DEFERRABLE INITIALLY DEFERRED
) STRICT;

CREATE INDEX record_kind ON record (kind);

-- Every state a record was ever in. Rows are added, never changed or removed.
CREATE TABLE revision (
	id          TEXT    NOT NULL PRIMARY KEY,               -- hash of all the rest
	record      TEXT    NOT NULL REFERENCES record (id) DEFERRABLE INITIALLY DEFERRED,
	number      INTEGER NOT NULL CHECK (number > 0),        -- the parent's number + 1
	parent      TEXT             REFERENCES revision (id),  -- NULL for a first revision
	action      TEXT    NOT NULL,
	restores    TEXT             REFERENCES revision (id),  -- for undo, redo and restore
	who         TEXT    NOT NULL,
	why         TEXT    NOT NULL,
	at          INTEGER NOT NULL,
	name        TEXT    NOT NULL,
	deleted     INTEGER NOT NULL CHECK (deleted IN (0, 1)),
	document    TEXT    NOT NULL REFERENCES blob (sha256),
	attachments TEXT    NOT NULL                            -- JSON: [{name, mime, sha256, size}]
) STRICT;

CREATE INDEX revision_record ON revision (record, number);

-- What is being typed into a form and is not a revision yet.
CREATE TABLE draft (
	record  TEXT    NOT NULL, -- need not exist yet
	who     TEXT    NOT NULL,
	form    TEXT    NOT NULL,
	kind    TEXT    NOT NULL,
	base    TEXT    NOT NULL, -- the revision the form was opened on, '' for a new record
	became  TEXT    NOT NULL, -- the revision this draft was last settled as, '' for none
	pending INTEGER NOT NULL CHECK (pending IN (0, 1)),
	why     TEXT    NOT NULL,
	at      INTEGER NOT NULL,
	name    TEXT    NOT NULL,
	content BLOB    NOT NULL,
	PRIMARY KEY (record, who, form)
) STRICT;

CREATE TABLE setting (
	name  TEXT NOT NULL PRIMARY KEY,
	value TEXT NOT NULL
) STRICT;
