package infer

import (
	"cmp"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/plan"
)

// Fed is a belief where one feeder may feed nothing: what holds where all feed as the
// file has it, and what holds where that one does not.
type Fed struct {
	Filed, Unfed *Posterior
	Moved        // which one, and how likely
}

// Unfed are readings as they were fed where a feeder feeds nothing: it is as good as
// pulled, and where its wires are off at the track their ends have the volts of where
// they join.
func Unfed(e *Engine, m Moved, obs []Observation) []Observation {
	out := slices.Clone(obs)
	for i := range out {
		o := &out[i]
		o.Setup, o.Red, o.Black = unfed(e, m.Feeder, m.Off > 0.5, o.Setup, o.Red, o.Black)
	}
	return out
}

func unfed(e *Engine, feeder int, off bool, s conductor.Setup, red, black int) (conductor.Setup, int, int) {
	s = s.Clone()
	s.Pull(feeder)
	if !off {
		return s, red, black
	}
	from := e.Net.Outlet(e.Net.Layout.Feeders[feeder].On)
	for side, end := range e.Net.FeederPoints[feeder] {
		if red == end {
			red = from[side]
		}
		if black == end {
			black = from[side]
		}
	}
	return s, red, black
}

// AtClip says whether a question has a probe on a feeder's clip.
func AtClip(e *Engine, feeder int, q *Question) bool {
	ends := e.Net.FeederPoints[feeder]
	return slices.Contains(ends[:], q.Red) || slices.Contains(ends[:], q.Black)
}

// alongWire says whether it is read from where a feeder's wires join to its clip.
func alongWire(e *Engine, feeder int, q *Question) bool {
	from := e.Net.Outlet(e.Net.Layout.Feeders[feeder].On)
	return AtClip(e, feeder, q) && (slices.Contains(from[:], q.Red) || slices.Contains(from[:], q.Black))
}

// Mixed is a belief that is one in a share of all cases, and p in the others. Of what
// both have of the track's level it has that of the likelier.
func (p *Posterior) Mixed(e *Engine, q *Posterior, share float64) *Posterior {
	c := *p
	if share > 0.5 {
		c = *q
	}
	blend := func(a, b []float64, wa, wb float64) []float64 {
		if len(a) != len(b) || wa+wb == 0 {
			return a
		}
		out := make([]float64, len(a))
		for i := range a {
			out[i] = (wa*a[i] + wb*b[i]) / (wa + wb)
		}
		return out
	}
	c.Hypo, c.Misread = blend(p.Hypo, q.Hypo, 1-share, share), blend(p.Misread, q.Misread, 1-share, share)
	c.Severity = make([][]float64, len(p.Severity))
	for h := range c.Severity {
		c.Severity[h] = blend(p.Severity[h], q.Severity[h], (1-share)*p.Hypo[h], share*q.Hypo[h])
	}
	c.Pairs = nil
	for _, x := range [2]struct {
		from  []Pair
		share float64
	}{{p.Pairs, 1 - share}, {q.Pairs, share}} {
		for _, pair := range x.from {
			pair.P *= x.share
			c.Pairs = append(c.Pairs, pair)
		}
	}
	slices.SortStableFunc(c.Pairs, func(a, b Pair) int { return cmp.Compare(b.P, a.P) })
	c.Sum(e)
	return &c
}

// surelyIdle is from when no question is weighed for the case that it feeds (assumed).
const surelyIdle = 0.97

// ScoreFed weighs questions where one feeder may feed nothing: whether it does is worth
// what it tells of what would be lifted.
func ScoreFed(e *Engine, b *Fed, obs []Observation, questions []Question) []Outlook {
	asFed := Unfed(e, b.Moved, obs)
	var likelier []Outlook
	if b.Idle > 0.5 {
		likelier = e.Score(b.Unfed, asFed, idling(e, b.Feeder, questions, nil))
	} else {
		likelier = e.Score(b.Filed, obs, questions)
	}
	var kept []int // those that came out with something, and those that ask for it
	for i := range questions {
		if likelier[i].Weight != nil || alongWire(e, b.Feeder, &questions[i]) {
			kept = append(kept, i)
		}
	}
	worth := func(i int) float64 {
		if alongWire(e, b.Feeder, &questions[i]) {
			return math.Inf(1)
		}
		return likelier[i].Bits / questions[i].Minutes
	}
	slices.SortStableFunc(kept, func(a, c int) int { return cmp.Compare(worth(c), worth(a)) })
	kept = kept[:min(keepQuestions, len(kept))]
	qs := some(questions, kept)
	off := map[int]int{} // of those at its clip: where the same is with the clip off the track
	both := idling(e, b.Feeder, qs, off)
	idle := scoreAll(e, b.Unfed, asFed, both)
	filed := make([]Outlook, len(qs))
	if b.Idle < surelyIdle {
		filed = scoreAll(e, b.Filed, obs, qs)
	}
	out := make([]Outlook, len(questions))
	spread(len(qs), func() *plan.Scratch { return &plan.Scratch{} }, func(work *plan.Scratch, i int) {
		var o Outlook
		o.add(&filed[i], 1-b.Idle)
		if k, ok := off[i]; ok {
			o.add(&idle[i], b.Idle*(1-b.Off))
			o.add(&idle[k], b.Idle*b.Off)
		} else {
			o.add(&idle[i], b.Idle)
		}
		o.weigh(qs[i].Func, len(e.Classes), work)
		out[kept[i]] = o
	})
	return out
}

func scoreAll(e *Engine, p *Posterior, obs []Observation, questions []Question) []Outlook {
	return scoring{e}.score(p, obs, questions, scoring{e}.worthScoring(p), scoreTiles)
}

// idling are questions with a feeder pulled; where off is not nil, those at its clip
// once more with the clip off the track, behind all others.
func idling(e *Engine, feeder int, questions []Question, off map[int]int) []Question {
	out := make([]Question, len(questions))
	for i, q := range questions {
		out[i] = q
		out[i].Setup, _, _ = unfed(e, feeder, false, q.Setup, q.Red, q.Black)
	}
	if off == nil {
		return out
	}
	for i, q := range questions {
		if AtClip(e, feeder, &q) {
			off[i] = len(out)
			q.Setup, q.Red, q.Black = unfed(e, feeder, true, q.Setup, q.Red, q.Black)
			out = append(out, q)
		}
	}
	return out
}

// add puts the rows of another outlook in, each with a share of its weight.
func (o *Outlook) add(x *Outlook, share float64) {
	for _, w := range x.Weight {
		o.Weight = append(o.Weight, share*w)
	}
	o.Class, o.Members = append(o.Class, x.Class...), append(o.Members, x.Members...)
	o.Share = append(o.Share, x.Share...)
	o.Line, o.Mean, o.SD = append(o.Line, x.Line...), append(o.Mean, x.Mean...), append(o.SD, x.SD...)
	o.Beep, o.Bright, o.Over = append(o.Beep, x.Beep...), append(o.Bright, x.Bright...), append(o.Over, x.Over...)
	o.Failed = o.Failed.plus(x.Failed)
}
