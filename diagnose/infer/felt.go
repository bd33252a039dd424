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
	for a := 0; a < n; a++ {
		resid[a] = value[f.j.obs[a]] - f.mean[a]
		for b := 0; b <= a; b++ {
			cov[a*n+b] = f.covariance(a, b)
		}
	}
}

// clone is the same in memory of its own.
func (f *felt) clone() felt {
	c := *f
	c.mean, c.lamp, c.times = slices.Clone(f.mean), slices.Clone(f.lamp), slices.Clone(f.times)
	c.rail, c.jnt = slices.Clone(f.rail), slices.Clone(f.jnt)
	return c
}

// covariance is that of readings a and b.
func (f *felt) covariance(a, b int) float64 {
	c, k, at := f.c, &f.j.k, a*f.j.n+b
	ra, ta, rb, tb := f.rail[a], f.jnt[a], f.rail[b], f.jnt[b]
	return f.lamp[a]*f.lamp[b]*(c.rail*c.rail*k[conductor.ClassRail][at]+c.jnt*c.jnt*k[conductor.ClassJoint][at]+k[conductor.ClassWire][at]) +
		f.common(a, b) +
		c.commonSD*c.commonSD*(ra+ta)*(rb+tb) + c.jointSD*c.jointSD*ta*tb + f.railSD*f.railSD*ra*rb
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
