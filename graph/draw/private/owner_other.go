//go:build !unix

package private

// Where folders have no owner and mode to look at: on Windows a user's cache folder is kept from others by the access
// list of the profile that it lies in, which a new folder inherits.

import "os"

// variable is what os.TempDir reads first.
const variable = "TMP"

// trusted reports whether the folder is one, and no link to another.
func trusted(_, folder string) bool {
	in, err := os.Lstat(folder)
	return err == nil && in.Mode().Type() == os.ModeDir
}
