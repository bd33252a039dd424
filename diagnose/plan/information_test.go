package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// mixture is a set of predictions of one reading.
type mixture struct {
	classes                []int
	weight, mean, variance []float64
	n                      int
}

func (m mixture) information(points int) float64 {
	var work Scratch
	return MutualInformation(m.classes, m.weight, m.mean, m.variance, m.n, points, &work)
}

// density fills the mass of each class at y (weights made to sum to 1).
func (m mixture) density(y float64, by []float64) {
	clear(by)
	sum := total(m.weight)
	for h, c := range m.classes {
		z := (y - m.mean[h]) / math.Sqrt(m.variance[h])
		by[c] += m.weight[h] / sum * math.Exp(-z*z/2) / math.Sqrt(2*math.Pi*m.variance[h])
	}
}

// integrate is the oracle: Simpson's rule between all the places where any
// prediction begins, peaks or ends, fine enough for the narrowest one there.
func (m mixture) integrate(f func(by []float64, mass float64) float64) float64 {
	var knots []float64
	for h := range m.mean {
		sd := math.Sqrt(m.variance[h])
		for _, z := range []float64{-9, -5, -3, -2, -1, -.5, 0, .5, 1, 2, 3, 5, 9} {
			knots = append(knots, m.mean[h]+z*sd)
		}
	}
	sort.Float64s(knots)
	by := make([]float64, m.n)
	g := func(y float64) float64 {
		m.density(y, by)
		mass := 0.0
		for _, x := range by {
			mass += x
		}
		if mass == 0 {
			return 0
		}
		return mass * f(by, mass)
	}
	acc := 0.0
	for i := 1; i < len(knots); i++ {
		a, b := knots[i-1], knots[i]
		if b <= a {
			continue
		}
		const steps = 8
		d := (b - a) / steps
		for k := 0; k < steps; k++ {
			x := a + float64(k)*d
			acc += d / 6 * (g(x) + 4*g(x+d/2) + g(x+d))
		}
	}
	return acc
}

func (m mixture) priorEntropy() float64 {
	by := make([]float64, m.n)
	for h, c := range m.classes {
		by[c] += m.weight[h]
	}
	return Entropy(by)
}

func (m mixture) exact() float64 {
	return m.priorEntropy() - m.integrate(func(by []float64, _ float64) float64 { return Entropy(by) })
}

// sample is a mixture like those of a hunt: classes in a row whose readings
// grow along it, spread by shared joints, several severities each, some
// readings pinned near zero.
func sampleMixture(seed uint64, hypotheses, classes int, pinned float64) mixture {
	r := rand.New(rand.NewPCG(seed, 7))
	m := mixture{n: classes}
	for h := range hypotheses {
		c := h % classes
		sd := .3 + 12*r.Float64()*math.Sqrt(float64(c)/float64(classes))
		mean := 8 * float64(c) * (.8 + .4*r.Float64())
		if r.Float64() < pinned {
			mean, sd = 0, .1
		}
		m.classes = append(m.classes, c)
		m.weight = append(m.weight, math.Exp(r.NormFloat64()))
		m.mean = append(m.mean, mean)
		m.variance = append(m.variance, sd*sd)
	}
	return m
}

func TestInformationClosedCases(t *testing.T) {
	two := mixture{[]int{0, 1}, []float64{1, 1}, []float64{0, 100}, []float64{1, 1}, 2}
	assert.InDelta(t, 1, two.information(64), 1e-9, "far apart: one bit")
	two.mean[1] = 0
	assert.InDelta(t, 0, two.information(64), 1e-12, "alike: nothing")
	two.mean[1], two.classes[1] = 100, 0
	assert.InDelta(t, 0, two.information(64), 1e-12, "one class: nothing")
	two.classes[1], two.weight[1] = 1, 0
	assert.InDelta(t, 0, two.information(64), 1e-12, "one possible hypothesis: nothing")

	// A narrow prediction inside a broad one, six decades narrower.
	narrow := mixture{[]int{0, 1}, []float64{1, 1}, []float64{0, .3}, []float64{1, 1e-12}, 2}
	assert.InDelta(t, 1, narrow.information(64), 1e-4)

	// 32 predictions apart from each other: five bits.
	var many mixture
	many.n = 32
	for i := range 32 {
		many.classes, many.weight = append(many.classes, i), append(many.weight, 1)
		many.mean, many.variance = append(many.mean, float64(i)), append(many.variance, 1e-6)
	}
	assert.InDelta(t, 5, many.information(64), 1e-9)

	// Two normal predictions d standard deviations apart: the capacity of a
	// two-level signal in normal noise, 0.4859 bit at d = 2 (signal equal to
	// noise; integrated numerically, and the value is in textbooks on
	// modulation, from memory).
	pair := mixture{[]int{0, 1}, []float64{1, 1}, []float64{-1, 1}, []float64{1, 1}, 2}
	assert.InDelta(t, .4859, pair.exact(), 1e-4)
	assert.InDelta(t, .4859, pair.information(64), .4859*.02)
	assert.InDelta(t, .4859, pair.information(1024), .4859*.002)
}

