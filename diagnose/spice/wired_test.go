package spice_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
)

// wired is a table with track on it, as someone builds it who knows the trade's
// description of the track and nothing of the program's network: resistors
// between the points that a person would name. Its nodes are those names.
type wired struct {
	t     *testing.T
	rng   *rand.Rand
	rails []string // of this track
	parts []wire
	rail  float64 // ohm a metre of rail, as this track has it
	pin   float64 // ohm a joint
}

// wire is one resistor, and what takes it out of the circuit.
type wire struct {
	a, b            string
	ohms            float64
	joint, feeder   string // lifting, pulling
	toggle          string // conducts while it is on
	load            string // an accessory's own: taken out when it is unplugged
	hot             float64
	broken, isFault bool
	was             string // its far end before it was put to another place
}

// scatter draws a factor about 1, a log-sd of s; 1 on a table without chance.
func (w *wired) scatter(s float64) float64 {
	if w.rng == nil {
		return 1
	}
	return math.Exp(s * w.rng.NormFloat64())
}

func (w *wired) add(x wire) { w.parts = append(w.parts, x) }

// end names the end of piece i that looks at piece k, 0 before the first and
// past the last.
func end(i, k, n int) string {
	switch k {
	case 0:
		return fmt.Sprintf("main %d/start", i)
	case n + 1:
		return fmt.Sprintf("main %d/end", i)
	}
	return fmt.Sprintf("main %d/%d", i, k)
}

// line lays n pieces of so many metres in a row, or in a ring. Rails are whole
// from end to end with the middle between them; tied track has its outer rails
// joined there by the ties. What is apart in cut has insulation in place of a pin.
func (w *wired) line(n int, metres float64, ring, tied bool, cut ...string) {
	next := func(i int) int {
		if ring && i == n {
			return 1
		}
		return i + 1
	}
	before := func(i int) int {
		if ring && i == 1 {
			return n
		}
		return i - 1
	}
	for i := 1; i <= n; i++ {
		for _, r := range w.rails {
			half := w.rail * metres / 2 * w.scatter(0.08)
			middle := fmt.Sprintf("main %d %s", i, r)
			w.add(wire{a: end(i, before(i), n) + " " + r, b: middle, ohms: half})
			w.add(wire{a: middle, b: end(i, next(i), n) + " " + r, ohms: half})
		}
		if tied {
			w.add(wire{a: fmt.Sprintf("main %d left", i), b: fmt.Sprintf("main %d right", i), ohms: 1e-6})
		}
		if k := next(i); k <= n {
			joint := fmt.Sprintf("main %d/%d", i, k)
			for _, r := range w.rails {
				if !strings.Contains(strings.Join(cut, ","), joint+" "+r) {
					w.add(wire{a: joint + " " + r, b: fmt.Sprintf("main %d/%d %s", k, i, r),
						ohms: w.pin * w.scatter(0.5), joint: joint})
				}
			}
		}
	}
}

// feeder is a pair of wires of 4 ft of 16 AWG (13.17 ohm/km in the published
// tables) with a clip at the track each.
func (w *wired) feeder(name, hot, common string, piece int, hotRail, commonRail string) {
	const copper = 0.01317 * 1.2192
	for _, x := range [][3]string{{hot, name + " hot", hotRail}, {common, name + " common", commonRail}} {
		w.add(wire{a: x[0], b: x[1], ohms: copper, feeder: name})
		w.add(wire{a: x[1], b: fmt.Sprintf("main %d %s", piece, x[2]), ohms: 0.003 * w.scatter(0.4)})
	}
}

// bridge joins two points that nothing should join.
func (w *wired) bridge(a, b string, ohms float64) { w.add(wire{a: a, b: b, ohms: ohms, isFault: true}) }

// spoil finds the wire between two points and makes it worse by so many ohms,
// or breaks it.
func (w *wired) spoil(a, b string, by float64) {
	for i := range w.parts {
		if p := &w.parts[i]; p.a == a && p.b == b {
			p.broken = math.IsInf(by, 1)
			if !p.broken {
				w.add(wire{a: a + "'", b: b, ohms: p.ohms, joint: p.joint, feeder: p.feeder, toggle: p.toggle})
				p.b, p.ohms = a+"'", by
				p.isFault = true
			}
			return
		}
	}
	require.Failf(w.t, "no such wire", "%s to %s", a, b)
}

// cross changes the places of two wires at their far end: a feeder's at the track,
// a winding's at the posts (a plug the other way round swings the same way).
func (w *wired) cross(feeder string) {
	var two []*wire
	for i := range w.parts {
		if p := &w.parts[i]; p.a == feeder+" hot" || p.a == feeder+" common" {
			p.was = p.b
			two = append(two, p)
		}
	}
	require.Len(w.t, two, 2)
	two[0].b, two[1].b = two[1].was, two[0].was
}

// mend puts right all that is wrong.
func (w *wired) mend() {
	var rest []wire
	for _, p := range w.parts {
		switch {
		case p.isFault && strings.HasSuffix(p.b, "'"):
			p.ohms, p.isFault = 1e-6, false
		case p.isFault:
			continue
		}
		if p.broken = false; p.was != "" {
			p.b, p.was = p.was, ""
		}
		rest = append(rest, p)
	}
	w.parts = rest
}

// gauge is a meter of our own: 3 1/2 digits, up to 0.6 % and two digits off, leads
// of 0.3 ohm, 10 Mohm on volts, a tone below 50 ohm (figures as manuals of such
// instruments have them; sources not named).
type gauge struct {
	w    *wired
	gain float64
	lamp float64 // ampere of our lamp at 12 V; it goes with volts^0.55
}

