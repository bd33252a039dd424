package main

import (
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/trial"
)

// The two independent paths agree: ngspice on the deck that is written here,
// and the exact solver, on random faults, points and set-ups.
func TestNgspiceAgreesWithTheExactSolver(t *testing.T) {
	_, err := exec.LookPath("ngspice")
	require.NoError(t, err, "ngspice is missing: install it (Debian, Ubuntu: apt-get install ngspice)")
	l, err := shaped("loop-siding", 20, trial.Build{DC: true})
	require.NoError(t, err)
	f, err := trial.NewField(trial.Setting{Layout: l}, func(*trial.Field, *fault.Suspect) bool { return true })
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(8, 8))
	for range 25 {
		x := simulate.Realise(f.Suspects[rng.IntN(len(f.Suspects))], rng)
		h := &trial.Hidden{Fault: x, Ohms: simulate.DrawOhms(f.Net, rng, 1, 1)}
		read, err := exact(f, h)
		require.NoError(t, err)
		p := simulate.Probe{Function: simulate.Volts, Red: rng.IntN(len(f.Net.Points)),
			Black: rng.IntN(len(f.Net.Points))}
		if f.Net.NodeOf(p.Red) == f.Net.NodeOf(p.Black) {
			continue
		}
		b := simulate.NewBench(f.Net, h.Ohms, []simulate.Fault{x})
		if rng.IntN(2) == 0 {
			p.Setup.Lift(rng.IntN(len(l.Joints)))
		}
		kind := []conductor.SourceKind{conductor.SourceLamp, conductor.SourceVolts, conductor.SourceNone}[rng.IntN(3)]
		p.Setup.Source = conductor.Source{Kind: kind, From: f.Net.Posts[0][0], To: f.Net.Posts[0][1], Volts: 18,
			Amps: 1}
		want := 0.0
		if kind == conductor.SourceNone {
			p.Function = simulate.Ohms
			want = b.Ohms(p.Setup, p.Red, p.Black)
		} else {
			want = b.MeterVolts(p.Setup, p.Red, p.Black, simulate.MeterOhms)
		}
		got, err := read(p)
		require.NoError(t, err)
		if math.IsInf(want, 1) {
			require.Equal(t, want, got, x.Suspect.ID)
			continue
		}
		require.InDelta(t, want, got, 1e-6+1e-5*math.Abs(want), "%s %s", x.Suspect.ID, kind)
	}
}

// The same with both supplies of a layout on, and with a feeder on the wrong
// side of a gap.
func TestNgspiceAgreesOnSuppliesAndFeeders(t *testing.T) {
	_, err := exec.LookPath("ngspice")
	require.NoError(t, err, "ngspice is missing: install it (Debian, Ubuntu: apt-get install ngspice)")
	dir, err := layoutsFolder()
	require.NoError(t, err)
	rng, compared := rand.New(rand.NewPCG(9, 8)), 0
	for _, p := range []part{
		{layout: "two-supplies", mode: "swapped", place: "T2"},
		{layout: "two-cabs", mode: "open", place: "S2"},
		{layout: "feeders", mode: "misplaced", place: "F1"},
	} {
		l, err := partLayout(dir, p.layout)
		require.NoError(t, err)
		n, err := conductor.Build(l)
		require.NoError(t, err)
		s, err := p.suspect(n)
		require.NoError(t, err)
		h := &trial.Hidden{Fault: simulate.Fault{Suspect: s}, Ohms: simulate.DrawOhms(n, rng, 1, 1)}
		read, err := exact(&trial.Field{Setting: trial.Setting{Layout: l}, Net: n}, h)
		require.NoError(t, err)
		b := simulate.NewBench(n, h.Ohms, []simulate.Fault{h.Fault})
		for range 12 {
			x := simulate.Probe{Function: simulate.Volts, Red: rng.IntN(len(n.Points)), Black: rng.IntN(len(n.Points))}
			if n.NodeOf(x.Red) == n.NodeOf(x.Black) {
				continue
			}
			x.Setup = conductor.Usual(l)
			for i := range l.Supplies {
				from := conductor.Source{Kind: conductor.SourceVolts, From: n.Windings[i][0], To: n.Windings[i][1],
					Volts: l.Supplies[i].Volts}
				if i == 0 {
					x.Setup.Source = from
				} else {
					x.Setup.Also = append(x.Setup.Also, from)
				}
			}
			if _, joined := b.Volts(x.Setup, x.Red, x.Black); !joined {
				continue // hangs on the meter's own 10 Mohm, where ngspice is a few parts in a million off
			}
			compared++
			want := b.MeterVolts(x.Setup, x.Red, x.Black, simulate.MeterOhms)
			got, err := read(x)
			require.NoError(t, err)
			require.InDelta(t, want, got, 1e-6+1e-5*math.Abs(want), "%s: %s to %s", p.layout, n.Points[x.Red].Name,
				n.Points[x.Black].Name)
		}
	}
	require.Greater(t, compared, 15)
}