// How far off each number of points is, against direct integration.
func TestInformationAgainstIntegration(t *testing.T) {
	mean, worst := map[int]float64{}, map[int]float64{}
	points := []int{32, 64, 128, 256, 1024}
	cases := 0
	for seed := range uint64(40) {
		m := sampleMixture(seed, []int{12, 60, 200}[seed%3], []int{6, 30, 100}[seed%3], float64(seed%4)*.15)
		want := m.exact()
		cases++
		for _, n := range points {
			e := math.Abs(m.information(n)-want) / want
			mean[n] += e
			worst[n] = max(worst[n], e)
		}
	}
	for _, n := range points {
		mean[n] /= float64(cases)
		t.Logf("%4d points: mean error %.3f %%, worst %.3f %%", n, 100*mean[n], 100*worst[n])
	}
	assert.Less(t, mean[64], .01)
	assert.Less(t, worst[64], .05)
	assert.Less(t, mean[128], .006)
	assert.Less(t, worst[128], .03)
	assert.Less(t, worst[256], .02)
	assert.Less(t, worst[1024], .001, "enough for panels")
}

// The same by drawing a hypothesis and a reading at random.
func TestInformationAgainstMonteCarlo(t *testing.T) {
	m := sampleMixture(3, 40, 20, .2)
	r := rand.New(rand.NewPCG(11, 13))
	sum := total(m.weight)
	by := make([]float64, m.n)
	const trials = 40000
	acc, square := 0.0, 0.0
	for range trials {
		u, h := r.Float64()*sum, 0
		for u > m.weight[h] && h < len(m.weight)-1 {
			u -= m.weight[h]
			h++
		}
		m.density(m.mean[h]+r.NormFloat64()*math.Sqrt(m.variance[h]), by)
		e := Entropy(by)
		acc += e
		square += e * e
	}
	after := acc / trials
	sd := math.Sqrt((square/trials - after*after) / trials)
	assert.InDelta(t, m.priorEntropy()-after, m.information(1024), 4*sd+.003*m.priorEntropy())
}

func TestInformationDiscrete(t *testing.T) {
	var work Scratch
	classes, weight := []int{0, 0, 1, 1}, []float64{1, 1, 1, 1}
	assert.InDelta(t, 1, MutualInformationDiscrete(classes, weight, certain([]int{0, 0, 1, 1}), 2, &work), 1e-12)
	assert.InDelta(t, 0, MutualInformationDiscrete(classes, weight, certain([]int{0, 1, 0, 1}), 2, &work), 1e-12,
		"splits inside the classes only")
	noisy := [][]float64{{.9, .9, .1, .1}, {.1, .1, .9, .9}}
	assert.InDelta(t, 1-Entropy([]float64{.1, .9}), MutualInformationDiscrete(classes, weight, noisy, 2, &work), 1e-12)
	assert.Zero(t, MutualInformationDiscrete(classes, []float64{0, 0, 0, 0}, noisy, 2, &work))
}

// alone is for classes of which none makes another cheaper.
func alone(cost []float64) *Near { return &Near{Beside: make([][]int, len(cost)), Cost: cost} }

func TestInspectionAfter(t *testing.T) {
	for seed := range uint64(12) {
		m := sampleMixture(seed, 40, 20, .1)
		r := rand.New(rand.NewPCG(seed, 1))
		cost := make([]float64, m.n)
		for i := range cost {
			cost[i] = 1 + 4*r.Float64()
		}
		want := m.integrate(func(by []float64, _ float64) float64 { return inspectionOf(by, cost) })
		var work Scratch
		for points, off := range map[int]float64{64: .05, 256: .02, 1024: .002} {
			got := ExpectedInspectionAfterNear(m.classes, m.weight, m.mean, m.variance, cost, alone(cost), points,
				&work)
			assert.InDelta(t, want, got, off*want, "%d points, seed %d", points, seed)
		}
		by := make([]float64, m.n)
		for h, c := range m.classes {
			by[c] += m.weight[h]
		}
		assert.Less(t, want, inspectionOf(by, cost))
	}
	// Two places told apart for certain: only the bad one is looked at.
	var work Scratch
	got := ExpectedInspectionAfterDiscreteNear([]int{0, 1}, []float64{1, 3}, certain([]int{0, 1}), []float64{4, 8},
		alone([]float64{4, 8}), &work)
	assert.InDelta(t, .25*4+.75*8, got, 1e-12)
	got = ExpectedInspectionAfterDiscreteNear([]int{0, 1}, []float64{1, 3}, [][]float64{{1, 1}}, []float64{4, 8},
		alone([]float64{4, 8}), &work)
	assert.InDelta(t, inspectionOf([]float64{1, 3}, []float64{4, 8}), got, 1e-12, "a reading that says nothing")
}

func TestInformationProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "hypotheses")
		k := rapid.IntRange(1, 5).Draw(t, "classes")
		m := mixture{n: k}
		for range n {
			m.classes = append(m.classes, rapid.IntRange(0, k-1).Draw(t, "class"))
			m.weight = append(m.weight, rapid.Float64Range(0, 5).Draw(t, "weight"))
			m.mean = append(m.mean, rapid.Float64Range(-10, 10).Draw(t, "mean"))
			m.variance = append(m.variance, rapid.Float64Range(1e-9, 50).Draw(t, "variance"))
		}
		if total(m.weight) < 1e-6 {
			return
		}
		got := m.information(256)
		require.GreaterOrEqual(t, got, 0.0)
		// Each point's gain is at most -log of the least class's mass, so the
		// points' average may pass the entropy by a little, never by much.
		require.LessOrEqual(t, got, m.priorEntropy()+.06)
		shift, stretch := rapid.Float64Range(-100, 100).Draw(t, "shift"),
			rapid.Float64Range(.01, 100).Draw(t, "stretch")
		moved := m
		moved.mean, moved.variance = nil, nil
		for h := range m.mean {
			moved.mean = append(moved.mean, shift+stretch*m.mean[h])
			moved.variance = append(moved.variance, stretch*stretch*m.variance[h])
		}
		require.InDelta(t, got, moved.information(256), 1e-3, "other units, same information")
	})
}

func TestInformationRefusesNonsense(t *testing.T) {
	var work Scratch
	assert.Panics(t, func() { MutualInformation([]int{0}, []float64{1}, []float64{0}, []float64{0}, 1, 8, &work) })
	assert.Panics(t, func() {
		MutualInformation([]int{0}, []float64{1}, []float64{math.NaN()}, []float64{1}, 1, 8, &work)
	})
	assert.Panics(t, func() { MutualInformation([]int{0}, []float64{-1}, []float64{0}, []float64{1}, 1, 8, &work) })
	assert.Panics(t, func() { MutualInformation([]int{0, 1}, []float64{1}, []float64{0}, []float64{1}, 2, 8, &work) })
}

func TestInformationDoesNotAllocate(t *testing.T) {
	m := sampleMixture(1, 200, 100, .1)
	cost := make([]float64, m.n)
	var work Scratch
	for i := range cost {
		cost[i] = 2
	}
	rows := [][]float64{make([]float64, 200), make([]float64, 200)}
	for h := range 200 {
		rows[0][h], rows[1][h] = .3, .7
	}
	near := alone(cost)
	run := func() {
		MutualInformation(m.classes, m.weight, m.mean, m.variance, m.n, 64, &work)
		MutualInformationDiscrete(m.classes, m.weight, rows, m.n, &work)
		ExpectedInspectionAfterNear(m.classes, m.weight, m.mean, m.variance, cost, near, 64, &work)
	}
	run()
	assert.Zero(t, testing.AllocsPerRun(5, run))
}

func BenchmarkMutualInformation(b *testing.B) {
	for _, points := range []int{32, 64, 256} {
		for _, hypotheses := range []int{200, 1000} {
			b.Run(fmt.Sprintf("%d-hypotheses-%d-points", hypotheses, points), func(b *testing.B) {
				m := sampleMixture(1, hypotheses, hypotheses/2, .1)
				var work Scratch
				b.ReportAllocs()
				for b.Loop() {
					MutualInformation(m.classes, m.weight, m.mean, m.variance, m.n, points, &work)
				}
			})
		}
	}
	b.Run("all-overlap-200-64", func(b *testing.B) {
		m := sampleMixture(1, 200, 100, 0)
		for h := range m.variance {
			m.variance[h] = 1e6
		}
		var work Scratch
		for b.Loop() {
			MutualInformation(m.classes, m.weight, m.mean, m.variance, m.n, 64, &work)
		}
	})
}

func BenchmarkExpectedInspectionAfter(b *testing.B) {
	m := sampleMixture(1, 200, 100, .1)
	cost := make([]float64, m.n)
	for i := range cost {
		cost[i] = 2
	}
	var work Scratch
	b.ReportAllocs()
	for b.Loop() {
		ExpectedInspectionAfterNear(m.classes, m.weight, m.mean, m.variance, cost, alone(cost), 64, &work)
	}
}
