package infer

import (
	"cmp"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
)

// lump is joints, clips or wires that all readings feel alike, each in
// proportion: what is in series between two probes. Its resistance is taken to
// be log-normal with the mean and the variance of the sum (L. F. Fenton, "The
// sum of log-normal probability distributions in scatter transmission
// systems", IRE Trans. Communications Systems 8, 1960, from memory).
type lump struct {
	by   []float64 // by reading of the joint: volt (or ohm), for the mean
	sd   float64   // of the logarithm
	wire bool      // no level changes it
}

// skewed is a joint with its lumps kept apart from what is Gaussian.
type skewed struct {
	j     *joint
	lumps []lump
	kept  [conductor.NumClasses][]float64 // covariance by what is in no lump
	jnt   []float64                       // what joints in no lump move a reading by, per log of the level
}

// noticeable is the part of a reading's noise from which a resistance's spread
// is worth a lump.
const noticeable = 0.02

// skew takes the lumps out of the forecasts that a joint was made of, which
// must have been kept.
func (s *stage) skew(j *joint) *skewed {
	out := &skewed{j: j, jnt: append([]float64(nil), j.jnt...)}
	for c := range out.kept {
		out.kept[c] = append([]float64(nil), j.k[c]...)
	}
	supers := s.f.basis.Supers
	by := make([]float64, j.n)
	var variance []float64 // of each lump, in its mean squared
	for k := range supers {
		for _, class := range [...]conductor.Class{conductor.ClassJoint, conductor.ClassWire} {
			mean, v := supers[k].Level[class], supers[k].Var[class]
			if !(v > 0 && mean > 0) || !j.feels(k, math.Sqrt(v), by) {
				continue
			}
			for a := range by {
				for b := range by {
					out.kept[class][a*j.n+b] -= by[a] * by[b] * v
				}
			}
			for a := range by {
				by[a] *= mean
				if class == conductor.ClassJoint {
					out.jnt[a] -= by[a]
				}
			}
			variance = out.put(by, v/(mean*mean), class == conductor.ClassWire, variance)
		}
	}
	for i := range out.lumps {
		out.lumps[i].sd = math.Sqrt(math.Log1p(variance[i]))
	}
	return out
}

// feels sets how the readings move with a super, in volt an ohm, and says
// whether one of them notices its spread.
func (j *joint) feels(super int, sd float64, by []float64) bool {
	big := false
	for a, i := range j.obs {
		by[a] = 0
		if super < len(j.from[i].m.S) {
			by[a] = j.from[i].m.S[super]
		}
		big = big || math.Abs(by[a])*sd > noticeable*j.noise[a]
	}
	return big
}

// put adds a resistance (by: in volt for its mean; variance in its mean
// squared) to the lump that moves all readings as it does, or makes one.
func (sk *skewed) put(by []float64, variance float64, wire bool, all []float64) []float64 {
	for i := range sk.lumps {
		l := &sk.lumps[i]
		if l.wire != wire {
			continue
		}
		if f, ok := along(l.by, by); ok {
			for a := range by {
				l.by[a] += by[a]
			}
			all[i] = (all[i] + f*f*variance) / ((1 + f) * (1 + f))
			return all
		}
	}
	sk.lumps = append(sk.lumps, lump{by: append([]float64(nil), by...), wire: wire})
	return append(all, variance)
}

// along says whether b moves all readings as a does, within a hundredth, and
// by how many times as much.
func along(a, b []float64) (f float64, ok bool) {
	top := 0
	for i := range a {
		if math.Abs(a[i]) > math.Abs(a[top]) {
			top = i
		}
	}
	f = b[top] / a[top]
	if !(f > 0) {
		return 0, false
	}
	for i := range a {
		if math.Abs(b[i]-f*a[i]) > 0.01*f*math.Abs(a[top]) {
			return 0, false
		}
	}
	return f, true
}

// laplace integrates over the lumps and over where the levels lie within their
// cell: all log-normal, each the exponential of a standard normal. The
// integrand is a Gaussian about its largest value (Laplace's method; L.
// Tierney, J. B. Kadane, "Accurate approximations for posterior moments and
// marginal densities", J. Am. Stat. Assoc. 81, 1986, from memory).
type laplace struct {
	sk   *skewed
	c    *levelCell
	n, p int // readings, unknowns: lumps, common level, joints' level
	// by, jac, t: unknown by unknown, what each reading moves by (volt at the
	// mean; for the last two that of rails, and of joints in no lump), the
	// derivatives, and those weighed.
	by, jac, t    []float64
	z, next       []float64 // the unknowns
	grow          []float64 // factor on each lump's mean, on rails, on other joints
	noise         []float64 // covariance with lumps and levels at their place
	r, rhs        []float64 // residuals there
	cov, straight []float64
	free          gauss // the readings with the lumps and levels at their place
	all           gauss // and with them spread
	box           boxes
}

