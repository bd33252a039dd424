package infer

import "math"

// Display errors within a stated limit are uniform (JCGM 100:2008, "Guide to
// the expression of uncertainty in measurement", 4.3.7): what a display may be
// off by is a box, not a Gaussian. boxes puts in place of each box the Gaussian
// that stands for it beside all the other readings, by expectation propagation
// (T. P. Minka, "Expectation propagation for approximate Bayesian inference",
// 2001; J. P. Cunningham, P. Hennig, S. Lacoste-Julien, "Gaussian probabilities
// and expectation propagation", 2011; both from memory).
//
// A display that shows no minus shows zero for all that its error would take
// below: what it may then be off by is a tent.
type boxes struct {
	half  []float64 // by reading, 0 for none
	tent  []bool
	own   []float64 // variance of the box or tent
	shift []float64 // of the Gaussian in its place: off the reading by,
	vary  []float64 // and its variance
	resid []float64 // observed minus predicted, shifted
	cov   []float64
	g     gauss
}

// boxed is the part of a reading's noise from which its box counts.
const boxed = 0.5

// start takes the boxes of readings idx; false when none counts.
func (b *boxes) start(j *joint, idx []int) bool {
	n := len(idx)
	b.half, b.tent, b.own, b.shift, b.vary = grow(b.half, n), b.tent[:0], grow(b.own, n), grow(b.shift, n),
		grow(b.vary, n)
	b.resid, b.cov = grow(b.resid, n), grow(b.cov, n*n)
	any := false
	for x, a := range idx {
		b.half[x], b.own[x], b.shift[x], b.vary[x] = 0, 0, 0, 0
		b.tent = append(b.tent, false)
		if j.flat == nil {
			continue
		}
		f := j.flat[a]
		if v := f.variance(); v > boxed*j.noise[a]*j.noise[a] {
			b.half[x], b.tent[x], b.own[x], b.vary[x] = f.half, f.tent, v, v
			any = true
		}
	}
	return any
}

// Settling ends when no Gaussian moves by more than settled, in standard deviations
// of its reading, and after mostSettling rounds at any rate (both assumed; what is
// then off is part of the 0.004 of doc.go). toldAlready is the part of a
// reading's variance below which the others tell all of it: a box that adds nothing
// but rounding. widestBox is the least precision of the Gaussian in a box's place, in
// one over its half-width squared: it is never wider than a hundred of them, where it
// tells nothing any more. narrowBox is the width, in standard deviations, of a box
// over which a normal density is taken to be straight: its bend is then about 1e-5 of
// it near the middle.
const (
	mostSettling = 12
	settled      = 0.02
	toldAlready  = 1e-9
	widestBox    = 1e-4
	narrowBox    = 0.01
)

// flat is the uniform part of a display's error, or a tent where it shows zero.
type flat struct {
	half float64
	tent bool
}

// variance is that of an even density over twice half, or of a tent on it.
func (f *flat) variance() float64 {
	if f.tent {
		return f.half * f.half / 6
	}
	return f.half * f.half / 3
}

// settle finds the Gaussians, given the covariance of the readings with each
// box as a Gaussian of its variance. It gives what their log density is to be
// corrected by. False where a reading is far outside what is thought possible.
func (b *boxes) settle(cov, resid []float64) (log float64, ok bool) {
	n := len(resid)
	for range mostSettling {
		copy(b.cov, cov[:n*n])
		for x := range resid {
			b.cov[x*n+x] += b.vary[x] - b.own[x]
			b.resid[x] = resid[x] + b.shift[x]
		}
		if !b.g.fit(b.cov, b.resid, n) {

			return 0, false
		}
		b.g.invert()
		moved := 0.0
		log = 0
		for x, h := range b.half {
			if h == 0 {
				continue
			}
			l, m, ok := b.one(x, resid[x])
			if !ok {
				return 0, false
			}
			log += l
			moved = math.Max(moved, m)
		}
		if moved < settled {
			break
		}
	}
	return log, true
}

