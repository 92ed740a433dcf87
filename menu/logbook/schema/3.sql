-- Decisions among the entries; amounts of a lot that has a mark; rows that were taken over, so that none is
-- taken over twice; what was played.
CREATE TABLE entry_3 (
	id       INTEGER PRIMARY KEY AUTOINCREMENT,
	kind     TEXT NOT NULL CHECK (kind IN ('received', 'cooked', 'sold', 'binned', 'counted', 'temperature', 'struck', 'lost',
		'offered', 'undone')),
	at       INTEGER NOT NULL, -- seconds since 1970 by the kitchen's clock
	written  INTEGER NOT NULL,
	corrects INTEGER REFERENCES entry_3 (id) CHECK (corrects < id),
	text     TEXT NOT NULL,
	step     TEXT,
	batches  REAL CHECK (batches > 0),
	dish     TEXT,
	portions INTEGER CHECK (portions > 0),
	service  TEXT,
	paid     REAL CHECK (paid >= 0),
	supplier TEXT,
	mark     TEXT,
	reason   TEXT,
	of       TEXT,
	celsius  REAL,
	file     INTEGER REFERENCES file (id),
	day      TEXT,                                -- that was named, as it was typed
	share    REAL CHECK (share > 0 AND share <= 1), -- of a batch that was lost
	CHECK ((kind = 'cooked') = (step IS NOT NULL AND batches IS NOT NULL)),
	CHECK ((kind = 'lost') = (step IS NOT NULL AND share IS NOT NULL)),
	CHECK ((kind IN ('sold', 'offered')) = (dish IS NOT NULL AND portions IS NOT NULL)),
	CHECK (kind <> 'struck' OR dish IS NOT NULL),
	CHECK ((kind = 'temperature') = (of IS NOT NULL AND celsius IS NOT NULL)),
	CHECK (kind <> 'undone' OR corrects IS NOT NULL)
) STRICT;
CREATE TABLE amount_3 (
	entry   INTEGER NOT NULL REFERENCES entry_3 (id),
	place   INTEGER NOT NULL,
	gives   INTEGER NOT NULL CHECK (gives IN (0, 1)), -- 1: brought, or counted; 0: taken
	item    TEXT NOT NULL,
	base    REAL NOT NULL CHECK (base >= 0),
	measure TEXT NOT NULL CHECK (measure IN ('g', 'mL', 'each')),
	typed   TEXT NOT NULL,
	mark    TEXT, -- of the lot that was taken or that came
	PRIMARY KEY (entry, place)
) STRICT, WITHOUT ROWID;
INSERT INTO entry_3 SELECT *, NULL, NULL FROM entry ORDER BY id;
INSERT INTO amount_3 SELECT *, NULL FROM amount;
DROP TABLE amount;
DROP TABLE entry;
ALTER TABLE entry_3 RENAME TO entry;
ALTER TABLE amount_3 RENAME TO amount;
CREATE INDEX correction ON entry (corrects) WHERE corrects IS NOT NULL;
CREATE INDEX moment ON entry (at);
CREATE INDEX decision ON entry (at) WHERE kind IN ('struck', 'lost', 'offered');
CREATE INDEX mark ON entry (mark) WHERE mark IS NOT NULL;
CREATE INDEX amount_mark ON amount (mark) WHERE mark IS NOT NULL;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TRIGGER entry_once BEFORE INSERT ON entry WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
	BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER amount_stays BEFORE UPDATE ON amount BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER amount_kept BEFORE DELETE ON amount BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TRIGGER amount_once BEFORE INSERT ON amount
	WHEN EXISTS (SELECT 1 FROM amount WHERE entry = NEW.entry AND place = NEW.place)
	BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TABLE file_row (
	digest BLOB NOT NULL PRIMARY KEY, -- of what its used columns say, see Row
	entry  INTEGER NOT NULL REFERENCES entry (id)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER file_row_stays BEFORE UPDATE ON file_row BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER file_row_kept BEFORE DELETE ON file_row BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
-- What follows from the entries and is kept to save time. It may be emptied at will.
CREATE TABLE played (
	at      INTEGER PRIMARY KEY, -- all that happened after the row before, and up to here, has been played
	place   INTEGER NOT NULL,    -- counts the rows from 1
	shelves BLOB,                -- as they stood after it; not of every row
	told    BLOB NOT NULL,       -- what did not add up, and was counted, in it
	moves   BLOB NOT NULL        -- what went from lot to lot in it
) STRICT;
CREATE TABLE playing ( -- one row: what all rows of played hold for
	one     INTEGER PRIMARY KEY CHECK (one = 1),
	kitchen TEXT NOT NULL,
	last    INTEGER NOT NULL, -- the entry that was written last
	turn    INTEGER NOT NULL  -- counts the changes
) STRICT;
