package card

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Picture draws the rails where the probes go, turned as they lie on the map: as
// one stretch where both are near each other on one run, else the two places,
// beside each other where there is room. Nil where no probe is on a rail.
func Picture(sc *scene.Scene, a *hunt.Ask, w int) []string {
	if a.OfLamp() && !a.OfTestLamp() {
		return nil
	}
	if s, ok := newStrip(sc, a, w); ok {
		return s.lines()
	}
	var places [][]string
	for _, p := range onRails(sc.Layout, a) {
		wide := min(w, 36)
		if w >= 64 {
			wide = w/2 - 2
		}
		places = append(places, sketch(sc, wide, p.Place, p))
	}
	switch {
	case len(places) == 2 && w >= 64:
		return text.Beside(places[0], places[1], w/2, max(len(places[0]), len(places[1])), "  ")
	case len(places) == 2:
		return append(places[0], places[1]...)
	case len(places) == 1:
		return places[0]
	}
	return nil
}

// onRails are the probes that touch a rail, or a wire where it meets one.
func onRails(l *track.Layout, a *hunt.Ask) []probe {
	var out []probe
	list := []probe{{spot.Parse(l, a.Red), "R", style.ProbeRed}, {spot.Parse(l, a.Black), "B", style.ProbeBlack}}
	if a.OfTestLamp() { // its two ends are alike
		list[0].letter, list[0].role, list[1].letter, list[1].role = "L", style.Key, "L", style.Key
	}
	for _, p := range list {
		if p.Place.Piece >= 0 && (p.Kind == spot.Track || p.Kind == spot.Feeder) {
			out = append(out, p)
		}
	}
	return out
}

// strip is a stretch of one run with both probes on it.
type strip struct {
	sc     *scene.Scene
	probes []probe
	row    []int // pieces from left to right
	cell   int   // columns of a piece
	flip   bool  // the run goes to the left on the map
}

const (
	leastCell = 5
	mostCell  = 14
	labels    = 8 // columns for the rail's name
)

// newStrip lays out a strip, false where the probes are too far apart for it.
func newStrip(sc *scene.Scene, a *hunt.Ask, w int) (*strip, bool) {
	l := sc.Layout
	s := &strip{sc: sc, probes: onRails(l, a)}
	if len(s.probes) == 0 {
		return nil, false
	}
	run := l.Pieces[s.probes[0].Place.Piece].Run
	first, last := 1<<30, -1
	var pieces []int
	for i := range l.Runs {
		if l.Runs[i].Name == run {
			pieces = l.Runs[i].Pieces
		}
	}
	for _, p := range s.probes {
		at := slices.Index(pieces, p.Place.Piece)
		if at < 0 {
			return nil, false
		}
		first, last = min(first, at), max(last, at)
	}
	first, last = max(first-1, 0), min(last+1, len(pieces)-1)
	n := last - first + 1
	if s.cell = min((w-labels-1)/n-1, mostCell); s.cell < leastCell {
		return nil, false
	}
	s.row = slices.Clone(pieces[first : last+1])
	from, to := plane.Spot(l, track.Place{Piece: s.row[0], End: -1}),
		plane.Spot(l, track.Place{Piece: s.row[n-1], End: -1})
	if s.flip = to.X < from.X || n == 1 && leftward(l, s.row[0]); s.flip {
		slices.Reverse(s.row)
	}
	return s, true
}

// lines are the numbers of the pieces, each rail that a probe touches, and what
// can be seen beside the track.
func (s *strip) lines() []string {
	l, t := s.sc.Layout, &s.sc.Theme
	var names []string
	for _, p := range s.row {
		names = append(names, centre(fmt.Sprint(l.Pieces[p].Number), s.cell))
	}
	run := l.Pieces[s.row[0]].Run
	out := []string{t.Paint(style.Dim, text.Fit(run, labels)+" "+strings.Join(names, " "))}
	for _, r := range s.rails() {
		out = append(out, s.rail(r))
	}
	if marks := s.marks(); strings.TrimSpace(marks) != "" {
		out = append(out, t.Paint(style.Landmark, strings.Repeat(" ", labels+1)+marks))
	}
	return out
}

// rails are those that a probe touches, in the order in which they lie on the
// map.
func (s *strip) rails() []track.Rail {
	var out []track.Rail
	for _, r := range s.sc.Layout.Pieces[s.row[0]].Construction.Rails {
		if slices.ContainsFunc(s.probes, func(p probe) bool { return p.Rail == r }) {
			out = append(out, r)
		}
	}
	if s.flip {
		slices.Reverse(out)
	}
	return out
}

// rail draws one rail along the strip, a bar at every joint.
func (s *strip) rail(r track.Rail) string {
	fill := "="
	if r == track.Center {
		fill = "-"
	}
	var b strings.Builder
	b.WriteString(s.sc.Theme.Paint(style.Label, text.Fit(string(r), labels)))
	for i, p := range s.row {
		b.WriteString(s.sc.Theme.Paint(style.Dim, map[bool]string{true: " ", false: "|"}[i == 0]))
		b.WriteString(s.along(p, r, fill))
	}
	return b.String()
}

// along is one piece of a rail with the probes that touch it there.
func (s *strip) along(piece int, r track.Rail, fill string) string {
	cells := make([]string, s.cell)
	for i := range cells {
		cells[i] = fill
	}
	for _, p := range s.probes {
		if p.Rail != r || p.Place.Piece != piece {
			continue
		}
		at := s.cell / 2
		if e := p.Place.End; e >= 0 {
			if right := (e > 0) != s.flip; s.leads(piece, e, right) {
				at = s.cell - 1
			} else {
				at = 0
			}
		}
		for cells[at] != fill && at > 0 { // both probes on one spot of one rail
			at--
		}
		cells[at] = s.sc.Theme.Paint(p.role, p.letter)
	}
	return strings.Join(cells, "")
}

// leads says whether an end of a piece is the one on the right of the strip: by
// the piece that it is joined to, where that is drawn, else by the order of ends.
func (s *strip) leads(piece, end int, right bool) bool {
	l := s.sc.Layout
	i := slices.Index(s.row, piece)
	j := l.Pieces[piece].Ends[end].Joint
	if j < 0 {
		return right
	}
	o := l.Joints[j].A
	if o.Piece == piece && o.End == end {
		o = l.Joints[j].B
	}
	switch k := slices.Index(s.row, o.Piece); {
	case k == i+1:
		return true
	case k == i-1 && k >= 0:
		return false
	}
	return right
}

// marks names feeders, turnouts and landmarks under the pieces where they are.
func (s *strip) marks() string {
	l := s.sc.Layout
	var out []string
	for _, p := range s.row {
		name := ""
		for i := range l.Feeders {
			if l.Feeders[i].At.Piece == p {
				name = l.Feeders[i].Name
			}
		}
		if q := &l.Pieces[p]; q.Name != "" && q.Name != q.ID() {
			name = q.Name
		}
		for i := range l.Landmarks {
			if l.Landmarks[i].At.Piece == p {
				name = l.Landmarks[i].Name
			}
		}
		if text.Width(name) > s.cell { // half a name points nowhere
			name = ""
		}
		out = append(out, centre(name, s.cell))
	}
	return strings.TrimRight(strings.Join(out, " "), " ")
}
