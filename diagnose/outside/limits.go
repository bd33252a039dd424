package outside

import (
	"bytes"
	"fmt"
)

// Limits bound a file before it is parsed. Zero is no limit.
type Limits struct {
	What   string // "a layout file", for the message
	Bytes  int
	Depth  int // brackets inside one another
	Tokens int // words, texts, brackets and signs
	Text   int // bytes of one text in quotes
}

// The limits of every kind of file that comes from outside. Those of layouts
// are also said by package layoutfile.
var (
	Layout   = Limits{"a layout file", 1 << 20, 12, 100_000, 4_000}
	Lesson   = Limits{"a lesson", 256 << 10, 12, 20_000, 4_000}
	Settings = Limits{"a file of settings", 64 << 10, 4, 4_000, 4_000}
	Record   = Limits{"a saved hunt", 8 << 20, 24, 400_000, 2 << 20}
	Meter    = Limits{"a file of a meter's figures", 16 << 10, 4, 400, 1_000}
	Drill    = Limits{"a saved drill", 1 << 20, 12, 60_000, 64 << 10}
	Health   = Limits{"a file of health checks", 1 << 20, 8, 60_000, 1_000}
	Drills   = Limits{"a file of drill records", 32 << 20, 8, 3_000_000, 4_000}
	Counts   = Limits{"a file of counts", 256 << 10, 6, 20_000, 200}
	Walk     = Limits{"a kept walk", 16 << 20, 16, 1_500_000, 2 << 20}
	Sizes    = Limits{"the sizes used last", 16 << 10, 6, 1_000, 1_000}
	Door     = Limits{"a line of JSON", 64 << 10, 8, 1_000, 16_000}
)

// Size refuses what has too many bytes.
func (l Limits) Size(bytes int64) error {
	if l.Bytes > 0 && bytes > int64(l.Bytes) {
		return fmt.Errorf("it has %d bytes; the limit for %s is %d", bytes, l.What, l.Bytes)
	}
	return nil
}

// scan goes through a text once.
type scan struct {
	l             Limits
	src           []byte
	at            int
	line, start   int // of the place
	depth, tokens int
	// lost says where something is worked out in a text of HCL: what is a text and what is
	// none is told no more, so that every bracket from there on counts, and none is closed.
	lost error
}

func (s *scan) fail(fix, format string, args ...any) error {
	return &Fault{Line: s.line, Column: s.at - s.start + 1, What: fmt.Sprintf(format, args...), Fix: fix}
}

// Fault is a limit that is passed, with its place (lines and bytes from 1) and
// what to do.
type Fault struct {
	Line, Column int
	What, Fix    string
}

func (f *Fault) Error() string {
	return fmt.Sprintf("line %d, column %d: %s; %s", f.Line, f.Column, f.What, f.Fix)
}

// count notes a token.
func (s *scan) count() error {
	s.tokens++
	if s.l.Tokens > 0 && s.tokens > s.l.Tokens {
		return s.fail("is this the right file?", "there is more in it than %s may hold (%d words and signs)", s.l.What,
			s.l.Tokens)
	}
	return nil
}

func (s *scan) open() error {
	s.depth++
	if s.l.Depth > 0 && s.depth > s.l.Depth {
		return s.fail(s.l.What+" never needs that: look for a bracket that was not closed",
			"brackets are nested more than %d deep", s.l.Depth)
	}
	return nil
}

func (s *scan) shut() {
	if s.depth > 0 {
		s.depth--
	}
}

// newline notes that the line ends at the byte here.
func (s *scan) newline() { s.line, s.start = s.line+1, s.at+1 }

// longWord is more than any number or name has, bytes.
const longWord = 200

// word goes over letters, digits and what belongs to them.
func (s *scan) word() error {
	from := s.at
	for s.at < len(s.src) && wordByte(s.src[s.at]) {
		s.at++
	}
	if s.at-from > longWord {
		s.at = from
		return s.fail("put text in quotes, and shorten it", "a word or number of more than %d characters", longWord)
	}
	if powerOfTen(s.src[from:]) > 3 {
		s.at = from
		return s.fail("write a number that can be measured", "a number with a power of ten of more than three digits")
	}
	s.at--
	return nil
}

// powerOfTen is how many digits the power of ten of a number has, 0 where none
// is written: exact numbers of a thousand digits take the parser long.
func powerOfTen(b []byte) int {
	if b[0] < '0' || b[0] > '9' {
		return 0
	}
	end := bytes.IndexFunc(b, func(r rune) bool { return (r < '0' || r > '9') && r != '.' })
	if end < 0 || b[end]|0x20 != 'e' {
		return 0
	}
	rest := bytes.TrimLeft(b[end+1:min(end+8, len(b))], "+-")
	if other := bytes.IndexFunc(rest, func(r rune) bool { return r < '0' || r > '9' }); other >= 0 {
		return other
	}
	return len(rest)
}

func wordByte(b byte) bool {
	return b == '_' || b >= 0x80 || b >= '0' && b <= '9' || b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z'
}

// quoted goes over a text in quotes. In HCL a bracket that stands in it is a letter,
// and where ${ or %{ opens something to be worked out, the text is no more followed.
func (s *scan) quoted(hcl bool) error {
	from, escaped := s.at, s.at
	for s.at++; s.at < len(s.src); s.at++ {
		switch b := s.src[s.at]; {
		case b == '\\' && !(hcl && s.begins("\\\n")):
			s.at++
			escaped = s.at
		case b == '"':
			return nil
		case b == '\n' && hcl: // the parser's text goes on here
			s.at = from
			return s.fail("put \" at its end, on the same line", "this text has no closing quote")
		case hcl && b == '{' && opens(s.src[escaped+1:s.at]):
			s.lost = s.fail("write plain text", "something to be worked out (${ or %%{) in a text")
			return s.open()
		}
		if s.l.Text > 0 && s.at-from > s.l.Text {
			return s.fail("shorten it", "a text of more than %d bytes", s.l.Text)
		}
	}
	return nil
}

// opens says whether a brace behind these letters begins what is to be worked out:
// $${ and %%{ are letters, ${ and %{ are not.
func opens(before []byte) bool {
	n := len(before)
	if n == 0 || before[n-1] != '$' && before[n-1] != '%' {
		return false
	}
	same := n - len(bytes.TrimRight(before, string(before[n-1:])))
	return same != 2
}
