package course

import (
	"errors"
	"fmt"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
	"fishplate/layoutfile/sheet"
)

// view is what the last look found.
type view struct {
	layout   *track.Layout // to be drawn; nil when there is nothing
	good     bool          // layout is the whole truth, and can be hunted on
	seen     *sheet.Sheet  // what was looked at,
	owners   []owner       // whose its blocks are,
	problems layoutfile.Problems
	meets    map[Anchor]Anchor
	text     []byte      // of the file, once it was asked for
	index    map[int]int // piece ID to index in layout
	troubles []Trouble
	minded   bool // troubles are worked out
	targets  []Target
	aimed    bool // targets are worked out, for the run aimedOn
	aimedOn  int
}

// owner is whose a block of a sheet is: a run by its index, or (-1) a thing by
// its ID.
type owner struct{ run, thing int }

// look reads the layout. One with mistakes is drawn as far as it goes: without
// what lies on the track, then without its closings, then run by run.
func (look looking) look() {
	v := view{meets: look.c.now.meets()}
	v.seen, v.owners = look.sheet(whole, merged, v.meets)
	v.seen.Number()
	l, tracks, problems := layoutfile.Look(v.seen)
	v.layout, v.good, v.problems = l, l != nil, problems
	if l == nil {
		v.layout = tracks
	}
	for level := noEnds; v.layout == nil && level <= apart; level++ {
		s, _ := look.sheet(level, merged, v.meets)
		_, v.layout, _ = layoutfile.Look(s)
	}
	if v.layout != nil {
		v.index = make(map[int]int, len(v.layout.Pieces))
		for i := range look.c.now.Runs {
			for k := range look.c.now.Runs[i].Pieces {
				if p := &look.c.now.Runs[i].Pieces[k]; p.Words.Again == "" {
					v.index[p.ID] = len(v.index)
				}
			}
		}
		if len(v.index) != len(v.layout.Pieces) { // cannot be; better no map than a wrong one
			v.layout, v.index = nil, nil
		}
	}
	look.c.view = v
}

// Layout is the layout to draw, nil when nothing can be drawn. good says that
// it is whole and can be hunted on.
func (c *Course) Layout() (l *track.Layout, good bool) { return c.view.layout, c.view.good }

