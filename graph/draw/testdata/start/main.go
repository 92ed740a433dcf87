// Command start says where its temporary folder is, after all packages that it imports are initialised. The tests of
// package draw run it to see what a start of a program leaves behind.
package main

import (
	"fmt"
	"os"

	_ "kettletree/graph/draw"
)

func main() { fmt.Print(os.TempDir()) }