// logDensity of readings idx of a joint in a level cell, given their residuals
// from the cell's center: bent with log-normal lumps and levels, flat with all
// of it Gaussian.
func (w *laplace) logDensity(sk *skewed, c *levelCell, railSD float64, idx []int, resid []float64) (bent, flat float64, ok bool) {
	w.start(sk, c, idx)
	w.still(railSD, idx)
	copy(w.cov, w.noise)
	if !w.free.fit(w.cov[:w.n*w.n], resid, w.n) {
		return 0, 0, false
	}
	w.slopes(true)
	if !w.spread(resid) {
		return 0, 0, false
	}
	flat = w.all.logDensity()
	boxLog := 0.0
	if w.box.start(sk.j, idx) {
		w.together()
		if l, ok := w.box.settle(w.cov, resid); ok {
			boxLog = l
			resid = w.box.resid
			w.unbox()
			copy(w.cov, w.noise)
			if !w.free.fit(w.cov[:w.n*w.n], resid, w.n) || !w.spread(resid) {
				return 0, 0, false
			}
		}
	}
	w.begin()
	f, ok := w.descend(resid)
	if !ok {
		return 0, 0, false
	}
	logDet, ok := w.curvature()
	if !ok {
		return 0, 0, false
	}
	return boxLog - f - 0.5*(float64(w.n)*log2Pi+w.free.logDet+logDet), flat, true
}

// unbox takes the Gaussians in place of the boxes into the noise.
func (w *laplace) unbox() {
	for x, v := range w.box.vary {
		w.noise[x*w.n+x] += v - w.box.own[x]
	}
}

func (w *laplace) start(sk *skewed, c *levelCell, idx []int) {
	w.sk, w.c, w.n, w.p = sk, c, len(idx), len(sk.lumps)+2
	n, p := w.n, w.p
	w.by, w.jac, w.t = grow(w.by, n*p), grow(w.jac, n*p), grow(w.t, n*p)
	w.z, w.next, w.grow = grow(w.z, p), grow(w.next, p), grow(w.grow, p)
	w.cov, w.r = grow(w.cov, max(n*n, p*p)), grow(w.r, n)
	for k := range sk.lumps {
		l := &sk.lumps[k]
		scale := c.jnt
		if l.wire {
			scale = 1
		}
		for x, a := range idx {
			w.by[k*n+x] = sk.j.byLampAt(a, c) * scale * l.by[a]
		}
	}
	for x, a := range idx {
		lamp := sk.j.byLampAt(a, c)
		w.by[(p-2)*n+x] = lamp * c.rail * sk.j.rail[a]
		w.by[(p-1)*n+x] = lamp * c.jnt * sk.jnt[a]
	}
}

// still sets the covariance of what is neither a lump nor a level within its
// cell.
func (w *laplace) still(railSD float64, idx []int) {
	w.noise = grow(w.noise, w.n*w.n)
	c, j, kept := w.c, w.sk.j, &w.sk.kept
	rails := w.by[(w.p-2)*w.n:]
	for x, a := range idx {
		for y, b := range idx {
			at := a*j.n + b
			lamps := j.byLampAt(a, c) * j.byLampAt(b, c)
			w.noise[x*w.n+y] = lamps*(c.rail*c.rail*kept[conductor.ClassRail][at]+c.jnt*c.jnt*kept[conductor.ClassJoint][at]+kept[conductor.ClassWire][at]) +
				j.common(a, b, c) + railSD*railSD*rails[x]*rails[y]
		}
	}
}

// slopes sets the derivatives where cost was last asked for; flat, those of a
// Gaussian with the same means and variances.
func (w *laplace) slopes(flat bool) {
	n, p := w.n, w.p
	clear(w.jac[(p-2)*n : p*n])
	for k := 0; k < p; k++ {
		f, sd, wire := w.grow[k], 0.0, false
		if k < p-2 {
			l := &w.sk.lumps[k]
			sd, wire = l.sd, l.wire
		}
		if flat {
			f, sd = 1, math.Sqrt(math.Expm1(sd*sd))
		}
		for x := 0; x < n; x++ {
			v := w.by[k*n+x] * f
			if k < p-2 {
				w.jac[k*n+x] = sd * v
			}
			if !wire {
				w.jac[(p-2)*n+x] += w.c.commonSD * v
			}
			if !wire && k != p-2 {
				w.jac[(p-1)*n+x] += w.c.jointSD * v
			}
		}
	}
}

