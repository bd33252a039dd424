// Package conflict finds which sets of parts cannot all be sound, and which
// sets of parts, if bad, would explain everything seen. It works on parts
// 0..n-1 and a question put to the caller; it knows nothing of what the parts
// are. It takes small n for granted (MaxParts), since it goes through all
// subsets.
//
// Source: J. de Kleer, B. C. Williams, "Diagnosing multiple faults",
// Artificial Intelligence 32, 1987; R. Reiter, "A theory of diagnosis from
// first principles", the same volume (candidates are the hitting sets of the
// conflicts; from memory).
package conflict

import (
	"math/bits"
	"slices"
)

// MaxParts bounds the number of parts.
const MaxParts = 20

// Set is a set of parts, one bit each.
type Set uint32

// Of makes a set.
func Of(parts ...int) Set {
	var s Set
	for _, p := range parts {
		s |= 1 << p
	}
	return s
}

// Size is the number of parts in the set.
func (s Set) Size() int { return bits.OnesCount32(uint32(s)) }

// Has says whether part p is in the set.
func (s Set) Has(p int) bool { return s>>p&1 == 1 }

// bySize lists all sets over n parts, small ones first.
func bySize(n int) []Set {
	if n < 0 || n > MaxParts {
		panic("conflict: too many parts")
	}
	all := make([]Set, 1<<n)
	for i := range all {
		all[i] = Set(i)
	}
	slices.SortStableFunc(all, func(a, b Set) int { return a.Size() - b.Size() })
	return all
}

// Conflicts gives the minimal sets of parts that cannot all be sound, small
// ones first. consistent says whether what was seen can be true when all parts
// of the set are sound and nothing is known of the others; it must stay true
// for every subset of a set for which it is true.
func Conflicts(n int, consistent func(sound Set) bool) []Set {
	var out []Set
	for _, s := range bySize(n) {
		if !containsAny(s, out) && !consistent(s) {
			out = append(out, s)
		}
	}
	return out
}

// Candidates gives the minimal sets of parts that share a part with every
// conflict, small ones first: each, if bad, explains everything seen. Without
// conflicts it is the empty set alone: nothing need be bad.
func Candidates(n int, conflicts []Set) []Set {
	var out []Set
	for _, s := range bySize(n) {
		if !containsAny(s, out) && Explains(s, conflicts) {
			out = append(out, s)
		}
	}
	return out
}

// Explains says whether the set shares a part with every conflict.
func Explains(bad Set, conflicts []Set) bool {
	for _, c := range conflicts {
		if bad&c == 0 {
			return false
		}
	}
	return true
}

// Prior is the probability that exactly the parts of the set are bad, when
// part i is bad with probability p[i] independently.
func Prior(bad Set, p []float64) float64 {
	v := 1.0
	for i, q := range p {
		if bad.Has(i) {
			v *= q
		} else {
			v *= 1 - q
		}
	}
	return v
}

func containsAny(s Set, of []Set) bool {
	for _, x := range of {
		if s&x == x {
			return true
		}
	}
	return false
}
