package trial

import (
	"math/rand/v2"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/internal/bench"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// Table is what an evening begins with.
type Table struct {
	// File is the layout as the hunt is told of it, True as it really is (nil: the
	// same). Hidden are faults of the true one.
	File, True *track.Layout
	Kit        hunt.Kit
	Symptom    hunt.Symptom
	Hidden     []simulate.Fault
	Meter      simulate.Meter
	// Rails and Joints multiply the resistances that the file states; 0 means 1.
	Rails, Joints float64
	// LampAmps is what the lamp really takes at the volts of what feeds it (0: 1 A),
	// unless the kit has what is written on it.
	LampAmps float64
	// Handle is what full up gives as a share of the volts; 0: all.
	Handle float64
	// Thrown are turnouts that stand to this route when the hunt begins.
	Thrown map[string]string
}

// Lay draws the true resistances and lays the table.
func Lay(t Table, rng *rand.Rand) (*Evening, error) {
	if t.True == nil {
		t.True = t.File
	}
	n, err := conductor.Build(t.True)
	if err != nil {
		return nil, err
	}
	or := func(x float64) float64 {
		if x == 0 {
			return 1
		}
		return x
	}
	e := &Evening{File: t.File, True: t.True, Kit: t.Kit, Symptom: t.Symptom, Hidden: t.Hidden, Rng: rng}
	things := bench.Things{Layout: t.True, Ohms: simulate.DrawOhms(n, rng, or(t.Rails), or(t.Joints)), Faults: t.Hidden,
		Lamps: 4, Lamp: lampOf(&t, or(t.LampAmps)), Meter: t.Meter.Draw(rng), Handle: t.Handle, Thrown: t.Thrown,
		Rng: rng}
	if t.Kit.DCVolts > 0 {
		things.Battery = &bench.Battery{Volts: t.Kit.DCVolts, Fuse: 3}
		things.Lamps = max(1, t.Kit.LampsInSeries) // the one that it feeds
	}
	e.Bench, err = bench.New(things)
	return e, err
}

// lampOf is the kind of lamp that lies about: as the kit has it written down, or one
// that takes so much at the volts there are.
func lampOf(t *Table, amps float64) bench.Filament {
	if k := &t.Kit; k.LampWatts > 0 {
		return bench.Filament{Volts: k.LampVolts, Amps: k.LampWatts / k.LampVolts}
	}
	volts := t.File.Supplies[0].Volts
	if t.Kit.DCVolts > 0 {
		volts = t.Kit.DCVolts
	}
	return bench.Filament{Volts: volts, Amps: amps}
}