// one settles a box beside the others. It gives what the log density is to be
// corrected by with the Gaussian as it was, and how far it moved.
func (b *boxes) one(x int, resid float64) (log, moved float64, ok bool) {
	n, h := b.g.n, b.half[x]
	with := 1 / b.g.inv[x*n+x] // variance given the other readings
	alone := with - b.vary[x]  // the box's own left out
	if !(alone > toldAlready*with) {
		return 0, 0, true // known from the others: the box tells nothing
	}
	mean := b.resid[x] - b.g.white[x]*with
	sd := math.Sqrt(alone)
	lo, hi := (resid-h-mean)/sd, (resid+h-mean)/sd
	inside, mid, vary, area := 0.0, 0.0, 0.0, 2*h
	if b.tent[x] {
		area = h
		inside, mid, vary = under(lo, hi)
	} else {
		inside, mid, vary = truncated(lo, hi)
	}
	if !(inside > 0) || !(vary > 0) {
		return 0, 0, false
	}
	d := mean - b.resid[x]
	log = math.Log(inside/area) + 0.5*(log2Pi+math.Log(with)+d*d/with)
	precision := math.Max((1/vary-1)/alone, widestBox/(h*h))
	v := 1 / precision
	at := v*((mean+sd*mid)/(vary*alone)-mean/alone) - resid
	moved = (math.Abs(at-b.shift[x]) + math.Abs(math.Sqrt(v)-math.Sqrt(b.vary[x]))) / math.Sqrt(v+alone)
	b.shift[x], b.vary[x] = at, v
	return log, moved, true
}

// truncated is a standard normal cut to lo..hi: how much of it lies there, and
// its mean and variance.
func truncated(lo, hi float64) (inside, mean, vary float64) {
	flip := lo+hi > 0 // the left tail keeps its digits
	if flip {
		lo, hi = -hi, -lo
	}
	if hi-lo < narrowBox { // the density is straight over it
		mid, half := (lo+hi)/2, (hi-lo)/2
		inside = 2 * half * math.Exp(-mid*mid/2) / math.Sqrt(2*math.Pi)
		mean, vary = mid-mid*half*half/3, half*half/3
	} else {
		inside = 0.5 * (math.Erfc(-hi/math.Sqrt2) - math.Erfc(-lo/math.Sqrt2))
		a, b := math.Exp(-lo*lo/2)/math.Sqrt(2*math.Pi), math.Exp(-hi*hi/2)/math.Sqrt(2*math.Pi)
		mean = (a - b) / inside
		vary = 1 + (lo*a-hi*b)/inside - mean*mean
	}
	if flip {
		mean = -mean
	}
	return inside, mean, vary
}

// under is a standard normal times a tent of height 1 over lo..hi: what is left
// of it, and its mean and variance. By Simpson's rule.
func under(lo, hi float64) (inside, mean, vary float64) {
	const wide, parts = 8, 16 // of the normal; of each side of the tent
	mid := (lo + hi) / 2
	var sum [3]float64
	side := func(from, to, foot float64) {
		if from, to = math.Max(from, -wide), math.Min(to, wide); from >= to {
			return
		}
		step := (to - from) / parts
		for i := range parts + 1 {
			z := from + float64(i)*step
			w := step / 3 * math.Abs(z-foot) / (hi - mid) * math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
			switch {
			case i == 0 || i == parts:
			case i%2 == 1:
				w *= 4
			default:
				w *= 2
			}
			sum[0], sum[1], sum[2] = sum[0]+w, sum[1]+w*z, sum[2]+w*z*z
		}
	}
	side(lo, mid, lo)
	side(mid, hi, hi)
	if sum[0] == 0 {
		return 0, 0, 0
	}
	mean = sum[1] / sum[0]
	return sum[0], mean, sum[2]/sum[0] - mean*mean
}
