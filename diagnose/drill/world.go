package drill

import (
	"math"
	"math/rand/v2"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/simulate"
)

// truth is what is hidden.
type truth struct {
	Seed   uint64
	Faults []hidden
	Train  bool    // the train is bad: it shorts the rails that it stands on
	Worn   float64 // all rails and joints, times what the file says
	Slips  float64 // how often a reading is taken through a bad contact
	Fickle bool    // the faults come and go
}

// hidden is a fault, by the suspect's name.
type hidden struct {
	ID       string
	Ohms     float64
	Position float64
}

const (
	// trainAmps is what a train takes at the supply's full volts (assumed).
	trainAmps = 1.0
	// badTrain is the resistance of a train that shorts (assumed: a wheel out
	// of gauge across the rails).
	badTrain = 0.05
)

// world is the layout with its hidden faults, answering. A Drill has one for
// the learner; a twin of it meets others with the same faults
// and the same meter.
type world struct {
	n        *conductor.Network
	truth    truth
	suspects []fault.Suspect
	repaired map[string]bool // suspect IDs, and OffTrack
	bench    *simulate.Bench // with the faults that are left
	calm     *simulate.Bench // while those that come and go are away
	meter    simulate.Meter
	ac       bool
	stream   uint64 // tells the scatter of one person's readings from another's
	odd      string // why the last reading did not show what is there, else empty
	reads    uint64 // draws so far: each answer has a generator of its own
}

func newWorld(n *conductor.Network, t truth, stream uint64) *world {
	w := &world{n: n, truth: t, suspects: fault.List(n), repaired: map[string]bool{}, stream: stream}
	w.ac = len(n.Layout.Supplies) > 0 && n.Layout.Supplies[0].AC
	w.meter = simulate.CheapMeter().Draw(rand.New(rand.NewPCG(t.Seed, 1)))
	w.wire()
	return w
}

// wire makes the bench of the faults that are left.
func (w *world) wire() {
	ohms := simulate.DrawOhms(w.n, rand.New(rand.NewPCG(w.truth.Seed, 2)), w.truth.Worn, w.truth.Worn)
	w.bench = simulate.NewBench(w.n, ohms, w.faults())
	w.calm = simulate.NewBench(w.n, ohms, nil)
}

// Of faults that come and go: how often one is away when a reading is taken,
// and how often a look at the place does not see it. Assumed; the hunt takes 0.15
// and 0.3.
const (
	awayShare = 0.15
	lookFails = 0.3
)

// draw is the generator of the next answer.
func (w *world) draw() *rand.Rand {
	w.reads++
	return rand.New(rand.NewPCG(w.truth.Seed, w.stream<<32+w.reads))
}

// now is the layout as it is at this moment.
func (w *world) now(rng *rand.Rand) *simulate.Bench {
	if w.truth.Fickle && rng.Float64() < awayShare {
		return w.calm
	}
	return w.bench
}

// faults are those that are left.
func (w *world) faults() []simulate.Fault {
	var out []simulate.Fault
	for _, h := range w.truth.Faults {
		if s := w.suspect(h.ID); s != nil && !w.repaired[h.ID] {
			out = append(out, simulate.Fault{Suspect: *s, Ohms: h.Ohms, Position: h.Position})
		}
	}
	return out
}

func (w *world) suspect(id string) *fault.Suspect {
	for i := range w.suspects {
		if w.suspects[i].ID == id {
			return &w.suspects[i]
		}
	}
	return nil
}

// Left is how many faults are left.
func (w *world) Left() int {
	n := len(w.faults())
	if w.truth.Train && !w.repaired[OffTrack] {
		n++
	}
	return n
}

// trainOhms is what the train on the rails is to the circuit.
func (w *world) trainOhms() float64 {
	if w.truth.Train && !w.repaired[OffTrack] {
		return badTrain
	}
	return soundTrain(w.n)
}

// soundTrain is the resistance of a train that is well.
func soundTrain(n *conductor.Network) float64 {
	volts := 12.0
	if len(n.Layout.Supplies) > 0 && n.Layout.Supplies[0].Volts > 0 {
		volts = n.Layout.Supplies[0].Volts
	}
	return volts / trainAmps
}

// with adds the train to a set-up.
func (w *world) with(s conductor.Setup, train int) conductor.Setup {
	return withTrain(w.n, s, train, w.trainOhms())
}

