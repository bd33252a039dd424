package nodal_test

import (
	"testing"

	"fishplate/diagnose/nodal"

	"github.com/stretchr/testify/require"
)

// The cable loop tests: a bridge is built as a network for every trial place
// of the fault, and the place at which its galvanometer stands still is
// looked for. The textbook formula is not used.

// balance finds the x in (0, top) at which the galvanometer shows nothing.
func balance(t *testing.T, top float64, galvanometer func(x float64) float64) float64 {
	t.Helper()
	low, high := top*1e-9, top*(1-1e-9)
	atLow := galvanometer(low)
	require.Negative(t, atLow*galvanometer(high), "the bridge must balance somewhere on the cable")
	for range 100 {
		mid := (low + high) / 2
		if galvanometer(mid)*atLow > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// volts is the voltage from a to b with one ampere in at from and out at to.
func volts(t *testing.T, n int, e []nodal.Edge, from, to, a, b int) float64 {
	t.Helper()
	inject := make([]float64, n)
	inject[from], inject[to] = 1, -1
	v := factor(t, n, e).Solve(nil, inject)
	return v[a] - v[b]
}

// murray is the ohms from the home end of the faulty core to the fault: the
// slide wire's arms p (sound side) and q (faulty side) lie across the loop,
// the battery between the slider and the fault, the galvanometer across the
// home ends. The galvanometer's own resistance plays no part at balance.
func murray(t *testing.T, loop, p, q float64) float64 {
	const slider, faulty, sound, fault = 0, 1, 2, 3
	return balance(t, loop, func(x float64) float64 {
		return volts(t, 4, []nodal.Edge{{U: slider, V: faulty, Ohms: q}, {U: slider, V: sound, Ohms: p},
			{U: faulty, V: fault, Ohms: x}, {U: fault, V: sound, Ohms: loop - x},
			{U: faulty, V: sound, Ohms: 100}}, slider, fault, faulty, sound)
	})
}

// varley sets the rheostat s in series with the faulty core, ratio arms p (to
// the sound core) and q (to the rheostat). Its loop position earths the
// battery at the home end of the faulty core, its fault position at the fault.
func varley(t *testing.T, p, q, sLoop, sFault float64) (loop, x float64) {
	const battery, sound, arm, faulty, fault = 0, 1, 2, 3, 4
	loop = balance(t, 1e4, func(r float64) float64 {
		return volts(t, 4, []nodal.Edge{{U: battery, V: sound, Ohms: p}, {U: battery, V: arm, Ohms: q},
			{U: arm, V: faulty, Ohms: sLoop}, {U: sound, V: faulty, Ohms: r},
			{U: sound, V: arm, Ohms: 100}}, battery, faulty, sound, arm)
	})
	x = balance(t, loop, func(x float64) float64 {
		return volts(t, 5, []nodal.Edge{{U: battery, V: sound, Ohms: p}, {U: battery, V: arm, Ohms: q},
			{U: arm, V: faulty, Ohms: sFault}, {U: faulty, V: fault, Ohms: x}, {U: fault, V: sound, Ohms: loop - x},
			{U: sound, V: arm, Ohms: 100}}, battery, fault, sound, arm)
	})
	return loop, x
}

func TestMurrayWorkedExamples(t *testing.T) {
	for _, c := range []struct {
		name               string
		loop, p, q         float64 // ohm; p on the sound side
		perUnit            float64 // ohm per mile or meter of the faulty core
		published, allowed float64
	}{
		// N. Hawkins, Hawkins Electrical Guide, no. 3 (1914, the year from memory), fig. 597:
		// 16.46 ohm a mile, loop 54.07 ohm, slide at 332 of 1000; printed 1.09
		// miles.
		{"Hawkins fig. 597", 54.07, 668, 332, 16.46, 1.09, .005},
		{"Hawkins fig. 597, all digits", 54.07, 668, 332, 16.46, 1.0906, .00005},
		// Same, fig. 596: a balance at 500 of 1000 is a fault half-way along the
		// bad wire. That is the slide laid across the two ends of the bad wire
		// itself, not fig. 597's bridge, where 500 would be its far end. From
		// notes: the figure was not opened again.
		{"Hawkins fig. 596, across the bad wire alone", 1, 500, 500, 1, .5, 1e-9},
		// An examination paper of 2021-07-30, its body not noted (source not
		// named): 600 m, equal cores, ratio 3:1.
		{"examination paper", 1200, 3, 1, 1, 300, 1e-6},
		// V. K. Mehta, R. Mehta, Principles of Power System (from memory): 300 m, 15 on
		// the faulty side, 45 on the sound one; and 500 m, 3:1.
		{"Mehta, 300 m", 600, 45, 15, 1, 150, 1e-6},
		{"Mehta, 500 m", 1000, 3, 1, 1, 250, 1e-6},
		// Same book, unequal cores: 520 m, 1.10 and 2.29 ohm/km, 2.41:1.
		// No printed answer was found; .51695 ohm and 469.95 m by formula.
		{"Mehta, unequal cores", .52 * (1.10 + 2.29), 2.41, 1, .00110, 469.95, .005},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.InDelta(t, c.published, murray(t, c.loop, c.p, c.q)/c.perUnit, c.allowed)
		})
	}
}

