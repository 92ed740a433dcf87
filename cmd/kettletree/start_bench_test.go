package main

// From the word to the first page: the program is started as a user starts it. The aim is 150 ms on a machine that does nothing else;
// cpu-ms is what it takes of a processor, whatever else goes on.

import (
	"bufio"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

func BenchmarkFirstStart(bench *testing.B) {
	for _, of := range []string{"first-pot", "three-kettles", "nothing"} {
		bench.Run(of, func(b *testing.B) {
			folder := b.TempDir()
			if of != "nothing" {
				require.NoError(b, os.CopyFS(folder, os.DirFS(filepath.Join("..", "..", "examples", of))))
			}
			address, used := regexp.MustCompile(`http://localhost:\d+/`), 0.0
			for b.Loop() {
				program := exec.CommandContext(b.Context(), "kettletree", "serve", folder, "--port", "0")
				said, err := program.StdoutPipe()
				require.NoError(b, err)
				require.NoError(b, program.Start())
				url := ""
				for lines := bufio.NewScanner(said); url == "" && lines.Scan(); {
					url = address.FindString(lines.Text())
				}
				require.NotEmpty(b, url)
				r, err := http.NewRequestWithContext(b.Context(), http.MethodGet, url, nil)
				require.NoError(b, err)
				page, err := http.DefaultClient.Do(r)
				require.NoError(b, err)
				require.NoError(b, page.Body.Close())
				require.Equal(b, http.StatusOK, page.StatusCode)
				b.StopTimer()
				http.DefaultClient.CloseIdleConnections()
				require.NoError(b, program.Process.Signal(os.Interrupt))
				_ = program.Wait() // it was interrupted
				used += (program.ProcessState.UserTime() + program.ProcessState.SystemTime()).Seconds()
				b.StartTimer()
			}
			b.ReportMetric(used*1000/float64(b.N), "cpu-ms/op")
		})
	}
}
