package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"

	"github.com/charmbracelet/x/term"
)

// maxLine is far more than anyone types.
const maxLine = 64 << 10

// lines reads what is typed, a line at a time, with bounded memory.
type lines struct {
	r       *bufio.Reader
	stop    <-chan struct{} // closed at Ctrl-C, nil where that ends the program
	stopped bool
}

func newLines(r io.Reader) *lines { return &lines{r: bufio.NewReaderSize(r, maxLine)} }

// errStopped says that Ctrl-C was pressed: whoever waits for a line leaves as for quit.
var errStopped = errors.New("stopped by Ctrl-C")

// hearStop makes Ctrl-C the end of the lines instead of the program's, until end. A
// second one ends the program at once.
func (l *lines) hearStop() (end func()) {
	heard, stop, over := make(chan os.Signal, 1), make(chan struct{}), make(chan struct{})
	signal.Notify(heard, os.Interrupt)
	go func() {
		defer signal.Stop(heard)
		select {
		case <-heard:
			close(stop)
		case <-over:
		}
	}()
	l.stop = stop
	return func() { close(over) }
}

// errLongLine says that a line was too long; the next one can be read.
var errLongLine = fmt.Errorf("the line is longer than %d bytes; that is the limit", maxLine)

// next gives the next line without its end and without spaces around it. Once it was
// stopped it gives no more: someone may still be waiting for the line before.
func (l *lines) next() (string, error) {
	if l.stop == nil || l.stopped {
		return l.read()
	}
	type line struct {
		text string
		err  error
	}
	came := make(chan line, 1)
	go func() {
		text, err := l.read()
		came <- line{text, err}
	}()
	select {
	case c := <-came:
		return c.text, c.err
	case <-l.stop:
		l.stopped = true
		return "", errStopped
	}
}

func (l *lines) read() (string, error) {
	if l.stopped {
		return "", errStopped
	}
	text, err := l.r.ReadSlice('\n')
	if errors.Is(err, bufio.ErrBufferFull) {
		for errors.Is(err, bufio.ErrBufferFull) {
			_, err = l.r.ReadSlice('\n')
		}
		return "", errLongLine
	}
	s := strings.TrimSpace(strings.TrimPrefix(string(text), "\ufeff"))
	if errors.Is(err, io.EOF) && s != "" {
		return s, nil // the last line has no end
	}
	return s, err
}

// typedAt says whether lines come from someone at a terminal, which shows them.
func typedAt(in io.Reader) bool {
	f, ok := in.(*os.File)
	return ok && term.IsTerminal(f.Fd())
}
