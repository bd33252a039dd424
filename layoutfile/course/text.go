package course

import (
	"errors"
	"fmt"
	"slices"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// view is what the last look found.
type view struct {
	layout   *track.Layout // to be drawn; nil when there is nothing
	good     bool          // layout is the whole truth, and can be hunted on
	look     *layoutfile.Look
	meets    map[Anchor]Anchor
	text     []byte      // of the file, once it was asked for
	index    map[int]int // piece ID to index in layout
	troubles []Trouble
	minded   bool // troubles are worked out
	targets  []Target
	aimed    bool // targets are worked out, for the run aimedOn
	aimedOn  int
}

// look puts the layout together and reads it. A layout with mistakes is drawn as
// far as it goes: without what lies on the track, then without its closings,
// then run by run.
func (c *Course) look() {
	if c.editor == nil {
		c.editor = layoutfile.NewEditor(c.base)
	}
	v := view{meets: c.now.meets()}
	v.look = c.editor.Look(c.top(), c.parts(whole, merged, v.meets))
	if l := v.look.Layout; l != nil {
		v.layout, v.good = l, true
	}
	for level := noThings; v.layout == nil && level <= apart; level++ {
		v.layout = c.editor.Look(c.top(), c.parts(level, merged, v.meets)).Layout
	}
	if v.layout != nil {
		v.index = make(map[int]int, len(v.layout.Pieces))
		for i := range c.now.Runs {
			for k := range c.now.Runs[i].Pieces {
				if p := &c.now.Runs[i].Pieces[k]; p.Words.Again == "" {
					v.index[p.ID] = len(v.index)
				}
			}
		}
		if len(v.index) != len(v.layout.Pieces) { // cannot be; better no map than a wrong one
			v.layout, v.index = nil, nil
		}
	}
	c.view = v
}

// Layout is the layout to draw, nil when nothing can be drawn. good says that
// it is whole and can be hunted on.
func (c *Course) Layout() (l *track.Layout, good bool) { return c.view.layout, c.view.good }

// Text is the layout file as it would be saved.
func (c *Course) Text() []byte {
	if c.view.text == nil {
		c.view.text = c.editor.Rewrite(c.top(), c.parts(whole, rows, c.view.meets))
	}
	return c.view.text
}

// Checked is Text after it was read like any file: the mistakes in it, if
// there are any. What is good by Layout has none; it is asked for all the
// same before a file is written.
func (c *Course) Checked() ([]byte, error) {
	f, problems := layoutfile.Read("layout", c.Text())
	switch {
	case f == nil && len(problems) > 0:
		return nil, fmt.Errorf("%s (line %d)", problems[0].Summary, problems[0].Range.Line)
	case f == nil || len(f.Layout.Pieces) != c.Pieces():
		return nil, errors.New("it would not read back as what stands here")
	}
	return c.Text(), nil
}

// Index gives the piece of Layout for a piece of the course, -1 for none.
func (c *Course) Index(id int) int {
	if i, ok := c.view.index[id]; ok {
		return i
	}
	return -1
}

// PieceAt gives the ID of a piece of Layout, 0 for none.
func (c *Course) PieceAt(index int) int {
	for i := range c.now.Runs {
		for k := range c.now.Runs[i].Pieces {
			if p := &c.now.Runs[i].Pieces[k]; p.Words.Again == "" && c.Index(p.ID) == index {
				return p.ID
			}
		}
	}
	return 0
}

// level is how much of the layout is written.
type level int

const (
	whole    level = iota
	noThings       // tracks only
	noEnds         // and no closings
	apart          // and every run for itself
)

// top is what stands before the blocks.
func (c *Course) top() []layoutfile.Attr {
	s := &c.now
	units := "in"
	if s.Metric {
		units = "mm"
	}
	top := []layoutfile.Attr{{Name: "name", Value: layoutfile.Quote(s.Name)}}
	if s.About != "" {
		top = append(top, layoutfile.Attr{Name: "about", Value: layoutfile.Quote(s.About)})
	}
	top = append(top, layoutfile.Attr{Name: "units", Value: layoutfile.Quote(units)})
	if s.Construction != "" {
		top = append(top, layoutfile.Attr{Name: "construction", Value: layoutfile.Quote(s.Construction)})
	}
	return top
}

func (c *Course) parts(l level, rows func([]Piece) []layoutfile.PieceRow, meets map[Anchor]Anchor) []layoutfile.Part {
	s := &c.now
	var out []layoutfile.Part
	for i := range s.Runs {
		r := &s.Runs[i]
		direct := r.From.At.Piece != 0 && r.To.At.Piece != 0 && l < noEnds
		if len(r.Pieces) == 0 && !direct {
			continue // a run just begun
		}
		p := s.runPart(r, l)
		p.Rows = rows(r.Pieces)
		out = append(out, p)
	}
	for i := range s.Things {
		t := &s.Things[i]
		if l == whole || t.Kind == "stock" || t.Kind == "construction" {
			out = append(out, s.thingPart(t, meets))
		}
	}
	return out
}

func (s *State) runPart(r *Run, l level) layoutfile.Part {
	p := layoutfile.Part{From: r.Block, Kind: "run", Label: r.Name}
	set := func(name, value string) { p.Attrs = append(p.Attrs, layoutfile.Attr{Name: name, Value: value}) }
	end := func(name string, e Ref, on bool) {
		switch n := s.endName(e.At); {
		case n == "" || !on:
			set(name, "")
		case n == e.Was:
			set(name, layoutfile.Quote(e.Text))
		default:
			set(name, layoutfile.Quote(n))
		}
	}
	construction := ""
	if r.Construction != "" {
		construction = layoutfile.Quote(r.Construction)
	}
	set("construction", construction)
	closes := ""
	if r.Closes && l < noEnds {
		closes = "true"
	}
	set("closes", closes)
	end("from", r.From, l < apart)
	end("to", r.To, l < noEnds)
	return p
}

// rows puts equal pieces together as the file had them; new ones join.
func rows(pieces []Piece) []layoutfile.PieceRow {
	return rowsBy(pieces, func(a layoutfile.PieceRow, b *Piece) bool { return a.From == b.Row })
}

// merged puts all equal pieces together.
func merged(pieces []Piece) []layoutfile.PieceRow {
	return rowsBy(pieces, func(layoutfile.PieceRow, *Piece) bool { return true })
}

func rowsBy(pieces []Piece, same func(layoutfile.PieceRow, *Piece) bool) []layoutfile.PieceRow {
	const most = 1000 // the file's limit for one text
	var out []layoutfile.PieceRow
	for i := range pieces {
		p := &pieces[i]
		if n := len(out); n > 0 && out[n-1].Text == p.Text && same(out[n-1], p) && out[n-1].Count < most &&
			p.Words.Name == "" && p.Words.Again == "" && p.Words.Kind != track.Bumper {
			out[n-1].Count++
			continue
		}
		out = append(out, layoutfile.PieceRow{Count: 1, Text: p.Text, From: p.Row})
	}
	return out
}

func (s *State) thingPart(t *Thing, meets map[Anchor]Anchor) layoutfile.Part {
	name := func(r Ref) string {
		if r.At.Piece == 0 {
			return r.Text
		}
		n := s.placeName(r.At, meets)
		if n == r.Was || n == "" {
			return r.Text
		}
		return n
	}
	p := layoutfile.Part{From: t.Block, Kind: t.Kind, Label: name(t.Label)}
	for _, f := range t.Fields {
		v := f.Value.Text
		if f.Value.At.Piece != 0 {
			v = layoutfile.Quote(name(f.Value))
		}
		p.Attrs = append(p.Attrs, layoutfile.Attr{Name: f.Name, Value: v})
	}
	if t.Block >= 0 && t.Texts != nil {
		for _, r := range t.Texts {
			p.Texts = append(p.Texts, name(r))
		}
	}
	return p
}

// Trouble is something wrong with the layout, in words, and where.
type Trouble struct {
	Warning bool
	Says    string // what is wrong
	Fix     string // what to do, or empty
	Where   string // "main 7", "feeder F1", or empty
	Piece   int    // ID of the piece to jump to, 0 for none
}

// Troubles says what is wrong with the layout as it is.
func (c *Course) Troubles() []Trouble {
	if !c.view.minded {
		c.view.troubles, c.view.minded = c.mind(), true
	}
	return c.view.troubles
}

func (c *Course) mind() []Trouble {
	var out []Trouble
	if c.Empty() {
		return nil // nothing walked yet is no mistake
	}
	problems := c.view.look.Problems
	for i := range problems {
		p := &problems[i]
		t := Trouble{Warning: p.Warning, Says: p.Summary, Fix: p.Fix}
		at := c.view.look.Where(p.Range.Line, p.Range.Column)
		switch {
		case at.Kind == "run":
			t.Where = "run " + at.Label
			c.onRow(&t, at)
		case at.Kind != "":
			t.Where = at.Kind + " " + at.Label
			c.onThing(&t, at)
		}
		out = append(out, t)
	}
	for i := range c.now.Runs {
		if r := &c.now.Runs[i]; len(r.Pieces) == 0 && (r.From.At.Piece == 0 || r.To.At.Piece == 0) {
			out = append(out, Trouble{Warning: true, Says: "the run " + r.Name + " has no piece yet and will not be saved", Where: "run " + r.Name})
		}
	}
	return out
}

// onRow points at the first piece of the row, or at the run's last piece.
func (c *Course) onRow(t *Trouble, at layoutfile.Spot) {
	i := slices.IndexFunc(c.now.Runs, func(r Run) bool { return r.Name == at.Label })
	if i < 0 || len(c.now.Runs[i].Pieces) == 0 {
		return
	}
	r := &c.now.Runs[i]
	if at.Row < 0 {
		t.Piece = r.Pieces[len(r.Pieces)-1].ID
		return
	}
	k := 0
	list := merged(r.Pieces)
	for _, row := range list[:min(at.Row, len(list))] {
		k += row.Count
	}
	if k < len(r.Pieces) {
		t.Piece = r.Pieces[k].ID
		t.Where = c.Title(&r.Pieces[k])
	}
}

func (c *Course) onThing(t *Trouble, at layoutfile.Spot) {
	for i := range c.now.Things {
		th := &c.now.Things[i]
		if th.Kind == at.Kind && (th.Label.Text == at.Label || c.now.PlaceName(th.Label.At) == at.Label) {
			t.Piece = th.place().Piece
		}
	}
}

// place is where a thing lies, as far as it lies anywhere.
func (t *Thing) place() Anchor {
	if t.Label.At.Piece != 0 {
		return t.Label.At
	}
	for _, f := range t.Fields {
		if f.Value.At.Piece != 0 {
			return f.Value.At
		}
	}
	return Anchor{}
}