// Read is what the meter shows. train is the piece that a train stands on, -1
// for none. Taken twice, the last digits differ.
func (w *world) Read(s conductor.Setup, train int, f simulate.Function, red, black int) string {
	rng := w.draw()
	slip := rng.Float64() < w.truth.Slips
	set, bench := w.with(s, train), w.now(rng)
	w.odd = ""
	switch {
	case slip:
		w.odd = "a bad contact under the probe, or the next place touched"
	case bench == w.calm && w.Left() > 0:
		w.odd = "the fault was away just then"
	}
	exact := measure(bench, set, f, red, black)
	switch {
	case slip && (f == simulate.Beeper || f == simulate.Ohms):
		// a dirty rail under the tip: 60 to 1200 ohm, assumed
		exact += math.Exp(math.Log(60) + rng.Float64()*math.Log(20))
	case slip:
		exact = w.slipped(exact, rng, func(red, black int) float64 {
			return measure(bench, set, f, red, black)
		}, red, black)
	}
	return w.meter.Show(f, exact, w.ac, rng)
}

// slipped is what volts show through a slip, and not what is there: one probe, the red or else
// the black, touches the next place, or, where that reads the same or none is near (a feeder),
// hardly touches at all and shows less than half (assumed).
func (w *world) slipped(exact float64, rng *rand.Rand, read func(red, black int) float64, red, black int) float64 {
	aside := func(point int) int { return simulate.Neighbour(w.n, point, rng) }
	for _, p := range [2][2]int{{aside(red), black}, {red, aside(black)}} {
		if v := read(p[0], p[1]); math.Abs(v-exact) > math.Max(slipShows*math.Abs(exact), slipLeast) {
			return v
		}
	}
	return exact * rng.Float64() / 2
}

// A slip that a meter's last digits would hide is none: a part of the reading, and volt (assumed).
const (
	slipShows = 0.1
	slipLeast = 0.0005
)

func measure(b *simulate.Bench, s conductor.Setup, f simulate.Function, red, black int) float64 {
	switch f {
	case simulate.Beeper, simulate.Ohms:
		return b.Ohms(s, red, black)
	case simulate.Amps:
		return b.Amps(s)
	}
	return b.MeterVolts(s, red, black, simulate.MeterOhms)
}

// lampShare is the part of its full current that the lamp in series carries.
// Accessories are taken as warm: two lamps in series share the volts.
func (w *world) lampShare(s conductor.Setup, train int) float64 {
	if s.Source.Amps <= 0 {
		return 0
	}
	set := w.with(s, train)
	for i := range w.n.Layout.Accessories {
		if conductor.Has(s.Unplugged, i) || w.faulty(i) {
			continue
		}
		set.Unplug(i)
		if hot := w.n.Layout.Accessories[i].HotOhms(); hot > 0 && !math.IsInf(hot, 1) {
			set.Loads = append(set.Loads, conductor.Load{From: w.n.AccessoryPoints[i][0], To: w.n.AccessoryPoints[i][1],
				Ohms: hot})
		}
	}
	return w.now(w.draw()).Amps(set) / s.Source.Amps
}

// faulty says that a hidden fault is an accessory's own: what is wrong with it
// counts then, not what it takes when it is well.
func (w *world) faulty(accessory int) bool {
	for _, f := range w.faults() {
		if w.n.Links[f.Suspect.Links[0]].Accessory == accessory {
			return true
		}
	}
	return false
}

// Find says what is wrong at a piece, feeder or off the track, "" when nothing
// is. A joint is seen from both of its pieces.
func (w *world) Find(name string) string {
	if name == OffTrack && w.truth.Train && !w.repaired[OffTrack] {
		return "a wheel of one car is out of gauge and lies across two rails"
	}
	for _, f := range w.faults() {
		if slices.Contains(places(w.n, &f.Suspect), name) {
			return f.Suspect.What
		}
	}
	return ""
}

// See is what a look at a name shows: what is wrong there, unless it is away
// just then.
func (w *world) See(name string) string {
	what := w.Find(name)
	if w.truth.Fickle && w.draw().Float64() < lookFails {
		return ""
	}
	return what
}

// Repair puts right what is wrong there.
func (w *world) Repair(name string) {
	if name == OffTrack {
		w.repaired[OffTrack] = true
	}
	for _, f := range w.faults() {
		if slices.Contains(places(w.n, &f.Suspect), name) {
			w.repaired[f.Suspect.ID] = true
		}
	}
	w.wire()
}

// places lists the names under which a suspect may be looked for.
func places(n *conductor.Network, s *fault.Suspect) []string {
	out := []string{s.Piece}
	k := &n.Links[s.Links[0]]
	if k.Joint >= 0 {
		j := &n.Layout.Joints[k.Joint]
		out = append(out, n.Layout.Pieces[j.A.Piece].ID(), n.Layout.Pieces[j.B.Piece].ID())
	}
	return out
}
