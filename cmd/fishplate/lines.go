package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/charmbracelet/x/term"
)

// maxLine is far more than anyone types.
const maxLine = 64 << 10

// lines reads what is typed, a line at a time, with bounded memory.
type lines struct{ r *bufio.Reader }

func newLines(r io.Reader) *lines { return &lines{bufio.NewReaderSize(r, maxLine)} }

// errLongLine says that a line was too long; the next one can be read.
var errLongLine = fmt.Errorf("the line is longer than %d bytes; that is the limit", maxLine)

// next gives the next line without its end and without spaces around it.
func (l *lines) next() (string, error) {
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
