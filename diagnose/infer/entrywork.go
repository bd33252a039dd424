package infer

import "math"

// entryWork works out what readings are with current coming in at one place.
type entryWork struct {
	*feeding
	in     *place // nil for no wire but those of the file
	idle   *place // where the clip of a wire is that feeds nothing, nil at the posts
	last   int    // the index of in
	ls     []loss
	probes []through // by reading: one ampere through its probes
	// Of a place of the short: by reading what each link moves it by, what the wire
	// does, and the short's own place along its piece.
	moves               [][]float64
	wires, along, clips []float64
	drive               []driven
	cov, mean, resid    []float64
	weighted, cross     []float64
	g                   gauss
}

// clipOff is how far the ohms of a wire's clip are off, a part of them (assumed).
const clipOff = 1

// mostOff is how many times more or less than the lamp's the current times the level may
// be where its square is taken for the spread by rails and joints.
const mostOff = 5

// through is one ampere from black to red: its current by link, and in the wire that
// the file lacks.
type through struct {
	amps []float64
	wire float64
	ok   bool
}

// from gets ready for current that comes in at a place, one more than the last for
// none but by the wires of the file, and one more yet for none by a wire whose clip is
// on the track.
func (w *entryWork) from(in int, ls []loss) {
	w.in, w.idle, w.ls, w.probes = nil, nil, ls, w.probes[:0]
	switch {
	case in < len(w.ends):
		w.in = &w.ends[in]
	case in > len(w.ends):
		w.idle = w.home
	}
	for a := range ls {
		w.probes = append(w.probes, w.probe(&ls[a]))
	}
}

func (w *entryWork) probe(x *loss) through {
	links := w.sides[x.side]
	t := through{amps: make([]float64, len(links)), ok: true}
	for _, end := range [2]struct {
		node int
		sign float64
	}{{x.black, 1}, {x.red, -1}} {
		if end.node == atWire {
			end.node = w.atClip(x)
		}
		if end.node == x.rig.posts[x.side] {
			continue
		}
		f, ok := w.flow(x.rig, x.side, end.node, w.in)
		if !ok {
			return through{}
		}
		t.wire += end.sign * f.wire
		for l := range links {
			if k := &links[l]; x.rig.on[k.link] {
				t.amps[l] += end.sign * (f.at(k.u) - f.at(k.v)) / k.ohms
			}
		}
	}
	return t
}

// atClip is the node that has the volts of the wire's clip, but for what the wire loses.
func (w *entryWork) atClip(x *loss) int {
	switch {
	case w.in != nil:
		return w.in.node[x.side]
	case w.idle != nil:
		return w.idle.node[x.side]
	}
	return x.rig.posts[x.side] // off the track: no current, no loss
}

// driven is the current to a place of the short in one set-up, on one side.
type driven struct {
	rig  *rig
	side int
	flow flow
	ok   bool
	amps []float64 // by link of the side
}

// driven works it out once for all readings of that set-up and side.
func (w *entryWork) driven(x *loss, out int) *driven {
	for i := range w.drive {
		if d := &w.drive[i]; d.rig == x.rig && d.side == x.side {
			return d
		}
	}
	var memory []float64
	if n := len(w.drive); n < cap(w.drive) {
		memory = w.drive[:n+1][n].amps
	}
	links := w.sides[x.side]
	d := driven{rig: x.rig, side: x.side, amps: grow(memory, len(links))}
	if d.flow, d.ok = w.flow(x.rig, x.side, w.outs[out].node[x.side], w.in); d.ok {
		for l := range links {
			d.amps[l] = 0
			if k := &links[l]; x.rig.on[k.link] {
				d.amps[l] = (d.flow.at(k.u) - d.flow.at(k.v)) / k.ohms
			}
		}
	}
	w.drive = append(w.drive, d)
	return &w.drive[len(w.drive)-1]
}

// reads is what a reading is for one ampere that flows so; the part of it that is lost
// in the wire's clip stands beside it.
func (w *entryWork) reads(x *loss, f *flow) (h, inClip float64) {
	at := func(node int) float64 {
		if node == x.rig.posts[x.side] {
			return 0
		}
		return f.at(node)
	}
	for _, end := range [2]struct {
		node int
		sign float64
	}{{x.black, 1}, {x.red, -1}} {
		if end.node == atWire {
			inClip -= end.sign * f.wire * w.clip
			h += end.sign*at(w.atClip(x)) - end.sign*f.wire*w.clip
			continue
		}
		h += end.sign * at(end.node)
	}
	return h, inClip
}

