-- The chain: each entry has a digest of what it says, and a link to all before it. The register: what is asked of many entries at
-- once, sealed. No index is gone by any more, for one that is damaged would hide an entry. The zone of the clock that an entry
-- was written by.
DROP TRIGGER entry_stays; -- set again when the entries that are there have their digests
DROP INDEX correction;
DROP INDEX moment;
DROP INDEX decision;
DROP INDEX life;
DROP INDEX mark;
DROP INDEX amount_mark;
ALTER TABLE entry ADD COLUMN zone INTEGER CHECK (zone > -1440 AND zone < 1440); -- minutes east of UTC; NULL where nobody knows
ALTER TABLE entry ADD COLUMN row BLOB;    -- of a file that was taken over: what its used columns say, see Row
ALTER TABLE entry ADD COLUMN digest BLOB; -- of all that the entry says, see digestOf
ALTER TABLE entry ADD COLUMN chain BLOB;  -- of the link before and the digest
UPDATE entry SET row = r.digest FROM file_row r WHERE r.entry = entry.id;
DROP TABLE file_row;
CREATE TABLE leaf ( -- of the register: so many entries each, see perLeaf
	number   INTEGER PRIMARY KEY,
	register BLOB NOT NULL,
	chain    BLOB NOT NULL, -- of its last entry
	seal     BLOB NOT NULL  -- of the seal before and all of this
) STRICT;
CREATE TRIGGER leaf_stays BEFORE UPDATE ON leaf BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER leaf_kept BEFORE DELETE ON leaf BEGIN SELECT RAISE(ABORT, 'an entry is never taken out'); END;
CREATE TABLE head ( -- one row: where the chain ends
	one    INTEGER PRIMARY KEY CHECK (one = 1),
	last   INTEGER NOT NULL, -- the entry that was written last
	chain  BLOB NOT NULL,
	leaves INTEGER NOT NULL,
	seal   BLOB NOT NULL     -- of the last leaf
) STRICT;
DELETE FROM played; -- their rows are sealed from now on
DELETE FROM playing;
ALTER TABLE playing ADD COLUMN chain BLOB; -- of the last entry
ALTER TABLE playing ADD COLUMN seal BLOB;
