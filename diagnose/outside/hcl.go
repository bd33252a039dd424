package outside

import (
	"bytes"
	"unicode/utf8"
)

// HCL measures a text before it is parsed as HCL: one pass, no memory. It counts
// no fewer tokens and no lesser depth than the parser meets.
func (l Limits) HCL(src []byte) error {
	if err := l.Size(int64(len(src))); err != nil {
		return err
	}
	s := &scan{l: l, src: src, line: 1}
	wild := !utf8.Valid(src)
	for ; s.at < len(src); s.at++ {
		if wild { // quotes and comments may end elsewhere for the parser then
			if r, n := utf8.DecodeRune(src[s.at:]); r == utf8.RuneError && n == 1 {
				return s.fail("save it as plain text in UTF-8", "this is no letter of UTF-8")
			} else if r != '\n' {
				s.at += n - 1
				continue
			}
			s.newline()
			continue
		}
		take := s.hcl
		if s.lost != nil {
			take = s.anything
		}
		if err := take(); err != nil {
			return err
		}
	}
	return nil
}

// anything takes what begins here where nobody knows whether it stands in a text.
func (s *scan) anything() error {
	switch b := s.src[s.at]; {
	case b == '\n':
		s.newline()
	case s.begins("<<"), s.begins("/*"): // the parser may go over the rest for each of them
		return s.lost
	case b == '(' || b == '[' || b == '{':
		if s.open() != nil {
			return s.fail("write plain text, without ${ and %{", "brackets are nested more than %d deep", s.l.Depth)
		}
	case wordByte(b):
		if err := s.word(); err != nil {
			return err
		}
	}
	return s.count()
}

// hcl takes what begins here.
func (s *scan) hcl() error {
	switch b := s.src[s.at]; {
	case b == ' ' || b == '\t' || b == '\r':
		return nil
	case b == '\n':
		s.newline()
	case s.begins("#"), s.begins("//"):
		s.skip("\n")
		s.at-- // the end of the line counts for itself
	case s.begins("/*"):
		if !bytes.Contains(s.src[s.at+2:], []byte("*/")) {
			return s.fail("put */ at its end", "this comment is never closed")
		}
		s.at += 2
		s.skip("*/")
	case s.begins("<<"):
		if err := s.lines(); err != nil {
			return err
		}
	case b == '"':
		s.tokens += 2
		if err := s.quoted(true); err != nil {
			return err
		}
	case b == '(' || b == '[' || b == '{':
		if err := s.open(); err != nil {
			return err
		}
	case b == ')' || b == ']' || b == '}':
		s.shut()
	case wordByte(b):
		if err := s.word(); err != nil {
			return err
		}
	}
	return s.count()
}

// mostLines is how many lines one text may have: the parser's time grows with
// their square.
const mostLines = 200

// lines goes over a text of several lines, <<END to END.
func (s *scan) lines() error {
	s.at += len("<<")
	if s.begins("-") {
		s.at++
	}
	from := s.at
	for s.at < len(s.src) && (wordByte(s.src[s.at]) && s.src[s.at] < 0x80 || s.src[s.at] == '-' && s.at > from) {
		s.at++
	}
	end := s.src[from:s.at]
	if len(end) == 0 || len(end) > longWord || end[0] >= '0' && end[0] <= '9' || !(s.begins("\n") || s.begins("\r\n")) {
		return s.fail("write text in quotes, on one line", "<< begins no text of several lines here")
	}
	for n := -1; s.at < len(s.src); n++ {
		if n > mostLines || s.l.Text > 0 && s.at-from > s.l.Text {
			return s.fail("shorten it", "a text of more than %d lines or %d bytes", mostLines, s.l.Text)
		}
		line := s.src[s.at:]
		if i := bytes.IndexByte(line, '\n'); i >= 0 {
			line = line[:i]
		}
		if n >= 0 && bytes.Equal(bytes.TrimSpace(line), end) {
			s.at += len(line) - 1
			return nil
		}
		if bytes.Contains(line, []byte("${")) || bytes.Contains(line, []byte("%{")) {
			return s.fail("write plain text", "something to be worked out (${ or %%{) in a text of several lines")
		}
		s.tokens += 2
		if s.at += len(line); s.at < len(s.src) {
			s.newline()
			s.at++
		}
	}
	s.at = len(s.src) - 1
	return nil
}

func (s *scan) begins(with string) bool {
	return len(s.src)-s.at >= len(with) && string(s.src[s.at:s.at+len(with)]) == with
}

// skip goes on to the last byte of an end, or of the text.
func (s *scan) skip(end string) {
	for ; s.at < len(s.src); s.at++ {
		if s.begins(end) {
			s.at += len(end) - 1
			return
		}
		if s.src[s.at] == '\n' {
			s.newline()
		}
	}
}
