package course

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
	"fishplate/layoutfile/sheet"
)

// Target is a free end that the end of the run could be joined to.
type Target struct {
	At   Anchor
	Name string // "the start of main", "W2 diverging"
	Own  bool   // the run's own start: joining closes it
	Miss layoutfile.Miss
}

// End is the end of the run under the cursor, where it is free; false when
// nothing can be joined there.
func (ends Ends) End() (Anchor, bool) {
	r := ends.c.Here()
	if len(r.Pieces) == 0 {
		return r.From.At, r.From.At.Piece != 0
	}
	p := &r.Pieces[len(r.Pieces)-1]
	if p.out() == "" || r.Closes || r.To.At.Piece != 0 {
		return Anchor{}, false
	}
	return p.exit(), true
}

// pose is where an end lies and looks to, on the layout as drawn.
func (ends Ends) pose(a Anchor) (track.Pose, bool) {
	i := ends.c.Index(a.Piece)
	if i < 0 {
		return track.Pose{}, false
	}
	p := &ends.c.view.layout.Pieces[i]
	e := p.EndIndex(a.End)
	if e < 0 {
		return track.Pose{}, false
	}
	return p.Ends[e].Pose, true
}

// free lists the ends that nothing is joined to, in the order of the pieces.
func (s *State) free(meets map[Anchor]Anchor) []Anchor {
	twice := map[string]bool{}
	for i := range s.Runs {
		for k := range s.Runs[i].Pieces {
			twice[s.Runs[i].Pieces[k].Words.Again] = true
		}
	}
	var out []Anchor
	for i := range s.Runs {
		for k := range s.Runs[i].Pieces {
			p := &s.Runs[i].Pieces[k]
			for _, e := range p.ends() {
				a := Anchor{p.ID, e}
				second := (e == "b1" || e == "b2") && twice[p.Words.Name]
				if _, joined := meets[a]; !joined && !second {
					out = append(out, a)
				}
			}
		}
	}
	return out
}

// Targets lists the free ends that the run's end could be joined to, the
// nearest first: a degree counts as 4 mm. It gives 16 at most.
func (ends Ends) Targets() []Target {
	v := &ends.c.view
	if !v.aimed || v.aimedOn != ends.c.now.Run {
		v.targets, v.aimed, v.aimedOn = ends.aim(), true, ends.c.now.Run
	}
	return v.targets
}

func (ends Ends) aim() []Target {
	end, ok := ends.End()
	here, known := ends.pose(end)
	if !ok || !known {
		return nil
	}
	r := ends.c.Here()
	var out []Target
	for _, a := range ends.c.now.free(ends.c.view.meets) {
		own := len(r.Pieces) > 0 && a == r.Pieces[0].entry()
		if a == end || own && len(r.Pieces) < 3 || !own && a.Piece == end.Piece {
			continue
		}
		to, known := ends.pose(a)
		if !known {
			continue
		}
		out = append(out, Target{At: a, Own: own, Miss: layoutfile.MissBetween(here, to)})
	}
	far := func(t *Target) float64 { return t.Miss.MM() + 4*math.Abs(t.Miss.Turn) }
	sort.SliceStable(out, func(i, j int) bool { return far(&out[i]) < far(&out[j]) })
	var near []Target
	for i := range out {
		if len(near) < 15 || out[i].Own { // its own start is always one of them
			out[i].Name = ends.c.now.endName(out[i].At)
			if out[i].Own {
				out[i].Name = "the start of " + r.Name
			}
			near = append(near, out[i])
		}
	}
	return near
}

// Join joins the end of the run to a free end; to its own start: closes it.
func (ends Ends) Join(t Target) error {
	if _, ok := ends.End(); !ok {
		return errors.New("the end of this run is taken already")
	}
	r := ends.c.Here()
	if t.Own && len(r.Pieces) < 3 {
		return errors.New("a run needs 3 pieces to close on itself")
	}
	if t.Own && r.From.At.Piece != 0 {
		return errors.New("this run begins at another piece and cannot close on itself")
	}
	what := "joining " + r.Name + " to " + t.Name
	if t.Own {
		what = "closing " + r.Name
	}
	return ends.c.change(what, func(s *State) error {
		if t.Own {
			s.Runs[s.Run].Closes = true
		} else {
			s.Runs[s.Run].To = Ref{At: t.At}
		}
		return nil
	})
}

