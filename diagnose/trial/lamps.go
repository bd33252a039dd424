package trial

import (
	"fmt"
	"math"
	"math/rand/v2"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// Lamps is a row of evenings with a short: what lamp lies on the table, what the
// hunt is told of it, and what goes wrong with hands and handles.
type Lamps struct {
	Name string
	// Known says that the kit has the lamp's true current; Written, that a lamp for
	// 12 V and 21 W is used and the kit has what is written on it. Otherwise the
	// lamp takes 0.4 to 2.5 A (log-uniform) and the kit says nothing.
	Known, Written bool
	// Battery stands in for the supply: 12 V, with a fuse of 3 A.
	Battery bool
	// WrongSide is the share of hunts in which a reading is once taken on the
	// supply's side of the lamp, Engine that in which the fault is an engine of 2
	// ohm that was left on. Handle says that full up gives 60 to 100 % of the volts.
	WrongSide, Engine float64
	Handle            bool
}

// shortBelow keeps to what trips the breaker (10 A at 18 V) with the wires' own
// ohms.
const shortBelow = 0.5

// engineLeft is an engine that stands on the rails, ohm (a motor that does not
// turn; assumed).
const engineLeft = 2

// Draw lays the table for one evening. The same seed hides the same fault in every
// row.
func (r *Lamps) Draw(f *Field, m simulate.Meter, kit hunt.Kit, seed uint64) (*Evening, error) {
	rng := rand.New(rand.NewPCG(seed, 0x1a3f))
	x := simulate.DrawFault(f.Suspects, rng)
	for x.Ohms > shortBelow {
		x = simulate.DrawFault(f.Suspects, rng)
	}
	isEngine, wrong := rng.Float64() < r.Engine, rng.Float64() < r.WrongSide
	handle, amps := 0.6+0.4*rng.Float64(), math.Exp(math.Log(0.4)+rng.Float64()*math.Log(2.5/0.4))
	if e := f.engine(rng); isEngine {
		x = e
	}
	t := Table{File: f.Layout, Kit: kit, Symptom: hunt.Symptom{Kind: hunt.SymptomShort},
		Hidden: []simulate.Fault{x}, Meter: m, LampAmps: amps}
	volts := f.Layout.Supplies[0].Volts
	if r.Battery {
		volts = 12
		t.Kit.DCVolts, t.Kit.Battery = volts, true
	}
	if r.Handle {
		t.Handle = handle
	}
	switch {
	case r.Written:
		t.Kit.LampWatts, t.Kit.LampVolts, t.Kit.LampsInSeries = 21, 12, int(math.Ceil(volts/12))
	case r.Known:
		t.Kit.LampAmps, t.Kit.LampSpread = amps, knownSpread
	}
	e, err := Lay(t, rng)
	if err == nil {
		e.Engine, e.WrongSide = isEngine, wrong
	}
	return e, err
}

// knownSpread is how well a lamp is known that was measured: a supply sags by some
// hundredths when it feeds it.
const knownSpread = 0.02

// engine is an engine that stands on a plain piece: it joins the hot rail and a
// common one there.
func (f *Field) engine(rng *rand.Rand) simulate.Fault {
	var on []fault.Suspect
	for _, s := range f.Suspects {
		if s.Mode == track.Bridged && s.PieceIndex >= 0 && s.Place == s.Piece &&
			f.Net.Links[s.Links[0]].Kind == conductor.KindInsulation {
			on = append(on, s)
		}
	}
	return simulate.Fault{Suspect: on[rng.IntN(len(on))], Ohms: engineLeft, Position: rng.Float64()}
}

// LampRows are the rows of the table of lamps.
var LampRows = []Lamps{
	{Name: "AC, lamp known", Known: true},
	{Name: "AC, lamp unknown"},
	{Name: "AC, unknown, wrong side 20 %", WrongSide: 0.2},
	{Name: "AC, unknown, handle 60-100 %", Handle: true},
	{Name: "AC, unknown, an engine left on", Engine: 1},
	{Name: "AC, unknown, all of these", WrongSide: 0.2, Handle: true, Engine: 0.2},
	{Name: "battery, lamp known", Known: true, Battery: true},
	{Name: "battery, 12 V 21 W as written", Written: true, Battery: true},
	{Name: "battery, lamp unknown", Battery: true},
	{Name: "battery, unknown, an engine on", Engine: 1, Battery: true},
	{Name: "battery, unknown, side, engine", WrongSide: 0.2, Engine: 0.2, Battery: true},
}

// String says what was hidden.
func (e *Evening) String() string {
	var out []string
	for _, f := range e.Hidden {
		out = append(out, fmt.Sprintf("%s, %.3g ohm, position %.2f", f.Suspect.ID, f.Ohms, f.Position))
	}
	return fmt.Sprintf("%v; the lamp takes %.2f A at %g V", out, e.Bench.Lamp.Amps, e.Bench.Lamp.Volts)
}