const leads = 0.3

// take reads what an ask wants, by ngspice.
func (g *gauge) take(t *testing.T, a *hunt.Ask) string {
	if a.Red == a.Black {
		return g.show(leads, 0.1, "ohm")
	}
	ohms := a.Meter == "beeper" || a.Meter == "ohms"
	c, lamp := g.circuit(a, !ohms)
	red, black := c.points[a.Red], c.points[a.Black]
	require.NotEmpty(t, red, "%q: a point that no one built", a.Red)
	require.NotEmpty(t, black, "%q: a point that no one built", a.Black)
	var b batch
	if ohms {
		if !c.connected(a.Red, a.Black) {
			return map[string]string{"beeper": "no", "ohms": "OL"}[a.Meter]
		}
		n := b.volts(b.add(c, "Iohms "+black+" "+red+" 1"), red, black)
		switch r := b.run(t)[n] + leads; {
		case a.Meter == "beeper" && r < 50:
			return "beep"
		case a.Meter == "beeper":
			return "no"
		default:
			return g.show(r, 0.1, "ohm")
		}
	}
	prefix := b.add(c)
	volts := b.volts(prefix, red, black)
	across := -1
	if lamp != "" {
		across = b.volts(prefix, "emf", lamp)
	}
	got := b.run(t)
	v := got[volts]
	if a.Current == hunt.AC {
		v = math.Abs(v)
	}
	switch a.Meter {
	case "lamp": // a filament gives next to no light below a third of its volts
		switch part := math.Abs(got[across]) / a.Setup.Source.Volts; {
		case part > 0.8:
			return "bright"
		case part > 0.3:
			return "glowing"
		}
		return "dark"
	case "millivolts":
		if math.Abs(v) > 0.2 {
			return "OL"
		}
		return g.show(v*1e3, 0.1, "mV")
	case "volts":
		return g.show(v, 0.01, "V")
	}
	t.Fatalf("our meter has no %q", a.Meter)
	return ""
}

// show prints a value with the meter's errors, in the range that it fits into.
func (g *gauge) show(v, step float64, unit string) string {
	for math.Abs(v) >= 2000*step {
		step *= 10
	}
	v = math.Round((v*g.gain+step*(4*g.w.rng.Float64()-2))/step) * step
	if unit != "mV" && unit != "V" {
		v = math.Max(v, 0)
	}
	return fmt.Sprintf("%.*f %s", max(0, int(math.Round(-math.Log10(step)))), v, unit)
}

// circuit is the table in the set-up of an ask; with a lamp in series the node
// behind it, where the hot wires join. A meter on volts lies across its points.
func (g *gauge) circuit(a *hunt.Ask, meter bool) (c *circuit, lamp string) {
	c = &circuit{points: map[string]string{}}
	built := false
	node := func(name string) string {
		if s := &a.Setup.Source; strings.HasSuffix(name, " post") {
			if s.Kind == "lamp" && name == s.From+" post" {
				return "emf"
			}
			name = strings.TrimSuffix(name, " post")
		}
		if c.points[name] == "" {
			require.False(g.w.t, built, "%q: a point that no one built", name)
			c.points[name] = fmt.Sprintf("n%d", len(c.points)+1)
		}
		return c.points[name]
	}
	join := func(from, to string, ohms float64) {
		c.parts = append(c.parts, resistor{id: fmt.Sprint(len(c.parts)), a: node(from), b: node(to), ohms: ohms})
	}
	s := &a.Setup
	has := func(list []string, name string) bool {
		for _, x := range list {
			if x == name {
				return true
			}
		}
		return false
	}
	on := s.Source.Kind == "volts" || len(s.Also) > 0
	for _, p := range g.w.parts {
		ohms := p.ohms
		if p.load != "" && on {
			ohms = p.hot
		}
		for _, name := range []string{p.a, p.b} {
			node(name)
		}
		if !p.broken && !has(s.Lifted, p.joint) && !has(s.Pulled, p.feeder) && !has(s.Off, p.toggle) &&
			(p.load == "" || !has(s.Unplugged, p.load)) {
			join(p.a, p.b, ohms)
		}
	}
	built = true
	for _, l := range s.Loads {
		join(l.From, l.To, l.Ohms)
	}
	source := func(id, plus, minus string, volts float64) {
		c.cards = append(c.cards, fmt.Sprintf("V%s %s %s %.17g", id, plus, minus, volts))
		c.joins = append(c.joins, [2]string{plus, minus})
	}
	switch s.Source.Kind {
	case "volts":
		source("s", node(s.Source.From), node(s.Source.To), s.Source.Volts)
	case "lamp":
		source("s", "emf", node(s.Source.To), s.Source.Volts)
		amps := g.lamp * math.Pow(s.Source.Volts/12, 0.55)
		c.parts = append(c.parts, resistor{id: "lamp", a: "emf", b: node(s.Source.From), ohms: s.Source.Volts / amps})
		lamp = node(s.Source.From)
		c.points[s.Source.From+" post"] = "emf"
	}
	for i, x := range s.Also {
		source(fmt.Sprint("also", i), node(x.From), node(x.To), x.Volts)
	}
	for name, n := range c.points {
		if strings.HasSuffix(name, " hot") || strings.HasSuffix(name, " common") {
			if _, ok := c.points[name+" post"]; !ok {
				c.points[name+" post"] = n
			}
		}
	}
	if meter {
		c.parts = append(c.parts, resistor{id: "meter", a: node(a.Red), b: node(a.Black), ohms: 10e6})
	}
	c.islands()
	return c, lamp
}