// Unjoin opens the end of the run again.
func (ends Ends) Unjoin() error {
	r := ends.c.Here()
	if !r.Closes && r.To.At.Piece == 0 {
		return errors.New("the end of this run is free already")
	}
	return ends.c.change("opening the end of "+r.Name, func(s *State) error {
		s.Runs[s.Run].Closes, s.Runs[s.Run].To = false, Ref{}
		return nil
	})
}

// Fit is a straight that would make the run meet its target.
type Fit struct {
	At   int    // pieces behind it
	Text string // "straight 6.16"
	Size string // "6.16 in"
}

// FitFor finds where one more straight, cut to length, closes the gap to a
// target: at a place where the run goes the way in which it misses. The last
// such place beside another straight is taken.
func (ends Ends) FitFor(t *Target) (Fit, bool) {
	end, ok := ends.End()
	here, known := ends.pose(end)
	if !ok || !known || math.Abs(t.Miss.Turn) > 0.3 || t.Miss.MM() < 2 || t.Miss.MM() > 9000 {
		return Fit{}, false
	}
	h := here.Heading * math.Pi / 180
	dx := t.Miss.AheadMM*math.Cos(h) - t.Miss.LeftMM*math.Sin(h)
	dy := t.Miss.AheadMM*math.Sin(h) + t.Miss.LeftMM*math.Cos(h)
	r := ends.c.Here()
	best, beside := -1, false
	for k := len(r.Pieces); k >= 1; k-- {
		p, known := ends.pose(r.Pieces[k-1].exit())
		a := p.Heading * math.Pi / 180
		along, across := dx*math.Cos(a)+dy*math.Sin(a), -dx*math.Sin(a)+dy*math.Cos(a)
		if !known || along < 1 || math.Abs(across) > 1 {
			continue
		}
		straight := r.Pieces[k-1].Words.Kind == track.Straight
		if best < 0 || straight && !beside {
			best, beside = k, straight
		}
	}
	if best < 0 {
		return Fit{}, false
	}
	size := ends.c.Length(t.Miss.MM(), 2)
	return Fit{At: best, Text: "straight " + strings.TrimSuffix(strings.TrimSuffix(size, " in"), " mm"), Size: size},
		true
}

// LayFit lays a fitting straight and joins the run to the target, as one step.
func (ends Ends) LayFit(f Fit, t Target) error {
	w, err := ends.c.words(f.Text)
	if err != nil {
		return err
	}
	return ends.c.change("a straight cut to "+f.Size, func(s *State) error {
		r := &s.Runs[s.Run]
		r.Pieces = slices.Insert(slices.Clone(r.Pieces), f.At, Piece{ID: ends.c.id(), Row: -1, Text: f.Text, Words: w})
		if s.At >= f.At {
			s.At++
		}
		if t.Own {
			r.Closes = true
		} else {
			r.To = Ref{At: t.At}
		}
		return nil
	})
}

// Length writes a length in the layout's units.
func (c *Course) Length(mm float64, digits int) string {
	if c.now.Metric {
		return trim(mm, max(digits-1, 0)) + " mm"
	}
	return trim(mm/25.4, digits) + " in"
}

func trim(v float64, digits int) string {
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return s
}

// Say says a miss in words, for someone who stands at the end and looks on.
func (c *Course) Say(m layoutfile.Miss) string {
	if m.MM() < 0.5 && math.Abs(m.Turn) < 0.1 {
		return "meets"
	}
	var how []string
	part := func(mm float64, plus, minus string) {
		word := plus
		if mm < 0 {
			word = minus
		}
		if s := c.Length(math.Abs(mm), 1); s[:2] != "0 " {
			how = append(how, s+" "+word)
		}
	}
	part(m.AheadMM, "ahead", "back")
	part(m.LeftMM, "left", "right")
	if d := trim(math.Abs(m.Turn), 1); d != "0" {
		how = append(how, d+" deg "+map[bool]string{true: "left", false: "right"}[m.Turn > 0])
	}
	if len(how) == 0 {
		return "meets"
	}
	return strings.Join(how, ", ")
}

