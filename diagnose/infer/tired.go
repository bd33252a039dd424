package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
)

// tired is a layout without a bad place whose rails or joints are worse all over
// than the file says: trains slow at its far end, and no piece is the cause. It is
// the hypothesis "off the track" (nothing is wrong with any part of the map) at
// levels that show the symptom.
type tired struct {
	sights []far
	// share is the part of all that is wrong that nothing on the map is the cause of,
	// over what "off the track" weighs at levels that show nothing; 0: no weak place
	// is looked for, and the levels change nothing.
	share float64
	mean  float64 // of shows, over the levels as they are believed to be beforehand
}

// far is a place under a train's load: its volts by the levels of rails and joints.
type far struct {
	full, healthy float64 // volt: of the supply, at the place with the file's levels
	load          float64 // ohm, of the train
	ohms          float64 // of all that is in the way there and back, load left out
	rails, joints float64 // ohm, the parts of it that grow with the levels
}

// tiredness works out the sights of a weak place for levels of all kinds.
func (e sighting) tiredness(s *stage, sights []sight) tired {
	if e.symptomKind != WeakTrack {
		return tired{}
	}
	var out tired
	sound := Hypo{sevs: []severity{{}}}
	cs := s.cases(&sound, sound.sevs[0], map[string]*predict.Circuit{})
	for i := range sights {
		g := &sights[i]
		if g.ohms || i >= len(e.healthy) || e.healthy[i] < fed*g.full {
			continue
		}
		c := cs.of(&g.setup, g.setup.Key())
		if c == nil {
			continue
		}
		m := c.Moments(predict.Voltage, g.red, g.black, nil)
		v, load := math.Abs(m.Mean), g.setup.Loads[0].Ohms
		by := func(class conductor.Class) float64 { return math.Abs(m.Level[class]) * g.full * load / (v * v) }
		out.sights = append(out.sights, far{g.full, v, load, load*g.full/v - load, by(conductor.ClassRail),
			by(conductor.ClassJoint)})
	}
	return out
}

// volts are those of a train at the place at levels of rails and joints. All that
// is in the way adds up: exact where it lies in series, or in ways of one make.
func (f *far) volts(rails, joints float64) float64 {
	return f.full * f.load / (f.load + f.ohms + (rails-1)*f.rails + (joints-1)*f.joints)
}

// weighTired sets the share, once "off the track" has its weight, and puts what the
// levels are believed to be beforehand into that.
func (e sighting) weighTired() {
	t, h := &e.tired, &e.Hypos[e.off]
	base := h.Prior * math.Exp(h.symptom[0])
	if len(t.sights) == 0 || !(base > 0) {
		return
	}
	t.share, t.mean = e.Model.OffTrack/base, 0
	for _, c := range e.Model.cells(false) {
		t.mean += math.Exp(c.logPrior) * t.shows(&c)
	}
	h.symptom[0] += math.Log(t.mean)
}

// shows is how likely the symptom is at the levels of a cell, over how likely it is
// where they play no part.
func (t *tired) shows(c *levelCell) float64 {
	seen := 0.0
	for i := range t.sights {
		f := &t.sights[i]
		seen = math.Max(seen, slowed(f.volts(math.Exp(c.common), math.Exp(c.common+c.joint))/f.healthy))
	}
	return 1 + t.share*seen
}

// weigh is a likelihood of "off the track" with its level cells weighed by how
// likely each shows the symptom, beside what they do beforehand.
func (t *tired) weigh(l *likelihood, cells []levelCell) *likelihood {
	out := *l
	out.level = make([]float64, len(l.level))
	sum := 0.0
	for c, w := range l.level {
		if w > 0 {
			out.level[c] = w * t.shows(&cells[c]) / t.mean
			sum += out.level[c]
		}
	}
	if !(sum > 0) {
		return l
	}
	for c := range out.level {
		out.level[c] /= sum
	}
	out.log += math.Log(sum)
	return &out
}
