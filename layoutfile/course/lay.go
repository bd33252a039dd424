package course

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/sheet"
)

// errNoPiece is what every change of a piece answers at the start of a run.
var errNoPiece = errors.New("no piece lies behind you: you stand at the start of the run")

// Lay puts n pieces of the same text in at the cursor, which comes to stand
// behind them. Turnouts and crossings get names (W1, X1) unless they have one.
func (lays Laying) Lay(text string, n int) error {
	w, err := lays.c.words(text)
	switch {
	case err != nil:
		return err
	case n < 1 || n > 1000:
		return errors.New("lay 1 to 1000 pieces at a time")
	case n > 1 && w.Name != "":
		return errors.New("a piece with a name is laid alone")
	case w.Kind == track.Bumper && n > 1:
		return errors.New("only one bumper fits at an end")
	case lays.c.Pieces()+n > 10000:
		return errors.New("that would be more than 10,000 pieces, the most a layout can have")
	}
	if err := lays.fits(w.Kind); err != nil {
		return err
	}
	what := text
	if n > 1 {
		what = fmt.Sprintf("%d x %s", n, text)
	}
	err = lays.c.change(what, func(s *State) error {
		r := &s.Runs[s.Run]
		row := lays.rowFor(r, s.At, text)
		var fresh []Piece
		names := lays.namer(s)
		for k := 0; k < n; k++ {
			p := Piece{ID: lays.c.id(), Row: row, Text: text, Words: w}
			names.give(&p)
			fresh = append(fresh, p)
		}
		r.Pieces = slices.Insert(slices.Clone(r.Pieces), s.At, fresh...)
		s.At += n
		return nil
	})
	if err == nil {
		lays.c.Sizing().use(&Piece{Text: text, Words: w})
	}
	return err
}

// Room says why no piece can be laid at the cursor, nil where one can.
func (lays Laying) Room() error { return lays.fits(track.Straight) }

// fits says why no piece of the kind can be laid at the cursor.
func (lays Laying) fits(k track.Kind) error {
	r := lays.c.Here()
	switch {
	case k == track.Bumper && r.Closes:
		return errors.New("this run closes on itself: it has no end for a bumper (o opens it)")
	case k == track.Bumper && r.To.At.Piece != 0:
		return errors.New("this run goes on to another piece: it has no end for a bumper")
	case k == track.Bumper && lays.c.now.At < len(r.Pieces):
		return errors.New("a bumper ends a run, and more pieces follow: go to the end of the run first")
	case k == track.Bumper && len(r.Pieces) == 0:
		return errors.New("lay a piece first: a bumper alone is no track")
	case lays.c.Behind() != nil && lays.c.Behind().Words.Kind == track.Bumper && lays.c.now.At > 1:
		return errors.New("a bumper ends the run here: take it away (Backspace) to go on")
	case r.Closes && lays.c.now.At == len(r.Pieces):
		return errors.New("this run is closed here: o opens its end; e changes the piece behind you; arrows go to " +
			"where one is put in")
	}
	return nil
}

// rowFor is the row of the file that a new piece joins: that of an equal
// neighbour.
func (lays Laying) rowFor(r *Run, at int, text string) int {
	for _, k := range []int{at - 1, at} {
		if k >= 0 && k < len(r.Pieces) && r.Pieces[k].Text == text {
			return r.Pieces[k].Row
		}
	}
	return -1
}

// namer gives free names, one after the other, to turnouts and crossings, for
// they will be spoken of.
type namer struct {
	c     *Course
	taken map[string]bool // by what they sound like
	next  map[string]int
}

func (lays Laying) namer(s *State) *namer {
	n := &namer{lays.c, map[string]bool{}, map[string]int{}}
	for _, name := range s.names() {
		n.taken[sheet.NameKey(name)] = true
	}
	return n
}

// give names a piece that needs a name.
func (n *namer) give(p *Piece) {
	letter := map[track.Kind]string{track.Turnout: "W", track.Crossing: "X"}[p.Words.Kind]
	if letter == "" || p.Words.Name != "" || p.Words.Again != "" {
		return
	}
	for {
		n.next[letter]++
		name := fmt.Sprintf("%s%d", letter, n.next[letter])
		if key := sheet.NameKey(name); !n.taken[key] && n.c.stock[name] == "" {
			n.taken[key] = true
			p.Text += " as " + name
			p.Words.Name = name
			return
		}
	}
}

