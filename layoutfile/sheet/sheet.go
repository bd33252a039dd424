// Package sheet is a layout as it is written: blocks, attributes, values and
// the rows of pieces of its runs, each typed and with its place in the text.
// Parse makes one of a text's syntax, Write a text of one, keeping every byte
// and comment of the text it began with that is still true. It knows how a
// piece, a length and a name are written, and nothing of what a layout means.
package sheet

import "slices"

// Span is a stretch of the text. Lines and columns count from 1, columns count
// characters as they are seen; the end column and To are the first behind it.
type Span struct {
	Line, Column       int
	EndLine, EndColumn int
	From, To           int // bytes
	Block              int // the block at the top of the file that it lies in, from 1; 0 for none
	Row                int // of a run's rows of pieces, from 1; 0 for none
}

// Type is what a value is.
type Type uint8

// The types of values.
const (
	None Type = iota
	Text
	Number
	Flag
	List
	Null
	Wrong // no plain value: Mistake says why
)

// Value is a value as it is written.
type Value struct {
	Type    Type
	Text    string
	Number  float64
	Flag    bool
	List    []Value
	Plain   bool   // a text on one line without escapes, so that its columns can be told
	Written string // in the file, quotes and all
	At      Span
	Mistake *Mistake
}

// Mistake is something wrong with a text, in words for whoever wrote it.
type Mistake struct {
	Summary, Fix string
	At           Span
}

// Attr is an attribute.
type Attr struct {
	Name   string
	NameAt Span
	Value  Value
	At     Span // all of it
}

// Label is a label of a block.
type Label struct {
	Text string
	At   Span
}

// Row is one text of a run's list of pieces.
type Row struct {
	Count int
	Text  string // without the count
	// Words is what Text says, where that is known already.
	Words *Words
	// From is the row of the text that it comes from, so that its comments stay
	// with it; -1 is a new one.
	From int
	At   Span
}

// Block is one block of the file, or (Kind empty) the file itself.
type Block struct {
	Kind   string
	Labels []Label
	Attrs  []Attr // in the order of the file
	Blocks []*Block
	Rows   []Row // of a run; in a sheet that was parsed Pieces gives them
	// From is the block of the text that it comes from, by its index there;
	// -1 is a new one.
	From        int
	KindAt      Span
	Head        Span // its first line
	Open, Close Span // its braces
}

// Sheet is a layout file.
type Sheet struct {
	Block
	src  []byte
	mark bool // the text began with a byte order mark
}

// Attr finds an attribute, nil when it is not there.
func (b *Block) Attr(name string) *Attr {
	for i := range b.Attrs {
		if b.Attrs[i].Name == name {
			return &b.Attrs[i]
		}
	}
	return nil
}

// Text is the text of an attribute, empty where it has none.
func (b *Block) Text(name string) string {
	if a := b.Attr(name); a != nil {
		return a.Value.Text
	}
	return ""
}

// Flag says that an attribute is true.
func (b *Block) Flag(name string) bool {
	a := b.Attr(name)
	return a != nil && a.Value.Flag
}

// Part is the place of a stretch of a Plain text; a stretch that begins before
// it is the whole value.
func (v *Value) Part(p Part) Span {
	if p.From < 0 || !v.Plain {
		return v.At
	}
	return v.At.part(v.Text, p)
}

// part is the place of a stretch of a text that stands in quotes at a place.
func (s Span) part(text string, p Part) Span {
	out := s
	out.Column, out.From = s.Column+1+Columns(text[:p.From]), s.From+1+p.From
	out.EndLine, out.EndColumn, out.To = s.Line, s.Column+1+Columns(text[:p.To]), s.From+1+p.To
	return out
}

// Label is the first label, empty where there is none.
func (b *Block) Label() string {
	if len(b.Labels) == 0 {
		return ""
	}
	return b.Labels[0].Text
}

// Pieces gives the rows of a run that was parsed, with their counts split off.
func (b *Block) Pieces() []Row {
	a := b.Attr("pieces")
	if a == nil {
		return nil
	}
	out := make([]Row, 0, len(a.Value.List))
	for i := range a.Value.List {
		v := &a.Value.List[i]
		n, text := SplitCount(v.Text)
		out = append(out, Row{Count: n, Text: text, From: i, At: v.At})
	}
	return out
}

// Set gives an attribute another value, or adds it.
func (b *Block) Set(name string, v Value) {
	if a := b.Attr(name); a != nil {
		a.Value = v
		return
	}
	b.Attrs = append(b.Attrs, Attr{Name: name, Value: v})
}

// Copy is a sheet that can be changed and then written over this one, which was
// parsed.
func (s *Sheet) Copy() *Sheet {
	out := &Sheet{Block: Block{Attrs: append([]Attr(nil), s.Attrs...)}}
	for _, b := range s.Blocks {
		n := *b
		n.Attrs, n.Rows = nil, b.Pieces()
		for _, a := range b.Attrs {
			if a.Name != "pieces" {
				n.Attrs = append(n.Attrs, a)
			}
		}
		out.Blocks = append(out.Blocks, &n)
	}
	return out
}

// Number lays the places out anew, as if every value had a line of its own, so
// that what is said about a sheet without a text is said in its order.
func (s *Sheet) Number() {
	line := 0
	next := func(block, row int) Span {
		line++
		return Span{Line: line, Column: 1, EndLine: line, EndColumn: 1, Block: block, Row: row}
	}
	number := func(b *Block, i int) {
		b.KindAt = next(i, 0)
		b.Head = b.KindAt
		b.Labels = slices.Clone(b.Labels)
		for k := range b.Labels {
			b.Labels[k].At = b.KindAt
		}
		for k := range b.Attrs {
			a := &b.Attrs[k]
			a.At = next(i, 0)
			a.NameAt, a.Value.At = a.At, a.At
			a.Value.List = slices.Clone(a.Value.List)
			for j := range a.Value.List {
				a.Value.List[j].At = a.At
			}
		}
		for k := range b.Rows {
			b.Rows[k].At = next(i, k+1)
		}
	}
	number(&s.Block, 0)
	for i, b := range s.Blocks {
		number(b, i+1)
	}
}
