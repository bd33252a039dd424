package course

import (
	"fmt"
	"strconv"
	"strings"

	"fishplate/layoutfile"
)

// Move takes the cursor n pieces along the run (back when negative). On a run
// that closes it goes round.
func (cur Cursor) Move(n int) {
	r := cur.c.Here()
	at, count := cur.c.now.At+n, len(r.Pieces)
	if r.Closes && count > 0 && (at < 0 || at > count) {
		at = ((at % count) + count) % count
	}
	cur.c.now.At = min(max(at, 0), count)
}

// To takes the cursor to the start or the end of the run.
func (cur Cursor) To(end bool) {
	cur.c.now.At = 0
	if end {
		cur.c.now.At = len(cur.c.Here().Pieces)
	}
}

// NextRunOver takes the cursor to the run n further, to its end.
func (cur Cursor) NextRunOver(n int) {
	k := len(cur.c.now.Runs)
	cur.c.now.Run = ((cur.c.now.Run+n)%k + k) % k
	cur.c.now.At = len(cur.c.Here().Pieces)
}

// Go takes the cursor behind a piece; false when it is gone.
func (cur Cursor) Go(piece int) bool {
	i, k := cur.c.now.find(piece)
	if i < 0 {
		return false
	}
	cur.c.now.Run, cur.c.now.At = i, k+1
	return true
}

// Jump takes the cursor to what is named: a piece ("main 7", "7", "W1"), a
// joint ("main 7/8"), a run, a feeder, a landmark or a hidden stretch.
func (cur Cursor) Jump(name string) error {
	name = strings.Join(strings.Fields(name), " ")
	s := &cur.c.now
	if n, err := strconv.Atoi(name); err == nil {
		name = fmt.Sprintf("%s %d", cur.c.Here().Name, n)
	}
	for i := range s.Runs {
		r := &s.Runs[i]
		if strings.EqualFold(r.Name, name) {
			s.Run, s.At = i, len(r.Pieces)
			return nil
		}
		for k := range r.Pieces {
			w := &r.Pieces[k].Words
			if w.Again == "" && (w.Name != "" && strings.EqualFold(w.Name, name) ||
				strings.EqualFold(fmt.Sprintf("%s %d", r.Name, r.number(k)), name)) {
				s.Run, s.At = i, k+1
				return nil
			}
		}
	}
	for i := range s.Things {
		if t := &s.Things[i]; strings.EqualFold(t.Label.Text, name) && cur.goTo(t.place()) {
			return nil
		}
	}
	if cur.c.view.layout != nil {
		if p, ok := layoutfile.FindPlace(cur.c.view.layout, name); ok {
			a := Anchor{Piece: cur.c.PieceAt(p.Piece)}
			if p.End >= 0 {
				a.End = cur.c.view.layout.Pieces[p.Piece].Ends[p.End].Label
			}
			if cur.goTo(a) {
				return nil
			}
		}
	}
	return fmt.Errorf("nothing is called %q; write a piece (main 7, or 7 on this run), a joint (main 7/8), a run, or "+
		"a name", name)
}

// goTo takes the cursor to an anchor: before the piece when it is the end by
// which the run enters it.
func (cur Cursor) goTo(a Anchor) bool {
	i, k := cur.c.now.find(a.Piece)
	if i < 0 {
		return false
	}
	cur.c.now.Run, cur.c.now.At = i, k+1
	if p := &cur.c.now.Runs[i].Pieces[k]; a.End != "" && a.End == p.in() && p.Words.Again == "" {
		cur.c.now.At = k
	}
	return true
}