// spread fits the readings with the unknowns' derivatives as they are.
func (w *laplace) spread(resid []float64) bool {
	w.together()
	return w.all.fit(w.cov[:w.n*w.n], resid, w.n)
}

// together sets the covariance with the unknowns' derivatives as they are.
func (w *laplace) together() {
	n := w.n
	cov := w.cov[:n*n]
	copy(cov, w.noise)
	for k := 0; k < w.p; k++ {
		row := w.jac[k*n : k*n+n]
		for x, a := range row {
			if a == 0 {
				continue
			}
			for y, b := range row {
				cov[x*n+y] += a * b
			}
		}
	}
}

// begin starts where the Gaussian has its largest value, as far as a
// log-normal goes there.
func (w *laplace) begin() {
	for k := range w.z {
		z := dot(w.jac[k*w.n:(k+1)*w.n], w.all.white)
		if k < w.p-2 {
			sd := w.sk.lumps[k].sd
			z = math.Log(math.Max(1+z*math.Sqrt(math.Expm1(sd*sd)), 0.1))/sd + sd/2
		}
		w.z[k] = z
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// cost is minus the logarithm of the integrand at z, but for constants; it
// sets the residuals and the factors there.
func (w *laplace) cost(z, resid []float64) float64 {
	n, p := w.n, w.p
	copy(w.r, resid)
	rails := math.Exp(w.c.commonSD * z[p-2])
	joints := rails * math.Exp(w.c.jointSD*z[p-1])
	for k := 0; k < p; k++ {
		f := joints
		switch {
		case k == p-2:
			f = rails
		case k < p-2:
			l := &w.sk.lumps[k]
			if l.wire {
				f = 1
			}
			f *= math.Exp(l.sd*z[k] - l.sd*l.sd/2)
		}
		w.grow[k] = f
		for x := 0; x < n; x++ {
			w.r[x] -= w.by[k*n+x] * (f - 1)
		}
	}
	w.free.set(w.r)
	return 0.5 * (dot(z, z) + w.free.quad)
}

// descend goes to the largest value of the integrand by Gauss and Newton's
// method, its steps halved until they gain.
func (w *laplace) descend(resid []float64) (f float64, ok bool) {
	n := w.n
	rhs := grow(w.rhs, n)
	w.rhs = rhs
	f = w.cost(w.z, resid)
	for range 25 {
		w.slopes(false)
		copy(rhs, w.r)
		for k, z := range w.z {
			for x := range rhs {
				rhs[x] += w.jac[k*n+x] * z
			}
		}
		if !w.spread(rhs) {
			return 0, false
		}
		moved, step := 0.0, 1.0
		for range 10 {
			moved = 0
			for k, z := range w.z {
				d := step * (dot(w.jac[k*n:(k+1)*n], w.all.white) - z)
				w.next[k] = z + d
				moved = math.Max(moved, math.Abs(d))
			}
			g := w.cost(w.next, resid)
			if g <= f+1e-9 {
				f = g
				break
			}
			step /= 2
		}
		w.z, w.next = w.next, w.z
		if moved < 0.01 {
			break
		}
	}
	return f, true
}

// curvature is the logarithm of the determinant of the second derivatives of
// cost where it was last asked for.
func (w *laplace) curvature() (logDet float64, ok bool) {
	n, p := w.n, w.p
	w.slopes(false)
	for k := 0; k < p; k++ {
		for x := 0; x < n; x++ {
			w.t[k*n+x] = dot(w.free.inv[x*n:(x+1)*n], w.jac[k*n:(k+1)*n])
		}
	}
	h := w.cov[:p*p]
	for k := 0; k < p; k++ {
		for l := 0; l <= k; l++ {
			v := dot(w.t[k*n:(k+1)*n], w.jac[l*n:(l+1)*n])
			h[k*p+l], h[l*p+k] = v, v
		}
		h[k*p+k]++
	}
	w.straight = append(w.straight[:0], h...)
	w.bends(h)
	if logDet, ok = cholesky(h, p); ok {
		return logDet, true
	}
	copy(h, w.straight)
	return cholesky(h, p)
}

// bends takes off what the readings' own second derivatives add.
func (w *laplace) bends(h []float64) {
	n, p := w.n, w.p
	u, v := p-2, p-1
	cs, js := w.c.commonSD, w.c.jointSD
	put := func(a, b int, x float64) {
		h[a*p+b] -= x
		if a != b {
			h[b*p+a] -= x
		}
	}
	for k := 0; k < p; k++ {
		g := w.grow[k] * dot(w.by[k*n:(k+1)*n], w.free.white)
		wire := false
		if k < p-2 {
			sd := w.sk.lumps[k].sd
			wire = w.sk.lumps[k].wire
			put(k, k, sd*sd*g)
			if !wire {
				put(k, u, sd*cs*g)
				put(k, v, sd*js*g)
			}
		}
		if wire {
			continue
		}
		put(u, u, cs*cs*g)
		if k != u {
			put(u, v, cs*js*g)
			put(v, v, js*js*g)
		}
	}
}

// telling is how far below the likeliest way in which the readings came about,
// as a logarithm, one is worth a closer look; closer is how many joints are
// looked at, the likeliest first. More are in the running only while the belief
// is wide, where it does not matter.
const (
	telling = 9
	closer  = 64
)

// candidate is a joint that may be worth a closer look.
type candidate struct {
	g, k int // group, severity
	j    *joint
	log  float64 // of the prior of the likeliest that share it
}

func (c *candidate) total() float64 { return c.log + c.j.lik.log }

// candidates lists the joints that matter, the likeliest first.
func (ev *evaluation) candidates(prior *Posterior) []candidate {
	at := map[*joint]int{}
	var all []candidate
	for gi := range ev.s.f.groups {
		for k, j := range ev.joints[gi] {
			var sum logSum
			for _, h := range ev.s.f.groups[gi].hypos {
				sum.add(math.Log(prior.Hypo[h]) + math.Log(prior.Severity[h][k]))
			}
			x := sum.value()
			if i, ok := at[j]; ok {
				all[i].log = math.Max(all[i].log, x)
				continue
			}
			at[j] = len(all)
			all = append(all, candidate{gi, k, j, x})
		}
	}
	slices.SortStableFunc(all, func(a, b candidate) int { return cmp.Compare(b.total(), a.total()) })
	var kept []candidate
	for _, c := range all {
		if c.j.n > 0 && c.total() > all[0].total()-telling && len(kept) < closer {
			kept = append(kept, c)
		}
	}
	return kept
}

// sharpen replaces the likelihoods that matter by ones that know resistances
// to be log-normal.
func (ev *evaluation) sharpen(prior *Posterior) {
	kept := ev.candidates(prior)
	if len(kept) == 0 {
		return
	}
	best := kept[0].total()
	spread(len(kept), ev.s.again, func(s *stage, i int) {
		it := &kept[i]
		j := it.j
		if j.from == nil {
			g := &s.f.groups[it.g]
			h := &s.e.Hypos[g.lead]
			j = s.fineJoint(s.forecasts(h, h.sevs[it.k], g.span, map[string]*predict.Circuit{}, ev.keys, ev.step), h.sevs[it.k], g.span)
		}
		l := s.likelihoodSkewed(s.skew(j), ev.cells, ev.value, ev.logNothing, best-it.log-telling)
		it.j.lik = &l
	})
}

// fineJoint is a joint with a bridge's place in thirds of its piece, which keeps
// what it was made of.
func (s *stage) fineJoint(fs []forecast, sev severity, span float64) *joint {
	j := s.jointOf(fs, sev, span, span/float64(len(placesAlong)))
	j.from = fs
	return j
}

// likelihoodSkewed is likelihood with the terms above floor looked at closer.
func (s *stage) likelihoodSkewed(sk *skewed, cells []levelCell, value, logNothing []float64, floor float64) likelihood {
	j := sk.j
	s.gather(j, cells, value, logNothing)
	w := &s.work
	resid, idx := make([]float64, 0, j.n), make([]int, 0, j.n)
	w.max = math.Inf(-1)
	for i := range w.terms {
		t := &w.terms[i]
		if t.log > floor {
			c := &cells[t.cell]
			resid, idx = resid[:0], idx[:0]
			for a, o := range j.obs {
				if int32(o) != t.a && int32(o) != t.b {
					idx = append(idx, a)
					resid = append(resid, t.signs.shown(value, o)-j.meanAt(a, c)-j.offset(a, int(t.place), c))
				}
			}
			if len(idx) > 0 {
				if bent, flat, ok := w.bent.logDensity(sk, c, s.e.Model.Level.RailSD, idx, resid); ok && !math.IsNaN(bent-flat) {
					t.log += bent - flat
				}
			}
		}
		w.max = math.Max(w.max, t.log)
	}
	return w.sum(len(cells), len(s.obs))
}
