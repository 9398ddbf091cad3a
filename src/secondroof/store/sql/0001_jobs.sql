-- Jobs and their revisions. A revision is never changed or removed; an older text comes back as a new one.
CREATE TABLE jobs (
    id       TEXT PRIMARY KEY,
    name     TEXT NOT NULL,
    created  TEXT NOT NULL,
    archived TEXT,
    chosen   TEXT
) STRICT;

CREATE TABLE revisions (
    job    TEXT NOT NULL REFERENCES jobs (id),
    number INTEGER NOT NULL CHECK (number >= 1),
    text   TEXT NOT NULL,
    who    TEXT NOT NULL,
    at     TEXT NOT NULL,
    note   TEXT NOT NULL,
    repeats INTEGER,
    PRIMARY KEY (job, number)
) STRICT;

CREATE TRIGGER revisions_stay BEFORE UPDATE ON revisions
BEGIN SELECT RAISE(ABORT, 'a revision is never changed'); END;

CREATE TRIGGER revisions_kept BEFORE DELETE ON revisions
BEGIN SELECT RAISE(ABORT, 'a revision is never removed'); END;

CREATE TRIGGER jobs_kept BEFORE DELETE ON jobs
BEGIN SELECT RAISE(ABORT, 'a job is archived, never removed'); END;

-- Text a person typed that could not be taken in: kept until they settle it.
CREATE TABLE drafts (
    id     INTEGER PRIMARY KEY AUTOINCREMENT,
    job    TEXT REFERENCES jobs (id),
    base   INTEGER,
    text   TEXT NOT NULL,
    reason TEXT NOT NULL,
    at     TEXT NOT NULL,
    closed TEXT
) STRICT;
