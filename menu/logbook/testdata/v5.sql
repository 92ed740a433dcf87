-- A log book of version 5, as the program made it before anything was measured of a batch: its tables, and a day in them.
PRAGMA application_id = 1263815754;
PRAGMA user_version = 5;
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
, chain BLOB, seal BLOB) STRICT;
CREATE TABLE IF NOT EXISTS "entry" (
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
	did      TEXT, zone INTEGER CHECK (zone > -1440 AND zone < 1440), row BLOB, digest BLOB, chain BLOB,                                -- about a reading
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
INSERT INTO entry VALUES(1,'received',1795593600,1795593660,NULL,'10 kg pork shoulder for 51 from butcher lot A17',NULL,NULL,NULL,NULL,NULL,51.0,'butcher','A17',NULL,NULL,NULL,1,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,X'a1b2',X'9e1a3e5af308fb942ce3fc54cc60e9112e0e40491e08b8a647ee42574e818665',X'763573be8b06a9ba7266a96202ad1d75e87eecaf46a77d34225b6138d1928e52');
INSERT INTO entry VALUES(2,'cooked',1795600800,1795600860,NULL,'braise x1: 6 kg pork shoulder, 6 L water -> 3.6 kg pulled shoulder, 4.5 L shoulder broth','braise',1.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,X'0c6f35ae7ea8d63fae56c83d5160b724b98f5b1685d92945585c5a72881b1d07',X'fb88f5765d51fcc336dd2f3818b8aed69fc1b7e28342fc0e262df8de08a8597d');
INSERT INTO entry VALUES(3,'sold',1795615200,1795615260,NULL,'10 tacos at lunch',NULL,NULL,'tacos',10,'lunch',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,X'798b4298f3cd4edb540d75b18962e1b20b975c3017e406242db3bfeb5fa16cac',X'36a69fe4962619a4008ee640e78b6831ae1fea718c46bde8de5cb187282f19e4');
INSERT INTO entry VALUES(4,'temperature',1795615200,1795615260,NULL,'shoulder broth 4.5 C',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'shoulder broth',4.5,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,X'577762fd70666e6d966e59f3e7b2f13cd368c25f82f4d244b5bfaba84e98a7bb',X'3e5325e9f3f2a8770c29b793cc8d8e6567d19c9f9ab63281a2344b457c2912cd');
INSERT INTO entry VALUES(5,'undone',1795618800,1795618800,3,'undo 3',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,X'd1ba48939dd213028f6e235b078b910989319226cfbb1138bdc24dc3dae8bc49',X'f36e7b044135c5c2dc2372a79607b9ca1140ae543480b5b868ff63f692ad630d');
CREATE TABLE IF NOT EXISTS "amount" (
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
CREATE TABLE leaf ( -- of the register: so many entries each, see perLeaf
	number   INTEGER PRIMARY KEY,
	register BLOB NOT NULL,
	chain    BLOB NOT NULL, -- of its last entry
	seal     BLOB NOT NULL  -- of the seal before and all of this
) STRICT;
CREATE TABLE head ( -- one row: where the chain ends
	one    INTEGER PRIMARY KEY CHECK (one = 1),
	last   INTEGER NOT NULL, -- the entry that was written last
	chain  BLOB NOT NULL,
	leaves INTEGER NOT NULL,
	seal   BLOB NOT NULL     -- of the last leaf
) STRICT;
INSERT INTO head VALUES(1,5,X'f36e7b044135c5c2dc2372a79607b9ca1140ae543480b5b868ff63f692ad630d',0,X'0000000000000000000000000000000000000000000000000000000000000000');
CREATE TRIGGER file_stays BEFORE UPDATE ON file BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER file_kept BEFORE DELETE ON file BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
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
CREATE TRIGGER leaf_stays BEFORE UPDATE ON leaf BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER leaf_kept BEFORE DELETE ON leaf BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
