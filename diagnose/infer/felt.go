package infer

import (
	"slices"

	"fishplate/diagnose/conductor"
)

// felt is what a level cell does to the readings of a joint: worked out once a
// cell, each reading by itself, for the covariance of every two of them.
type felt struct {
	j      *joint
	c      *levelCell
	railSD float64
	mean   []float64
	lamp   []float64 // byLampAt
	times  []float64 // how many times as large the reading is
	rail   []float64 // what moves it: the logs of the levels
	jnt    []float64
	// dark is, of every two readings, their covariance by what the lamp's current alone
	// scales, at the levels of a cell and the current of the kit.
	dark            []float64
	of              *joint
	ofRail, ofJoint float64
}

// in works it out for a joint in a level cell.
func (f *felt) in(j *joint, c *levelCell, railSD float64) *felt {
	f.j, f.c, f.railSD = j, c, railSD
	n := j.n
	f.mean, f.lamp, f.times = grow(f.mean, n), grow(f.lamp, n), grow(f.times, n)
	f.rail, f.jnt = grow(f.rail, n), grow(f.jnt, n)
	for a := range f.mean {
		lamp := j.byLampAt(a, c)
		f.lamp[a], f.mean[a] = lamp, j.meanAt(a, c)
		f.times[a] = times(f.mean[a], j.mean[a])
		f.rail[a], f.jnt[a] = lamp*c.rail*j.rail[a], lamp*c.jnt*j.jnt[a]
	}
	return f
}

// matrix sets the residuals and the lower triangle of the covariance.
func (f *felt) matrix(cov, resid, value []float64) {
	n := f.j.n
	for a := range resid[:n] {
		resid[a] = value[f.j.obs[a]] - f.mean[a]
		f.covariances(cov[a*n:a*n+a+1], a, 0, 1)
	}
}

// clone is the same in memory of its own.
func (f *felt) clone() felt {
	c := *f
	c.mean, c.lamp, c.times = slices.Clone(f.mean), slices.Clone(f.lamp), slices.Clone(f.times)
	c.rail, c.jnt = slices.Clone(f.rail), slices.Clone(f.jnt)
	c.dark, c.of = nil, nil
	return c
}

// covariances sets those of reading a with every step-th one from the first on.
func (f *felt) covariances(out []float64, a, first, step int) {
	if f.of != f.j || f.ofRail != f.c.rail || f.ofJoint != f.c.jnt {
		f.darken()
	}
	c, n := f.c, f.j.n
	r, t, lamp := f.railSD*f.railSD*f.rail[a], c.jointSD*c.jointSD*f.jnt[a], f.lamp[a]
	both, times := c.commonSD*c.commonSD*(f.rail[a]+f.jnt[a]), f.times[a]
	dark, rest, swing := f.dark[a*n:a*n+n], f.j.rest[a*n:a*n+n], f.j.swing[a*n:a*n+n]
	for i := range out {
		b := first + i*step
		out[i] = lamp*f.lamp[b]*dark[b] + rest[b] + times*f.times[b]*swing[b] + both*(f.rail[b]+f.jnt[b]) + t*f.jnt[b] +
			r*f.rail[b]
	}
}

// darken works it out: cells that differ in the lamp's current alone have it in common.
func (f *felt) darken() {
	j, c := f.j, f.c
	f.of, f.ofRail, f.ofJoint = j, c.rail, c.jnt
	f.dark = grow(f.dark, j.n*j.n)
	rail, jnt, wire := j.k[conductor.ClassRail], j.k[conductor.ClassJoint], j.k[conductor.ClassWire]
	for i := range f.dark {
		f.dark[i] = c.rail*c.rail*(rail[i]+j.along[i]) + c.jnt*c.jnt*jnt[i] + wire[i] + j.byLamp[i]
	}
}

// common is the covariance of readings a and b by all but the track's own
// resistances.
func (f *felt) common(a, b int) float64 {
	j, at := f.j, a*f.j.n+b
	v := j.rest[at]
	if j.along == nil {
		return v
	}
	v += f.times[a] * f.times[b] * j.swing[at]
	by := f.c.rail * f.c.rail * j.along[at]
	if j.byLamp != nil {
		by += j.byLamp[at]
	}
	return v + f.lamp[a]*f.lamp[b]*by
}

func times(value, of float64) float64 {
	if of < noValue && of > -noValue {
		return 1
	}
	return value / of
}
