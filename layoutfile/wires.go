package layoutfile

import (
	"fmt"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// wires is what other wires can hang on, by name.
type wires struct {
	supplies, buses, toggles map[string]int
	seen                     map[string]sheet.Span // every name under the table
}

// wireReader reads what lies under the table: supplies, buses, toggles, feeders.
type wireReader struct{ *layoutReader }

// readWires reads supplies, buses, strips and toggles. Each may stand before
// what it hangs on.
func (x wireReader) readWires() *wires {
	w := &wires{supplies: x.readSupplies(), buses: map[string]int{}, toggles: map[string]int{},
		seen: map[string]sheet.Span{}}
	for _, b := range x.kinds["supply"] {
		w.seen[strings.TrimSpace(b.label[0])] = b.at[0]
	}
	buses := append(append([]*block(nil), x.kinds["bus"]...), x.kinds["strip"]...)
	for i, b := range buses {
		w.index(w.buses, x.underTable(w, b), i)
		x.l.Buses = append(x.l.Buses, track.Bus{})
	}
	for i, b := range x.kinds["toggle"] {
		w.index(w.toggles, x.underTable(w, b), i)
		x.l.Toggles = append(x.l.Toggles, track.Toggle{})
	}
	for i, b := range buses {
		x.bus(w, b, &x.l.Buses[i])
	}
	for i, b := range x.kinds["toggle"] {
		x.toggle(w, b, &x.l.Toggles[i])
		x.middle(w, b, i)
	}
	x.sources(buses)
	return w
}

func (w *wires) index(m map[string]int, name string, i int) {
	if _, known := m[name]; !known {
		m[name] = i
	}
}

// underTable takes a name that a wire's end or a list of suspects may show: no
// two things can share it.
func (x *layoutReader) underTable(w *wires, b *block) string {
	name := x.label(b, w.seen)
	switch {
	case x.laid && name != "" && x.l.FindPiece(name) >= 0:
		x.fail(b.at[0], fmt.Sprintf("%q is a piece of track already", sheet.Clip(name)),
			fmt.Sprintf("give the %s another name", b.kind))
	case x.runByName[name] != nil: // its terminals would be called like pieces
		x.fail(b.at[0], fmt.Sprintf("%q is a run of track already", sheet.Clip(name)),
			fmt.Sprintf("give the %s another name", b.kind), x.also(x.runByName[name].at, "the run is here"))
	}
	return name
}

func (x wireReader) readSupplies() map[string]int {
	seen, index := map[string]sheet.Span{}, map[string]int{}
	for _, b := range x.kinds["supply"] {
		s := track.Supply{Name: x.label(b, seen), Line: b.head.Line}
		b.needed()
		s.AC = b.choice("current") == "ac"
		b.set("volts", &s.Volts)
		b.set("breaker", &s.Breaker)
		s.Phase = track.Phase(b.choice("phase"))
		switch {
		case s.Phase == "":
		case !s.AC && b.has("current"):
			x.fail(b.rangeOf("phase"), "a DC supply has no phase", "take phase out",
				x.also(b.rangeOf("current"), "current is set here"))
		case len(x.l.Supplies) == 0 && s.Phase == track.PhaseReversed:
			x.fail(b.rangeOf("phase"), "the first supply is what the others are compared with",
				"take phase out here and give it to the others")
		}
		if _, known := index[s.Name]; !known {
			index[s.Name] = len(x.l.Supplies)
		}
		x.l.Supplies = append(x.l.Supplies, s)
	}
	x.commons(index)
	return index
}

// commons reads which supplies have their common posts joined.
func (x wireReader) commons(index map[string]int) {
	for i, b := range x.kinds["supply"] {
		name := b.text("common")
		if name == "" {
			continue
		}
		other, known := index[name]
		switch {
		case !known:
			x.fail(b.rangeOf("common"), fmt.Sprintf("no supply is named %q", sheet.Clip(name)),
				schema.Suggest(name, x.supplyNames()))
		case other == i:
			x.fail(b.rangeOf("common"), "a supply is joined to its own common already",
				"name another supply, or take common out")
		default:
			x.l.Commons = append(x.l.Commons, [2]int{i, other})
		}
	}
}

func (x *layoutReader) supplyNames() []string {
	var out []string
	for i := range x.l.Supplies {
		out = append(out, x.l.Supplies[i].Name)
	}
	return out
}

func namesOf(list []*block) []string {
	var out []string
	for _, b := range list {
		out = append(out, strings.TrimSpace(b.label[0]))
	}
	return out
}

// outlet reads what a pair of wires hangs on: supply, bus and terminal, or
// toggle. False when it does not say, or names what is not there.
func (x *layoutReader) outlet(w *wires, b *block) (track.Outlet, bool) {
	var said []string
	for _, a := range []string{"supply", "bus", "toggle"} {
		if b.has(a) {
			said = append(said, a)
		}
	}
	if len(said) == 0 {
		b.need("supply")
		return track.Outlet{}, false
	}
	if len(said) > 1 {
		x.fail(b.rangeOf(said[1]), fmt.Sprintf("the %s hangs on a %s and on a %s", b.kind, said[0], said[1]),
			"take one of them out", x.also(b.rangeOf(said[0]), "the other one is here"))
		return track.Outlet{}, false
	}
	if b.has("terminal") && said[0] != "bus" {
		x.fail(b.rangeOf("terminal"), fmt.Sprintf("a %s has no terminals", said[0]),
			"take terminal out, or name the bus: "+b.example("bus"))
	}
	name := b.text(said[0])
	if name == "" {
		return track.Outlet{}, false
	}
	switch said[0] {
	case "bus":
		return x.terminal(w, b, name)
	case "toggle":
		i, known := w.toggles[name]
		if !known {
			x.fail(b.rangeOf("toggle"), fmt.Sprintf("no toggle is named %q", sheet.Clip(name)),
				schema.Suggest(name, namesOf(x.kinds["toggle"])))
		}
		return track.Outlet{Kind: track.OnToggle, Index: i}, known
	}
	i, known := w.supplies[name]
	if !known {
		fix := schema.Suggest(name, x.supplyNames())
		if len(w.supplies) == 0 {
			fix = fmt.Sprintf("add supply %q { current = \"ac\" volts = 18 breaker = 10 } on lines of their own",
				sheet.Clip(name))
		}
		x.fail(b.rangeOf("supply"), fmt.Sprintf("no supply is named %q", sheet.Clip(name)), fix)
	}
	return track.Outlet{Index: i}, known
}

func (x *layoutReader) terminal(w *wires, b *block, name string) (track.Outlet, bool) {
	i, known := w.buses[name]
	if !known {
		x.fail(b.rangeOf("bus"), fmt.Sprintf("no bus or strip is named %q", sheet.Clip(name)),
			schema.Suggest(name, append(namesOf(x.kinds["bus"]), namesOf(x.kinds["strip"])...)))
		return track.Outlet{}, false
	}
	if !b.need("terminal") {
		return track.Outlet{}, false
	}
	t, ok := b.count("terminal")
	if ok && x.l.Buses[i].Terminals > 0 && t > x.l.Buses[i].Terminals {
		x.fail(b.rangeOf("terminal"), fmt.Sprintf("%s has %s and no terminal %d", name,
			plural(x.l.Buses[i].Terminals, "terminal"), t),
			fmt.Sprintf("give a number from 1 to %d, or more terminals to %s", x.l.Buses[i].Terminals, name))
		return track.Outlet{}, false
	}
	return track.Outlet{Kind: track.OnBus, Index: i, Terminal: t}, ok
}

// wire reads wire and length into ohm of the whole wire.
func (x *layoutReader) wire(b *block) (name string, mm, ohms float64) {
	var perMeter float64
	if name = b.text("wire"); name != "" {
		var err error
		if perMeter, err = wireOhms(name); err != nil {
			x.fail(b.rangeOf("wire"), fmt.Sprintf("%q is not a wire that is known", sheet.Clip(name)), err.Error())
		}
	}
	mm = x.lengthOf(b, "length")
	x.shortWire(b, mm)
	return name, mm, perMeter * mm / 1000
}

// shortestWire is the length below which a bare number is asked back, mm (assumed):
// from a post to the track no pair of wires is that short.
const shortestWire = 250

// shortWire asks back where feet or meters may be meant by a bare number.
func (x *layoutReader) shortWire(b *block, mm float64) {
	a := b.Attr("length")
	if a == nil || a.Value.Type != sheet.Number || mm <= 0 || mm >= shortestWire {
		return
	}
	unit, longer, long := "mm", "m", "meters"
	if x.unit > 1 {
		unit, longer, long = "in", "ft", "feet"
	}
	n := strconv.FormatFloat(a.Value.Number, 'g', -1, 64)
	x.warn(b.rangeOf("length"), fmt.Sprintf("%s %s is very short for a pair of wires", n, unit),
		fmt.Sprintf("are %s meant? write \"%s %s\"; if not, \"%s %s\"", long, n, longer, n, unit))
}

func (x wireReader) bus(w *wires, b *block, u *track.Bus) {
	u.Name, u.Strip, u.Line = strings.TrimSpace(b.label[0]), b.kind == "strip", b.head.Line
	u.On, _ = x.outlet(w, b)
	b.needed()
	u.Terminals, _ = b.count("terminals")
	u.Wire, u.LengthMM, u.OhmsPerWire = x.wire(b)
	b.set("fuse", &u.Fuse)
	if b.has("ring") {
		u.RingMM = x.lengthOf(b, "ring")
		if u.LengthMM > 0 {
			u.RingOhms = u.OhmsPerWire * u.RingMM / u.LengthMM
		}
	}
}

func (x wireReader) toggle(w *wires, b *block, t *track.Toggle) {
	t.Name, t.Line = strings.TrimSpace(b.label[0]), b.head.Line
	t.On, _ = x.outlet(w, b)
	what := b.choice("switches")
	t.Hot = what == "" || what == "hot" || what == "both"
	t.Common = what == "common" || what == "both"
	if what == "reverse" {
		t.Hot, t.Common, t.Reverses = true, true, true
	}
	if other := b.text("other"); other != "" {
		t.Chooses, t.Other.Index = true, w.supplies[other]
		switch {
		case !has(w.supplies, other):
			x.fail(b.rangeOf("other"), fmt.Sprintf("no supply is named %q", sheet.Clip(other)),
				schema.Suggest(other, x.supplyNames()))
		case t.Reverses:
			x.fail(b.rangeOf("other"), "a toggle that reverses cannot choose between supplies too",
				"take other out, or write switches = \"both\"", x.also(b.rangeOf("switches"), "switches is set here"))
		case t.On.Kind == track.OnSupply && b.has("supply") && t.On.Index == t.Other.Index:
			x.fail(b.rangeOf("other"), "both positions feed from the same supply", "name another supply")
		}
	}
	t.UsuallyOff = b.choice("usually") == "off"
}

// middle makes two toggles of one that is off in the middle of its three
// positions: its two sides, and the middle, which has its name and on which all
// hangs that it feeds.
func (x wireReader) middle(w *wires, b *block, i int) {
	usually := b.text("usually") == "middle"
	if !b.has("middle") {
		if usually {
			x.fail(b.rangeOf("usually"), "this toggle has no middle position", `add middle = "off"`)
		}
		return
	}
	b.choice("middle")
	t := &x.l.Toggles[i]
	if !t.Chooses && !t.Reverses { // off in the middle and on its unused side alike
		t.UsuallyOff = t.UsuallyOff || usually
		return
	}
	side := *t
	side.Name, side.Side = track.SideName(t.Name), true
	if first, taken := w.seen[side.Name]; taken {
		x.fail(b.at[0], fmt.Sprintf("the sides of this toggle are called %q, and that name is taken",
			sheet.Clip(side.Name)), "give one of the two another name", x.also(first, "it is used here"))
	}
	w.seen[side.Name] = b.at[0]
	t.On, t.Middle, t.Chooses, t.Reverses, t.UsuallyOff = track.Outlet{Kind: track.OnToggle, Index: len(x.l.Toggles)},
		true, false, false, usually
	t.Other = track.Outlet{}
	x.l.Toggles = append(x.l.Toggles, side)
}

// sources follows every bus and toggle back to its supply, and answers those
// that feed each other in a ring.
func (x wireReader) sources(buses []*block) {
	answered := false
	for i := range x.l.Buses {
		s, ok := x.supplyOf(x.l.Buses[i].On)
		if !ok && !answered && !x.failed() {
			x.fail(buses[i].at[0], fmt.Sprintf("%s hangs on itself in the end", x.l.Buses[i].Name),
				"let one of the ring hang on a supply")
			answered = true
		}
		x.l.Buses[i].Supply = s
	}
	for i := range x.l.Toggles {
		s, ok := x.supplyOf(x.l.Toggles[i].On)
		if !ok && !answered && !x.failed() {
			x.fail(x.kinds["toggle"][i%len(x.kinds["toggle"])].at[0], fmt.Sprintf("%s hangs on itself in the end",
				x.l.Toggles[i].Name), "let one of the ring hang on a supply")
			answered = true
		}
		x.l.Toggles[i].Supply = s
	}
}

// supplyOf is the supply that an outlet draws from, false in a ring.
func (x *layoutReader) supplyOf(o track.Outlet) (int, bool) {
	for range 2 + len(x.l.Buses) + len(x.l.Toggles) {
		switch o.Kind { // what it names may not be there, which is answered elsewhere
		case track.OnBus:
			if o.Index >= len(x.l.Buses) {
				return 0, false
			}
			o = x.l.Buses[o.Index].On
		case track.OnToggle:
			if o.Index >= len(x.l.Toggles) {
				return 0, false
			}
			o = x.l.Toggles[o.Index].On
		default:
			return o.Index, true
		}
	}
	return 0, false
}

func (x wireReader) readFeeders(w *wires) {
	seen := map[string]sheet.Span{}
	for _, b := range x.kinds["feeder"] {
		f := track.Feeder{Name: x.label(b, seen), Line: b.head.Line}
		if first, taken := w.seen[f.Name]; taken && w.supplies[f.Name] == 0 && !has(w.supplies, f.Name) {
			x.fail(b.at[0], fmt.Sprintf("the name %q is taken", sheet.Clip(f.Name)),
				"give the feeder a name of its own", x.also(first, "it is used here"))
		}
		b.needed()
		var ok bool
		if f.On, ok = x.outlet(w, b); ok {
			f.Supply, _ = x.supplyOf(f.On)
		}
		f.Wire, f.LengthMM, f.OhmsPerWire = x.wire(b)
		b.set("fuse", &f.Fuse)
		at, ok := x.place(b, "at")
		if !ok {
			continue
		}
		f.At = at
		c := x.l.Pieces[at.Piece].Construction
		if c == nil {
			continue // answered where the run is read
		}
		f.Hot, f.Common = x.feederRail(b, "hot", c, c.Hot), x.feederRail(b, "common", c, c.Common)
		x.twoRails(b, "both wires of the feeder go", f.Hot, f.Common)
		x.l.Feeders = append(x.l.Feeders, f)
	}
	for name, at := range seen {
		if _, taken := w.seen[name]; !taken {
			w.seen[name] = at
		}
	}
}

// readTerminals reads where thin wires from the track come to a block.
func (x wireReader) readTerminals(w *wires) {
	for _, b := range x.kinds["terminal"] {
		t := track.Terminal{Name: x.underTable(w, b), Line: b.head.Line}
		b.needed()
		t.Wire, t.LengthMM, t.OhmsPerWire = x.wire(b)
		wires := b.choice("wires")
		for _, side := range []string{"hot", "common"} {
			if b.has(side) && (wires == "hot" || wires == "common") && wires != side {
				x.fail(b.rangeOf(side), fmt.Sprintf("%s names a rail, but only the %s wire comes to this terminal",
					side, wires),
					fmt.Sprintf("take %s out, or write wires = \"both\"", side),
					x.also(b.rangeOf("wires"), "wires is set here"))
			}
		}
		at, ok := x.place(b, "at")
		if !ok {
			continue
		}
		t.At = at
		c := x.l.Pieces[at.Piece].Construction
		if c == nil {
			continue // answered where the run is read
		}
		t.Hot, t.Common = x.feederRail(b, "hot", c, c.Hot), x.feederRail(b, "common", c, c.Common)
		x.twoRails(b, "both wires of the terminal go", t.Hot, t.Common)
		switch wires {
		case "hot":
			t.Common = ""
		case "common":
			t.Hot = ""
		}
		x.l.Terminals = append(x.l.Terminals, t)
	}
}

func has(m map[string]int, name string) bool {
	_, ok := m[name]
	return ok
}

// twoRails answers a pair of wires that goes to one rail.
func (x *layoutReader) twoRails(b *block, who string, hot, common track.Rail) {
	if hot != common || hot == "" {
		return
	}
	where := "common"
	if !b.has(where) {
		where = "hot"
	}
	x.fail(b.rangeOf(where), fmt.Sprintf("%s to the %s rail", who, hot),
		"give hot and common two different rails: that would be a short")
}
