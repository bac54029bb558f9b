CREATE TRIGGER events_are_never_changed BEFORE UPDATE ON events
  BEGIN SELECT raise(ABORT, 'an event is never changed; append another one'); END;

CREATE TABLE clocks (
    record    TEXT NOT NULL PRIMARY KEY REFERENCES records (id),
    at        REAL NOT NULL,
    monotonic TEXT NOT NULL,
    slept     REAL NOT NULL,
    boot      TEXT,
    wall      REAL NOT NULL,
    rate      REAL NOT NULL CHECK (rate >= 0),
    seen_at   REAL NOT NULL,
    seen_wall REAL NOT NULL
  ) STRICT, WITHOUT ROWID;

CREATE TABLE events (
    record TEXT    NOT NULL REFERENCES records (id),
    seq    INTEGER NOT NULL CHECK (seq >= 0),
    body   TEXT    NOT NULL,
    hash   TEXT    NOT NULL CHECK (length(hash) = 64),
    -- On the first event of a command: a digest of what it asked for, to tell a repeated sending from an id used twice.
    -- Which command wrote which events is in their bodies; a table of its own would cost every reading a second page.
    said   TEXT,
    PRIMARY KEY (record, seq)
  ) STRICT, WITHOUT ROWID;

CREATE TABLE mappings (
    headings TEXT NOT NULL PRIMARY KEY,
    mapping  TEXT NOT NULL,
    used     REAL NOT NULL
  ) STRICT;

CREATE TABLE records (
    -- In the order in which they were opened, whatever the wall clock said.
    place   INTEGER PRIMARY KEY,
    id      TEXT NOT NULL UNIQUE,
    kind    TEXT NOT NULL CHECK (kind IN ('session', 'worksheet')),
    -- Worksheets only: the session that they belong to.
    session TEXT REFERENCES records (id),
    opened  TEXT NOT NULL
  ) STRICT;

CREATE TABLE series (
    hash TEXT NOT NULL PRIMARY KEY CHECK (length(hash) = 64),
    text TEXT NOT NULL,
    -- Wall clock, ms: one that no record ever named is thrown away.
    put  REAL NOT NULL
  ) STRICT;

CREATE TABLE signatures (
    record     TEXT NOT NULL PRIMARY KEY REFERENCES records (id),
    head       TEXT NOT NULL,
    public_key TEXT NOT NULL,
    signature  TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;

CREATE TABLE tombstones (
    place      INTEGER PRIMARY KEY,
    session    TEXT NOT NULL UNIQUE,
    erased     TEXT NOT NULL,
    erased_by  TEXT NOT NULL,
    reason     TEXT NOT NULL,
    worksheets INTEGER NOT NULL,
    -- A salted digest of the command that opened it: sent again, that command is not to open it anew.
    salt       TEXT NOT NULL,
    opened_by  TEXT NOT NULL
  ) STRICT;
