package draw

// Layouts in a program of their own. Each layout leaves some 26 kB behind in go-graphviz, which gives nothing back until its
// program ends; so a board that draws day and night has a helper do it, which is this program once more, and ends it now and then.

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
)

const (
	// asHelper is a variable that has this program lay out what it reads, and do nothing else.
	asHelper = "KETTLETREE_LAYS_OUT"

	mostHere     = 20  // layouts in this program before a helper is taken
	mostOfHelper = 200 // layouts of one helper: some 5 MB

	laidOut, failed = 0, 1 // how an answer begins
)

// What is used by whoever has the engine's turn.
var (
	drawn     int // layouts in this program
	assistant helper
)

// errNoHelper says that no helper could be started.
var errNoHelper = errors.New("no helper")

// helper is another process that lays out; its zero value starts one when it is asked.
type helper struct {
	command *exec.Cmd
	to      io.WriteCloser
	from    *bufio.Reader
	drawn   int
}

// layOut asks the helper. One that broke down is replaced, and asked once more.
func (h *helper) layOut(dot []byte) (plain []byte, err error) {
	for range 2 {
		if h.command == nil {
			if err := h.start(); err != nil {
				return nil, fmt.Errorf("%w: %w", errNoHelper, err)
			}
		}
		var status byte
		if status, plain, err = h.ask(dot); err != nil {
			h.end()
			continue
		}
		if h.drawn++; h.drawn >= mostOfHelper {
			h.end()
		}
		if status == failed {
			return nil, errors.New(string(plain))
		}
		return plain, nil
	}
	return nil, fmt.Errorf("draw: the layout helper broke down: %w", err)
}

func (h *helper) start() error {
	program, err := os.Executable()
	if err != nil {
		return err
	}
	c := exec.Command(program)
	c.Env = append(os.Environ(), asHelper+"=1", "GOGC=25") // it lives on little
	to, err := c.StdinPipe()
	if err != nil {
		return err
	}
	from, err := c.StdoutPipe()
	if err != nil {
		return err
	}
	if err := c.Start(); err != nil {
		return err
	}
	*h = helper{command: c, to: to, from: bufio.NewReader(from)}
	return nil
}

// end lets the helper go: it ends when nothing more can come.
func (h *helper) end() {
	_ = h.to.Close()
	_ = h.command.Wait() // how it ended is of no matter: what it said was read
	*h = helper{}
}

func (h *helper) ask(dot []byte) (status byte, plain []byte, err error) {
	if err := send(h.to, laidOut, dot); err != nil {
		return 0, nil, err
	}
	return receive(h.from)
}

// help lays out what comes, until nothing more does.
func help(from io.Reader, to io.Writer) {
	in := bufio.NewReader(from)
	for {
		_, dot, err := receive(in)
		if err != nil {
			return // the program that asked has ended, or lets go
		}
		status := byte(laidOut)
		plain, err := layOutSafely(dot)
		if err != nil {
			status, plain = failed, []byte(err.Error())
		}
		if send(to, status, plain) != nil {
			return
		}
	}
}

// layOutSafely turns a panic of go-graphviz into an error.
func layOutSafely(dot []byte) (plain []byte, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("draw: the layout engine broke down: %v", fault)
		}
	}()
	return layOutHere(dot)
}

// send writes a message: a byte, the length, the text.
func send(to io.Writer, status byte, text []byte) error {
	head := binary.BigEndian.AppendUint32([]byte{status}, uint32(len(text)))
	_, err := to.Write(append(head, text...))
	return err
}

func receive(from *bufio.Reader) (status byte, text []byte, err error) {
	var head [5]byte
	if _, err := io.ReadFull(from, head[:]); err != nil {
		return 0, nil, err
	}
	text = make([]byte, binary.BigEndian.Uint32(head[1:]))
	_, err = io.ReadFull(from, text)
	return head[0], text, err
}
