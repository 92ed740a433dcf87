-- What is measured of a batch, or of an item from time to time: by eye and tongue on a scale, off an instrument, in a word. Entries keep
-- their digests: what is measured stands in them only where there is some.
CREATE TABLE entry_6 (
	id       INTEGER PRIMARY KEY AUTOINCREMENT,
	kind     TEXT NOT NULL CHECK (kind IN ('received', 'did not come', 'late', 'lit', 'put in', 'out', 'done', 'cooked', 'skipped',
		'sold', 'gave', 'dropped', 'binned', 'counted', 'temperature', 'struck', 'lost', 'offered', 'measured',
		'undone')),
	at       INTEGER NOT NULL, -- seconds since 1970 by the kitchen's clock
	written  INTEGER NOT NULL,
	corrects INTEGER REFERENCES entry_6 (id) CHECK (corrects < id),
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
	begins   TEXT CHECK (begins LIKE '____-__-__'), -- the day on which the batch was to begin
	until    INTEGER CHECK (until > 0 AND until < 1440), -- the minute of the day by which what is late comes
	whom     TEXT,                                -- portions were given to
	reading  TEXT,                                -- what was read: a place, a delivery, food held hot or cold, or reheated
	did      TEXT,                                -- about a reading
	zone     INTEGER CHECK (zone > -1440 AND zone < 1440), -- minutes east of UTC; NULL where nobody knows
	row      BLOB,                                -- of a file that was taken over: what its used columns say, see Row
	digest   BLOB,                                -- of all that the entry says, see digestOf
	chain    BLOB,                                -- of the link before and the digest
	CHECK ((kind IN ('cooked', 'lit')) = (batches IS NOT NULL)),
	CHECK ((kind = 'lost') = (share IS NOT NULL)),
	CHECK ((kind IN ('cooked', 'lit', 'put in', 'out', 'done', 'skipped', 'lost')) = (step IS NOT NULL) OR kind = 'measured'),
	CHECK (kind <> 'measured' OR (step IS NULL) <> (of IS NULL)),
	CHECK ((kind IN ('sold', 'gave', 'dropped', 'offered')) = (portions IS NOT NULL)),
	CHECK ((kind IN ('sold', 'gave', 'dropped', 'offered', 'struck')) = (dish IS NOT NULL)),
	CHECK ((kind IN ('temperature', 'did not come', 'late')) = (of IS NOT NULL) OR kind = 'measured'),
	CHECK ((kind = 'temperature') = (celsius IS NOT NULL)),
	CHECK ((kind = 'late') = (until IS NOT NULL)),
	CHECK (kind <> 'undone' OR corrects IS NOT NULL)
) STRICT;
CREATE TABLE amount_6 (
	entry   INTEGER NOT NULL REFERENCES entry_6 (id),
	place   INTEGER NOT NULL,
	gives   INTEGER NOT NULL CHECK (gives IN (0, 1)), -- 1: brought, counted, or was to come; 0: taken
	item    TEXT NOT NULL,
	base    REAL NOT NULL CHECK (base >= 0),
	measure TEXT NOT NULL CHECK (measure IN ('g', 'mL', 'each')),
	typed   TEXT NOT NULL,
	mark    TEXT, -- of the lot that was taken or that came
	PRIMARY KEY (entry, place)
) STRICT, WITHOUT ROWID;
CREATE TABLE due_6 ( -- the card as it was when a batch was lit: what was still to go in and come out
	entry   INTEGER NOT NULL REFERENCES entry_6 (id),
	place   INTEGER NOT NULL,
	gives   INTEGER NOT NULL CHECK (gives IN (0, 1)), -- 1: comes out; 0: goes in
	item    TEXT NOT NULL,
	base    REAL NOT NULL CHECK (base >= 0),
	measure TEXT NOT NULL CHECK (measure IN ('g', 'mL', 'each')),
	after   INTEGER NOT NULL, -- minutes, from when the batch was lit
	PRIMARY KEY (entry, place)
) STRICT, WITHOUT ROWID;
INSERT INTO entry_6 SELECT * FROM entry ORDER BY id;
INSERT INTO amount_6 SELECT * FROM amount;
INSERT INTO due_6 SELECT * FROM due;
DROP TABLE due;
DROP TABLE amount;
DROP TABLE entry;
ALTER TABLE entry_6 RENAME TO entry;
ALTER TABLE amount_6 RENAME TO amount;
ALTER TABLE due_6 RENAME TO due;
CREATE TABLE taste (
	entry INTEGER NOT NULL REFERENCES entry (id),
	place INTEGER NOT NULL,
	name  TEXT NOT NULL, -- of the measure
	value REAL,          -- NULL of what is said in a word
	unit  TEXT,
	word  TEXT,
	CHECK ((value IS NULL) <> (word IS NULL)),
	PRIMARY KEY (entry, place)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TRIGGER entry_once BEFORE INSERT ON entry WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
	BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER amount_stays BEFORE UPDATE ON amount BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER amount_kept BEFORE DELETE ON amount BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TRIGGER amount_once BEFORE INSERT ON amount
	WHEN EXISTS (SELECT 1 FROM amount WHERE entry = NEW.entry AND place = NEW.place)
	BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER due_stays BEFORE UPDATE ON due BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER due_kept BEFORE DELETE ON due BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TRIGGER due_once BEFORE INSERT ON due
	WHEN EXISTS (SELECT 1 FROM due WHERE entry = NEW.entry AND place = NEW.place)
	BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER taste_stays BEFORE UPDATE ON taste BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER taste_kept BEFORE DELETE ON taste BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TRIGGER taste_once BEFORE INSERT ON taste
	WHEN EXISTS (SELECT 1 FROM taste WHERE entry = NEW.entry AND place = NEW.place)
	BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
