package health

import (
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

const (
	// alike is the cosine from which two links leave the same marks.
	alike = 0.97
	// shows is the size of a mark, in standard deviations, that is found on nine
	// evenings of ten at the false alarms that are allowed, about.
	shows = 4.3
	// sureOhms is the resistance at which a joint must show to count as seen.
	sureOhms = TrainFeels
)

// noise is the scatter of one evening about such volts.
func (c *Check) noise(volts []float64) *noise {
	k := len(c.rows)
	z := &noise{meter: make([]float64, k), drift: newMatrix(k), together: newMatrix(k), places: len(c.Plan.Places)}
	rails, joints := make([]float64, k), make([]float64, k)
	for i := range c.rows {
		z.place = append(z.place, c.rows[i].place)
		sd := c.o.Meter.Millivolts.SD(volts[i], 0)
		z.meter[i] = sd * sd
	}
	for j := range c.n.Links {
		link := &c.n.Links[j]
		x := c.mark(j)
		for i := range x {
			x[i] *= link.Ohms * math.Exp(link.Spread*link.Spread) // the root of the mean square of a log-normal
		}
		switch {
		case link.NormallyOpen:
		case link.Class == conductor.ClassRail && link.Kind != conductor.KindSwitch:
			add(rails, 1, x)
		case drifts(link):
			z.drift.spread(1, x)
			z.each, z.cubes = append(z.each, x), append(z.cubes, math.Exp(1.5*link.Spread*link.Spread))
			add(joints, 1, x)
		}
	}
	z.together.spread(railsTogether*railsTogether, rails)
	z.together.spread(jointsTogether*jointsTogether, joints)
	return z
}

// expected are the volts by the file's figures.
func (c *Check) expected() []float64 {
	out := make([]float64, len(c.rows))
	for k := range c.rows {
		out[k] = c.rows[k].volts
	}
	return out
}

// mark is what one ohm more in a link would do to the volts, were all to stay linear.
func (c *Check) mark(link int) []float64 {
	out := make([]float64, len(c.rows))
	for k := range c.rows {
		out[k] = c.rows[k].by[link]
	}
	return out
}

// part finds what these readings can tell apart, by the file's figures.
func (c *Check) part() {
	volts := c.expected()
	z := c.noise(volts)
	cov, ok := z.at(usualDrift, 2, 2)
	if !ok {
		return
	}
	type marked struct {
		link int
		size float64
		dir  []float64
	}
	// alone is a mark in standard deviations, less what a scale would do too, and its size
	alone := func(mark []float64) ([]float64, float64) {
		w := cov.whiten(mark)
		var scales [][]float64
		for _, s := range z.scales(volts) {
			scales = append(scales, cov.whiten(s))
		}
		apart(scales, w)
		return w, math.Sqrt(dot(w, w))
	}
	var list []marked
	for _, j := range c.links {
		w, size := alone(c.mark(j))
		if _, most := alone(c.change(j, sureOhms)); most < shows {
			c.Unseen.Links = append(c.Unseen.Links, j)
			continue
		}
		for i := range w {
			w[i] /= size
		}
		list = append(list, marked{j, size, w})
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].size > list[b].size })
	var groups [][]marked
	for _, m := range list {
		at := slices.IndexFunc(groups, func(g []marked) bool { return dot(g[0].dir, m.dir) > alike })
		if at < 0 {
			groups = append(groups, nil)
			at = len(groups) - 1
		}
		groups[at] = append(groups[at], m)
	}
	for _, g := range groups {
		p := Part{rep: g[len(g)/2].link}
		for _, m := range g {
			p.Links = append(p.Links, m.link)
		}
		slices.Sort(p.Links)
		p.Sees = c.unbend(p.rep, shows/g[len(g)/2].size)
		c.name(&p)
		c.Parts = append(c.Parts, p)
	}
	sort.SliceStable(c.Parts, func(a, b int) bool { return c.Parts[a].Links[0] < c.Parts[b].Links[0] })
	c.name(&c.Unseen)
}

// change is what a link with so many ohms more does to the volts: where its current has
// other ways around it, less than in proportion.
func (c *Check) change(link int, ohms float64) []float64 {
	out := c.mark(link)
	for k := range out {
		if out[k] != 0 {
			out[k] *= ohms / (1 + ohms*c.lit[c.rows[k].place].around(link))
		}
	}
	return out
}

// unbend is the ohms that change the volts as much as `counts` would in proportion, where
// they change most; +Inf where none do.
func (c *Check) unbend(link int, counts float64) float64 {
	most, place := 0.0, 0
	for k := range c.rows {
		if x := math.Abs(c.rows[k].by[link]); x > most {
			most, place = x, c.rows[k].place
		}
	}
	left := 1 - counts*c.lit[place].around(link)
	if left <= 0 {
		return math.Inf(1)
	}
	return counts / left
}

func (c *Check) piecesOf(link int) []int {
	k := &c.n.Links[link]
	switch {
	case k.Joint >= 0:
		j := &c.n.Layout.Joints[k.Joint]
		return []int{j.A.Piece, j.B.Piece}
	case k.Piece >= 0:
		return []int{k.Piece}
	}
	return nil
}

// name says where a part is: its pieces run by run, and what is no piece.
func (c *Check) name(p *Part) {
	l := c.n.Layout
	has := make([]bool, len(l.Pieces))
	var others, rails []string
	for _, j := range p.Links {
		k := &c.n.Links[j]
		p.Joints = append(p.Joints, k.Place)
		for _, i := range c.piecesOf(j) {
			has[i] = true
		}
		if len(c.piecesOf(j)) == 0 {
			others = append(others, k.Place)
		}
		rails = append(rails, k.Rail)
	}
	for i, x := range has {
		if x {
			p.Pieces = append(p.Pieces, i)
		}
	}
	slices.Sort(p.Joints)
	p.Joints = slices.Compact(p.Joints)
	slices.Sort(others)
	var names []string
	if len(p.Pieces) > 0 {
		names = append(names, Stretch(l, p.Pieces))
	}
	if others = slices.Compact(others); len(others) > 0 {
		names = append(names, "wires and clips of "+unit.And(others))
	}
	p.Name = strings.Join(names, ", ")
	slices.Sort(rails)
	rails = slices.Compact(rails)
	for i, r := range rails {
		switch track.Rail(r) {
		case track.Left, track.Right, track.Center:
			rails[i] = r + " rail"
		default:
			rails[i] = r + " side"
		}
	}
	p.Rails = unit.And(rails)
}

// Stretch names pieces run by run: "main 5 to 17, siding 1 to 8".
func Stretch(l *track.Layout, pieces []int) string {
	var out []string
	for r := range l.Runs {
		run := &l.Runs[r]
		in := make([]bool, len(run.Pieces))
		count := 0
		for i, p := range run.Pieces {
			if slices.Contains(pieces, p) {
				in[i] = true
				count++
			}
		}
		from := 0
		if run.Closed && count < len(in) { // begin behind a gap, so that 58 to 2 is one stretch
			from = slices.Index(in, false)
		}
		for step := 0; step < len(in); step++ {
			first := (from + step) % len(in)
			if !in[first] {
				continue
			}
			last := first
			for step+1 < len(in) && in[(from+step+1)%len(in)] {
				step++
				last = (from + step) % len(in)
			}
			name := run.Name + " " + strconv.Itoa(first+1)
			if last != first {
				name += " to " + strconv.Itoa(last+1)
			}
			out = append(out, name)
		}
	}
	return strings.Join(out, ", ")
}
