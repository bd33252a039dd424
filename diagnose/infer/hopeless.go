package infer

import "math"

// hopelessBy is how far below all readings saying nothing, as a logarithm, the
// readings leave a level cell of a hypothesis that is then not worked out: far beyond
// what resistances that are log-normal, not Gaussian, make up for. manyReadings are
// from how many on that is looked at, and any layout gone through roughly first; with
// fewer there is little to win. Both assumed.
const (
	hopelessBy   = 300
	manyReadings = 12
	mostMisreads = 2 // at once: doc.go
)

// hopeless says whether readings cannot have come about in a level cell, whichever two
// of them say nothing and whichever are of the other sign. They are dealt into more
// blocks than readings can be excepted, so that one block stands as it is: what is left
// fits no better than the block that fits best, and its density is no higher than its
// readings' own noise has it.
func (s *stage) hopeless(j *joint, c *levelCell, value, logNothing []float64) bool {
	if j.n < manyReadings || s.e.sometimes {
		return false
	}
	blocks, need := mostMisreads+1, 2*float64(hopelessBy)
	if s.rough { // one misread at most
		blocks = 2
	}
	for i, l := range logNothing {
		need += 2 * math.Max(0, j.logDiscrete[i]-l)
	}
	for a, o := range j.obs {
		need += 2 * math.Max(0, -0.5*log2Pi-math.Log(j.noise[a])-logNothing[o])
		if s.e.Model.unsigned(&s.obs[o]) {
			blocks = 2 + mostInDoubt // one misread at most beside other signs
		}
	}
	s.work.felt.in(j, c, s.e.Model.Level.RailSD)
	for first := range blocks {
		if s.leastQuad(j, c, value, first, blocks) <= need {
			return false
		}
	}
	return true
}

// leastQuad is how badly every step-th reading of a joint, from the first on, fits in a
// level cell, as the sum of squares of what is left of them in standard deviations:
// the least over the places of a bridge, 0 where it cannot be said.
func (s *stage) leastQuad(j *joint, c *levelCell, value []float64, first, step int) float64 {
	w := &s.work
	n := (j.n - first + step - 1) / step
	w.cov, w.resid = grow(w.cov, j.n*j.n), grow(w.resid, j.n)
	cov, y := w.cov[:n*n], w.resid[:n]
	for p := range n {
		w.felt.covariances(cov[p*n:p*n+p+1], first+p*step, first, step)
	}
	if _, ok := cholesky(cov, n); !ok {
		return 0
	}
	least := math.Inf(1)
	for place := range placesAlong {
		quad := 0.0
		for p := range n {
			a := first + p*step
			v := value[j.obs[a]] - w.felt.mean[a] - j.offset(a, place, c)
			v = (v - dot(cov[p*n:p*n+p], y[:p])) * cov[p*n+p]
			y[p], quad = v, quad+v*v
		}
		if least = math.Min(least, quad); j.place == nil {
			break
		}
	}
	return least
}
