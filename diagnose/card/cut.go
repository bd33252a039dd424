package card

import (
	"math"
	"slices"
	"sort"

	"fishplate/diagnose/plan"
	"fishplate/diagnose/unit"
)

const (
	// steps is how many places for borders are weighed.
	steps = 28
	// keptEnough is the fraction of a reading's information at which no
	// further range is worth its line.
	keptEnough = 0.93
	// slack is how far a border may move to come to a readable number, as a
	// fraction of the crowd.
	slack = 0.02
	// oftenOver is how often OL must come to be an outcome of its own.
	oftenOver = 0.02
)

// How many beyond a border a list has in mind: a part of its own, and at least a
// few.
const (
	partBeyond = 8
	fewBeyond  = 5
)

// yesNo are the answers that are no number.
var yesNo = []unit.Kind{unit.Beep, unit.Silent, unit.Bright, unit.Glowing, unit.Dark}

// slice is one outcome of a reading with who has it, sorted by the reading.
type slice struct {
	Branch
	crowd []*one
	mid   []unit.Reading
	// beyond are those nearest outside its borders, below and above: a reading
	// near a border may be one of theirs.
	beyond [2][]*one
}

// read1 is a reading with who took it.
type read1 struct {
	r   unit.Reading // what it is compared as
	raw unit.Reading
	x   *one
}

// cut turns the readings of a crowd into outcomes, by what they are compared
// as. bits is the information
// that they keep, whole that of the finest cut that was weighed.
func (f *fair) cut(crowd []*one, reads, as []unit.Reading, most int) (out []slice, bits, whole float64) {
	byKind := map[unit.Kind][]read1{}
	for i, x := range crowd {
		byKind[as[i].Kind] = append(byKind[as[i].Kind], read1{as[i], reads[i], x})
	}
	all := 0.0
	for _, k := range yesNo {
		all += weightOf(byKind[k])
		if g := byKind[k]; len(g) > 0 {
			out = append(out, sliceOf(Branch{Kind: k, Shows: string(k)}, g))
		}
	}
	values, over := byKind[unit.Value], byKind[unit.OverLimit]
	sort.SliceStable(values, func(a, b int) bool { return values[a].r.Value < values[b].r.Value })
	all += weightOf(over) + weightOf(values)
	apart := weightOf(over) >= oftenOver*all || len(values) == 0
	ranges, finest := f.ranges(values, most)
	out = append(out, ranges...)
	if len(over) > 0 && apart {
		out = append(out, sliceOf(Branch{Kind: unit.OverLimit, Shows: "OL (too much for the range)"}, over))
	} else if n := len(out); n > 0 && out[n-1].Kind == unit.Value {
		last := &out[n-1]
		last.WithOver = true
		last.crowd = append(last.crowd, ones(over)...)
		last.P += weightOf(over)
		last.Shows += ", or OL"
	}
	before := f.entropy(crowd)
	bits, whole = before, before
	for i := range out {
		out[i].P /= all
		bits -= out[i].P * f.entropy(out[i].crowd)
		if out[i].Kind != unit.Value {
			whole -= out[i].P * f.entropy(out[i].crowd)
		}
	}
	for _, g := range finest {
		whole -= weightOf(g) / all * f.entropy(ones(g))
	}
	return out, math.Max(bits, 0), math.Max(whole, bits)
}

func sliceOf(b Branch, g []read1) slice {
	s := slice{Branch: b}
	for _, x := range g {
		s.crowd = append(s.crowd, x.x)
		s.mid = append(s.mid, x.raw)
		s.P += x.x.weight
	}
	return s
}

func ones(g []read1) []*one {
	out := make([]*one, len(g))
	for i := range g {
		out[i] = g[i].x
	}
	return out
}

func weightOf(g []read1) float64 {
	sum := 0.0
	for _, x := range g {
		sum += x.x.weight
	}
	return sum
}

// entropy is that of the classes of a crowd in bits, with the correction for
// few draws (G. Miller, 1955, from memory): (classes - 1) / (2 draws ln 2).
func (f *fair) entropy(crowd []*one) float64 {
	if len(crowd) == 0 {
		return 0
	}
	p := f.tally(crowd)
	seen, square, sum := 0, 0.0, 0.0
	for _, x := range p {
		if x > 1e-9 {
			seen++
		}
	}
	for _, x := range crowd {
		sum += x.weight
		square += x.weight * x.weight
	}
	return plan.Entropy(p) + float64(seen-1)/(2*sum*sum/square*math.Ln2)
}

