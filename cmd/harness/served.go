//go:build harness

package main

// A board that is served by the program, in a folder of its own, and those who ask it.

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// served is a board under load.
type served struct {
	url     string
	dir     string
	program *exec.Cmd
	client  *http.Client
	most    int // megabytes
}

// built builds the program as README says.
func built(ctx context.Context, dir string) (program string, err error) {
	program = filepath.Join(dir, "kettletree")
	build := exec.CommandContext(ctx, "go", "build", "-o", program, "./cmd/kettletree")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	build.Stderr = os.Stderr
	return program, build.Run()
}

// serve builds the program and serves a copy of an example. Its clock stands still when now is not "".
func serve(ctx context.Context, example, now string) (*served, error) {
	dir, err := os.MkdirTemp("", "harness")
	if err != nil {
		return nil, err
	}
	program := os.Getenv("KETTLETREE") // one that is built already, to compare with
	if program == "" {
		if program, err = built(ctx, dir); err != nil {
			return nil, err
		}
	}
	if err := os.CopyFS(filepath.Join(dir, "kitchen"), os.DirFS(filepath.Join("examples", example))); err != nil {
		return nil, err
	}
	s, err := serveIn(ctx, program, filepath.Join(dir, "kitchen"), now)
	if s != nil {
		s.dir = dir
	}
	return s, err
}

// serveIn serves a kitchen that there is, and leaves its folder alone.
func serveIn(ctx context.Context, program, folder, now string) (*served, error) {
	s := &served{client: &http.Client{Timeout: time.Minute, Transport: &http.Transport{MaxIdleConnsPerHost: 64},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
	s.program = exec.CommandContext(ctx, program, "serve", "--port", "0")
	s.program.Dir, s.program.Stderr = folder, os.Stderr
	s.program.Env = append(os.Environ(), "XDG_CACHE_HOME="+filepath.Join(folder, "..", "cache"))
	if now != "" {
		s.program.Env = append(s.program.Env, "KETTLETREE_NOW="+now)
	}
	out, err := s.program.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := s.program.Start(); err != nil {
		return nil, err
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if at := regexp.MustCompile(`http://\S+:\d+`).FindString(lines.Text()); at != "" {
			s.url = at
			go func() { _, _ = io.Copy(io.Discard, out) }()
			return s, nil
		}
	}
	return nil, fmt.Errorf("the board said no address")
}

func (s *served) close() {
	_ = s.program.Process.Signal(syscall.SIGTERM)
	_ = s.program.Wait()
	if s.dir != "" {
		_ = os.RemoveAll(s.dir)
	}
}

// answer is what came back.
type answer struct {
	status int
	header http.Header
	body   string
	took   time.Duration
}

// get asks for a page as a browser does, from one of some devices.
func (s *served) get(ctx context.Context, device, path string) (answer, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, s.url+path, nil)
	if err != nil {
		return answer{}, err
	}
	return s.do(r, device)
}

// post sends a form from a page of the board.
func (s *served) post(ctx context.Context, device, path string, form url.Values) (answer, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, s.url+path, strings.NewReader(form.Encode()))
	if err != nil {
		return answer{}, err
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return s.do(r, device)
}

func (s *served) do(r *http.Request, device string) (a answer, err error) {
	r.Header.Set("Cookie", "kettletree="+device)
	began := time.Now()
	got, err := s.client.Do(r)
	if err != nil {
		return a, err
	}
	body, err := io.ReadAll(got.Body)
	_ = got.Body.Close()
	return answer{got.StatusCode, got.Header, string(body), time.Since(began)}, err
}

// megabytes is how much memory the board and the helper that lays out its maps hold now, and at most held when they were asked, by
// Linux's count of proportional set sizes: what the two share counts once.
func (s *served) megabytes() (now, most int) {
	for _, process := range s.processes() {
		text, err := os.ReadFile("/proc/" + process + "/smaps_rollup")
		if err != nil {
			continue // it has ended
		}
		if found := regexp.MustCompile(`(?m)^Pss:\s+(\d+) kB`).FindSubmatch(text); found != nil {
			kilobytes, _ := strconv.Atoi(string(found[1])) // it has digits only
			now += kilobytes / 1024
		}
	}
	s.most = max(s.most, now)
	return now, s.most
}

// processes are those of the board.
func (s *served) processes() []string {
	list := []string{strconv.Itoa(s.program.Process.Pid)}
	tasks, _ := filepath.Glob(fmt.Sprintf("/proc/%s/task/*/children", list[0])) // the pattern is sound
	for _, file := range tasks {
		children, _ := os.ReadFile(file) // a thread may have ended
		list = append(list, strings.Fields(string(children))...)
	}
	return list
}

// seconds is how much of the processor the board has used.
func (s *served) seconds() float64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", s.program.Process.Pid))
	if err != nil {
		return 0
	}
	_, rest, _ := strings.Cut(string(text), ") ")
	f := strings.Fields(rest)
	if len(f) < 13 {
		return 0
	}
	const ticks = 100 // a second, on all of Linux that Go knows
	user, _ := strconv.Atoi(f[11])
	system, _ := strconv.Atoi(f[12])
	return float64(user+system) / ticks
}
