package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// unspoken are words and forms that no answer, fault or help uses: there is a plainer way to say each.
var unspoken = regexp.MustCompile(`(?i)\b(reckon\w*|anew|(is|are) told|for want of|stands twice|change of stock|an object a line)\b` +
	`|[0-9] %|\b1 days\b|0\.00000` +
	`|(?-i:\b(mon|tue|wed|thu|fri|sat|sun) [0-9]{1,2} (jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)\b)`)

// Help, and what the scripts see of answers and faults, keep to the words.
func TestWords(t *testing.T) {
	for _, folder := range []string{"help", filepath.Join("testdata", "script")} {
		require.NoError(t, filepath.WalkDir(folder, func(file string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			text, err := os.ReadFile(file)
			for n, line := range strings.Split(string(text), "\n") {
				if !strings.HasPrefix(line, "#") {
					assert.NotRegexp(t, unspoken, line, "%s:%d", file, n+1)
				}
			}
			return err
		}))
	}
}
