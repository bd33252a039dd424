// Package page holds what is put on paper: a title and blocks of labelled
// lines, tables, lists, boxes to tick and pictures, set as plain lines, as
// Markdown and as one HTML file, so that all three say the same. It knows
// nothing of what it sets.
package page

import (
	"strings"

	"fishplate/diagnose/outside"
)

// Page is a title with blocks of text.
type Page struct {
	Title  string
	Blocks []Block
}

// Block is one block of a page. What is empty is left out.
type Block struct {
	Title string
	Lines []Line
	Head  []string // over the columns of Rows
	Rows  [][]string
	// Aloud is each row as a sentence, where reading its cells after their
	// heads would not make one.
	Aloud  []string `json:"-"`
	List   []string
	Ticks  []Tick  `json:",omitempty"`
	Figure *Figure `json:"-"`
}

// Line is one line with its label.
type Line struct{ Label, Text string }

// Tick is a line with a box to tick.
type Tick struct {
	Text string
	Done bool
}

// Figure is a picture: drawn for HTML, in characters for Markdown. Plain lines,
// which are read aloud, leave it out.
type Figure struct {
	// SVG is put into HTML as it is: whoever draws it escapes its texts.
	SVG     string
	Text    string
	Caption string
}

// Add appends a labelled line, unless it says nothing.
func (b *Block) Add(label, text string) {
	if text != "" {
		b.Lines = append(b.Lines, Line{label, text})
	}
}

// Put appends a block, unless it is empty.
func (p *Page) Put(b Block) {
	if len(b.Lines)+len(b.Rows)+len(b.List)+len(b.Ticks) > 0 || b.Figure != nil {
		p.Blocks = append(p.Blocks, b)
	}
}

// Text gives the page as plain lines: no frames, and no columns that a screen
// reader would tear apart. Nothing is wrapped.
func (p *Page) Text() []string {
	out := []string{p.Title}
	for i := range p.Blocks {
		b := &p.Blocks[i]
		if b.Title != "" {
			out = append(out, "", b.Title)
		}
		for _, l := range b.Lines {
			out = append(out, l.Label+": "+l.Text)
		}
		for k := range b.Rows {
			out = append(out, b.RowText(k))
		}
		for _, s := range b.List {
			out = append(out, "- "+s)
		}
		for _, t := range b.Ticks {
			out = append(out, t.Box()+" "+t.Text)
		}
	}
	for i := range out {
		out[i] = OneLine(out[i])
	}
	return out
}

// RowText reads a row aloud: its sentence, or its cells after their heads.
func (b *Block) RowText(row int) string {
	if row < len(b.Aloud) {
		return b.Aloud[row]
	}
	var parts []string
	for i, cell := range b.Rows[row] {
		switch {
		case cell == "":
		case i < len(b.Head) && b.Head[i] != "":
			parts = append(parts, b.Head[i]+": "+cell)
		default:
			parts = append(parts, cell)
		}
	}
	return strings.Join(parts, "; ")
}

// Box is the tick box in plain characters, as in task lists of Markdown.
func (t Tick) Box() string {
	if t.Done {
		return "[x]"
	}
	return "[ ]"
}

// OneLine takes what cannot be seen out of what users typed.
func OneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' || outside.Unseen(r) {
			return ' '
		}
		return r
	}, s)
}