// ranges cuts sorted values so that the classes are told apart best, with as
// few ranges as keep nearly all; finest is the finest cut that was weighed.
func (f *fair) ranges(values []read1, most int) (out []slice, finest [][]read1) {
	if len(values) == 0 {
		return nil, nil
	}
	at := borders(values)
	n := len(at) // at[i] is where segment i begins; the last ends at len(values)
	end := func(i int) int {
		if i == n {
			return len(values)
		}
		return at[i]
	}
	cost := make([][]float64, n)
	for i := range cost {
		cost[i] = make([]float64, n+1)
		for k := i + 1; k <= n; k++ {
			g := values[at[i]:end(k)]
			cost[i][k] = weightOf(g) * f.entropy(ones(g))
		}
	}
	cuts := bestCuts(cost, n, 2*most)
	total := func(k []int) float64 {
		sum := 0.0
		for i := range k[:len(k)-1] {
			sum += cost[k[i]][k[i+1]]
		}
		return sum
	}
	// More ranges than told apart by the crowd cost more than they save.
	low := len(cuts) - 1
	for i := range cuts {
		if total(cuts[i]) < total(cuts[low])-1e-12 {
			low = i
		}
	}
	pick := 0
	for pick < min(low, most-1) && total(cuts[0])-total(cuts[pick]) < keptEnough*(total(cuts[0])-total(cuts[low])) {
		pick++
	}
	for i, k := range cuts[low][:len(cuts[low])-1] {
		finest = append(finest, values[end(k):end(cuts[low][i+1])])
	}
	return named(values, cuts[pick], end), finest
}

// bestCuts gives, for 1, 2, ... most ranges, the cheapest borders, by dynamic
// programming over segments.
func bestCuts(cost [][]float64, n, most int) [][]int {
	best := make([]float64, n+1)
	var from [][]int
	for k := 1; k <= n; k++ {
		best[k] = cost[0][k]
	}
	out := [][]int{{0, n}}
	for r := 2; r <= min(most, n); r++ {
		next, link := make([]float64, n+1), make([]int, n+1)
		for k := range next {
			next[k], link[k] = math.Inf(1), -1
			for i := r - 1; i < k; i++ {
				if v := best[i] + cost[i][k]; v < next[k] {
					next[k], link[k] = v, i
				}
			}
		}
		best = next
		from = append(from, link)
		cut := []int{n}
		for j, k := len(from)-1, n; j >= 0; j-- {
			k = from[j][k]
			cut = append(cut, k)
		}
		cut = append(cut, 0)
		slices.Reverse(cut)
		out = append(out, cut)
	}
	return out
}

// borders are where ranges may begin: about equal parts of the crowd, moved a
// little to where a readable number lies between two values.
func borders(values []read1) []int {
	all := weightOf(values)
	out := []int{0}
	acc, next := 0.0, all/steps
	for i := 1; i < len(values); i++ {
		acc += values[i-1].x.weight
		if acc < next {
			continue
		}
		next = acc + all/steps
		if k := roundest(values, i); k > out[len(out)-1] {
			out = append(out, k)
		}
	}
	return out
}

// roundest moves a border among near places to where the shortest number fits.
func roundest(values []read1, i int) int {
	reach := max(1, int(slack*float64(len(values))))
	best, digits := -1, math.Inf(1)
	for k := max(1, i-reach); k <= min(len(values)-1, i+reach); k++ {
		a, b := values[k-1].r.Value, values[k].r.Value
		if a >= b {
			continue
		}
		_, d := readable(a, b)
		d += 0.01 * math.Abs(float64(k-i)) / float64(reach)
		if d < digits {
			best, digits = k, d
		}
	}
	return best
}

// readable is the number in [a, b) that is quickest to read, and how much
// there is to read (lower is better).
func readable(a, b float64) (float64, float64) {
	top := math.Ceil(math.Log10(math.Max(math.Abs(a), math.Abs(b)))) + 1
	if a < 0 && b > 0 {
		return 0, 0
	}
	for k := range 6 {
		for j, step := range []float64{10, 5, 2, 1} {
			s := step * math.Pow(10, top-float64(k)-1)
			x := math.Ceil(a/s-1e-9) * s
			if x >= a && x < b {
				return x, float64(k) + float64(j)/4
			}
		}
	}
	return a, 9
}

// named makes the slices of a cut, with their borders.
func named(values []read1, cut []int, end func(int) int) []slice {
	var out []slice
	low := math.Inf(-1)
	for i := range cut[:len(cut)-1] {
		a, b := end(cut[i]), end(cut[i+1])
		high := math.Inf(1)
		if b < len(values) {
			high, _ = readable(values[b-1].r.Value, values[b].r.Value)
		}
		s := sliceOf(Branch{Kind: unit.Value, Low: low, High: high}, values[a:b])
		s.Shows = between(low, high, values[0].r.Unit)
		k := max(fewBeyond, (b-a)/partBeyond)
		s.beyond = [2][]*one{ones(values[max(0, a-k):a]), ones(values[b:min(len(values), b+k)])}
		out = append(out, s)
		low = high
	}
	return out
}

func between(low, high float64, u unit.Unit) string {
	switch {
	case math.IsInf(low, -1) && math.IsInf(high, 1):
		return "any number"
	case math.IsInf(low, -1):
		return "up to " + unit.Format(high, u)
	case math.IsInf(high, 1):
		return "over " + unit.Format(low, u)
	}
	return "over " + unit.Format(low, u) + ", up to " + unit.Format(high, u)
}
