package plan

import (
	"cmp"
	"math"
	"slices"
)

// Scratch is the working memory of the functions that weigh a reading. The
// zero value is ready; it grows to the largest problem seen and then costs no
// allocations. It must not be used by two goroutines at once.
type Scratch struct {
	sorted   []component
	byClass  []float64 // mass of each class at one point; all 0 between points
	logPrior []float64 // logarithm of the mass of each class before the reading
	touched  []int32   // classes with mass at the point
	ranked   []rankedClass
}

// component is one hypothesis's prediction.
type component struct {
	mean, inverse float64 // inverse: 1 over the standard deviation
	height        float64 // weight times inverse
	weight        float64
	class         int32
}

// reach is how many standard deviations of a prediction are counted: beyond,
// its density is below 2e-8 of its peak.
const reach = 6.0

// MutualInformation is how many bits a reading is expected to tell about the
// class, when hypothesis h (weight[h], in class classes[h] of 0..nClasses-1)
// predicts a number that is normal with mean[h] and variance[h] > 0: the
// entropy of the classes minus the expected entropy after the reading.
//
// The expectation is taken over points readings that stand for the whole
// mixture: the hypotheses, in order of their means, are gone through in equal
// steps of weight, and in each the place within the prediction follows the
// golden ratio, which spreads evenly over weight and place at once (a rank-1
// lattice; from memory). So a narrow prediction gets its share of points
// however narrow it is. At each point the gain is the divergence of the
// classes' probabilities from the prior ones, so that the result is never
// negative, and 0 when all predictions agree.
//
// The more points, the finer; the tests say how far off each number is. The
// time grows with points times hypotheses. It does not allocate once work has
// grown.
func MutualInformation(classes []int, weight, mean, variance []float64, nClasses, points int, work *Scratch) float64 {
	sum := work.load(classes, weight, mean, variance, nClasses)
	if len(work.sorted) < 2 || points < 1 {
		return 0
	}
	p := newLattice(work.sorted, sum, points)
	acc := 0.0
	for range points {
		mass := work.at(p.next())
		acc += work.divergence(mass)
	}
	return max(0, acc/float64(points)) / math.Ln2
}

// MutualInformationDiscrete is how many bits a reading with few outcomes (a
// beep or none) is expected to tell about the class: probs[o][h] is the
// probability of outcome o under hypothesis h. The columns need not sum to 1
// as long as all sum to the same. It is exact.
func MutualInformationDiscrete(classes []int, weight []float64, probs [][]float64, nClasses int, work *Scratch) float64 {
	if work.loadClasses(classes, weight, nClasses) == 0 {
		return 0
	}
	acc, all := 0.0, 0.0
	for _, row := range probs {
		mass := work.outcome(classes, weight, row)
		all += mass
		acc += mass * work.divergence(mass)
	}
	if all == 0 {
		return 0
	}
	return max(0, acc/all) / math.Ln2
}

// loadClasses sets the prior masses of the classes and gives the sum of
// weights.
func (w *Scratch) loadClasses(classes []int, weight []float64, nClasses int) float64 {
	mustLen(len(classes), len(weight))
	w.byClass = resize(w.byClass, nClasses)
	w.logPrior = resize(w.logPrior, nClasses)
	clear(w.byClass)
	sum := 0.0
	for h, c := range classes {
		mustWeight(weight[h])
		w.byClass[c] += weight[h]
		sum += weight[h]
	}
	for c, m := range w.byClass {
		w.logPrior[c] = math.Log(m / sum) // -Inf or NaN for a class that nothing belongs to: never read
	}
	clear(w.byClass)
	w.touched = w.touched[:0]
	return sum
}

