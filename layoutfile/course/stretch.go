package course

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/sheet"
)

// Span is a stretch of pieces of one run, from the cursor on: what a block or
// an insulated rail lies on.
type Span struct {
	Pieces   []int  // IDs, in the order of the run
	From, To Anchor // its two ends: joints where something is joined there
	FromJoint,
	ToJoint bool
}

// Span takes n pieces ahead of the cursor; on a run that closes it goes round.
func (over Stretches) Span(n int) (Span, error) {
	r := over.c.Here()
	room := len(r.Pieces) - over.c.now.At
	if r.Closes {
		room = len(r.Pieces)
	}
	switch {
	case room == 0:
		return Span{}, errors.New("no piece lies ahead of you: go back to where the stretch begins")
	case n < 1 || n > room:
		return Span{}, fmt.Errorf("%d pieces lie ahead of you on this run: give a number from 1 to %d", room, room)
	}
	var s Span
	for k := 0; k < n; k++ {
		p := &r.Pieces[(over.c.now.At+k)%len(r.Pieces)]
		if p.Words.Again != "" {
			return Span{}, fmt.Errorf("the stretch would go over %s again: a crossing belongs to one run only",
				p.Words.Again)
		}
		s.Pieces = append(s.Pieces, p.ID)
	}
	meets := over.c.view.meets
	last := &r.Pieces[(over.c.now.At+n-1)%len(r.Pieces)]
	s.To = last.exit()
	s.From = r.Pieces[over.c.now.At%len(r.Pieces)].entry()
	if other, joined := meets[s.From]; joined {
		s.From = other // a joint is named on the side that one comes from
	}
	_, s.FromJoint = meets[s.From]
	_, s.ToJoint = meets[s.To]
	return s, nil
}

// SpanTo is the number of pieces from the cursor to what is named: "4", or the
// last piece, "main 12".
func (over Stretches) SpanTo(text string) (int, error) {
	text = strings.Join(strings.Fields(text), " ")
	n := 0
	if _, err := fmt.Sscanf(text+"\n", "%d\n", &n); err == nil {
		_, err := over.Span(n)
		return n, err
	}
	r := over.c.Here()
	for k := range r.Pieces {
		p := &r.Pieces[(over.c.now.At+k)%len(r.Pieces)]
		if p.Words.Again == "" && (p.Words.Name != "" && strings.EqualFold(p.Words.Name, text) ||
			strings.EqualFold(over.c.now.PlaceName(Anchor{Piece: p.ID}), text)) {
			_, err := over.Span(k + 1)
			return k + 1, err
		}
	}
	return 0, fmt.Errorf("%q is neither a number of pieces nor a piece of this run (like %s 12)", text, r.Name)
}

// NextGap is how many pieces lie from the cursor to the next insulated joint;
// 0 when there is none ahead.
func (over Stretches) NextGap() int {
	gaps := map[Anchor]bool{}
	meets := over.c.view.meets
	for i := range over.c.now.Things {
		if t := &over.c.now.Things[i]; t.Kind == "insulated" {
			gaps[t.Label.At], gaps[meets[t.Label.At]] = true, true
		}
	}
	r := over.c.Here()
	room := len(r.Pieces) - over.c.now.At
	if r.Closes {
		room = len(r.Pieces)
	}
	for n := 1; n <= room; n++ {
		p := &r.Pieces[(over.c.now.At+n-1)%len(r.Pieces)]
		if p.out() != "" && gaps[p.exit()] {
			return n
		}
	}
	return 0
}

// Ahead of the cursor: how many pieces lie there.
func (over Stretches) Room() int {
	if r := over.c.Here(); r.Closes {
		return len(r.Pieces)
	}
	return len(over.c.Here().Pieces) - over.c.now.At
}

// insulate cuts rails at a joint, in addition to those that are cut there;
// where nothing is joined there is nothing to cut.
func (over Stretches) insulate(s *State, at Anchor, rails []track.Rail) {
	meets := s.meets()
	other, joined := meets[at]
	if !joined {
		return
	}
	for i := range s.Things {
		t := &s.Things[i]
		if t.Kind != "insulated" || t.Label.At != at && t.Label.At != other {
			continue
		}
		names := railTexts(t)
		for _, r := range rails {
			if !slices.Contains(names, string(r)) {
				names = append(names, string(r))
			}
		}
		t.put(valueField("rails", sheet.TextsOf(names)))
		return
	}
	over.c.Things().add(s, Thing{Kind: "insulated", Label: Ref{At: at}, Fields: []Field{railsField(rails)}})
}

