package plan

import "math"

// Bisection is a search along a run of slots where each left/right answer is
// wrong with a known probability, independently.
//
// Source: M. Horstein, "Sequential transmission using noiseless feedback",
// IEEE Trans. Inform. Theory 9, 1963; R. Waeber, P. I. Frazier, S. G.
// Henderson, "Bisection search with noisy responses", SIAM J. Control Optim.
// 51(3), 2013 (the median is the cut of least expected entropy).
type Bisection struct {
	belief []float64 // sums to 1
	wrong  float64
}

// NewBisection starts a search with the given prior and the probability wrong
// (0 <= wrong < 1/2) that an answer is false. The prior must not be all 0.
func NewBisection(prior []float64, wrong float64) *Bisection {
	sum := total(prior)
	if sum == 0 || !(wrong >= 0 && wrong < 0.5) {
		panic("plan: a bisection needs a prior and an error rate from 0 to below 1/2")
	}
	b := &Bisection{belief: make([]float64, len(prior)), wrong: wrong}
	for i, p := range prior {
		b.belief[i] = p / sum
	}
	return b
}

// Belief gives the probability of each slot. The slice is the search's own: do
// not write to it.
func (b *Bisection) Belief() []float64 { return b.belief }

// Cut gives the slot before which to cut: the cut that halves the belief most
// evenly, among equals the one nearest the start. It is 0 when there is only
// one slot.
func (b *Bisection) Cut() int {
	best, off, left := 0, math.Inf(1), 0.0
	for i := 1; i < len(b.belief); i++ {
		left += b.belief[i-1]
		if d := math.Abs(2*left - 1); d < off {
			best, off = i, d
		}
	}
	return best
}

// Answer takes the answer to the cut before slot at: before says that the slot
// looked for is among 0..at-1. It reports false, and leaves the belief as it
// was, when no slot fits the answers any more (possible only with wrong 0).
func (b *Bisection) Answer(at int, before bool) bool {
	sum := 0.0
	for i, p := range b.belief {
		sum += p * b.fit(i, at, before)
	}
	if !(sum > 0) {
		return false
	}
	for i := range b.belief {
		b.belief[i] *= b.fit(i, at, before) / sum
	}
	return true
}

func (b *Bisection) fit(slot, at int, before bool) float64 {
	if (slot < at) == before {
		return 1 - b.wrong
	}
	return b.wrong
}

// Best gives the likeliest slot and its probability; among equals the first.
func (b *Bisection) Best() (slot int, p float64) {
	for i, q := range b.belief {
		if q > p {
			slot, p = i, q
		}
	}
	return slot, p
}

// Capacity is how many bits one yes/no answer carries at most when it is wrong
// with probability wrong: 1 minus the entropy of the error.
//
// Source: C. E. Shannon, 1948 (the binary symmetric channel).
func Capacity(wrong float64) float64 { return 1 - Entropy([]float64{wrong, 1 - wrong}) }