// load is loadClasses, and sorts the predictions with weight by their means.
func (w *Scratch) load(classes []int, weight, mean, variance []float64, nClasses int) float64 {
	mustLen(len(weight), len(mean))
	mustLen(len(weight), len(variance))
	sum := w.loadClasses(classes, weight, nClasses)
	w.sorted = w.sorted[:0]
	for h, p := range weight {
		if !(variance[h] > 0) || math.IsInf(variance[h], 1) || math.IsNaN(mean[h]) || math.IsInf(mean[h], 0) {
			panic("plan: a prediction needs a finite mean and a variance above 0")
		}
		if p > 0 {
			inv := 1 / math.Sqrt(variance[h])
			w.sorted = append(w.sorted, component{mean[h], inv, p * inv, p, int32(classes[h])})
		}
	}
	// The class breaks ties, so that the order of equal means in the input
	// does not matter much; the rest is kept as given.
	slices.SortStableFunc(w.sorted, func(a, b component) int {
		if a.mean != b.mean {
			return cmp.Compare(a.mean, b.mean)
		}
		return cmp.Compare(a.class, b.class)
	})
	return sum
}

func resize(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	return s[:n]
}

// lattice gives readings that stand for the mixture.
type lattice struct {
	c           []component
	step        float64 // weight from one point to the next
	at, done    float64 // weight gone through: up to the point, up to component k
	k           int
	within, phi float64
}

func newLattice(c []component, sum float64, points int) lattice {
	step := sum / float64(points)
	phi := (math.Sqrt(5) - 1) / 2
	return lattice{c: c, step: step, at: step / 2, phi: phi, within: phi / 2}
}

func (l *lattice) next() float64 {
	for l.k < len(l.c)-1 && l.done+l.c[l.k].weight < l.at {
		l.done += l.c[l.k].weight
		l.k++
	}
	c := &l.c[l.k]
	z := math.Sqrt2 * math.Erfinv(2*l.within-1)
	l.at += l.step
	if l.within += l.phi; l.within >= 1 {
		l.within--
	}
	return c.mean + z/c.inverse
}

// at puts the mass of each class for reading y into byClass and gives their
// sum; all masses carry the same factor.
func (w *Scratch) at(y float64) float64 {
	mass := 0.0
	for i := range w.sorted {
		c := &w.sorted[i]
		z := (y - c.mean) * c.inverse
		u := z * z * 0.5
		if u >= reach*reach/2 {
			continue
		}
		w.add(c.class, c.height*expNegative(u))
	}
	for _, c := range w.touched {
		mass += w.byClass[c]
	}
	return mass
}

func (w *Scratch) add(class int32, m float64) {
	if m == 0 {
		return
	}
	if w.byClass[class] == 0 {
		w.touched = append(w.touched, class)
	}
	w.byClass[class] += m
}

// outcome is at for a reading with few outcomes.
func (w *Scratch) outcome(classes []int, weight, row []float64) float64 {
	mustLen(len(weight), len(row))
	mass := 0.0
	for h, p := range row {
		mustWeight(p)
		w.add(int32(classes[h]), weight[h]*p)
		mass += weight[h] * p
	}
	return mass
}

// divergence is how far the classes' probabilities are from the prior ones, in
// natural units, and clears the masses.
func (w *Scratch) divergence(mass float64) float64 {
	acc := 0.0
	for _, c := range w.touched {
		m := w.byClass[c]
		acc += m * (math.Log(m) - w.logPrior[c])
		w.byClass[c] = 0
	}
	w.touched = w.touched[:0]
	if mass == 0 {
		return 0
	}
	return acc/mass - math.Log(mass)
}

// expSteps is the number of table steps per unit; linear interpolation is then
// off by at most 1/(8*64*64), 3e-5 of the value.
const expSteps = 64

var expTable = func() (t [int(reach*reach/2)*expSteps + 2]float64) {
	for i := range t {
		t[i] = math.Exp(-float64(i) / expSteps)
	}
	return t
}()

// expNegative is exp(-u) for 0 <= u < reach^2/2, from a table: it is called
// for every hypothesis at every point.
func expNegative(u float64) float64 {
	x := u * expSteps
	i := int(x)
	return expTable[i] + (x-float64(i))*(expTable[i+1]-expTable[i])
}
