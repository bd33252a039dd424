package wiring

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/track"
	"fishplate/diagnose/wire"
)

// Wire is a wire, or a pair of one length, from where its current comes from.
// What the file does not say is 0 or empty.
type Wire struct {
	Name     string  `json:"name"`
	From     string  `json:"from"`
	To       string  `json:"to"`
	Size     string  `json:"size,omitempty"` // as written in the file: "16 AWG"
	AreaMM2  float64 `json:"mm2,omitempty"`
	LengthMM float64 `json:"length_mm,omitempty"`
	Ohms     float64 `json:"ohms_per_wire,omitempty"` // copper at 20 degrees C
	// Holds is the current at which the first breaker or fuse before it opens, and
	// Carries the most that its size should (wire.Basis says where from), ampere.
	Holds   float64 `json:"holds_amps,omitempty"`
	Carries float64 `json:"carries_amps,omitempty"`
	Fuse    float64 `json:"fuse_amps,omitempty"`
	// Labels is one for each conductor, for both of its ends: MOROP NEM 605 (2014),
	// 1 and 2.2 wants every wire marked at both.
	Labels []Label `json:"labels"`
}

// Label is what is written on the two ends of one conductor.
type Label struct {
	Near string `json:"at_from"`
	Far  string `json:"at_to"`
}

// Thin says that the wire would get hotter than it should before anything opens.
// The rule is good to a tenth.
func (w *Wire) Thin() bool { return w.Carries > 0 && w.Carries < 0.9*w.Holds }

// Sides of a pair.
const hot, common = "hot", "common"

// pair makes the labels of both conductors: the wire's own name and side first,
// then where its other end is.
func pair(name, from, to string, hotTo, commonTo string) []Label {
	one := func(side, end string) Label {
		return Label{Near: fmt.Sprintf("%s %s, to %s", name, side, join(to, end)),
			Far: fmt.Sprintf("%s %s, from %s %s", name, side, from, side)}
	}
	return []Label{one(hot, hotTo), one(common, commonTo)}
}

func join(a, b string) string {
	if b == "" {
		return a
	}
	return a + " " + b
}

// sized fills in what follows from a wire's copper.
func (w *Wire) sized(size string, mm, ohms, fuse, holds float64) {
	w.Size, w.LengthMM, w.Ohms, w.Fuse = size, mm, ohms, fuse
	if !math.IsInf(holds, 1) {
		w.Holds = holds
	}
	if mm > 0 && ohms > 0 {
		w.AreaMM2 = wire.Copper * mm / 1000 / ohms
		w.Carries = wire.Amps(w.AreaMM2)
	}
}

// wires lists them all: what leads to outlets first, then feeders, accessories.
func wires(l *track.Layout) []Wire {
	var out []Wire
	for i := range l.Buses {
		out = append(out, busWires(l, &l.Buses[i])...)
	}
	for i := range l.Toggles {
		out = append(out, toggleWires(l, i)...)
	}
	for i := range l.Feeders {
		f := &l.Feeders[i]
		w := Wire{Name: f.Name, From: l.OutletName(f.On), To: l.PlaceName(f.At)}
		w.Labels = pair(w.Name, w.From, w.To, string(f.Hot), string(f.Common))
		w.sized(f.Wire, f.LengthMM, f.OhmsPerWire, f.Fuse, l.Holds(f.On, f.Fuse))
		out = append(out, w)
	}
	for i := range l.Accessories {
		out = append(out, accessoryWires(l, i)...)
	}
	for i := range l.Terminals {
		out = append(out, Sense(l, &l.Terminals[i]))
	}
	for _, c := range l.Commons {
		a, b := l.Supplies[c[0]].Name, l.Supplies[c[1]].Name
		out = append(out, Wire{Name: a + " to " + b, From: a, To: b,
			Labels: []Label{{Near: a + " common, to " + b + " common", Far: b + " common, from " + a + " common"}}})
	}
	return out
}