// Replace puts another piece in the place of the one behind the cursor.
// Whatever lies on it stays.
func (lays Laying) Replace(text string) error {
	p := lays.c.Behind()
	if p == nil {
		return errNoPiece
	}
	w, err := lays.c.words(text)
	if err != nil {
		return err
	}
	if w.Kind == track.Bumper && lays.c.now.At < len(lays.c.Here().Pieces) {
		return errors.New("a bumper ends a run, and more pieces follow")
	}
	old := *p
	return lays.c.change(fmt.Sprintf("%s instead of %s", text, old.Text), func(s *State) error {
		n := Piece{ID: old.ID, Row: old.Row, Text: text, Words: w}
		r := &s.Runs[s.Run]
		r.Pieces = slices.Clone(r.Pieces)
		switch {
		case w.Name != "" || w.Again != "":
		case old.Words.Name != "" && old.Words.Kind == w.Kind:
			n.Text += " as " + old.Words.Name
			n.Words.Name = old.Words.Name
		default:
			r.Pieces[s.At-1] = n // its old name is free again
			lays.namer(s).give(&n)
		}
		if n.Text != old.Text && len(rowsWith(r.Pieces, old.Row)) > 1 {
			n.Row = -1 // the rest of its row keeps the row's comments
		}
		r.Pieces[s.At-1] = n
		s.moveEnds(&old, &n)
		lays.c.Sizing().use(&n)
		return nil
	})
}

func rowsWith(pieces []Piece, row int) (out []int) {
	for k := range pieces {
		if row >= 0 && pieces[k].Row == row {
			out = append(out, k)
		}
	}
	return out
}

// moveEnds brings what hangs on the ends of a piece to those of the piece that
// takes its place.
func (s *State) moveEnds(old, to *Piece) {
	swap := map[string]string{old.in(): to.in(), old.out(): to.out()}
	s.mapAnchors(func(a Anchor) Anchor {
		if a.Piece != old.ID || a.End == "" || slices.Contains(to.ends(), a.End) && swap[a.End] == "" {
			return a
		}
		if e := swap[a.End]; e != "" {
			return Anchor{a.Piece, e}
		}
		return Anchor{a.Piece, ""}
	})
}

// mapAnchors changes every anchor of the layout. A run that begins or ends at
// the middle of a piece begins nowhere.
func (s *State) mapAnchors(f func(Anchor) Anchor) {
	end := func(r *Ref) {
		if r.At = f(r.At); r.At.End == "" {
			*r = Ref{}
		}
	}
	for i := range s.Runs {
		if s.Runs[i].From.At.Piece != 0 {
			end(&s.Runs[i].From)
		}
		if s.Runs[i].To.At.Piece != 0 {
			end(&s.Runs[i].To)
		}
	}
	ref := func(r *Ref) {
		if r.At.Piece != 0 {
			r.At = f(r.At)
		}
	}
	for i := range s.Things {
		t := &s.Things[i]
		ref(&t.Label)
		t.Fields = slices.Clone(t.Fields)
		for k := range t.Fields {
			ref(&t.Fields[k].Place)
		}
	}
}

// DeleteBehind takes n pieces behind the cursor out; DeleteAhead those before
// it. The answer says what became of the things that hung on them.
func (lays Laying) DeleteBehind(n int) (string, error) {
	n = min(n, lays.c.now.At)
	if n < 1 {
		return "", errNoPiece
	}
	return lays.delete(lays.c.now.At-n, n)
}

// DeleteAhead takes n pieces before the cursor out.
func (lays Laying) DeleteAhead(n int) (string, error) {
	n = min(n, len(lays.c.Here().Pieces)-lays.c.now.At)
	if n < 1 {
		return "", errors.New("no piece lies before you: this is the end of the run")
	}
	return lays.delete(lays.c.now.At, n)
}

func (lays Laying) delete(from, n int) (string, error) {
	var said []string
	what := "taking out " + lays.c.Title(&lays.c.Here().Pieces[from])
	if n > 1 {
		what += fmt.Sprintf(" and %d more", n-1)
	}
	err := lays.c.change(what, func(s *State) error {
		r := &s.Runs[s.Run]
		gone := map[int]bool{}
		for _, p := range r.Pieces[from : from+n] {
			gone[p.ID] = true
		}
		heir := Anchor{}
		if from > 0 {
			p := &r.Pieces[from-1]
			heir = Anchor{p.ID, p.out()}
		} else if from+n < len(r.Pieces) {
			p := &r.Pieces[from+n]
			heir = Anchor{p.ID, p.in()}
		}
		said = s.bequeath(gone, heir, r, from+n)
		r.Pieces = slices.Delete(slices.Clone(r.Pieces), from, from+n)
		if len(r.Pieces) < 3 {
			r.Closes = false
		}
		if s.At > from {
			s.At = max(from, s.At-n)
		}
		if s.Hidden != nil && gone[s.Hidden.After] {
			h := *s.Hidden
			h.After = 0
			if from > 0 {
				h.After = r.Pieces[from-1].ID
			}
			s.Hidden = &h
		}
		return nil
	})
	return strings.Join(said, "; "), err
}