// spreadOut fills in means and what moves them, for a short at a place; false where no
// current gets there.
func (w *entryWork) spreadOut(out int) bool {
	n := len(w.ls)
	w.mean, w.wires, w.along, w.drive = grow(w.mean, n), grow(w.wires, n), grow(w.along, n), w.drive[:0]
	w.clips = grow(w.clips, n)
	for len(w.moves) < n {
		w.moves = append(w.moves, nil)
	}
	for a := range w.ls {
		x, t := &w.ls[a], &w.probes[a]
		d := w.driven(x, out)
		if !d.ok || !t.ok {
			return false
		}
		h, inClip := w.reads(x, &d.flow)
		sign := 1.0
		if h < 0 { // a display of AC shows no minus
			sign = -1
		}
		w.moves[a] = grow(w.moves[a], len(d.amps))
		for l, amps := range d.amps {
			w.moves[a][l] = sign * t.amps[l] * amps
		}
		w.mean[a], w.wires[a] = sign*h, sign*d.flow.wire*t.wire*w.off*w.wire
		w.along[a], w.clips[a] = sign*w.shift(x, out), sign*inClip*clipOff
	}
	return true
}

// shift is what the short's own place along its piece moves a reading by.
func (w *entryWork) shift(x *loss, out int) float64 {
	if out == 0 || out == len(w.outs)-1 {
		return 0
	}
	before, ok := w.flow(x.rig, x.side, w.outs[out-1].node[x.side], w.in)
	after, too := w.flow(x.rig, x.side, w.outs[out+1].node[x.side], w.in)
	if !ok || !too {
		return 0
	}
	a, _ := w.reads(x, &after)
	b, _ := w.reads(x, &before)
	return (a - b) / 2 * placeSD
}

// joint fills in mean and covariance of the first n readings for a short at a place, and
// how much of the level and of the current they have (b, off).
func (w *entryWork) joint(out, n int) (b, off float64, ok bool) {
	if !w.spreadOut(out) {
		return 0, 0, false
	}
	w.cov, w.resid = grow(w.cov, n*n), grow(w.resid, n)
	shown, foretold := 0.0, 0.0
	for a := range n {
		if w.ls[a].shown > 0 {
			shown, foretold = shown+w.ls[a].shown, foretold+w.mean[a]
		}
	}
	if b = w.feeding.amps; foretold > 0 {
		b = math.Min(math.Max(shown/foretold, b/mostOff), mostOff*b)
	}
	off = currentOff * w.feeding.amps
	for a := range n {
		w.weigh(a)
		for c := 0; c <= a; c++ {
			v := w.covariance(a, c, b, off)
			w.cov[a*n+c], w.cov[c*n+a] = v, v
		}
		w.resid[a] = w.ls[a].shown - w.feeding.amps*w.mean[a]
	}
	return b, off, true
}

// weigh gets a reading ready for its covariances with others.
func (w *entryWork) weigh(a int) {
	links := w.sides[w.ls[a].side]
	w.weighted = grow(w.weighted, len(links))
	for l, m := range w.moves[a] {
		w.weighted[l] = m * links[l].variance
	}
}

// covariance is that of a reading that was weighed and another one.
func (w *entryWork) covariance(a, c int, b, off float64) float64 {
	v := w.wires[a]*w.wires[c] + w.along[a]*w.along[c]
	if w.ls[a].side == w.ls[c].side {
		v += dot(w.weighted, w.moves[c]) + w.clips[a]*w.clips[c]
	}
	v = b*b*v + off*off*w.mean[a]*w.mean[c]
	if a == c {
		v += w.ls[a].sd * w.ls[a].sd
	}
	return v
}

// log is the log density of the readings for a short at a place, one of them at most
// saying nothing.
func (w *entryWork) log(out int, nothing float64) float64 {
	n := len(w.ls)
	if _, _, ok := w.joint(out, n); !ok {
		return math.Inf(-1)
	}
	if n == 0 {
		return 0
	}
	if !w.g.fit(w.cov, w.resid, n) {
		return math.Inf(-1)
	}
	eps := w.e.Model.Misread
	var sum logSum
	all := w.g.logDensity()
	sum.add(all + float64(n)*math.Log1p(-eps))
	if n > 2 {
		w.g.invert()
		for a := range n {
			sum.add(all - w.g.logGiven(a) + nothing/float64(n) + math.Log(eps))
		}
	}
	return sum.value()
}

// given is what each reading past the first n shows for a short at a place, those
// known: mean and standard deviation.
func (w *entryWork) given(out, n int, mean, sd []float64) bool {
	b, off, ok := w.joint(out, n)
	if !ok {
		return false
	}
	if n > 0 {
		if !w.g.fit(w.cov, w.resid, n) {
			return false
		}
		w.g.invert()
	}
	w.cross = grow(w.cross, n)
	for i := range mean {
		a := n + i
		w.weigh(a)
		m, v := w.feeding.amps*w.mean[a], w.covariance(a, a, b, off)
		for c := range n {
			w.cross[c] = w.covariance(a, c, b, off)
			m += w.cross[c] * w.g.white[c]
		}
		for c := range n {
			v -= w.cross[c] * dot(w.g.inv[c*n:c*n+n], w.cross)
		}
		mean[i], sd[i] = m, math.Sqrt(math.Max(v, w.ls[a].sd*w.ls[a].sd))
	}
	return true
}