// Sense is the thin wires of a terminal, from the track to the block: no current
// comes through them but a meter's.
func Sense(l *track.Layout, t *track.Terminal) Wire {
	from := l.PlaceName(t.At)
	w := Wire{Name: t.Name, From: from, To: "the block", Size: t.Wire, LengthMM: t.LengthMM, Ohms: t.OhmsPerWire}
	for side, rail := range t.Rails() {
		if rail != "" {
			name := t.Name + " " + [2]string{hot, common}[side]
			w.Labels = append(w.Labels, Label{Near: name + ", to the block",
				Far: fmt.Sprintf("%s, from %s %s", name, from, rail)})
		}
	}
	return w
}

// busWires are the pair of a bus, and the one that closes it to a ring.
func busWires(l *track.Layout, b *track.Bus) []Wire {
	from, last := l.OutletName(b.On), fmt.Sprintf("%s %d", b.Name, b.Terminals)
	w := Wire{Name: b.Name, From: from, To: last}
	w.Labels = pair(w.Name, from, last, "", "")
	w.sized(b.Wire, b.LengthMM, b.OhmsPerWire, b.Fuse, l.Holds(b.On, b.Fuse))
	if b.RingMM <= 0 {
		return []Wire{w}
	}
	ring := Wire{Name: b.Name + " ring", From: last, To: from}
	ring.Labels = pair(ring.Name, last, from, "", "")
	ring.sized(b.Wire, b.RingMM, b.RingOhms, 0, l.Holds(b.On, b.Fuse))
	return []Wire{w, ring}
}

// toggleWires lead to a toggle; the sides of one with a middle position are the
// same toggle.
func toggleWires(l *track.Layout, i int) []Wire {
	t := &l.Toggles[i]
	if t.Middle {
		return nil // its Side has the wires
	}
	name := t.Part()
	lead := func(from string, holds float64) Wire {
		w := Wire{Name: from + " to " + name, From: from, To: name}
		for _, side := range switched(t) {
			w.Labels = append(w.Labels, Label{Near: fmt.Sprintf("%s, to %s", join(from, side), name),
				Far: fmt.Sprintf("%s, from %s", join(name, side), from)})
		}
		w.sized("", 0, 0, 0, holds)
		return w
	}
	out := []Wire{lead(l.OutletName(t.On), l.Holds(t.On, 0))}
	if t.Chooses {
		out = append(out, lead(l.OutletName(t.Other), l.Holds(t.Other, 0)))
	}
	return out
}

// switched are the conductors that pass through a toggle.
func switched(t *track.Toggle) []string {
	switch {
	case t.Hot && t.Common, t.Reverses:
		return []string{hot, common}
	case t.Common:
		return []string{common}
	}
	return []string{hot}
}

// accessoryWires lead to an accessory, and from it to its insulated rail.
func accessoryWires(l *track.Layout, i int) []Wire {
	a := &l.Accessories[i]
	if a.Turnout >= 0 {
		return nil // inside the turnout
	}
	r := l.RailOf(i)
	var w Wire
	if a.OnTrack {
		from := l.PlaceName(a.At)
		w = Wire{Name: a.Name, From: from, To: a.Name, Labels: []Label{
			{Near: fmt.Sprintf("%s, from %s %s", a.Name, from, a.Hot), Far: fmt.Sprintf("%s, to %s %s", a.Name, from,
				a.Hot)},
			{Near: fmt.Sprintf("%s, from %s %s", a.Name, from, a.Common), Far: fmt.Sprintf("%s, to %s %s", a.Name, from,
				a.Common)}}}
	} else {
		from := l.OutletName(a.On)
		w = Wire{Name: a.Name, From: from, To: a.Name, Labels: pair(a.Name, from, a.Name, "", "")}
		if r >= 0 {
			w.Labels = w.Labels[:1] // its common side is the insulated rail
		}
		w.sized("", 0, 0, a.Fuse, l.Holds(a.On, a.Fuse))
	}
	if r < 0 {
		return []Wire{w}
	}
	k := &l.InsulatedRails[r]
	to := join(l.PlaceName(k.Tap), string(k.TapRail))
	tap := Wire{Name: k.Name, From: a.Name, To: to,
		Labels: []Label{{Near: k.Name + ", to " + to, Far: k.Name + ", from " + a.Name}}}
	tap.sized(k.Wire, k.LengthMM, k.Ohms, 0, w.Holds)
	return []Wire{w, tap}
}

