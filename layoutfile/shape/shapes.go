package shape

import (
	"fmt"
)

// oval: two half circles, or four quarters with straights between.
func oval(m *maker) error {
	curve, c := m.piece("curve")
	straight, _ := m.piece("straight")
	long, short := m.count("long", 0, 200), m.count("short", 0, 200)
	side, end := times(long, "straight "+straight), times(short, "straight "+straight)
	bend := "curve left " + curve
	if short == 0 {
		half := times(m.curves("curve", 180, c.Angle), bend)
		m.run("main", true, "", "", side, half, side, half)
		return nil
	}
	quarter := times(m.curves("curve", 90, c.Angle), bend)
	m.run("main", true, "", "", side, quarter, end, quarter, side, quarter, end, quarter)
	return nil
}

// siding: the siding lies inside the oval. Its ends curve back with the
// turnouts' own radius and angle, so it runs beside the main track.
func siding(m *maker) error {
	curve, c := m.piece("curve")
	straight, s := m.piece("straight")
	turnout, t := m.piece("turnout")
	before, between, after := m.count("before", 0, 200), m.count("between", 0, 200), m.count("after", 0, 200)
	if m.err != nil {
		return m.err
	}
	half := times(m.curves("curve", 180, c.Angle), "curve left "+curve)
	own := times(1, "straight "+m.length(through(t)))
	line := func(n int) []string { return times(n, "straight "+straight) }
	m.run("main", true, "", "", line(before), []string{"turnout left " + turnout + " as W1"}, line(between),
		[]string{"turnout right trailing " + turnout + " as W2"}, line(after), half,
		line(after), own, line(between), own, line(before), half)
	// Along the main track: two through legs and what lies between them; along
	// the siding: four arcs (two legs, two curves) of radius R and angle a, each
	// R sin a long along the track, and straights.
	length := 2*through(t) + float64(between)*s.LengthMM - 4*t.RadiusMM*sin(t.Angle)
	if length < -0.01 {
		m.wrong("between", errLong)
		return m.err
	}
	back := m.back(turnout, t)
	m.run("siding", false, "W1 diverging", "W2 diverging", []string{back},
		m.straights("between", length, s.LengthMM, straight), []string{back})
	return nil
}

// eight: each loop turns by half a circle and the crossing's angle t. The
// curve touches both legs at R / tan(t/2) from the middle of the crossing.
func eight(m *maker) error {
	curve, c := m.piece("curve")
	straight, s := m.piece("straight")
	crossing, x := m.piece("crossing")
	if m.err != nil {
		return m.err
	}
	n := m.curves("curve", 180+x.Angle, c.Angle)
	leg := c.RadiusMM*cos(x.Angle/2)/sin(x.Angle/2) - x.LengthMM/2
	if leg < -0.01 {
		m.wrong("crossing", fmt.Errorf("it is too long for these curves: %s at most", m.length(leg*2+x.LengthMM)))
		return m.err
	}
	legs := m.straights("crossing", leg, s.LengthMM, straight)
	m.run("main", true, "", "", []string{"crossing " + crossing + " as X1"}, legs, times(n, "curve left "+curve), legs,
		[]string{"X1 again"}, legs, times(n, "curve right "+curve), legs)
	return nil
}

// dogbone: at each end one curve outward, half a circle and two curves back
// inward, one curve to the track's own way. With angle a and radius R the long
// sides lie 2R(2 cos a - 1) apart.
func dogbone(m *maker) error {
	curve, c := m.piece("curve")
	straight, _ := m.piece("straight")
	long := m.count("long", 0, 200)
	n := m.curves("curve", 180, c.Angle) + 2
	if m.err == nil && 2*c.RadiusMM*(2*cos(c.Angle)-1) < 50 {
		m.wrong("curve", fmt.Errorf("curves of %g degrees bring the long sides onto each other: take a smaller angle",
			c.Angle))
	}
	side := times(long, "straight "+straight)
	loop := [][]string{{"curve right " + curve}, times(n, "curve left "+curve), {"curve right " + curve}}
	var all [][]string
	all = append(append(all, side), loop...)
	all = append(append(all, side), loop...)
	m.run("main", true, "", "", all...)
	return nil
}

