package health

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
)

// scaleSpread is how far battery and lamp may be off tonight, as a log-sd: wide, so
// that only ratios are counted on.
const scaleSpread = 0.3

// view is the track with the lamp at one place, as the points that probes may go to see
// it. All that a reading says is the difference of what its two points say.
type view struct {
	place  Place
	lit    *lit
	points []spot
	worse  [][]float64 // by point, by link of chooser.links: what a contact that got worse does
	drift  [][]float64 // by point, by link of the network: what a drift does
	rails  []float64   // by point: what all rails do together
	gram   *matrix     // of the drifts
	cross  map[*probe][]float64
}

// probe is a reading that may be taken, with the scatter of its volts by the meter.
type probe struct {
	v          *view
	red, black int // indices into the view's points
	volts, sd  float64
	cost       float64
}

func (ch *chooser) view(at Place, c *lit) *view {
	v := &view{place: at, lit: c, points: ch.points, gram: newMatrix(len(ch.points)), cross: map[*probe][]float64{}}
	for i := range ch.points {
		by := c.sees(ch.points[i].point)
		var marks []float64
		for _, j := range ch.links {
			marks = append(marks, worse/(1+worse*ch.around[j])*by[j])
		}
		rails := 0.0
		for j := range by {
			k := &ch.n.Links[j]
			switch {
			case k.Class == conductor.ClassRail && k.Kind != conductor.KindSwitch:
				rails += railsTogether * k.Ohms * by[j]
				by[j] = 0
			case drifts(k):
				by[j] *= math.Sqrt2 * usualDrift * k.Ohms * math.Exp(k.Spread*k.Spread)
			default:
				by[j] = 0
			}
		}
		v.worse, v.drift, v.rails = append(v.worse, marks), append(v.drift, by), append(v.rails, rails)
		for k := range v.drift {
			x := dot(by, v.drift[k])
			*v.gram.at(i, k), *v.gram.at(k, i) = x, x
		}
	}
	return v
}

// probes lists the readings that can be taken with the lamp at a place.
func (ch *chooser) probes(v *view) []*probe {
	var out []*probe
	most := ofRange * ch.o.Meter.Millivolts.Over[0]
	common := v.lit.n.Find(v.place.Common)
	hot := func(p int) bool { x, ok := v.lit.between(p, common); return ok && x > ch.o.Volts/2 }
	for i := range v.points {
		for k := range i {
			a, b := &v.points[i], &v.points[k]
			if hot(a.point) != hot(b.point) {
				continue
			}
			p := &probe{v: v, red: k, black: i, cost: a.cost + b.cost + perMetre*max(0, a.metres(b)-2*leadMetres)}
			volts, ok := v.lit.between(b.point, a.point)
			if volts < 0 {
				p.red, p.black, volts = i, k, -volts
			}
			if !ok || volts < leastVolts || volts > most {
				continue
			}
			p.volts, p.sd = volts, math.Sqrt2*ch.o.Meter.Millivolts.SD(volts, 0)
			out = append(out, p)
		}
	}
	return out
}

// reading is the probe as a plan has it.
func (p *probe) reading(place int) Reading {
	n := p.v.lit.n
	return Reading{place, n.Points[p.v.points[p.red].point].Name, n.Points[p.v.points[p.black].point].Name}
}

func (p *probe) itself() float64 {
	g, r := p.v.gram, p.v.rails[p.red]-p.v.rails[p.black]
	return *g.at(p.red, p.red) + *g.at(p.black, p.black) - 2**g.at(p.red, p.black) + r*r +
		scaleSpread*scaleSpread*p.volts*p.volts + p.sd*p.sd
}

// covary is how a reading goes together with one that was chosen, with nothing worse.
func (p *probe) covary(q *probe) float64 {
	if p.v.cross[q] == nil {
		x := slices.Clone(q.v.drift[q.red])
		add(x, -1, q.v.drift[q.black])
		for i := range p.v.points {
			p.v.cross[q] = append(p.v.cross[q], dot(x, p.v.drift[i])+(q.v.rails[q.red]-q.v.rails[q.black])*p.v.rails[i])
		}
	}
	out := p.v.cross[q][p.red] - p.v.cross[q][p.black]
	if p.v.place == q.v.place {
		out += scaleSpread * scaleSpread * p.volts * q.volts
	}
	return out
}

// told is what chosen readings say: every contact's marks, in units of how the readings
// scatter, and how far apart those are.
type told struct {
	chosen []*probe
	rows   [][]float64 // of the covariance's Cholesky part
	marks  [][]float64 // by reading, by contact
	alike  []float64   // by pair of contacts, exp(-distance), the last contact being none
	weight []float64   // by contact: what of its ohms a train feels
	stands []int       // by contact: its index in chooser.links
	worth  float64
	n      int
	all    float64 // contacts, each by itself, and one for none
}

