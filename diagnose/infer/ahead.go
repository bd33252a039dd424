package infer

import (
	"cmp"
	"math"
	"slices"

	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
)

// Branch is one way a reading may come out: how likely, and what each group of
// an outlook weighs then.
type Branch struct {
	P      float64
	Weight []float64
}

// Branches cuts the outcomes of a question into few: beep and silent, over the
// limit, and a number at n places of equal probability.
func (o *Outlook) Branches(fn meter.Function, n int) []Branch {
	all := 0.0
	for _, w := range o.Weight {
		all += w
	}
	if all <= 0 {
		return nil
	}
	if yesNo(fn) {
		beep, silent := make([]float64, len(o.Weight)), make([]float64, len(o.Weight))
		p := 0.0
		for i, w := range o.Weight {
			beep[i], silent[i] = w*o.Beep[i], w*(1-o.Beep[i])
			p += beep[i]
		}
		return []Branch{{p / all, beep}, {1 - p/all, silent}}
	}
	var out []Branch
	over, number := make([]float64, len(o.Weight)), 0.0
	var order []int
	for i, w := range o.Weight {
		if o.Open(i) {
			over[i] = w
			continue
		}
		number += w
		order = append(order, i)
	}
	if number < all {
		out = append(out, Branch{1 - number/all, over})
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(o.Mean[a], o.Mean[b]) })
	acc, next := 0.0, number/float64(2*n)
	for _, i := range order {
		acc += o.Weight[i]
		for acc >= next && next < number {
			out = append(out, Branch{number / all / float64(n), o.given(o.Mean[i])})
			next += number / float64(n)
		}
	}
	return out
}

// given weighs the groups by a reading that is a number.
func (o *Outlook) given(y float64) []float64 {
	out := make([]float64, len(o.Weight))
	for i, w := range o.Weight {
		if o.Open(i) {
			continue
		}
		z := (y - o.Mean[i]) / o.SD[i]
		out[i] = w * math.Exp(-z*z/2) / o.SD[i]
	}
	return out
}

// BitsGiven is what a question tells where the groups weigh otherwise: after
// another reading, whose errors are taken to be its own.
func (o *Outlook) BitsGiven(weight []float64, fn meter.Function, classes int, work *plan.Scratch) float64 {
	c := *o
	c.Weight, c.Bits = weight, 0
	c.weigh(fn, classes, work)
	return c.Bits
}