// double: two ovals about the same middle, with a crossover in each long side.
// A crossover is two turnouts leg to leg, with a straight between where the
// tracks lie further apart than 2R(1 - cos a).
func double(m *maker) error {
	inner, ci := m.piece("curve")
	outer, co := m.piece("outer")
	straight, s := m.piece("straight")
	turnout, t := m.piece("turnout")
	long := m.count("long", 1, 200)
	if m.err != nil {
		return m.err
	}
	ni, no := m.curves("curve", 180, ci.Angle), m.curves("outer", 180, co.Angle)
	apart := co.RadiusMM - ci.RadiusMM - 2*t.RadiusMM*(1-cos(t.Angle))
	if apart < -0.01 {
		m.wrong("outer", fmt.Errorf("the tracks lie too close for this turnout: the outer radius must be %s at least",
			m.length(ci.RadiusMM+2*t.RadiusMM*(1-cos(t.Angle)))))
		return m.err
	}
	link := apart / sin(t.Angle)
	span := 2*t.RadiusMM*sin(t.Angle) + link*cos(t.Angle) // from points to points, along the track
	side := float64(long) * s.LengthMM
	lead := (side - span) / 2
	if lead < 0 || span < through(t) {
		m.wrong("long", errLong)
		return m.err
	}
	line := func(mm float64) []string { return m.straights("long", mm, s.LengthMM, straight) }
	rest := span - through(t)
	one := func(text string) []string { return []string{text} }
	m.run("outer", true, "", "", line(lead), one("turnout left "+turnout+" as W1"), line(rest), line(lead),
		times(no, "curve left "+outer),
		line(lead), line(rest), one("turnout right trailing "+turnout+" as W4"), line(lead),
		times(no, "curve left "+outer))
	m.run("inner", true, "", "", line(lead), line(rest), one("turnout left trailing "+turnout+" as W2"), line(lead),
		times(ni, "curve left "+inner),
		line(lead), one("turnout right "+turnout+" as W3"), line(rest), line(lead), times(ni, "curve left "+inner))
	between := m.straights("outer", link, 1e9, straight)
	m.run("crossover1", false, "W1 diverging", "W2 diverging", between)
	m.run("crossover2", false, "W3 diverging", "W4 diverging", between)
	return nil
}

// yard: the ladder leaves the lead at the turnouts' angle a; each turnout on
// it sends one track back to the lead's own way. Along the ladder a step of d
// is d sin a across.
func yard(m *maker) error {
	straight, s := m.piece("straight")
	turnout, t := m.piece("turnout")
	lead, n, storage := m.count("lead", 1, 200), m.count("tracks", 2, 12), m.count("storage", 1, 200)
	spacing, err := m.millimeters("spacing")
	if err != nil || m.err != nil {
		return m.err
	}
	first := (spacing - 2*t.RadiusMM*(1-cos(t.Angle))) / sin(t.Angle)
	step := spacing/sin(t.Angle) - through(t)
	if first < -0.01 || n > 2 && step < -0.01 {
		least := max(2*t.RadiusMM*(1-cos(t.Angle)), through(t)*sin(t.Angle))
		m.wrong("spacing", fmt.Errorf("with this turnout the tracks lie %s apart at least", m.length(least)))
		return m.err
	}
	back := m.back(turnout, t)
	end := append(times(storage, "straight "+straight), "bumper")
	ladder := append(times(lead, "straight "+straight), "turnout left via diverging "+turnout+" as W1")
	for k := 2; k <= n; k++ {
		gap := step
		if k == 2 {
			gap = first
		}
		ladder = append(ladder, m.straights("spacing", gap, s.LengthMM, straight)...)
		if k < n {
			ladder = append(ladder, fmt.Sprintf("turnout right %s as W%d", turnout, k))
		}
	}
	m.run("lead", false, "", "", append(ladder, back), end)
	for k := 1; k < n; k++ {
		leg := "diverging"
		if k == 1 {
			leg = "through"
		}
		m.run(fmt.Sprintf("track%d", k), false, fmt.Sprintf("W%d %s", k, leg), "", end)
	}
	return nil
}