// railTexts lists the rails that are cut at an insulated joint.
func railTexts(t *Thing) []string {
	var out []string
	f := t.field("rails")
	for i := range f.Value.List {
		out = append(out, f.Value.List[i].Text)
	}
	return out
}

func railsField(rails []track.Rail) Field {
	var names []string
	for _, r := range rails {
		names = append(names, string(r))
	}
	return valueField("rails", sheet.TextsOf(names))
}

// CutHot are the rails that a toggle switches at the cursor: the hot one, all
// others, or all.
func (over Stretches) CutHot(toggle string) []track.Rail {
	p := over.c.Ahead()
	if p == nil {
		p = over.c.Behind()
	}
	if p == nil {
		return nil
	}
	k := over.c.railsOf(p.ID)
	if k == nil {
		return nil
	}
	switches := ""
	if t := over.c.Wiring().outletThing(Outlet{Kind: "toggle", Name: toggle}); t != nil {
		switches = t.said("switches")
	}
	var out []track.Rail
	for _, r := range k.Rails {
		if switches == "both" || switches == "reverse" || (r == k.Hot) != (switches == "common") {
			out = append(out, r)
		}
	}
	return out
}

// BlockPlan is a block to be made.
type BlockPlan struct {
	Name   string
	Pieces int    // from the cursor on
	Toggle string // empty: none yet
	Hang   bool   // the feeders in it hang on the toggle from now on
	Cut    bool   // insulate the switched rails at both ends
}

// FeedersIn lists the feeders on some pieces that do not hang on a toggle.
func (over Stretches) FeedersIn(pieces []int, toggle string) []*Thing {
	var out []*Thing
	for i := range over.c.now.Things {
		t := &over.c.now.Things[i]
		if t.Kind == "feeder" && slices.Contains(pieces, t.at("at").Piece) && t.said("toggle") != toggle {
			out = append(out, t)
		}
	}
	return out
}

// AddBlock makes a block, from the cursor on, as one step.
func (over Stretches) AddBlock(b BlockPlan) error {
	span, err := over.Span(b.Pieces)
	if err != nil {
		return err
	}
	e := Entry{Kind: "block", Name: b.Name, Values: map[string]string{"toggle": b.Toggle},
		Places: map[string]Anchor{"from": {Piece: span.Pieces[0]}, "to": {Piece: span.Pieces[len(span.Pieces)-1]}}}
	feeders := over.FeedersIn(span.Pieces, b.Toggle)
	rails := over.CutHot(b.Toggle)
	return over.c.change("block "+b.Name, func(s *State) error {
		if err := over.c.Wiring().put(s, 0, e); err != nil {
			return err
		}
		if b.Cut && len(rails) > 0 {
			over.insulate(s, span.From, rails)
			over.insulate(s, span.To, rails)
		}
		if b.Toggle == "" || !b.Hang {
			return nil
		}
		for _, f := range feeders {
			fe, _ := over.c.Wiring().Entry(f.ID)
			Outlet{Kind: "toggle", Name: b.Toggle}.Into(fe.Values)
			if err := over.c.Wiring().put(s, f.ID, fe); err != nil {
				return err
			}
		}
		return nil
	})
}

// RailPlan is an insulated rail to be made.
type RailPlan struct {
	Name, Works  string
	Rail         track.Rail
	Pieces       int // from the cursor on
	Tap          int // 1 is the first of them
	Wire, Length string
	Untie        bool // the pieces are special ones whose outer rails no tie joins
}

// Tied lists the pieces of a stretch whose ties join a rail to another one.
func (over Stretches) Tied(pieces []int, rail track.Rail) []int {
	var out []int
	for _, id := range pieces {
		k := over.c.railsOf(id)
		i, at := over.c.now.find(id)
		if k == nil || i < 0 || over.c.now.Runs[i].Pieces[at].untied() {
			continue
		}
		if w := over.c.now.Runs[i].Pieces[at].Words.Kind; len(k.TiedWith(rail)) > 1 &&
			(w == track.Straight || w == track.Curve) {
			out = append(out, id)
		}
	}
	return out
}

func (p *Piece) untied() bool { return slices.Contains(strings.Fields(p.Text), "untied") }

// CanInsulate says why no insulated rail can lie on a stretch; nil when one
// can.
func (over Stretches) CanInsulate(s Span) error {
	if !s.FromJoint || !s.ToJoint {
		return errors.New("an insulated rail lies between two joints, and the track ends here: leave a piece before " +
			"and behind it")
	}
	if s.From == s.To {
		return errors.New("an insulated rail cannot go all the way round: take fewer pieces")
	}
	if k := over.c.railsOf(s.Pieces[0]); k != nil && !k.HasRail(track.Center) {
		return fmt.Errorf("%s track has no second running rail of the common side: an insulated rail takes "+
			"three-rail track", k.Name)
	}
	return nil
}

