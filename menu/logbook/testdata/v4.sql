-- A log book of version 4, as the program made it before entries were chained: its tables, and a day in them.
PRAGMA application_id = 1263815754;
PRAGMA user_version = 4;
CREATE TABLE file (
	id      INTEGER PRIMARY KEY AUTOINCREMENT,
	name    TEXT NOT NULL,
	digest  TEXT NOT NULL UNIQUE, -- of what its rows say, see Digest
	written INTEGER NOT NULL
) STRICT;
INSERT INTO file VALUES(1,'note.csv','a1b2',1795593660);
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
CREATE TABLE "entry" (
	id       INTEGER PRIMARY KEY AUTOINCREMENT,
	kind     TEXT NOT NULL CHECK (kind IN ('received', 'did not come', 'late', 'lit', 'put in', 'out', 'done', 'cooked', 'skipped',
		'sold', 'gave', 'dropped', 'binned', 'counted', 'temperature', 'struck', 'lost', 'offered', 'undone')),
	at       INTEGER NOT NULL, -- seconds since 1970 by the kitchen's clock
	written  INTEGER NOT NULL,
	corrects INTEGER REFERENCES "entry" (id) CHECK (corrects < id),
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
INSERT INTO entry VALUES(1,'received',1795593600,1795593660,NULL,'10 kg pork shoulder for 51 from butcher lot A17',NULL,NULL,NULL,NULL,NULL,51.0,'butcher','A17',NULL,NULL,NULL,1,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO entry VALUES(2,'cooked',1795600800,1795600860,NULL,'braise x1: 6 kg pork shoulder, 6 L water -> 3.6 kg pulled shoulder, 4.5 L shoulder broth','braise',1.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO entry VALUES(3,'sold',1795615200,1795615260,NULL,'10 tacos at lunch',NULL,NULL,'tacos',10,'lunch',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO entry VALUES(4,'temperature',1795615200,1795615260,NULL,'shoulder broth 4.5 C',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'shoulder broth',4.5,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO entry VALUES(5,'undone',1795618800,1795618800,3,'undo 3',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE "amount" (
	entry   INTEGER NOT NULL REFERENCES "entry" (id),
	place   INTEGER NOT NULL,
	gives   INTEGER NOT NULL CHECK (gives IN (0, 1)), -- 1: brought, counted, or was to come; 0: taken
	item    TEXT NOT NULL,
	base    REAL NOT NULL CHECK (base >= 0),
	measure TEXT NOT NULL CHECK (measure IN ('g', 'mL', 'each')),
	typed   TEXT NOT NULL,
	mark    TEXT, -- of the lot that was taken or that came
	PRIMARY KEY (entry, place)
) STRICT, WITHOUT ROWID;
INSERT INTO amount VALUES(1,0,1,'pork shoulder',10000.0,'g','10 kg',NULL);
INSERT INTO amount VALUES(2,0,0,'pork shoulder',6000.0,'g','6 kg',NULL);
INSERT INTO amount VALUES(2,1,0,'water',6000.0,'mL','6 L',NULL);
INSERT INTO amount VALUES(2,2,1,'pulled shoulder',3600.0,'g','3.6 kg',NULL);
INSERT INTO amount VALUES(2,3,1,'shoulder broth',4500.0,'mL','4.5 L',NULL);
CREATE TABLE "file_row" (
	digest BLOB NOT NULL PRIMARY KEY, -- of what its used columns say, see Row
	entry  INTEGER NOT NULL REFERENCES "entry" (id)
) STRICT, WITHOUT ROWID;
INSERT INTO file_row VALUES(X'a1b2',1);
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
CREATE TRIGGER file_stays BEFORE UPDATE ON file BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER file_kept BEFORE DELETE ON file BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
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