func TestVarleyWorkedExamples(t *testing.T) {
	// Mehta (from memory): P=5, Q=10, S=16 and 7, 20 ohm/km: a cable of 200 m,
	// the fault at 150 m.
	loop, x := varley(t, 5, 10, 16, 7)
	require.InDelta(t, 200, loop/2/.020, 1e-6)
	require.InDelta(t, 150, x/.020, 1e-6)
	// A teaching problem, source not named: P=15, Q=40, S=20 and 10, .5 ohm/km. Its printed
	// solution is unreliable; by formula 7.5 km and 5.4545 km.
	loop, x = varley(t, 15, 40, 20, 10)
	require.InDelta(t, 7.5, loop/2/.5, 1e-6)
	require.InDelta(t, 60./11, x/.5, 1e-6)
	// Annual Report of the American Institute of the City of New York, 19th
	// century, p. 956: equal arms, loop 1000, result 450 ohm. The scan prints
	// the rheostat as 1000 for the fault position too; 450 needs 100.
	loop, x = varley(t, 10, 10, 1000, 100)
	require.InDelta(t, 1000, loop, 1e-6)
	require.InDelta(t, 450, x, 1e-6)
}

// Murray in millivolts (derived): a loop of 10 pieces of 24 mohm a rail, a
// short at joint 3, 1 A in: .7 and .3 A, 16.8 and 7.2 mV a piece, 50.4 mV from
// feed to short both ways; v2/(v1+v2) is the place whatever the short is.
func TestMurrayInMillivolts(t *testing.T) {
	const size, r = 10, .024
	for _, short := range []float64{1e-4, .05, 2, 1e4} {
		var e []nodal.Edge
		for i := range size {
			j := (i + 1) % size
			e = append(e, nodal.Edge{U: i, V: j, Ohms: r}, nodal.Edge{U: size + i, V: size + j, Ohms: r})
		}
		e = append(e, nodal.Edge{U: 3, V: size + 3, Ohms: short})
		inject := make([]float64, 2*size)
		inject[0], inject[size] = 1, -1
		v := factor(t, 2*size, e).Solve(nil, inject)
		v1, v2 := v[0]-v[1], v[0]-v[9]
		allowed := 1e-12 + 1e-15*short // the voltages subtracted are as large as the short
		require.InDelta(t, .0168, v1, allowed)
		require.InDelta(t, .0072, v2, allowed)
		require.InDelta(t, .0504, v[0]-v[3], allowed)
		require.InDelta(t, .3, v2/(v1+v2), 1e-9)
	}
}
