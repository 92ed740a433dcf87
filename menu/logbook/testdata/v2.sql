-- A journal of version 2, as the program made it before lots could be named and rows were known again: its tables, and a
-- day in them.
PRAGMA application_id = 1263815754;
PRAGMA user_version = 2;
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
INSERT INTO file (id, name, digest, written) VALUES (1, 'note.csv', 'a1b2', 1795593660);
INSERT INTO entry (id, kind, at, written, corrects, text, step, batches, dish, portions, service, paid, supplier, mark, reason, of, celsius, file) VALUES
	(1, 'received', 1795593600, 1795593660, NULL, '10 kg pork shoulder for 51 from butcher lot A17', NULL, NULL, NULL, NULL, NULL, 51.0, 'butcher', 'A17', NULL, NULL, NULL, 1),
	(2, 'cooked', 1795600800, 1795600860, NULL, 'braise x1: 6 kg pork shoulder, 6 L water -> 3.6 kg pulled shoulder, 4.5 L shoulder broth', 'braise', 1.0, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL),
	(3, 'sold', 1795615200, 1795615260, NULL, '10 tacos at lunch', NULL, NULL, 'tacos', 10, 'lunch', NULL, NULL, NULL, NULL, NULL, NULL, NULL),
	(4, 'temperature', 1795615200, 1795615260, NULL, 'shoulder broth 4.5 C', NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 'shoulder broth', 4.5, NULL),
	(5, 'undone', 1795618800, 1795618800, 3, 'undo 3', NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO amount (entry, place, gives, item, base, measure, typed) VALUES
	(1, 0, 1, 'pork shoulder', 10000.0, 'g', '10 kg'),
	(2, 0, 0, 'pork shoulder', 6000.0, 'g', '6 kg'),
	(2, 1, 0, 'water', 6000.0, 'mL', '6 L'),
	(2, 2, 1, 'pulled shoulder', 3600.0, 'g', '3.6 kg'),
	(2, 3, 1, 'shoulder broth', 4500.0, 'mL', '4.5 L');
