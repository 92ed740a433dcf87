-- Batches with a life: lit, put in, out, done, skipped, and the day on which each was to begin; deliveries that are late or did
-- not come; portions that nobody paid for; temperatures of things, and what was done about them.
CREATE TABLE entry_4 (
	id       INTEGER PRIMARY KEY AUTOINCREMENT,
	kind     TEXT NOT NULL CHECK (kind IN ('received', 'did not come', 'late', 'lit', 'put in', 'out', 'done', 'cooked', 'skipped',
		'sold', 'gave', 'dropped', 'binned', 'counted', 'temperature', 'struck', 'lost', 'offered', 'undone')),
	at       INTEGER NOT NULL, -- seconds since 1970 by the kitchen's clock
	written  INTEGER NOT NULL,
	corrects INTEGER REFERENCES entry_4 (id) CHECK (corrects < id),
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
	CHECK ((kind IN ('cooked', 'lit')) = (batches IS NOT NULL)),
	CHECK ((kind = 'lost') = (share IS NOT NULL)),
	CHECK ((kind IN ('cooked', 'lit', 'put in', 'out', 'done', 'skipped', 'lost')) = (step IS NOT NULL)),
	CHECK ((kind IN ('sold', 'gave', 'dropped', 'offered')) = (portions IS NOT NULL)),
	CHECK ((kind IN ('sold', 'gave', 'dropped', 'offered', 'struck')) = (dish IS NOT NULL)),
	CHECK ((kind IN ('temperature', 'did not come', 'late')) = (of IS NOT NULL)),
	CHECK ((kind = 'temperature') = (celsius IS NOT NULL)),
	CHECK ((kind = 'late') = (until IS NOT NULL)),
	CHECK (kind <> 'undone' OR corrects IS NOT NULL)
) STRICT;
CREATE TABLE amount_4 (
	entry   INTEGER NOT NULL REFERENCES entry_4 (id),
	place   INTEGER NOT NULL,
	gives   INTEGER NOT NULL CHECK (gives IN (0, 1)), -- 1: brought, counted, or was to come; 0: taken
	item    TEXT NOT NULL,
	base    REAL NOT NULL CHECK (base >= 0),
	measure TEXT NOT NULL CHECK (measure IN ('g', 'mL', 'each')),
	typed   TEXT NOT NULL,
	mark    TEXT, -- of the lot that was taken or that came
	PRIMARY KEY (entry, place)
) STRICT, WITHOUT ROWID;
CREATE TABLE file_row_4 (
	digest BLOB NOT NULL PRIMARY KEY, -- of what its used columns say, see Row
	entry  INTEGER NOT NULL REFERENCES entry_4 (id)
) STRICT, WITHOUT ROWID;
INSERT INTO entry_4 SELECT *, NULL, NULL, NULL, NULL, NULL FROM entry ORDER BY id;
INSERT INTO amount_4 SELECT * FROM amount;
INSERT INTO file_row_4 SELECT * FROM file_row;
DROP TABLE file_row;
DROP TABLE amount;
DROP TABLE entry;
ALTER TABLE entry_4 RENAME TO entry;
ALTER TABLE amount_4 RENAME TO amount;
ALTER TABLE file_row_4 RENAME TO file_row;
CREATE TABLE due ( -- the card as it was when a batch was lit: what was still to go in and come out
	entry   INTEGER NOT NULL REFERENCES entry (id),
	place   INTEGER NOT NULL,
	gives   INTEGER NOT NULL CHECK (gives IN (0, 1)), -- 1: comes out; 0: goes in
	item    TEXT NOT NULL,
	base    REAL NOT NULL CHECK (base >= 0),
	measure TEXT NOT NULL CHECK (measure IN ('g', 'mL', 'each')),
	after   INTEGER NOT NULL, -- minutes, from when the batch was lit
	PRIMARY KEY (entry, place)
) STRICT, WITHOUT ROWID;
CREATE INDEX correction ON entry (corrects) WHERE corrects IS NOT NULL;
CREATE INDEX moment ON entry (at);
CREATE INDEX decision ON entry (at) WHERE kind IN ('struck', 'lost', 'offered');
CREATE INDEX life ON entry (at) WHERE kind IN ('lit', 'put in', 'out', 'done', 'cooked', 'skipped', 'lost');
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
CREATE TRIGGER due_stays BEFORE UPDATE ON due BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER due_kept BEFORE DELETE ON due BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TRIGGER due_once BEFORE INSERT ON due
	WHEN EXISTS (SELECT 1 FROM due WHERE entry = NEW.entry AND place = NEW.place)
	BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER file_row_stays BEFORE UPDATE ON file_row BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER file_row_kept BEFORE DELETE ON file_row BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