// bequeath finds a new place for what hung on pieces that go: feeders,
// landmarks and insulated joints move to the neighbour; notes and histories
// speak of the piece and go with it; a hidden stretch shrinks.
func (s *State) bequeath(gone map[int]bool, heir Anchor, r *Run, next int) (said []string) {
	keep := s.Things[:0:0]
	for _, t := range s.Things {
		at := t.place()
		from, to := t.at("from"), t.at("to")
		switch {
		case (t.Kind == "hidden" || t.Kind == "block" || t.Kind == "module") && (gone[from.Piece] || gone[to.Piece]):
			if !t.shrink(gone, r) {
				said = append(said, t.Kind+" "+t.Label.Text+" is gone with its pieces")
				continue
			}
		case t.Kind == "insulated_rail" && s.losesRail(&t, gone):
			said = append(said, "insulated rail "+t.Label.Text+" is gone with its pieces")
			continue
		case !gone[at.Piece]:
		case t.Kind == "note" || t.Kind == "history" || heir.Piece == 0:
			said = append(said, "its "+t.Kind+" went with it")
			continue
		default:
			said = append(said, fmt.Sprintf("%s %s moved to its neighbour", Spoken(t.Kind), t.Label.Text))
		}
		keep = append(keep, t)
	}
	s.Things = keep
	s.boards()
	for i := range s.Runs { // a siding does not begin at a piece that never branched
		q := &s.Runs[i]
		for _, e := range []*Ref{&q.From, &q.To} {
			if gone[e.At.Piece] {
				*e = Ref{}
				said = append(said, "the run "+q.Name+" has lost the piece it was joined to")
			}
		}
	}
	s.mapAnchors(func(a Anchor) Anchor {
		if gone[a.Piece] && a.End == "" {
			return Anchor{heir.Piece, ""}
		}
		if gone[a.Piece] {
			return heir
		}
		return a
	})
	return append(said, s.oneInsulated(heir, gone)...)
}

// losesRail says that no piece of an insulated rail stays; else its tap moves
// to one that does.
func (s *State) losesRail(t *Thing, gone map[int]bool) bool {
	run, at := s.covered(t)
	if run < 0 {
		return false
	}
	stays := 0
	for _, k := range at {
		if id := s.Runs[run].Pieces[k].ID; !gone[id] {
			stays = id
		}
	}
	if stays == 0 {
		return true
	}
	if gone[t.at("tap").Piece] {
		t.move("tap", Anchor{Piece: stays})
	}
	return false
}

// oneInsulated takes away what would insulate the joint at an end a second
// time, now that the pieces gone no longer lie between.
func (s *State) oneInsulated(at Anchor, gone map[int]bool) (said []string) {
	rest := *s
	rest.Runs = slices.Clone(s.Runs)
	for i := range rest.Runs {
		rest.Runs[i].Pieces = slices.DeleteFunc(slices.Clone(rest.Runs[i].Pieces), func(p Piece) bool {
			return gone[p.ID]
		})
	}
	other := rest.meets()[at]
	seen := false
	s.Things = slices.DeleteFunc(s.Things, func(t Thing) bool {
		here := t.Label.At
		if t.Kind != "insulated" || here.Piece == 0 || here != at && here != other {
			return false
		}
		if seen {
			said = append(said, "the joint stays insulated once")
		}
		was := seen
		seen = true
		return was
	})
	return said
}

// shrink draws the ends of a hidden stretch in to the pieces that stay; false
// when none does.
func (t *Thing) shrink(gone map[int]bool, r *Run) bool {
	index := func(id int) int { return slices.IndexFunc(r.Pieces, func(p Piece) bool { return p.ID == id }) }
	from, to := index(t.at("from").Piece), index(t.at("to").Piece)
	n := len(r.Pieces)
	if from < 0 || to < 0 {
		return false
	}
	for k := 0; gone[r.Pieces[from].ID]; k++ {
		if from == to || k > n {
			return false
		}
		from = (from + 1) % n
	}
	for gone[r.Pieces[to].ID] {
		to = (to - 1 + n) % n
	}
	t.move("from", Anchor{Piece: r.Pieces[from].ID})
	t.move("to", Anchor{Piece: r.Pieces[to].ID})
	return true
}
