-- Version 2: units of long studies that have been computed. They can be
-- computed again, so they are no part of an export; what a study found is a
-- record like any other.
CREATE TABLE unit (
	study  TEXT    NOT NULL,
	number INTEGER NOT NULL CHECK (number >= 0),
	result BLOB    NOT NULL,
	PRIMARY KEY (study, number)
) STRICT, WITHOUT ROWID;
