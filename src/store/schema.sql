-- Records of one garden. Append-only: corrections supersede, withdrawals are rows of their own.
-- Days are counted from 1970-01-01. Every record knows its file, line and import, and keeps the
-- row as it was written.

CREATE TABLE imports (
    id        INTEGER PRIMARY KEY,
    day       INTEGER NOT NULL,
    folder    TEXT    NOT NULL,
    knowledge TEXT    NOT NULL
) STRICT;

CREATE TABLE files (
    id        INTEGER PRIMARY KEY,
    import_id INTEGER NOT NULL REFERENCES imports (id),
    name      TEXT    NOT NULL,
    kind      TEXT    NOT NULL,
    header    TEXT    NOT NULL
) STRICT;

CREATE TABLE bed_names (
    id   INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE
) STRICT;

-- Keys of crops, causes, materials and practices, each written once.
CREATE TABLE terms (
    id  INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE
) STRICT;

-- A record that stands on another line, or under another header, in a later file.
CREATE TABLE relocations (
    id         INTEGER PRIMARY KEY,
    kind       TEXT    NOT NULL,
    record_id  INTEGER NOT NULL,
    file_id    INTEGER NOT NULL REFERENCES files (id),
    line       INTEGER NOT NULL CHECK (line > 0),
    as_written TEXT    NOT NULL
) STRICT;
CREATE INDEX relocations_by_record ON relocations (kind, record_id);

-- A record that its grower took out of the files and asked to be withdrawn.
CREATE TABLE withdrawals (
    id        INTEGER PRIMARY KEY,
    import_id INTEGER NOT NULL REFERENCES imports (id),
    kind      TEXT    NOT NULL,
    record_id INTEGER NOT NULL,
    UNIQUE (kind, record_id)
) STRICT;

-- DIGESTS
-- What an import wrote, summed up, so that a value changed on the disk is noticed. `first_id` to
-- `last_id` of the table; no import for rows that were there when the file was brought to format 2.
CREATE TABLE digests (
    id         INTEGER PRIMARY KEY,
    import_id  INTEGER REFERENCES imports (id),
    table_name TEXT    NOT NULL,
    first_id   INTEGER NOT NULL,
    last_id    INTEGER NOT NULL,
    digest     INTEGER NOT NULL
) STRICT;