func newTold(ch *chooser) *told {
	t := &told{n: len(ch.links) + 1}
	sum := 0.0
	for i, j := range ch.links {
		t.stands = append(t.stands, i)
		w := 1 / (1 + TrainFeels*ch.around[j]) // the rest goes another way
		t.weight = append(t.weight, w)
		sum += w
	}
	for i := range t.weight {
		t.weight[i] /= sum
	}
	t.alike, t.all = make([]float64, t.n*t.n), float64(t.n)
	for i := range t.alike {
		t.alike[i] = 1
	}
	return t
}

// sameMark is the part of the largest mark at a point below which two are one: the
// solver's rounding.
const sameMark = 1e-9

// within is what is told so far, with contacts as one, as heavy as all of them, that no
// reading has told apart and no point of a view does: what lies in one current between
// two points.
func (t *told) within(v *view) *told {
	columns := slices.Concat(t.marks, v.worse)
	least := make([]float64, len(columns))
	for i, x := range columns {
		for k := range t.stands {
			least[i] = max(least[i], sameMark*math.Abs(x[k]))
		}
	}
	c := &told{chosen: slices.Clone(t.chosen), rows: slices.Clone(t.rows), worth: t.worth, all: t.all}
	var firsts []int
	for k, w := range t.weight {
		same := func(f int) bool {
			for i, x := range columns {
				if math.Abs(x[f]-x[k]) > least[i] {
					return false
				}
			}
			return true
		}
		if at := slices.IndexFunc(firsts, same); at >= 0 {
			c.weight[at] += w
			continue
		}
		firsts, c.weight, c.stands = append(firsts, k), append(c.weight, w), append(c.stands, t.stands[k])
	}
	firsts = append(firsts, t.n-1) // none
	c.n = len(firsts)
	for _, x := range t.marks {
		c.marks = append(c.marks, picked(x, firsts))
	}
	for _, k := range firsts {
		c.alike = append(c.alike, picked(t.alike[k*t.n:(k+1)*t.n], firsts)...)
	}
	return c
}

// picked are the members of a list that some indices name.
func picked(list []float64, in []int) []float64 {
	out := make([]float64, len(in))
	for i, k := range in {
		out[i] = list[k]
	}
	return out
}

// next is what one more reading adds: its row of the Cholesky part, and its marks; nil
// where it was taken.
func (t *told) next(p *probe) (row, marks []float64) {
	left := p.itself()
	for i, q := range t.chosen {
		if q.v.place == p.v.place && q.red == p.red && q.black == p.black {
			return nil, nil
		}
		x := p.covary(q)
		for k := range i {
			x -= row[k] * t.rows[i][k]
		}
		x /= t.rows[i][i]
		row = append(row, x)
		left -= x * x
	}
	d := math.Sqrt(max(left, p.sd*p.sd/2))
	marks = make([]float64, t.n)
	for i, k := range t.stands {
		marks[i] = p.v.worse[p.red][k] - p.v.worse[p.black][k]
	}
	for i, x := range row {
		add(marks, -x, t.marks[i])
	}
	for j := range marks {
		marks[j] /= d
	}
	return append(row, d), marks
}

// values is what readings are worth with one more, and how much alike the contacts then
// are.
func (t *told) values(marks, into []float64) float64 {
	none := t.n - 1
	sums := make([]float64, none)
	out := 0.0
	for i := range t.n {
		for k := range i {
			x := t.alike[i*t.n+k]
			if d := marks[i] - marks[k]; x > 0 {
				x *= math.Exp(-d * d / 8)
			}
			if into != nil {
				into[i*t.n+k] = x
			}
			if i == none {
				far := math.Sqrt(-8 * math.Log(max(x, 1e-300)))
				out += t.weight[k] * math.Erfc((shows-1.28-far)/math.Sqrt2) / 2
				continue
			}
			sums[i] += t.weight[k] * x
			sums[k] += t.weight[i] * x
		}
	}
	for i, w := range t.weight {
		out -= where * w * math.Log(sums[i]+w) / math.Log(t.all)
	}
	return out
}

func (t *told) gain(p *probe) float64 {
	_, marks := t.next(p)
	if marks == nil {
		return -2
	}
	return t.values(marks, nil) - t.worth
}

func (t *told) take(p *probe) {
	row, marks := t.next(p)
	if marks == nil {
		return
	}
	t.worth = t.values(marks, t.alike)
	t.chosen, t.rows, t.marks = append(t.chosen, p), append(t.rows, row), append(t.marks, marks)
}
