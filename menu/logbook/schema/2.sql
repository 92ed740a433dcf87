-- Files that were taken over, so that none is taken over twice; the order in which things happened.
CREATE TABLE file (
	id      INTEGER PRIMARY KEY AUTOINCREMENT,
	name    TEXT NOT NULL,
	digest  TEXT NOT NULL UNIQUE, -- of what its rows say, see Digest
	written INTEGER NOT NULL
) STRICT;
ALTER TABLE entry ADD COLUMN file INTEGER REFERENCES file (id);
CREATE INDEX moment ON entry (at); -- what is on hand is played in this order
CREATE TRIGGER file_stays BEFORE UPDATE ON file BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER file_kept BEFORE DELETE ON file BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
