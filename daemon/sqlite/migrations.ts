/** `Brum` in ASCII, in the header of every database of ours. */
export const applicationId = 0x42_72_75_6d

/**
 * Every schema there has been, oldest first; the n-th entry leads to `user_version` n. Append only: databases written
 * by each are out there.
 */
export const migrations: readonly string[] = [
  // 1. hot and block hold series ids without REFERENCES: one look-up per reading is what the layout is there to save
  `
  CREATE TABLE series (
    id INTEGER PRIMARY KEY,
    sensor TEXT NOT NULL,
    quantity TEXT NOT NULL,
    UNIQUE (sensor, quantity)
  ) STRICT;

  CREATE TABLE hot (
    seq INTEGER PRIMARY KEY,
    series INTEGER NOT NULL,
    at INTEGER NOT NULL,
    value REAL NOT NULL,
    quality INTEGER NOT NULL
  ) STRICT;

  CREATE TABLE block (
    series INTEGER NOT NULL,
    hour INTEGER NOT NULL,
    n INTEGER NOT NULL,
    good INTEGER NOT NULL,
    first INTEGER NOT NULL,
    last INTEGER NOT NULL,
    good_first INTEGER,
    good_last INTEGER,
    last_value REAL,
    min REAL,
    max REAL,
    sum REAL NOT NULL,
    low_critical_ms REAL NOT NULL,
    low_ms REAL NOT NULL,
    inside_ms REAL NOT NULL,
    high_ms REAL NOT NULL,
    high_critical_ms REAL NOT NULL,
    unknown_ms REAL NOT NULL,
    PRIMARY KEY (series, hour)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE block_data (
    key INTEGER PRIMARY KEY,
    data BLOB NOT NULL
  ) STRICT;

  CREATE TABLE journal (
    id INTEGER PRIMARY KEY,
    at INTEGER NOT NULL,
    kind TEXT NOT NULL,
    alarm TEXT,
    entry TEXT NOT NULL
  ) STRICT;
  CREATE INDEX journal_at ON journal (at);
  CREATE INDEX journal_alarm ON journal (id) WHERE alarm IS NOT NULL;

  CREATE TABLE household (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    document TEXT NOT NULL
  ) STRICT;

  CREATE TABLE snapshot (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    text TEXT NOT NULL,
    seq INTEGER NOT NULL
  ) STRICT;

  CREATE TABLE person (
    id TEXT NOT NULL UNIQUE,
    name TEXT NOT NULL,
    role TEXT NOT NULL,
    password_hash TEXT NOT NULL
  ) STRICT;

  CREATE TABLE session (
    token_hash TEXT PRIMARY KEY,
    person TEXT NOT NULL REFERENCES person (id) ON DELETE CASCADE,
    created_at INTEGER NOT NULL,
    seen_at INTEGER NOT NULL,
    expires_at INTEGER NOT NULL,
    agent TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX session_person ON session (person);

  CREATE TABLE secret (
    name TEXT PRIMARY KEY,
    value TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;
  `,
  // 2. parcel, invitation, access_token and device keep their rowid: it is the order in which they came. Channels have
  // no table to refer to: they are in the household's document
  `
  CREATE TABLE parcel (
    key TEXT PRIMARY KEY,
    state TEXT NOT NULL,
    born_at INTEGER NOT NULL,
    parcel TEXT NOT NULL
  ) STRICT;
  CREATE INDEX parcel_born_at ON parcel (born_at);
  CREATE INDEX parcel_waiting ON parcel (born_at) WHERE state = 'waiting';

  CREATE TABLE channel_secret (
    channel TEXT PRIMARY KEY,
    secret TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE ring (
    channel TEXT PRIMARY KEY,
    at INTEGER NOT NULL
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE invitation (
    token_hash TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    role TEXT NOT NULL,
    invited_by TEXT NOT NULL,
    expires_at INTEGER NOT NULL
  ) STRICT;

  CREATE TABLE access_token (
    token_hash TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    scope TEXT NOT NULL,
    person TEXT NOT NULL REFERENCES person (id) ON DELETE CASCADE,
    created_at INTEGER NOT NULL,
    used_at INTEGER,
    expires_at INTEGER
  ) STRICT;
  CREATE INDEX access_token_person ON access_token (person);

  CREATE TABLE device (
    name TEXT PRIMARY KEY,
    kind TEXT NOT NULL,
    topics TEXT NOT NULL,
    created_at INTEGER NOT NULL,
    seen_at INTEGER,
    password_hash TEXT NOT NULL
  ) STRICT;
  `,
  // 3. diary: append only, the newest row of an id is what stands. Animals and places are in the household's document,
  // and an entry outlives them
  `
  CREATE TABLE diary (
    seq INTEGER PRIMARY KEY,
    id TEXT NOT NULL,
    at INTEGER NOT NULL,
    animal TEXT,
    place TEXT,
    kind TEXT NOT NULL,
    entry TEXT,
    noted_by TEXT NOT NULL,
    noted_at INTEGER NOT NULL
  ) STRICT;
  CREATE INDEX diary_id ON diary (id, seq);
  CREATE INDEX diary_at ON diary (at, seq);
  CREATE INDEX diary_animal ON diary (animal, at) WHERE animal IS NOT NULL;
  CREATE INDEX diary_place ON diary (place, at) WHERE place IS NOT NULL;

  CREATE TABLE picture (
    id TEXT PRIMARY KEY,
    type TEXT NOT NULL,
    bytes BLOB NOT NULL,
    saved_at INTEGER NOT NULL
  ) STRICT;
  `,
  // 4. upstream: how far what is kept has gone on to a broker elsewhere; no row where none is set. upstream_owed: folded
  // hours of which something has not gone, with the number of the newest such reading. It names its sensor, not a series:
  // it may come over into another database
  `
  CREATE TABLE upstream (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    seq INTEGER NOT NULL,
    journal INTEGER NOT NULL
  ) STRICT;

  CREATE TABLE upstream_owed (
    id INTEGER PRIMARY KEY,
    hour INTEGER NOT NULL,
    sensor TEXT NOT NULL,
    quantity TEXT NOT NULL,
    seq INTEGER NOT NULL,
    UNIQUE (hour, sensor, quantity)
  ) STRICT;
  `,
  // 5. import: tables of past winters that were taken in, each with its line as a document. import_hour: which instants of
  // an hour block came with which of them, so that they can be taken out again
  `
  CREATE TABLE import (
    number INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    line TEXT NOT NULL
  ) STRICT;

  CREATE TABLE import_hour (
    key INTEGER NOT NULL,
    import INTEGER NOT NULL REFERENCES import (number),
    n INTEGER NOT NULL,
    times BLOB NOT NULL,
    PRIMARY KEY (key, import)
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX import_hour_import ON import_hour (import);
  `,
]
