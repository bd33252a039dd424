// Package schema is the one table of what a layout file may hold: its blocks,
// their attributes, what a value must be, its bounds and units, how it is
// written, and a line about each. The reader, the writer, the printed
// reference, the answers to unknown words and the questions of the walk come
// from it. It knows no text and no layout.
package schema

import "strings"

// Kind is what a value must be.
type Kind int

// The kinds of values.
const (
	Text   Kind = iota // any text in quotes
	Word               // one of Words
	Number             // from Lo to Hi
	Whole              // a whole number from Lo to Hi
	Flag               // true or false
	Length             // a number in the units of the file or a text with its own; Lo to Hi millimeters
	Wire               // a wire's size: "16 AWG", "0.75 mm2"
	Name               // the name of another thing, of a kind in Of
	Rail               // a rail of the track there
	Rails              // a list of rails
	Piece              // a place: a whole piece
	Joint              // a place: where two pieces meet
	Spot               // a place: a piece, a joint or an end
	End                // a place: a free end of a piece
	Pieces             // the pieces of a run
	Size               // a kind of piece and its sizes
	Texts              // a list of texts
)

// Place says that a value names a place on the track.
func (k Kind) Place() bool { return k == Piece || k == Joint || k == Spot || k == End }

// Attr is an attribute of a block.
type Attr struct {
	Name   string
	Kind   Kind
	Needed bool     // a block without it is a mistake
	Words  []string // of a Word, the usual one first
	Of     []string // of a Name: the kinds of block that it may name
	Lo, Hi float64  // bounds, both allowed; of a Length in millimeters
	Unit   string   // behind the bounds in an answer
	Shown  string   // a value as it is written, quotes and all
	Help   string   // what it says, in a line; empty where its name says it
}

// Example is the attribute as it is written, with the other words that it may
// be.
func (a *Attr) Example() string {
	s := a.Name + " = " + a.Shown
	if a.Kind == Word && len(a.Words) > 1 {
		var others []string
		for _, w := range a.Words {
			if q := `"` + w + `"`; q != a.Shown {
				others = append(others, q)
			}
		}
		if len(others) < 4 {
			s += " (or " + strings.Join(others, ", ") + ")"
		}
	}
	return s
}

// Block is a kind of block, or (Name empty) the file itself.
type Block struct {
	Name    string
	Labels  []string // what its labels are, in order: "a name"
	At      Kind     // Piece or Joint where its label is a place
	Attrs   []Attr   // in the order in which they are written
	Blocks  []*Block // that it may hold
	Under   bool     // it is wiring: it lies under the table
	Own     bool     // its name must differ from those of all other blocks with Own
	Letter  string   // its name begins with it where nobody gave another: F1
	Help    string   // what it is, in a line
	Example string   // how it is written
}

// Attr finds an attribute, nil when the block may not have it.
func (b *Block) Attr(name string) *Attr {
	for i := range b.Attrs {
		if b.Attrs[i].Name == name {
			return &b.Attrs[i]
		}
	}
	return nil
}

// Block finds a kind of block that may stand inside, nil when none may.
func (b *Block) Block(name string) *Block {
	for _, x := range b.Blocks {
		if x.Name == name {
			return x
		}
	}
	return nil
}

// AttrNames lists the attributes.
func (b *Block) AttrNames() []string {
	out := make([]string, len(b.Attrs))
	for i := range b.Attrs {
		out[i] = b.Attrs[i].Name
	}
	return out
}

// BlockNames lists the blocks that may stand inside.
func (b *Block) BlockNames() []string {
	out := make([]string, len(b.Blocks))
	for i, x := range b.Blocks {
		out[i] = x.Name
	}
	return out
}

// Spoken is the kind as people say it: "insulated rail".
func (b *Block) Spoken() string {
	if b.Name == "strip" {
		return "terminal strip"
	}
	return strings.ReplaceAll(b.Name, "_", " ")
}

// Names says whether an attribute of the block names a thing of a kind.
func (b *Block) Names(attr, kind string) bool {
	a := b.Attr(attr)
	if a == nil || a.Kind != Name {
		return false
	}
	for _, k := range a.Of {
		if k == kind {
			return true
		}
	}
	return false
}

// Called gives an attribute by its name, of the first block that may have one; nil where
// none may.
func Called(name string) *Attr { return called(File, name) }

func called(b *Block, name string) *Attr {
	if a := b.Attr(name); a != nil {
		return a
	}
	for _, in := range b.Blocks {
		if a := called(in, name); a != nil {
			return a
		}
	}
	return nil
}

// Find gives a block of the file by its kind, nil when there is none.
func Find(kind string) *Block { return File.Block(kind) }

// Order is the place of a kind of block in a file that a program writes.
func Order(kind string) int {
	for i, b := range File.Blocks {
		if b.Name == kind {
			return i
		}
	}
	return len(File.Blocks)
}

// Wiring lists the kinds that lie under the table, in the order in which they
// are spoken of.
func Wiring() []*Block {
	var out []*Block
	for _, b := range File.Blocks {
		if b.Under {
			out = append(out, b)
		}
	}
	return out
}
