package logbook

// The tables of the log book, and how an older file is brought up to date.

import (
	"embed"
	"fmt"
)

// application marks a file as a log book of ours (PRAGMA application_id): "KTLJ".
const application = 0x4B544C4A

// versions is how many there have been of the tables (PRAGMA user_version): schema/1.sql makes the first, and each further
// file leads from the one before to the next. One that has been in use is never changed. testdata holds a file of every
// version but the last.
const versions = 4

//go:embed schema
var schemas embed.FS

// migration is what leads to a version of the tables from the one before.
func migration(version int) string {
	src, err := schemas.ReadFile(fmt.Sprintf("schema/%d.sql", version))
	if err != nil {
		panic("mistake: " + err.Error())
	}
	return string(src)
}
