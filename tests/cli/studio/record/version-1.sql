-- A record of schema version 1 as the first program with a record wrote it, for the test of the migration.
PRAGMA application_id = 1383034209;
PRAGMA journal_mode = WAL;
BEGIN;
CREATE TABLE students(id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL,
                      level INTEGER NOT NULL CHECK(level BETWEEN 1 AND 8), span INTEGER NOT NULL, keys TEXT NOT NULL,
                      likes TEXT NOT NULL, since TEXT NOT NULL) STRICT;
INSERT INTO students VALUES(1, 'Mira', 3, 8, 'C major, G major', 'pop, waltz', '2026-09-01');
INSERT INTO students VALUES(4, 'Zoë K.', 1, 0, '', '', '2026-10-05');
CREATE TABLE entries(id INTEGER PRIMARY KEY, student INTEGER NOT NULL REFERENCES students ON DELETE CASCADE,
                     date TEXT NOT NULL, kind TEXT NOT NULL CHECK(kind IN('set', 'done', 'chosen', 'missed', 'note')),
                     exercise TEXT NOT NULL, key TEXT NOT NULL, level INTEGER NOT NULL CHECK(level BETWEEN 0 AND 8),
                     seed INTEGER, text TEXT NOT NULL) STRICT;
INSERT INTO entries VALUES(1, 1, '2026-09-08', 'set', 'few-notes', 'G major', 3, 7, '');
INSERT INTO entries VALUES(2, 4, '2026-10-05', 'note', '', '', 0, NULL, 'sings the bass line');
INSERT INTO entries VALUES(3, 1, '2026-09-15', 'done', 'few-notes', 'G major', 3, 7, 'twice as fast');
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('students', 5);
PRAGMA user_version = 1;
COMMIT;
