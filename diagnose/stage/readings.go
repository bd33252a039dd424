package stage

import (
	"maps"
	"math"
	"slices"

	"fishplate/diagnose/piece"
	"fishplate/diagnose/track"
)

// mostTurnouts is how many turnouts of one stage are tried in all their positions
// together; further ones stay thrown to through.
const mostTurnouts = 5

// view is a stage being looked at.
type view struct {
	m     *maker
	s     *Stage
	p     *part
	base  track.EndRef // where it is read: on what was good at the last stop
	joint int          // between that and the new pieces, -1 where there is none
	turns []int        // turnouts among the new pieces
	// stand is how turnouts that lay before must stand, so that no live frog joins the
	// rails where it is read.
	stand map[int]string
	all   *part // all that is laid, made at first use
}

// readings are what is read at a stop: at the near end of what is new, with a clip
// lead across each far end in turn, and with none.
func (m *maker) readings(s *Stage) []Reading {
	v := &view{m: m, s: s, p: m.part(s.First, s.End), joint: -1}
	for p := s.First; p <= s.End; p++ {
		if len(m.l.Pieces[p].Positions()) > 0 {
			v.turns = append(v.turns, p)
		}
	}
	var out []Reading
	out = append(out, v.near()...)
	s.Near = v.base
	v.set()
	out = append(out, v.across()...)
	for _, far := range v.fars() {
		out = append(out, v.through(far)...)
	}
	out = append(out, v.insulated()...)
	for i := range out {
		out[i].thrown = with(out[i].thrown, v.stand)
		m.named(&out[i])
	}
	return out
}

func with(a, b map[int]string) map[int]string {
	if len(b) == 0 {
		return a
	}
	out := maps.Clone(b)
	maps.Copy(out, a)
	return out
}

// whole is all that is laid by now.
func (v *view) whole() *part {
	if v.all == nil {
		v.all = v.m.partOf(0, v.s.End, v.s.First)
	}
	return v.all
}

// set finds how the turnouts that lay before must stand: all to through, or else
// one or two of them not.
func (v *view) set() {
	var frogs []int
	for p := range v.s.First {
		if w := v.m.l.Pieces[p].Wiring(); w != nil && len(v.m.l.Pieces[p].Positions()) > 0 &&
			slices.ContainsFunc(w.Conductors, func(c track.Conductor) bool { return c.When != "" }) {
			frogs = append(frogs, p)
		}
	}
	if len(frogs) == 0 {
		return
	}
	apart := func(stand map[int]string) bool {
		for _, pair := range v.pairs(v.base) {
			if !open(v.whole(), stand, nil, pair[0], pair[1]) {
				return false
			}
		}
		return true
	}
	slices.Reverse(frogs) // the nearest are likeliest
	tries := []map[int]string{nil}
	for i, a := range frogs {
		tries = append(tries, map[int]string{a: track.EndDiverging})
		for _, b := range frogs[:i] {
			tries = append(tries, map[int]string{a: track.EndDiverging, b: track.EndDiverging})
		}
	}
	slices.SortStableFunc(tries, func(a, b map[int]string) int { return len(a) - len(b) })
	for _, stand := range tries {
		if apart(stand) {
			v.stand = stand
			return
		}
	}
}

// named puts names to the points of a reading.
func (m *maker) named(r *Reading) {
	r.Black, r.Red = m.n.Points[r.black].Name, m.n.Points[r.red].Name
	for _, c := range r.clip {
		r.Clipped = append(r.Clipped, m.n.Points[c].Name)
	}
	for t, route := range r.thrown {
		if r.Thrown == nil {
			r.Thrown = map[string]string{}
		}
		p := &m.l.Pieces[t]
		name := p.Name
		if name == "" {
			name = p.ID()
		}
		r.Thrown[name] = route
	}
}

// near finds where the stage is read: at the joint by which it hangs on what was
// good, or, where that is insulated, on its new side, with readings across the gap.
func (v *view) near() []Reading {
	l := v.m.l
	for p := v.s.First; p <= v.s.End; p++ {
		for e, end := range l.Pieces[p].Ends {
			if end.Joint < 0 || v.m.closers[end.Joint] {
				continue
			}
			old := l.Joints[end.Joint].Other(track.EndRef{Piece: p, End: e})
			if old.Piece >= v.s.First {
				continue
			}
			v.joint, v.base = end.Joint, old
			if len(l.Joints[end.Joint].Insulated) == 0 {
				return nil
			}
			v.base = track.EndRef{Piece: p, End: e}
			return v.gaps(end.Joint)
		}
	}
	v.base = track.EndRef{Piece: v.s.First}
	for e, end := range l.Pieces[v.s.First].Ends { // the end that the next piece does not take
		if end.Joint < 0 || l.Joints[end.Joint].Other(track.EndRef{Piece: v.s.First, End: e}).Piece > v.s.End ||
			v.m.closers[end.Joint] {
			v.base.End = e
			break
		}
	}
	return nil
}

// gaps reads across an insulated joint, rail by rail.
func (v *view) gaps(joint int) []Reading {
	var out []Reading
	j := &v.m.l.Joints[joint]
	for _, r := range j.Insulated {
		a, b := v.m.n.At(j.A, r), v.m.n.At(j.B, v.m.l.AcrossJoint(joint, r))
		if a >= 0 && b >= 0 && v.p.has(a) && v.p.has(b) && open(v.whole(), nil, nil, a, b) {
			out = append(out, Reading{Want: piece.Silent, black: a, red: b, Why: "the insulated joint holds"})
		}
	}
	return out
}