// Legs lists the free legs of all turnouts and crossings, along the runs:
// where another run can begin.
func (ends Ends) Legs() []Anchor {
	s := ends.c.now
	side := map[Anchor]bool{}
	for i := range s.Runs {
		for k := range s.Runs[i].Pieces {
			p := &s.Runs[i].Pieces[k]
			if p.Words.Kind != track.Turnout && p.Words.Kind != track.Crossing {
				continue
			}
			for _, e := range p.ends() {
				if a := (Anchor{p.ID, e}); a != p.entry() && a != p.exit() {
					side[a] = true
				}
			}
		}
	}
	return slices.DeleteFunc(s.free(ends.c.view.meets), func(a Anchor) bool { return !side[a] })
}

// Branches is those of the piece behind the cursor, else of the one before it.
func (ends Ends) Branches() []Anchor {
	all := ends.Legs()
	for _, p := range []*Piece{ends.c.Behind(), ends.c.Ahead()} {
		if p == nil {
			continue
		}
		if out := slices.DeleteFunc(slices.Clone(all), func(a Anchor) bool { return a.Piece != p.ID }); len(out) > 0 {
			return out
		}
	}
	return nil
}

// Free names the ends of track that are joined to nothing, without bumpers.
func (ends Ends) Free() (names []string) {
	for _, a := range ends.c.now.free(ends.c.view.meets) {
		names = append(names, ends.c.now.endName(a))
	}
	return names
}

// EndName names an end: "W1 diverging".
func (ends Ends) EndName(a Anchor) string { return ends.c.now.endName(a) }

// NextRun is the name that a new run would get.
func (ends Ends) NextRun() string {
	taken := ends.c.now.names()
	for _, n := range []string{"siding", "spur"} {
		if sheet.CheckName(n, taken) == nil {
			return n
		}
	}
	return ends.c.now.freeName("track")
}

// Begin begins a run, at a free end or (the zero Anchor) on its own. The
// cursor goes there.
func (ends Ends) Begin(name string, from Anchor) error {
	name = strings.TrimSpace(name)
	if err := sheet.CheckName(name, ends.c.now.names()); err != nil {
		return err
	}
	if len(ends.c.now.Runs) >= 500 {
		return errors.New("500 runs are the most a layout can have")
	}
	if from.Piece != 0 && !slices.Contains(ends.c.now.free(ends.c.view.meets), from) {
		return fmt.Errorf("%s is taken already", ends.c.now.endName(from))
	}
	return ends.c.change("run "+name, func(s *State) error {
		s.Runs = append(s.Runs, Run{Name: name, From: Ref{At: from}, Block: -1})
		s.Run, s.At = len(s.Runs)-1, 0
		return nil
	})
}

// Via makes the run follow the other leg of the turnout behind the cursor.
func (ends Ends) Via() error {
	p := ends.c.Behind()
	if p == nil || p.Words.Kind != track.Turnout {
		return errors.New("stand right behind a turnout to change the leg that the run follows")
	}
	text := strings.ReplaceAll(strings.ReplaceAll(p.Text, " via diverging", ""), " via through", "")
	if !p.Words.ViaDiverging {
		if i := strings.Index(text, " as "); i >= 0 {
			text = text[:i] + " via diverging" + text[i:]
		} else {
			text += " via diverging"
		}
	}
	for _, a := range ends.Branches() {
		if a.Piece == p.ID {
			return ends.c.Laying().Replace(text)
		}
	}
	return errors.New("its other leg is joined to another run: open that first")
}

// RemoveRun takes the run under the cursor out, with what lies on it.
func (ends Ends) RemoveRun() (string, error) {
	if len(ends.c.now.Runs) == 1 {
		return "", errors.New("this is the only run: delete its pieces, or undo")
	}
	var said []string
	name := ends.c.Here().Name
	err := ends.c.change("taking out run "+name, func(s *State) error {
		r := s.Runs[s.Run]
		gone := map[int]bool{}
		for _, p := range r.Pieces {
			gone[p.ID] = true
		}
		said = s.bequeath(gone, Anchor{}, &r, 0)
		s.Runs = slices.Delete(s.Runs, s.Run, s.Run+1)
		s.Run = max(0, s.Run-1)
		s.At = len(s.Runs[s.Run].Pieces)
		if s.Hidden != nil && s.Hidden.Run == name {
			s.Hidden = nil
		}
		return nil
	})
	return strings.Join(said, "; "), err
}
