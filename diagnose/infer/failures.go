package infer

import "sync/atomic"

// Failures counts what could not be worked out while readings were weighed, since a
// matrix had no factorisation, and what was done without it. None is expected: each
// says that the belief is rougher than it looks.
type Failures struct {
	// Circuits are set-ups of the network that cannot be solved: their readings are
	// foretold as between points that hang on nothing.
	Circuits int
	// Cells are level cells of a hypothesis whose covariance is not positive definite:
	// they are left out of its likelihood.
	Cells int
	// Bends are terms that keep their Gaussian, where the log-normal one that should
	// take its place has no covariance or curvature.
	Bends int
}

// Any says whether there was one.
func (f Failures) Any() bool { return f != Failures{} }

// plus adds those of another part of the belief.
func (f Failures) plus(o Failures) Failures {
	return Failures{f.Circuits + o.Circuits, f.Cells + o.Cells, f.Bends + o.Bends}
}

// failing counts them for all workers of a stage. The sum does not depend on who
// came first.
type failing struct{ circuits, cells, bends atomic.Int64 }

func (f *failing) sum() Failures {
	return Failures{int(f.circuits.Load()), int(f.cells.Load()), int(f.bends.Load())}
}
