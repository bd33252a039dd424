package hunt

import (
	"math"
	"slices"
	"strconv"

	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
)

// mixture is what a reading that is a number may be: predictions, each with its
// mass, mean and standard deviation.
type mixture struct {
	rows           []int // in the outlook
	mass, mean, sd []float64
	all            float64
	class          []int
	least          float64 // the meter shows nothing below, -Inf for no such limit
	step           float64 // last digit of the display
}

// mixtureOf takes the part of each prediction that is not over the limit.
func (sc scribe) mixtureOf(q *infer.Question, o *infer.Outlook) *mixture {
	m := &mixture{least: math.Inf(-1), step: sc.lastDigit(q.Func)}
	if sc.engine.Model.AC || q.Func == meter.Ohms || q.Func == meter.Amps {
		m.least = 0
	}
	for i, w := range o.Weight {
		if w *= 1 - o.Over[i]; w > 0 {
			m.rows = append(m.rows, i)
			m.mass, m.mean, m.sd = append(m.mass, w), append(m.mean, o.Mean[i]), append(m.sd, o.SD[i])
			m.class = append(m.class, o.Class[i])
			m.all += w
		}
	}
	return m
}

// lastDigit is the finest step that the display has shown, or before it showed
// any that of the kind of meter.
func (sit *Situation) lastDigit(f meter.Function) float64 {
	if step, ok := infer.Finest(sit.obs)[f]; ok {
		return step
	}
	return sit.engine.Model.Meter.Of(f).Step
}

// below is the mass of prediction i under v.
func (m *mixture) below(i int, v float64) float64 {
	if v <= m.least {
		return 0
	}
	return m.mass[i] * normalBelow((v-m.mean[i])/m.sd[i])
}

func normalBelow(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// under is the mass of all predictions under v.
func (m *mixture) under(v float64) float64 {
	sum := 0.0
	for i := range m.mass {
		sum += m.below(i, v)
	}
	return sum
}

// quantile is where a part of the mass lies below, by halving.
func (m *mixture) quantile(part float64) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range m.mean {
		lo, hi = min(lo, m.mean[i]-8*m.sd[i]), max(hi, m.mean[i]+8*m.sd[i])
	}
	lo = max(lo, m.least)
	for range 36 {
		if mid := (lo + hi) / 2; m.under(mid) < part*m.all {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

const (
	// borderSteps is at how many quantiles a border between two rows may lie.
	borderSteps = 24
	// worthARow is the part of what the rows tell that a row more must add, and
	// worthTwo the bits that two must tell to be two.
	worthARow, worthTwo = 0.07, 0.08
)

// borders are the readings, two at most, between the rows of what a meter may
// show: those that tell the classes apart best, at numbers of two digits. No
// row is left that hardly ever comes up.
func (m *mixture) borders() []float64 {
	var out []float64
	last := 0.0
	for _, b := range m.best() {
		b = m.middle(b)
		at := m.under(b)
		if at-last > seldom*m.all && m.all-at > seldom*m.all && (len(out) == 0 || b > out[len(out)-1]) {
			out, last = append(out, b), at
		}
	}
	return out
}

// emptyPart is the part of the mass about a border that may lie in the gap that
// the border is put in the middle of.
const emptyPart = 0.004

// middle moves a border into the middle of the readings about it that hardly come
// up: between 0.1 V and 17 V any border parts the same, and the middle one is
// the fairest to what nobody foresaw.
func (m *mixture) middle(b float64) float64 {
	part := m.under(b) / m.all
	low, high := m.quantile(max(part-emptyPart, 0)), m.quantile(min(part+emptyPart, 1))
	if moved := m.readable((low + high) / 2); moved > m.least {
		return moved
	}
	return b
}

// best are the borders at places of the mass.
func (m *mixture) best() []float64 {
	at := m.places()
	left := m.lefts(at) // left[a][b]: the doubt left between place a-1 and place b
	n := len(at)
	whole := left[0][n]
	var one, two []float64
	told1, told2 := 0.0, 0.0
	for a := range at {
		if t := whole - left[0][a] - left[a+1][n]; t > told1 {
			told1, one = t, at[a:a+1]
		}
		for b := a + 1; b < n; b++ {
			if t := whole - left[0][a] - left[a+1][b] - left[b+1][n]; t > told2 {
				told2, two = t, []float64{at[a], at[b]}
			}
		}
	}
	if told2 >= worthTwo && told2-told1 > worthARow*told2 {
		return two
	}
	if told1 < worthTwo {
		return nil
	}
	return slices.Clone(one)
}

// places are the readings of two digits at even steps of the mass.
func (m *mixture) places() []float64 {
	var out []float64
	for k := 1; k < borderSteps; k++ {
		v := m.readable(m.quantile(float64(k) / borderSteps))
		if v > m.least && (len(out) == 0 || v > out[len(out)-1]) {
			out = append(out, v)
		}
	}
	return out
}

// readable rounds to two digits, and to what the display shows: to the very
// number that is read when these digits are typed.
func (m *mixture) readable(v float64) float64 {
	if v == 0 {
		return 0
	}
	step := max(math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-1), m.step)
	return typed(math.Round(v/step) * step)
}

// typed is the number that its first digits give when they are read.
func typed(v float64) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 8, 64), 64)
	if err != nil { // only past the largest number there is
		return v
	}
	return out
}

// lefts is the entropy of the classes, in bits, times the part of the mass, of
// readings from one place to another: [a][b] from place a-1 to place b, where -1
// and the last are the ends.
func (m *mixture) lefts(at []float64) [][]float64 {
	number := map[int]int{}
	class := make([]int, len(m.class))
	for i, c := range m.class {
		if _, ok := number[c]; !ok {
			number[c] = len(number)
		}
		class[i] = number[c]
	}
	under := make([][]float64, len(at)+2) // by place, from the lower end: the mass of each class
	for k := range under {
		under[k] = make([]float64, len(number))
		for i, c := range class {
			switch {
			case k > len(at):
				under[k][c] += m.mass[i]
			case k > 0:
				under[k][c] += m.below(i, at[k-1])
			}
		}
	}
	out := make([][]float64, len(at)+1)
	by := make([]float64, len(number))
	for a := range out {
		out[a] = make([]float64, len(at)+1)
		for b := a; b <= len(at); b++ {
			sum := 0.0
			for c := range by {
				by[c] = max(under[b+1][c]-under[a][c], 0)
				sum += by[c]
			}
			if sum > 0 {
				out[a][b] = sum / m.all * plan.Entropy(by)
			}
		}
	}
	return out
}

// between is the mass of each prediction from one reading to another.
func (m *mixture) between(from, to float64) (mass []float64, sum float64) {
	mass = make([]float64, len(m.mass))
	for i := range mass {
		mass[i] = max(m.below(i, to)-m.below(i, from), 0)
		sum += mass[i]
	}
	return mass, sum
}

// inner is where a part of the mass lies below, as the display would show it.
func (m *mixture) inner(part float64) float64 { return m.readable(m.quantile(part)) }
