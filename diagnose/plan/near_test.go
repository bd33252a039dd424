package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// chainCost is the expected cost of an order on a chain of pieces, with a
// neighbour of one looked at costing less.
func chainCost(order []int, p, cost []float64, near *Near) float64 {
	seen := make([]bool, len(p))
	left, acc := 1.0, 0.0
	for _, i := range order {
		c := cost[i]
		for _, b := range near.Beside[i] {
			if seen[b] {
				c = math.Min(c, near.Cost[i])
			}
		}
		acc += c * left
		left -= p[i]
		seen[i] = true
	}
	return acc
}

func allOrders(n int, f func([]int)) {
	order := allClasses(n)
	var walk func(k int)
	walk = func(k int) {
		if k == n {
			f(order)
			return
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			walk(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	walk(0)
}

// The greedy order against the best of all orders of six pieces in a row.
func TestInspectionNearAgainstAllOrders(t *testing.T) {
	worst, sum, n := 0.0, 0.0, 0
	rapid.Check(t, func(r *rapid.T) {
		p, cost := make([]float64, 6), make([]float64, 6)
		near := &Near{Beside: make([][]int, 6), Cost: make([]float64, 6)}
		total := 0.0
		for i := range p {
			p[i] = rapid.Float64Range(0.01, 1).Draw(r, "p")
			total += p[i]
			cost[i] = rapid.Float64Range(2, 6).Draw(r, "cost")
			near.Cost[i] = rapid.Float64Range(0.5, 2).Draw(r, "near")
			for _, k := range []int{i - 1, i + 1} {
				if k >= 0 && k < 6 {
					near.Beside[i] = append(near.Beside[i], k)
				}
			}
		}
		for i := range p {
			p[i] /= total
		}
		best := math.Inf(1)
		allOrders(6, func(o []int) { best = math.Min(best, chainCost(o, p, cost, near)) })
		var work Scratch
		got := ExpectedInspectionNear(p, cost, near, &work)
		if got < best-0.02*best {
			r.Fatalf("greedy %g below the best order %g", got, best)
		}
		if got > 1.4*best {
			r.Fatalf("greedy %g, best order %g", got, best)
		}
		worst, sum, n = math.Max(worst, got/best), sum+got/best, n+1
	})
	t.Logf("greedy over best: mean %.3f, worst %.3f", sum/float64(n), worst)
	require.Less(t, sum/float64(n), 1.1)
}

// Without neighbours it is the classical order.
func TestInspectionNearIsTheClassicalOrderAlone(t *testing.T) {
	p, cost := []float64{0.5, 0.3, 0.2}, []float64{4, 1, 2}
	near := &Near{Beside: make([][]int, 3), Cost: cost}
	var work Scratch
	require.InDelta(t, inspectionOf(p, cost), ExpectedInspectionNear(p, cost, near, &work), 1e-9)
}

// The likely piece at one end is cheap only from its unlikely neighbour, and
// that one only from the next: a row must be seen past its worst member.
func TestInspectionNearSeesPastAnUnlikelyPiece(t *testing.T) {
	p := []float64{1, 0.125, 0.25, 0.25, 0.25, 0.125}
	for i := range p {
		p[i] /= 2
	}
	cost := []float64{6, 6, 2, 2, 2, 2}
	near := &Near{Beside: [][]int{{1}, {0, 2}, {1, 3}, {2, 4}, {3, 5}, {4}}, Cost: []float64{1, 1, 1, 1, 1, 1}}
	best := math.Inf(1)
	allOrders(6, func(o []int) { best = math.Min(best, chainCost(o, p, cost, near)) })
	var work Scratch
	require.InDelta(t, best, ExpectedInspectionNear(p, cost, near, &work), 0.05*best)
}
