package plan

// DecisionWeight is the weight of all pairs of hypotheses that ask for
// different decisions: half of (the sum of weights) squared minus the sum over
// classes of (the class's weight) squared. It is 0 when one class holds all.
//
// Source: D. Golovin, A. Krause, D. Ray, "Near-optimal Bayesian active
// learning with noisy observations", 2010 (EC2).
func DecisionWeight(classes []int, weight []float64) float64 {
	mustLen(len(classes), len(weight))
	sum := total(weight)
	acc := 0.0
	for _, m := range massByLabel(weight, classes) {
		acc += m * (sum - m)
	}
	return acc / 2
}

// EdgesCut is the expected DecisionWeight that a test without noise removes:
// outcome[h] is shown under hypothesis h, and the hypotheses that do not fit
// what was shown are dropped (the others keep their weight, as in the source).
// It is 0 for a test among hypotheses of one class only.
//
// Source: as DecisionWeight, with the weights made to sum to 1.
func EdgesCut(classes []int, weight []float64, outcome []int) float64 {
	mustLen(len(classes), len(outcome))
	sum := total(weight)
	if sum == 0 {
		return 0
	}
	all := DecisionWeight(classes, weight) / (sum * sum)
	left := 0.0
	keep := make([]float64, len(weight))
	for o, m := range massByLabel(weight, outcome) {
		if m == 0 {
			continue
		}
		for h, w := range weight {
			keep[h] = 0
			if outcome[h] == o {
				keep[h] = w
			}
		}
		left += m / sum * DecisionWeight(classes, keep) / (sum * sum)
	}
	return max(0, all-left)
}

// DecisionValue is the expected fall of DecisionWeight, beliefs made to sum to
// 1 before and after, when probs[o][h] is the probability of outcome o under
// hypothesis h. Departure from the source: the belief is made to sum to 1
// again after a reading, so that a reading with noise that only tells apart
// hypotheses of one class, and says nothing about the others, is worth 0.
func DecisionValue(classes []int, weight []float64, probs [][]float64) float64 {
	sum := total(weight)
	if sum == 0 {
		return 0
	}
	before := DecisionWeight(classes, weight) / (sum * sum)
	after := 0.0
	joint := make([]float64, len(weight))
	for _, row := range probs {
		mustLen(len(weight), len(row))
		m := 0.0
		for h, w := range weight {
			joint[h] = w * row[h]
			m += joint[h]
		}
		if m > 0 {
			after += DecisionWeight(classes, joint) / (m * sum)
		}
	}
	return max(0, before-after)
}