// AddRail makes an insulated rail, from the cursor on, with the two joints that
// cut it off, as one step.
func (over Stretches) AddRail(p RailPlan) error {
	span, err := over.Span(p.Pieces)
	if err != nil {
		return err
	}
	if err := over.CanInsulate(span); err != nil {
		return err
	}
	if p.Tap < 1 || p.Tap > p.Pieces {
		return fmt.Errorf("tap: give a number from 1 to %d", p.Pieces)
	}
	e := Entry{Kind: "insulated_rail", Name: p.Name, Values: map[string]string{"rail": string(p.Rail), "works": p.Works,
		"wire": p.Wire, "length": p.Length},
		Places: map[string]Anchor{"from": span.From, "to": span.To, "tap": {Piece: span.Pieces[p.Tap-1]}}}
	var tied []int
	if p.Untie {
		tied = over.Tied(span.Pieces, p.Rail)
	}
	return over.c.change("insulated rail "+p.Name, func(s *State) error {
		if err := over.c.Wiring().put(s, 0, e); err != nil {
			return err
		}
		over.insulate(s, span.From, []track.Rail{p.Rail})
		over.insulate(s, span.To, []track.Rail{p.Rail})
		return over.untie(s, tied)
	})
}

// untie writes untied for some pieces.
func (over Stretches) untie(s *State, pieces []int) error {
	for i := range s.Runs {
		r := &s.Runs[i]
		var mine []int
		for k := range r.Pieces {
			if slices.Contains(pieces, r.Pieces[k].ID) {
				mine = append(mine, k)
			}
		}
		if len(mine) == 0 {
			continue
		}
		old := r.Pieces
		r.Pieces = slices.Clone(r.Pieces)
		for _, k := range mine {
			p := &r.Pieces[k]
			head, name, named := strings.Cut(p.Text, " as ")
			p.Text = head + " untied"
			if named {
				p.Text += " as " + name
			}
			w, err := over.c.words(p.Text)
			if err != nil {
				return err
			}
			p.Words = w
			whole := true // a row that changes as a whole keeps its comments
			for _, m := range rowsWith(old, p.Row) {
				whole = whole && slices.Contains(mine, m)
			}
			if !whole {
				p.Row = -1
			}
		}
	}
	return nil
}

// RemoveRail takes an insulated rail away, with the joints that cut it off
// unless they cut more than its rail.
func (over Stretches) RemoveRail(id int, joints bool) error {
	e, ok := over.c.Wiring().Entry(id)
	if !ok || e.Kind != "insulated_rail" {
		return errors.New("that is gone already")
	}
	return over.c.change("taking away insulated rail "+e.Name, func(s *State) error {
		s.forget(id)
		if !joints {
			return nil
		}
		meets := s.meets()
		only := []string{e.Values["rail"]}
		s.Things = slices.DeleteFunc(s.Things, func(t Thing) bool {
			at := t.Label.At
			if t.Kind != "insulated" || at.Piece == 0 || !slices.Equal(railTexts(&t), only) {
				return false
			}
			from, to := e.Places["from"], e.Places["to"]
			return at == from || at == to || meets[at] == from || meets[at] == to
		})
		return nil
	})
}

// covered gives the pieces of a block, a hidden stretch or an insulated rail:
// the run, and the places on it, in order. Nothing where its ends are not on
// one run.
func (s *State) covered(t *Thing) (run int, at []int) {
	from, to := t.at("from"), t.at("to")
	i, first := s.find(from.Piece)
	j, last := s.find(to.Piece)
	if i < 0 || i != j {
		return -1, nil
	}
	r := &s.Runs[i]
	n := len(r.Pieces)
	if from.End != "" && from == r.Pieces[first].exit() {
		first++
	}
	if to.End != "" && to == r.Pieces[last].entry() {
		last--
	}
	first, last = (first+n)%n, (last+n)%n
	if first > last && !r.Closes {
		return -1, nil
	}
	for k := first; ; k = (k + 1) % n {
		at = append(at, k)
		if k == last {
			return i, at
		}
	}
}

// Over lists the stretches that the piece behind the cursor lies in.
func (over Stretches) Over() []*Thing {
	var out []*Thing
	for i := range over.c.now.Things {
		t := &over.c.now.Things[i]
		if t.Kind != "block" && t.Kind != "insulated_rail" && t.Kind != "hidden" && t.Kind != "module" {
			continue
		}
		if run, at := over.c.now.covered(t); run == over.c.now.Run && slices.Contains(at, over.c.now.At-1) {
			out = append(out, t)
		}
	}
	return out
}
