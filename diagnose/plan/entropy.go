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

// InformationGain is the expected fall of the entropy, in bits, of a test that
// shows outcome[h] when hypothesis h is true. Outcomes are small numbers from
// 0; a test without noise gains exactly the entropy of its outcome.
//
// Source: J. R. Quinlan, "Induction of decision trees", Machine Learning 1,
// 1986.
func InformationGain(weight []float64, outcome []int) float64 {
	mustLen(len(weight), len(outcome))
	return Entropy(massByLabel(weight, outcome))
}

// GainPerMinute is bits divided by minutes; a test that costs nothing and says
// something is worth +Inf, one that says nothing is worth 0.
func GainPerMinute(bits, minutes float64) float64 {
	if bits <= 0 {
		return 0
	}
	return bits / minutes
}

// massByLabel sums the weights of each label.
func massByLabel(weight []float64, label []int) []float64 {
	top := -1
	for _, o := range label {
		if o < 0 {
			panic("plan: negative label")
		}
		top = max(top, o)
	}
	mass := make([]float64, top+1)
	for h, o := range label {
		mass[o] += weight[h]
	}
	return mass
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
