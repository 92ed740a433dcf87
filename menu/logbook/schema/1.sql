-- Entries and amounts.
CREATE TABLE entry (
	id       INTEGER PRIMARY KEY AUTOINCREMENT,
	kind     TEXT NOT NULL CHECK (kind IN ('received', 'cooked', 'sold', 'binned', 'counted', 'temperature', 'undone')),
	at       INTEGER NOT NULL, -- seconds since 1970 by the kitchen's clock
	written  INTEGER NOT NULL,
	corrects INTEGER REFERENCES entry (id) CHECK (corrects < id),
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
	CHECK ((kind = 'cooked') = (step IS NOT NULL AND batches IS NOT NULL)),
	CHECK ((kind = 'sold') = (dish IS NOT NULL AND portions IS NOT NULL)),
	CHECK ((kind = 'temperature') = (of IS NOT NULL AND celsius IS NOT NULL)),
	CHECK (kind <> 'undone' OR corrects IS NOT NULL)
) STRICT;
CREATE TABLE amount (
	entry   INTEGER NOT NULL REFERENCES entry (id),
	place   INTEGER NOT NULL,
	gives   INTEGER NOT NULL CHECK (gives IN (0, 1)), -- 1: brought, or counted; 0: taken
	item    TEXT NOT NULL,
	base    REAL NOT NULL CHECK (base >= 0),
	measure TEXT NOT NULL CHECK (measure IN ('g', 'mL', 'each')),
	typed   TEXT NOT NULL,
	PRIMARY KEY (entry, place)
) STRICT, WITHOUT ROWID;
CREATE INDEX correction ON entry (corrects) WHERE corrects IS NOT NULL;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TRIGGER entry_once BEFORE INSERT ON entry WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
	BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER amount_stays BEFORE UPDATE ON amount BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER amount_kept BEFORE DELETE ON amount BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TRIGGER amount_once BEFORE INSERT ON amount
	WHEN EXISTS (SELECT 1 FROM amount WHERE entry = NEW.entry AND place = NEW.place)
	BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
