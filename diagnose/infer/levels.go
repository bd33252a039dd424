package infer

import "math"

// inCell is where the levels lie within a cell: means and variances of the
// common level and of what joints have on top.
type inCell struct{ common, joint, commonVar, jointVar float64 }

// narrowed conditions each cell on the readings under the likeliest
// hypothesis: a cell is a Gaussian, and the readings say where in it the level
// lies.
func (ev *evaluation) narrowed(p *Posterior) []inCell {
	out := make([]inCell, len(ev.cells))
	for i, c := range ev.cells {
		out[i] = inCell{c.common, c.joint, c.commonSD * c.commonSD, c.jointSD * c.jointSD}
	}
	j := ev.likeliest(p)
	if j == nil || j.n == 0 {
		return out
	}
	value := make([]float64, len(ev.value))
	for i := range value {
		value[i] = j.lik.signs.shown(ev.value, i)
	}
	var felt felt
	cov, resid := make([]float64, j.n*j.n), make([]float64, j.n)
	for i := range ev.cells {
		felt.in(j, &ev.cells[i], ev.s.e.Model.Level.RailSD).matrix(cov, resid, value)
		g, ok := newGauss(cov, resid, j.n)
		if !ok {
			ev.s.failed.cells.Add(1)
			continue
		}
		both, joint := make([]float64, j.n), make([]float64, j.n)
		for a := range both {
			joint[a] = felt.jnt[a]
			both[a] = felt.rail[a] + joint[a]
		}
		narrow := func(by []float64, mean, variance *float64) {
			v := *variance
			shift, gain := 0.0, 0.0
			for a := range by {
				shift += by[a] * g.white[a]
				for b := range by {
					gain += by[a] * g.inv[a*j.n+b] * by[b]
				}
			}
			*mean += v * shift
			*variance = math.Max(v-v*v*gain, leastVariance)
		}
		narrow(both, &out[i].common, &out[i].commonVar)
		narrow(joint, &out[i].joint, &out[i].jointVar)
	}
	return out
}

// likeliest is the joint of the likeliest hypothesis at its likeliest severity.
func (ev *evaluation) likeliest(p *Posterior) *joint {
	best := -1.0
	var out *joint
	for gi := range ev.s.f.groups {
		for _, h := range ev.s.f.groups[gi].hypos {
			if p.Hypo[h] <= best {
				continue
			}
			best = p.Hypo[h]
			top := 0
			for k, x := range p.Severity[h] {
				if x > p.Severity[h][top] {
					top = k
				}
			}
			out = ev.joints[gi][top]
		}
	}
	return out
}

func (p *Posterior) levels(cells []inCell, w []float64) {
	sum := 0.0
	var m, m2 [2]float64
	for c := range cells {
		u, v := cells[c].common, cells[c].common+cells[c].joint
		sum += w[c]
		m[0] += w[c] * u
		m[1] += w[c] * v
		m2[0] += w[c] * (u*u + cells[c].commonVar)
		m2[1] += w[c] * (v*v + cells[c].commonVar + cells[c].jointVar)
	}
	if sum <= 0 {
		return
	}
	for k := range m {
		p.LevelMean[k] = m[k] / sum
		p.LevelSD[k] = math.Sqrt(math.Max(m2[k]/sum-p.LevelMean[k]*p.LevelMean[k], 0))
	}
}
