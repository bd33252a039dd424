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
	worth  float64
	n      int
}

func newTold(ch *chooser) *told {
	t := &told{n: len(ch.links) + 1}
	sum := 0.0
	for _, j := range ch.links {
		w := 1 / (1 + TrainFeels*ch.around[j]) // the rest goes another way
		t.weight = append(t.weight, w)
		sum += w
	}
	for i := range t.weight {
		t.weight[i] /= sum
	}
	t.alike = make([]float64, t.n*t.n)
	for i := range t.alike {
		t.alike[i] = 1
	}
	return t
}

func (t *told) clone() *told {
	c := *t
	c.chosen, c.rows, c.marks, c.alike = slices.Clone(t.chosen), slices.Clone(t.rows), slices.Clone(t.marks), slices.Clone(t.alike)
	return &c
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
	copy(marks, p.v.worse[p.red])
	add(marks[:t.n-1], -1, p.v.worse[p.black])
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
		out -= where * w * math.Log(sums[i]+w) / math.Log(float64(t.n))
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
