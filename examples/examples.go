// Package examples holds the example kitchens, so that the program can write one out.
package examples

import "embed"

// Files has a folder for each kitchen.
//
//go:embed */kitchen.yaml */on-hand.csv */cooling.csv */photos/*.png
var Files embed.FS
