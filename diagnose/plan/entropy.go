package plan

import "math"

// Entropy is the Shannon entropy, in bits, of the distribution proportional
// to weight; 0 when all weights are 0.
//
// Source: C. E. Shannon, "A mathematical theory of communication", 1948.
func Entropy(weight []float64) float64 {
	sum, acc := 0.0, 0.0
	for _, w := range weight {
		mustWeight(w)
		if w > 0 {
			sum += w
			acc += w * math.Log2(w)
		}
	}
	if sum == 0 {
		return 0
	}
	return math.Max(0, math.Log2(sum)-acc/sum)
}

func mustWeight(w float64) {
	if !(w >= 0) || math.IsInf(w, 1) {
		panic("plan: a weight must be finite and not negative")
	}
}

func mustLen(want, got int) {
	if want != got {
		panic("plan: slices of different lengths")
	}
}

func total(weight []float64) float64 {
	sum := 0.0
	for _, w := range weight {
		mustWeight(w)
		sum += w
	}
	return sum
}