// Terminal is a place that wires hang on, and their names.
type Terminal struct {
	Name  string   `json:"name"`
	Wires []string `json:"wires"`
}

// terminals lists what hangs on every supply, and on every terminal of a bus or a
// strip, the empty ones too; then on toggles.
func terminals(l *track.Layout) []Terminal {
	var out []Terminal
	for i := range l.Supplies {
		out = append(out, Terminal{Name: l.OutletName(track.Outlet{Index: i})})
	}
	for i := range l.Buses {
		for t := range l.Buses[i].Terminals {
			out = append(out, Terminal{Name: l.OutletName(track.Outlet{Kind: track.OnBus, Index: i, Terminal: t + 1})})
		}
	}
	for i := range l.Toggles {
		if !l.Toggles[i].Middle {
			out = append(out, Terminal{Name: l.Toggles[i].Part()})
		}
	}
	on := func(o track.Outlet, what string) {
		name := l.OutletName(o)
		if o.Kind == track.OnToggle {
			name = l.Toggles[o.Index].Part()
		}
		k := slices.IndexFunc(out, func(t Terminal) bool { return t.Name == name })
		if k >= 0 && !slices.Contains(out[k].Wires, what) && what != name {
			out[k].Wires = append(out[k].Wires, what)
		}
	}
	for i := range l.Buses {
		on(l.Buses[i].On, l.Buses[i].Name)
	}
	for i := range l.Toggles {
		t := &l.Toggles[i]
		on(t.On, t.Part())
		if t.Chooses {
			on(t.Other, t.Part())
		}
	}
	for i := range l.Feeders {
		on(l.Feeders[i].On, l.Feeders[i].Name)
	}
	for i := range l.Accessories {
		if a := &l.Accessories[i]; !a.OnTrack && a.Turnout < 0 {
			on(a.On, a.Name)
		}
	}
	return out
}

// Gap is a joint with rails that must make no contact.
type Gap struct {
	Joint string       `json:"joint"`
	Rails []track.Rail `json:"rails"` // as seen along the run
}

func gaps(l *track.Layout) []Gap {
	var out []Gap
	for i := range l.Joints {
		if j := &l.Joints[i]; len(j.Insulated) > 0 {
			out = append(out, Gap{j.Name, j.Insulated})
		}
	}
	return out
}

// Item is something to buy: so many, or so many meters.
type Item struct {
	What   string  `json:"what"`
	Count  int     `json:"count,omitempty"`
	Meters float64 `json:"meters,omitempty"`
}

// spare is what is bought beyond what is used: ends, bends, mistakes (assumed).
const spare = 0.1

// buy adds the wires up by their size, both conductors of a pair, with what is
// spare; then fuses, pieces for insulated joints, and labels.
func buy(p *Plan) []Item {
	var out []Item
	add := func(what string, count int, meters float64) {
		k := slices.IndexFunc(out, func(i Item) bool { return i.What == what })
		if k < 0 {
			out, k = append(out, Item{What: what}), len(out)
		}
		out[k].Count += count
		out[k].Meters += meters
	}
	labels := 0
	for i := range p.Wires {
		w := &p.Wires[i]
		labels += 2 * len(w.Labels)
		if w.Size != "" {
			add("wire "+w.Size, 0, w.LengthMM/1000*float64(len(w.Labels))*(1+spare))
		}
	}
	slices.SortStableFunc(out, func(a, b Item) int { return cmp.Compare(a.What, b.What) })
	for i := range p.Wires {
		if f := p.Wires[i].Fuse; f > 0 {
			add(fmt.Sprintf("fuse of %.3g A, with its holder", f), 1, 0)
		}
	}
	n := 0
	for _, g := range p.Gaps {
		n += len(g.Rails)
	}
	if n > 0 {
		add("insulating pins or joiners, one a rail", n, 0)
	}
	if labels > 0 {
		add("labels, one for each end of each wire", labels, 0)
	}
	return out
}