// open says whether two points are apart in a sound part.
func open(p *part, thrown map[int]string, clip []int, a, b int) bool {
	f, err := p.solve(thrown, clip, nil, nil, 0)
	return err == nil && math.IsInf(f.Resistance(p.at(a), p.at(b)), 1)
}

func (v *view) open(thrown map[int]string, clip []int, a, b int) bool {
	return open(v.p, with(thrown, v.stand), clip, a, b)
}

// pairs are the hot rail at an end against each other rail that no tie joins to one
// before it.
func (v *view) pairs(at track.EndRef) [][2]int {
	c := v.m.l.Pieces[at.Piece].Construction
	hot := v.m.n.At(at, c.Hot)
	var taken []track.Rail
	var out [][2]int
	for _, r := range append([]track.Rail{c.Common}, c.Rails...) {
		if r == c.Hot || slices.Contains(taken, r) {
			continue
		}
		taken = append(taken, r)
		if !v.m.l.Pieces[at.Piece].Untied {
			taken = append(taken, c.TiedWith(r)...)
		}
		if b := v.m.n.At(at, r); v.p.has(hot) && v.p.has(b) {
			out = append(out, [2]int{hot, b})
		}
	}
	return out
}

// across reads that nothing joins the rails, with each new turnout both ways.
func (v *view) across() []Reading {
	var out []Reading
	throws := []map[int]string{nil}
	for _, t := range v.turns {
		for _, route := range v.m.l.Pieces[t].Positions()[1:] {
			throws = append(throws, map[int]string{t: route})
		}
	}
	for _, thrown := range throws {
		for _, pair := range v.pairs(v.base) {
			if v.open(thrown, nil, pair[0], pair[1]) {
				out = append(out, Reading{Want: piece.Silent, thrown: thrown, black: pair[1], red: pair[0],
					Why: "nothing joins the rails"})
			}
		}
	}
	return out
}

// fars are the ends of what is new that nothing is joined to yet, and bumpers.
func (v *view) fars() []track.EndRef {
	var out []track.EndRef
	for p := v.s.First; p <= v.s.End; p++ {
		for e, end := range v.m.l.Pieces[p].Ends {
			at := track.EndRef{Piece: p, End: e}
			free := end.Joint < 0 || v.m.closers[end.Joint] || v.m.l.Pieces[p].Kind == track.Bumper
			if !free {
				q := v.m.l.Joints[end.Joint].Other(at).Piece
				free = q > v.s.End || q < v.s.First && end.Joint != v.joint
			}
			if free && at != v.base {
				out = append(out, at)
			}
		}
	}
	return out
}

// through reads that each rail leads to a far end, where a clip lead joins them all,
// with the turnouts thrown there.
func (v *view) through(far track.EndRef) []Reading {
	var clip []int
	for _, r := range v.m.l.Pieces[far.Piece].Construction.Rails {
		if pt := v.m.n.At(far, r); v.p.has(pt) {
			clip = append(clip, pt)
		}
	}
	var best []Reading
	for _, thrown := range v.throws() {
		var out []Reading
		for _, pair := range v.pairs(v.base) {
			if v.open(thrown, nil, pair[0], pair[1]) && !v.open(thrown, clip, pair[0], pair[1]) {
				out = append(out, Reading{Want: piece.Beeps, clip: clip, thrown: thrown, black: pair[1], red: pair[0],
					Why: "through to the clip lead and back"})
			}
		}
		if len(out) > len(best) {
			best = out
		}
	}
	return best
}

// throws are all ways in which the new turnouts can stand together, those with few
// thrown first.
func (v *view) throws() []map[int]string {
	out := []map[int]string{nil}
	for _, t := range v.turns[:min(len(v.turns), mostTurnouts)] {
		for _, m := range slices.Clone(out) {
			for _, route := range v.m.l.Pieces[t].Positions()[1:] {
				more := map[int]string{t: route}
				for k, r := range m {
					more[k] = r
				}
				out = append(out, more)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b map[int]string) int { return len(a) - len(b) })
	return out
}

// insulated reads each insulated rail that is whole now against the other rails of
// the piece where its wire will be.
func (v *view) insulated() []Reading {
	var out []Reading
	for i := range v.m.l.InsulatedRails {
		r := &v.m.l.InsulatedRails[i]
		if r.Own || len(r.Pieces) == 0 || slices.Max(r.Pieces) < v.s.First || slices.Max(r.Pieces) > v.s.End {
			continue
		}
		point := func(rail track.Rail) int {
			if r.Tap.End < 0 {
				return v.m.n.Middle(r.Tap.Piece, rail)
			}
			return v.m.n.At(track.EndRef{Piece: r.Tap.Piece, End: r.Tap.End}, rail)
		}
		for _, rail := range v.m.l.Pieces[r.Tap.Piece].Construction.Rails {
			a, b := point(r.TapRail), point(rail)
			if rail != r.TapRail && v.p.has(a) && v.p.has(b) && open(v.whole(), nil, nil, a, b) {
				out = append(out, Reading{Want: piece.Silent, black: b, red: a, Why: "insulated rail " + r.Name +
					", before it is nailed down"})
			}
		}
	}
	return out
}
