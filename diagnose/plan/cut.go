package plan

// Cut is a node of a tree of cuts along a run of slots 0..n-1: ask whether the
// slot looked for lies before slot At (slots Lo..At-1) or not (At..Hi-1). A
// leaf (Hi = Lo+1) has At -1.
type Cut struct {
	Lo, Hi, At    int
	Before, After *Cut
}

// Cost is the sum over slots of weight times the cost of the cuts that lead to
// it. cutCost[i] is the cost of the cut before slot i+1 (length n-1); nil
// means 1 each.
func (c *Cut) Cost(weight, cutCost []float64) float64 {
	if c == nil || c.At < 0 {
		return 0
	}
	cc := 1.0
	if cutCost != nil {
		cc = cutCost[c.At-1]
	}
	return cc*total(weight[c.Lo:c.Hi]) + c.Before.Cost(weight, cutCost) + c.After.Cost(weight, cutCost)
}

// runningSums gives the sum of the first i weights at index i.
func runningSums(weight []float64) []float64 {
	sum := make([]float64, len(weight)+1)
	for i, w := range weight {
		mustWeight(w)
		sum[i+1] = sum[i] + w
	}
	return sum
}
