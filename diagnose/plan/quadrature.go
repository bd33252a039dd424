package plan

import (
	"cmp"
	"math"
	"slices"
)

// component is one hypothesis's prediction of a number.
type component struct {
	mean, inverse float64 // inverse: 1 over the standard deviation
	height        float64 // weight times inverse
	weight        float64
	low, high     float64 // where the prediction begins and ends
	index         int32   // in the input
	class         int32
}

// reach is how many standard deviations of a prediction are counted: beyond,
// there are 7 readings in a million.
const reach = 4.5

// panelWidth is the width of a panel in standard deviations of the narrowest
// prediction that it meets. With two points of Gauss a panel of two standard
// deviations is off by less than 0.1 % (measured in the tests).
const panelWidth = 2.0

// expect is the mean of f over the readings that the loaded predictions make.
// f finds the mass of each class in byClass, gets their sum, and clears them.
//
// Where panels fitted to the narrowest prediction on the spot need no more
// than points readings, the integral is taken by Gauss's rule on them. Where
// they need more, a lattice of points readings stands for the mixture.
func (w *Scratch) expect(sum float64, points int, f func(mass float64) float64) float64 {
	slices.SortFunc(w.sorted, func(a, b component) int {
		if r := cmp.Compare(a.low, b.low); r != 0 {
			return r
		}
		return cmp.Compare(a.index, b.index)
	})
	if w.countPanels(points) {
		return w.overPanels(f)
	}
	l := newLattice(w.sorted, sum, points)
	acc := 0.0
	for range points {
		acc += f(w.massAt(l.next()))
	}
	return acc / float64(points)
}

// panels walks over the mixture from low to high. The components are sorted
// by where they begin; active lists those that the current panel meets.
type panels struct {
	w    *Scratch
	next int // the first component that has not begun
	y    float64
}

func (w *Scratch) startPanels() panels {
	w.active = w.active[:0]
	return panels{w: w, y: w.sorted[0].low}
}

// step gives the next panel, ok false at the end. A panel ends where a
// narrower prediction begins, and skips stretches without any.
func (p *panels) step() (from, to float64, ok bool) {
	c, active := p.w.sorted, p.w.active
	keep := active[:0]
	width := math.Inf(1)
	for _, i := range active {
		if c[i].high > p.y {
			keep = append(keep, i)
			width = min(width, panelWidth/c[i].inverse)
		}
	}
	if len(keep) == 0 && p.next < len(c) {
		p.y = max(p.y, c[p.next].low)
	}
	for p.next < len(c) && c[p.next].low < p.y+width {
		own := panelWidth / c[p.next].inverse
		// A prediction that begins inside the panel may shorten it, but not
		// below the length that the prediction itself asks for.
		width = min(width, max(own, c[p.next].low-p.y))
		if c[p.next].low >= p.y+width {
			break
		}
		keep = append(keep, int32(p.next))
		p.next++
	}
	p.w.active = keep
	if len(keep) == 0 {
		return 0, 0, false
	}
	from, to = p.y, p.y+width
	if to <= from { // narrower than a double can tell at this place
		to = math.Nextafter(from, math.Inf(1))
	}
	p.y = to
	return from, to, true
}

// countPanels says whether panels need no more than the given number of
// readings.
func (w *Scratch) countPanels(points int) bool {
	p := w.startPanels()
	for n := 0; n <= points; n += 2 {
		if _, _, ok := p.step(); !ok {
			return true
		}
	}
	return false
}

// overPanels takes the mean by Gauss's two-point rule on each panel, made
// whole by the mass that the rule itself finds.
func (w *Scratch) overPanels(f func(mass float64) float64) float64 {
	acc, norm := 0.0, 0.0
	p := w.startPanels()
	for {
		from, to, ok := p.step()
		if !ok {
			break
		}
		half := (to - from) / 2
		off := half / math.Sqrt(3)
		for _, y := range [2]float64{from + half - off, from + half + off} {
			mass := w.activeMassAt(y)
			norm += half * mass
			acc += half * mass * f(mass)
		}
	}
	if norm == 0 {
		return 0
	}
	return acc / norm
}

// massAt puts the mass of each class for reading y into byClass and gives
// their sum; all masses carry the same factor.
func (w *Scratch) massAt(y float64) float64 {
	mass := 0.0
	for i := range w.sorted {
		mass += w.addAt(&w.sorted[i], y)
	}
	return mass
}

// activeMassAt is massAt over the components of the current panel.
func (w *Scratch) activeMassAt(y float64) float64 {
	mass := 0.0
	for _, i := range w.active {
		mass += w.addAt(&w.sorted[i], y)
	}
	return mass
}

func (w *Scratch) addAt(c *component, y float64) float64 {
	z := (y - c.mean) * c.inverse
	u := z * z * 0.5
	if u >= tableEnd {
		return 0
	}
	m := c.height * expNegative(u)
	w.add(c.class, m)
	return m
}

// lattice gives readings that stand for the mixture: the hypotheses, in order
// of where they begin, are gone through in equal steps of weight, and the place
// within each prediction follows multiples of the square root of 2, which
// spreads evenly over weight and place at once (a rank-1 lattice; from
// memory). So a narrow prediction gets its share of points however narrow.
type lattice struct {
	c        []component
	step     float64 // weight from one point to the next
	at, done float64 // weight gone through: up to the point, up to component k
	k        int
	within   float64 // place within the prediction, 0..1
}

const latticeStep = math.Sqrt2 - 1

func newLattice(c []component, sum float64, points int) lattice {
	step := sum / float64(points)
	return lattice{c: c, step: step, at: step / 2, within: latticeStep / 2}
}

func (l *lattice) next() float64 {
	for l.k < len(l.c)-1 && l.done+l.c[l.k].weight < l.at {
		l.done += l.c[l.k].weight
		l.k++
	}
	c := &l.c[l.k]
	z := math.Sqrt2 * math.Erfinv(2*l.within-1)
	l.at += l.step
	if l.within += latticeStep; l.within >= 1 {
		l.within--
	}
	return c.mean + z/c.inverse
}

// expSteps is the number of table steps per unit; linear interpolation is then
// off by at most 1/(8*64*64), 3e-5 of the value.
const expSteps = 64

// tableEnd is past everything that reach and the width of a panel can ask for.
const tableEnd = 24

var expTable = func() (t [tableEnd*expSteps + 2]float64) {
	for i := range t {
		t[i] = math.Exp(-float64(i) / expSteps)
	}
	return t
}()

// expNegative is exp(-u) for 0 <= u < tableEnd, from a table: it is called for
// every hypothesis at every point.
func expNegative(u float64) float64 {
	x := u * expSteps
	i := int(x)
	return expTable[i] + (x-float64(i))*(expTable[i+1]-expTable[i])
}
