package main

import "testing"

// Straights of 10 in, curves of 45 degrees in a circle of 31 in, of which a rail's middle
// is as long as the center rail, and a curve cut short.
const (
	ten  = 0.254
	bend = 0.3092
	cut  = 0.1565
)

// times is a length so many times.
func times(n int, metres float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = metres
	}
	return out
}

func rowOf(parts ...[]float64) (out []float64) {
	for _, p := range parts {
		out = append(out, p...)
	}
	return out
}

// attic is the table of the layout that the story walks in: a loop of 48 pieces with a
// siding of 12 off a turnout.
func attic(t testing.TB, seed uint64) *tabletop {
	w := newTabletop(t, seed)
	w.row("main", "main 48", "main 1", rowOf(times(20, ten), times(4, bend), times(8, ten), times(1, 0), times(11, ten),
		times(4, bend))...)
	w.joint("main 48", "main 1")
	w.turnout("main 33", "main 32", "main 34", "siding 1", ten)
	w.row("siding", "main 33", "", rowOf(times(1, bend), times(10, ten), times(1, 0.05))...)
	w.joint("main 33", "siding 1")
	w.feeder("F1", "main 2/3", 6*0.3048)
	w.feeder("F2", "main 26/27", 6*0.3048)
	return w
}

// club is the table of the demo, as its file draws it.
func club(t testing.TB, seed uint64) *tabletop {
	w := newTabletop(t, seed)
	w.row("main", "main 40", "main 1", rowOf(times(3, ten), times(1, 0), times(8, ten), times(1, 0), times(3, ten),
		times(4, bend), times(6, ten),
		times(1, 0), times(9, ten), times(4, bend))...)
	w.joint("main 40", "main 1")
	w.turnout("main 4", "main 3", "main 5", "siding 1", ten)
	w.turnout("main 13", "main 14", "main 12", "siding 8", ten)
	w.turnout("main 27", "main 26", "main 28", "spur 1", ten)
	w.row("siding", "main 4", "main 13", bend, ten, ten, 0, ten, ten, cut, bend)
	w.turnout("siding 4", "siding 3", "siding 5", "stub 1", ten)
	w.joint("main 4", "siding 1")
	w.joint("siding 8", "main 13")
	w.row("spur", "main 27", "", rowOf(times(1, bend), times(6, ten), times(1, 0.05))...)
	w.joint("main 27", "spur 1")
	w.row("stub", "siding 4", "", rowOf(times(1, bend), times(4, ten), times(1, 0.05))...)
	w.joint("siding 4", "stub 1")
	w.feeder("F1", "main 2/3", 4*0.3048)
	w.feeder("F2", "main 30/31", 12*0.3048)
	return w
}