// Text is the layout file as it would be saved.
func (c *Course) Text() []byte {
	if c.view.text == nil {
		s, _ := c.looking().sheet(whole, rows, c.view.meets)
		c.view.text = sheet.Write(c.base, s)
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
	whole  level = iota
	noEnds       // tracks only, and no closings
	apart        // and every run for itself
)

// sheet is the layout as it is written, and whose each of its blocks is.
func (look looking) sheet(l level, rows func([]Piece) []sheet.Row, meets map[Anchor]Anchor) (*sheet.Sheet, []owner) {
	s := &look.c.now
	out := &sheet.Sheet{}
	var owners []owner
	look.top(&out.Block)
	for i := range s.Runs {
		r := &s.Runs[i]
		direct := r.From.At.Piece != 0 && r.To.At.Piece != 0 && l < noEnds
		if len(r.Pieces) == 0 && !direct {
			continue // a run just begun
		}
		b := s.runBlock(r, look.from(r.Block), l)
		b.Rows = rows(r.Pieces)
		out.Blocks, owners = append(out.Blocks, b), append(owners, owner{run: i})
	}
	for i := range s.Things {
		t := &s.Things[i]
		if l == whole || t.Kind == "stock" || t.Kind == "construction" {
			out.Blocks, owners = append(out.Blocks, s.thingBlock(t, look.from(t.Block), meets)),
				append(owners, owner{-1, t.ID})
		}
	}
	return out, owners
}

// from is the block of the text that something comes from, nil when it is new.
func (look looking) from(block int) *sheet.Block {
	if look.c.base == nil || block < 0 || block >= len(look.c.base.Blocks) {
		return nil
	}
	return look.c.base.Blocks[block]
}

// top writes what stands before the blocks.
func (look looking) top(b *sheet.Block) {
	s := &look.c.now
	units := "in"
	if s.Metric {
		units = "mm"
	}
	b.Set("name", sheet.TextOf(s.Name))
	if s.About != "" || look.c.base != nil && look.c.base.Attr("about") != nil {
		b.Set("about", sheet.TextOf(s.About))
	}
	b.Set("units", sheet.TextOf(units))
	if s.Construction != "" {
		b.Set("construction", sheet.TextOf(s.Construction))
	}
}

func (s *State) runBlock(r *Run, old *sheet.Block, l level) *sheet.Block {
	b := &sheet.Block{Kind: "run", Labels: []sheet.Label{{Text: r.Name}}, From: -1}
	if r.Construction != "" {
		b.Set("construction", sheet.TextOf(r.Construction))
	}
	switch {
	case r.Closes && l < noEnds:
		b.Set("closes", sheet.FlagOf(true))
	case old != nil && old.Attr("closes") != nil && !old.Flag("closes"): // said in so many words
		b.Set("closes", sheet.FlagOf(false))
	}
	end := func(name string, e Ref) {
		switch n := s.endName(e.At); {
		case n == "":
		case n == e.Was:
			b.Set(name, sheet.TextOf(e.Text))
		default:
			b.Set(name, sheet.TextOf(n))
		}
	}
	if l < apart {
		end("from", r.From)
	}
	if l < noEnds {
		end("to", r.To)
	}
	if old != nil {
		b.From = r.Block
	}
	return b
}

// rows puts equal pieces together as the file had them; new ones join.
func rows(pieces []Piece) []sheet.Row {
	return rowsBy(pieces, func(a sheet.Row, b *Piece) bool { return a.From == b.Row })
}

// merged puts all equal pieces together.
func merged(pieces []Piece) []sheet.Row {
	return rowsBy(pieces, func(sheet.Row, *Piece) bool { return true })
}

func rowsBy(pieces []Piece, same func(sheet.Row, *Piece) bool) []sheet.Row {
	const most = 1000 // the file's limit for one text
	var out []sheet.Row
	for i := range pieces {
		p := &pieces[i]
		if n := len(out); n > 0 && out[n-1].Text == p.Text && same(out[n-1], p) && out[n-1].Count < most &&
			p.Words.Name == "" && p.Words.Again == "" && p.Words.Kind != track.Bumper {
			out[n-1].Count++
			continue
		}
		out = append(out, sheet.Row{Count: 1, Text: p.Text, Words: &p.Words, From: p.Row})
	}
	return out
}

// placeText is how a place is written: as it was while that is true.
func (s *State) placeText(r Ref, meets map[Anchor]Anchor) string {
	if r.At.Piece == 0 {
		return r.Text
	}
	if n := s.placeName(r.At, meets); n != r.Was && n != "" {
		return n
	}
	return r.Text
}

func (s *State) thingBlock(t *Thing, old *sheet.Block, meets map[Anchor]Anchor) *sheet.Block {
	b := &sheet.Block{Kind: t.Kind, Labels: []sheet.Label{{Text: s.placeText(t.Label, meets)}}, From: -1}
	if old != nil {
		b.From, b.Blocks = t.Block, old.Blocks
		if len(old.Labels) != 1 {
			b.Labels = old.Labels
		}
	}
	b.Attrs = make([]sheet.Attr, 0, len(t.Fields))
	for i := range t.Fields {
		f := &t.Fields[i]
		a := sheet.Attr{Name: f.Name, Value: f.Value}
		if f.placed() {
			a.Value = sheet.TextOf(s.placeText(f.Place, meets))
		}
		b.Attrs = append(b.Attrs, a)
	}
	return b
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
		c.view.troubles, c.view.minded = c.looking().mind(), true
	}
	return c.view.troubles
}

func (look looking) mind() []Trouble {
	var out []Trouble
	if look.c.Empty() {
		return nil // nothing walked yet is no mistake
	}
	for i := range look.c.view.problems {
		p := &look.c.view.problems[i]
		t := Trouble{Warning: p.Warning, Says: p.Summary, Fix: p.Fix}
		if p.Block >= 0 {
			b, who := look.c.view.seen.Blocks[p.Block], look.c.view.owners[p.Block]
			t.Where = b.Kind + " " + b.Label()
			if who.run >= 0 {
				look.onRow(&t, &look.c.now.Runs[who.run], p.Row)
			} else if th := look.c.Things().Thing(who.thing); th != nil {
				t.Piece = th.place().Piece
			}
		}
		out = append(out, t)
	}
	for i := range look.c.now.Runs {
		if r := &look.c.now.Runs[i]; len(r.Pieces) == 0 && (r.From.At.Piece == 0 || r.To.At.Piece == 0) {
			out = append(out, Trouble{Warning: true, Says: "the run " + r.Name +
				" has no piece yet and will not be saved", Where: "run " + r.Name})
		}
	}
	return out
}

// onRow points at the first piece of the row, or at the run's last piece.
func (look looking) onRow(t *Trouble, r *Run, row int) {
	if len(r.Pieces) == 0 {
		return
	}
	if row < 0 {
		t.Piece = r.Pieces[len(r.Pieces)-1].ID
		return
	}
	k := 0
	list := merged(r.Pieces)
	for _, row := range list[:min(row, len(list))] {
		k += row.Count
	}
	if k < len(r.Pieces) {
		t.Piece = r.Pieces[k].ID
		t.Where = look.c.Title(&r.Pieces[k])
	}
}

// place is where a thing lies, as far as it lies anywhere.
func (t *Thing) place() Anchor {
	if t.Label.At.Piece != 0 {
		return t.Label.At
	}
	for _, f := range t.Fields {
		if f.placed() {
			return f.Place.At
		}
	}
	return Anchor{}
}
