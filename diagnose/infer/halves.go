package infer

import "fishplate/diagnose/plan"

// Halves is the bits that a question is expected to tell of n classes where only
// the side of one border is noted: under[i] is the chance that prediction i lies
// below it. It is 1 for two halves that are told apart without fail, and less the
// less even they are: H(p) = -p log2 p - (1-p) log2 (1-p) where no answer is wrong
// (C. E. Shannon, "A Mathematical Theory of Communication", Bell System Technical
// Journal 27, 1948, section 6).
func (o *Outlook) Halves(under []float64, n int, work *plan.Scratch) float64 {
	if len(o.Weight) == 0 {
		return 0
	}
	rest := make([]float64, len(under))
	for i, p := range under {
		rest[i] = 1 - p
	}
	return plan.MutualInformationDiscrete(o.Class, o.Weight, [][]float64{under, rest}, n, work)
}

// asEven is how many bits two questions may differ by and part what is left as
// evenly: 42 to 58 in a hundred tell 0.98 (assumed).
const asEven = 0.02

// MostEven is bisection: of questions by the bits that a half tells, the one
// nearest to halves, and of those that are as even the one of the least minutes,
// then the more even one, then the first. -1 where none tells anything.
func MostEven(bits, minutes []float64) int {
	most := 0.0
	for _, b := range bits {
		most = max(most, b)
	}
	best := -1
	for i, b := range bits {
		if b > 0 && b >= most-asEven && (best < 0 || minutes[i] < minutes[best] || minutes[i] == minutes[best] &&
			b > bits[best]) {
			best = i
		}
	}
	return best
}
