package layoutfile

import (
	"fmt"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// thingReader reads what stands on the track or is said of it: accessories, blocks,
// insulated rails, trains, landmarks, notes, history.
type thingReader struct{ *layoutReader }

// readAccessories gives the index of every accessory by name.
func (x thingReader) readAccessories(w *wires) map[string]int {
	index := map[string]int{}
	for _, b := range x.kinds["accessory"] {
		a := track.Accessory{Name: x.underTable(w, b), Supply: -1, Turnout: -1, Line: b.head.Line}
		b.needed()
		a.Kind = track.AccessoryKind(b.choice("kind"))
		b.set("volts", &a.Volts)
		b.set("amps", &a.Amps)
		if a.Volts > 0 && a.Amps > 0 {
			a.ColdOhms = track.ColdOhms(a.Kind, a.HotOhms())
		}
		b.set("cold", &a.ColdOhms)
		b.set("fuse", &a.Fuse)
		if !x.hangsAccessory(w, b, &a) {
			continue
		}
		if _, known := index[a.Name]; !known {
			index[a.Name] = len(x.l.Accessories)
		}
		x.l.Accessories = append(x.l.Accessories, a)
	}
	return index
}

// hangsAccessory reads what an accessory lies across: two rails, or an outlet.
func (x thingReader) hangsAccessory(w *wires, b *block, a *track.Accessory) bool {
	if !b.has("at") {
		for _, r := range []string{"hot", "common"} {
			if b.has(r) {
				x.fail(b.rangeOf(r), fmt.Sprintf("%s names a rail, but the accessory does not lie on the track", r),
					"say where, at = \"main 12\", or take it out")
			}
		}
		var ok bool
		if a.On, ok = x.outlet(w, b); ok {
			a.Supply, _ = x.supplyOf(a.On)
		}
		return ok
	}
	for _, o := range []string{"supply", "bus", "toggle"} {
		if b.has(o) {
			x.fail(b.rangeOf(o), fmt.Sprintf("the accessory lies across the rails and on a %s too", o),
				"take one of them out", x.also(b.rangeOf("at"), "at is here"))
			return false
		}
	}
	var ok bool
	if a.At, ok = x.place(b, "at"); !ok {
		return false
	}
	a.OnTrack = true
	c := x.l.Pieces[a.At.Piece].Construction
	if c == nil {
		return false
	}
	a.Hot, a.Common = x.feederRail(b, "hot", c, c.Hot), x.feederRail(b, "common", c, c.Common)
	x.twoRails(b, "both wires of the accessory go", a.Hot, a.Common)
	return true
}

func (x thingReader) readInsulatedRails(accessories map[string]int) {
	seen := map[string]sheet.Span{}
	worked := map[int]*block{}
	for _, b := range x.kinds["insulated_rail"] {
		r := track.InsulatedRail{Name: x.label(b, seen), Line: b.head.Line, Accessory: -1}
		if !b.needed() {
			continue
		}
		r.Wire, r.LengthMM, r.Ohms = x.wire(b)
		i, known := accessories[b.text("works")]
		switch {
		case !known && b.text("works") != "":
			x.fail(b.rangeOf("works"), fmt.Sprintf("no accessory is named %q", sheet.Clip(b.text("works"))),
				schema.Suggest(b.text("works"), namesOf(x.kinds["accessory"])))
			continue
		case !known:
			continue
		case x.l.Accessories[i].OnTrack:
			x.fail(b.rangeOf("works"), fmt.Sprintf("%s lies across the rails, so no insulated rail can work it",
				x.l.Accessories[i].Name), "give it a supply instead of at: supply = \"T1\"")
			continue
		case worked[i] != nil:
			x.fail(b.rangeOf("works"), fmt.Sprintf("%s is worked by two insulated rails", x.l.Accessories[i].Name),
				"join the two, or name two accessories", x.also(worked[i].rangeOf("works"), "the other one is here"))
			continue
		}
		worked[i], r.Accessory = b, i
		if x.stretch(b, &r) {
			x.l.InsulatedRails = append(x.l.InsulatedRails, r)
		}
	}
}

// stretch reads the two joints of an insulated rail, the pieces between them,
// and its tap.
func (x thingReader) stretch(b *block, r *track.InsulatedRail) bool {
	from, ok1 := x.jointOf(b, "from")
	to, ok2 := x.jointOf(b, "to")
	tap, ok3 := x.place(b, "tap")
	if !ok1 || !ok2 || !ok3 {
		return false
	}
	first, last, ok := x.inside(b, from, to)
	if !ok {
		return false
	}
	r.From, r.To, r.Tap = from, to, tap
	if r.Pieces = x.between(b, first, last); r.Pieces == nil {
		return false
	}
	c := x.l.Pieces[first].Construction
	if c == nil {
		return false
	}
	if !c.HasRail(track.Center) {
		x.fail(b.rangeOf("rail"), fmt.Sprintf("%s track has no second running rail of the common side", c.Name),
			"an insulated rail that works an accessory takes three-rail track")
		return false
	}
	r.Rail = x.railOf(b.text("rail"), b.rangeOf("rail"), c)
	if r.Rail == track.Center {
		x.fail(b.rangeOf("rail"), "wheels do not touch the center rail", `write rail = "left" or rail = "right"`)
		return false
	}
	r.TapRail = r.Rail
	for _, p := range r.Pieces {
		if p == tap.Piece {
			return r.Rail != ""
		}
	}
	x.fail(b.rangeOf("tap"), fmt.Sprintf("%s is not on the insulated rail", x.l.Pieces[tap.Piece].ID()),
		fmt.Sprintf("take a place from %s to %s", x.l.Pieces[first].ID(), x.l.Pieces[last].ID()))
	return false
}

// jointOf reads an attribute that names a joint.
func (x thingReader) jointOf(b *block, attr string) (int, bool) {
	p, ok := x.place(b, attr)
	if !ok {
		return -1, false
	}
	if p.End >= 0 {
		if j := x.l.Pieces[p.Piece].Ends[p.End].Joint; j >= 0 {
			return j, true
		}
	}
	if x.built {
		x.fail(b.rangeOf(attr), fmt.Sprintf("%q is not a joint", sheet.Clip(b.text(attr))),
			fmt.Sprintf("write a joint like %q", x.someJoint(p.Piece)))
	}
	return -1, false
}

// inside gives the first and the last piece between two joints of one run,
// going the way of the run.
func (x thingReader) inside(b *block, from, to int) (first, last int, ok bool) {
	l := x.l
	for _, run := range l.Runs {
		first, last = -1, -1
		for k, p := range run.Pieces {
			for _, e := range l.Pieces[p].Ends {
				behind := e.Joint >= 0 && x.leadsTo(e.Joint, p, run.Pieces, k-1, run.Closed)
				if e.Joint == from && (behind || k == 0 && !x.onRun(from, run.Pieces, p)) {
					first = p
				}
				ahead := e.Joint >= 0 && x.leadsTo(e.Joint, p, run.Pieces, k+1, run.Closed)
				if e.Joint == to && (ahead || k == len(run.Pieces)-1 && !x.onRun(to, run.Pieces, p)) {
					last = p
				}
			}
		}
		if first >= 0 && last >= 0 {
			return first, last, true
		}
	}
	x.fail(b.rangeOf("to"), fmt.Sprintf("%s and %s are not two joints of one run", l.Joints[from].Name,
		l.Joints[to].Name), "an insulated rail lies on one run; give the joints in the order of the run",
		x.also(b.rangeOf("from"), "from is here"))
	return -1, -1, false
}

// leadsTo says whether joint j joins piece p to the piece at place k of a run.
func (x thingReader) leadsTo(j, p int, run []int, k int, closed bool) bool {
	if closed {
		k = (k + len(run)) % len(run)
	}
	if k < 0 || k >= len(run) {
		return false
	}
	a, c := x.l.Joints[j].A.Piece, x.l.Joints[j].B.Piece
	return a == p && c == run[k] || c == p && a == run[k]
}

// onRun says whether both pieces of joint j lie on the run.
func (x thingReader) onRun(j int, run []int, p int) bool {
	other := x.l.Joints[j].A.Piece
	if other == p {
		other = x.l.Joints[j].B.Piece
	}
	return x.l.Pieces[other].Run == x.l.Pieces[p].Run
}

func (x thingReader) readBlocks(w *wires) {
	seen := map[string]sheet.Span{}
	for _, b := range x.kinds["block"] {
		k := track.Block{Name: x.label(b, seen), Toggle: -1, Line: b.head.Line}
		if !b.needed() {
			continue
		}
		from, ok1 := x.piece(b.text("from"), b.rangeOf("from"))
		to, ok2 := x.piece(b.text("to"), b.rangeOf("to"))
		if !ok1 || !ok2 {
			continue
		}
		if k.Pieces = x.between(b, from, to); k.Pieces == nil {
			continue
		}
		if t := b.text("toggle"); t != "" {
			i, known := w.toggles[t]
			if !known {
				x.fail(b.rangeOf("toggle"), fmt.Sprintf("no toggle is named %q", sheet.Clip(t)),
					schema.Suggest(t, namesOf(x.kinds["toggle"])))
				continue
			}
			k.Toggle = i
			if !x.failed() && !x.fedBy(&k) {
				x.fail(b.rangeOf("toggle"), fmt.Sprintf("no feeder in the block hangs on %s", t),
					fmt.Sprintf("give a feeder in it toggle = %q instead of its supply or bus", t))
			}
		}
		x.l.Blocks = append(x.l.Blocks, k)
	}
}

// fedBy says whether a feeder inside the block hangs on its toggle.
func (x thingReader) fedBy(k *track.Block) bool {
	for i := range x.l.Feeders {
		f := &x.l.Feeders[i]
		for _, p := range k.Pieces {
			if f.At.Piece == p && f.On.Kind == track.OnToggle && f.On.Index == k.Toggle {
				return true
			}
		}
	}
	return false
}

func (x thingReader) readTrains() {
	seen := map[string]sheet.Span{}
	for _, b := range x.kinds["train"] {
		t := track.DefaultTrain()
		t.Name, t.Line = x.label(b, seen), b.head.Line
		if b.has("axles") {
			t.AxleMM = x.lengthOf(b, "axles")
		}
		if b.has("pickups") {
			t.PickupMM = x.lengthOf(b, "pickups")
		}
		b.set("amps", &t.Amps)
		x.l.Trains = append(x.l.Trains, t)
	}
}

// The coil of a turnout that senses trains: volts and amperes while it throws
// (assumed, no source).
const coilVolts, coilAmps = 16, 1.2

// sensingRails adds, for every sensing turnout, its two rails behind the frog
// and the coils that they work.
func (x thingReader) sensingRails() {
	if !x.built {
		return
	}
	for i := range x.l.Pieces {
		p := &x.l.Pieces[i]
		if !p.Sensing || p.Construction == nil {
			continue
		}
		for _, leg := range []struct {
			end  string
			rail track.Rail
		}{{track.EndThrough, track.Left}, {track.EndDiverging, track.Right}} {
			rail := leg.rail
			if (p.Hand < 0) != p.Reversed {
				rail = rail.Mirror()
			}
			end := p.EndIndex(leg.end)
			at := track.Place{Piece: i, End: end}
			name := orElse(p.Name, p.ID()) + " " + leg.end
			a := track.Accessory{Name: name + " coil", Kind: track.Motor, Volts: coilVolts, Amps: coilAmps,
				OnTrack: true, At: at,
				Hot: p.Construction.Hot, Common: rail, Supply: -1, Turnout: i, Line: p.Line}
			a.ColdOhms = track.ColdOhms(a.Kind, a.HotOhms())
			r := track.InsulatedRail{Name: name, Rail: rail, From: -1, To: p.Ends[end].Joint, Pieces: []int{i}, Tap: at,
				TapRail:   rail,
				Accessory: len(x.l.Accessories), Own: true, Line: p.Line}
			x.l.Accessories = append(x.l.Accessories, a)
			x.l.InsulatedRails = append(x.l.InsulatedRails, r)
		}
	}
}
