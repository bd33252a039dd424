// Package odds learns from proven hunts how often which part fails: what was found
// against what was assumed, cause by cause, with a prior of stated weight. It takes
// hunts as finds (a layout, a kind of fault, the piece that was bad) and knows
// nothing of files.
package odds

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/track"
)

// Cause is one way in which one part fails.
type Cause struct {
	Part track.Part      `json:"part"`
	Mode track.FaultMode `json:"fault"`
}

// Find is what one proven hunt found: a piece (or feeder, toggle...) by its name,
// and the kind of fault by its symptom: bridged for a short, open for a dead place,
// weak for a weak one.
type Find struct {
	Layout *track.Layout
	Mode   track.FaultMode
	Piece  string
}

// Count is what hunts of one kind of fault found of one cause. A piece that can fail
// in more ways than one counts for each by its odds, so Found need not be whole.
type Count struct {
	Cause
	Hunts    float64 `json:"hunts"`    // that looked for this kind of fault
	Found    float64 `json:"found"`    // of which it was this cause
	Expected float64 `json:"expected"` // and as often as was assumed
}

// Tally is the counts of all causes, in a fixed order. It names no layout, place or
// person, so it can be given away.
type Tally struct {
	Counts []Count `json:"counts"`
	// Unlisted are hunts that found a piece which the list of faults has nothing
	// of that kind for. They count for nothing.
	Unlisted int `json:"unlisted"`
}

// Of counts finds. The odds that are assumed are those of the layouts without what
// was counted before.
func Of(finds []Find) (*Tally, error) {
	t := &Tally{}
	lists := map[*track.Layout][]fault.Suspect{}
	for _, f := range finds {
		s, ok := lists[f.Layout]
		if !ok {
			var err error
			if s, err = assumed(f.Layout); err != nil {
				return nil, err
			}
			lists[f.Layout] = s
		}
		t.find(s, f)
	}
	t.sort()
	return t, nil
}

// assumed lists the faults of a layout with the odds that nobody has counted.
func assumed(l *track.Layout) ([]fault.Suspect, error) {
	c := *l
	c.Counted = nil
	n, err := conductor.Build(&c)
	if err != nil {
		return nil, fmt.Errorf("could not make the network of %s: %w", l.Name, err)
	}
	return fault.List(n), nil
}

// find adds one hunt.
func (t *Tally) find(list []fault.Suspect, f Find) {
	if i := f.Layout.FindPiece(f.Piece); i >= 0 {
		f.Piece = f.Layout.Pieces[i].ID()
	}
	all, here := 0.0, 0.0
	for i := range list {
		if s := &list[i]; s.Mode == f.Mode {
			all += s.Odds
			if s.Piece == f.Piece {
				here += s.Odds
			}
		}
	}
	if here <= 0 {
		t.Unlisted++
		return
	}
	for i := range list {
		s := &list[i]
		if s.Mode != f.Mode {
			continue
		}
		c := t.at(Cause{s.Part, s.Mode})
		c.Expected += s.Odds / all
		if s.Piece == f.Piece {
			c.Found += s.Odds / here
		}
	}
	for i := range t.Counts {
		if t.Counts[i].Mode == f.Mode {
			t.Counts[i].Hunts++
		}
	}
}

// at is the count of a cause, made where there is none: it then has had no chance
// in the hunts before.
func (t *Tally) at(c Cause) *Count {
	i := slices.IndexFunc(t.Counts, func(x Count) bool { return x.Cause == c })
	if i < 0 {
		n := 0.0
		for _, x := range t.Counts {
			if x.Mode == c.Mode {
				n = max(n, x.Hunts)
			}
		}
		t.Counts, i = append(t.Counts, Count{Cause: c, Hunts: n}), len(t.Counts)
	}
	return &t.Counts[i]
}

func (t *Tally) sort() {
	slices.SortFunc(t.Counts, func(a, b Count) int {
		return cmp.Or(cmp.Compare(a.Mode, b.Mode), cmp.Compare(a.Part, b.Part))
	})
}

// Add puts the counts of others to these.
func (t *Tally) Add(o *Tally) {
	before := map[track.FaultMode]float64{}
	for _, c := range t.Counts {
		before[c.Mode] = max(before[c.Mode], c.Hunts)
	}
	more := map[track.FaultMode]float64{}
	for _, c := range o.Counts {
		more[c.Mode] = max(more[c.Mode], c.Hunts)
		x := t.at(c.Cause)
		x.Found += c.Found
		x.Expected += c.Expected
	}
	for i := range t.Counts {
		m := t.Counts[i].Mode
		t.Counts[i].Hunts = before[m] + more[m]
	}
	t.Unlisted += o.Unlisted
	t.sort()
}

// Check refuses counts that cannot be: they come from outside.
func (t *Tally) Check() error {
	const most = 1e6
	if len(t.Counts) > 1000 {
		return fmt.Errorf("%d counts; there are not so many causes", len(t.Counts))
	}
	seen := map[Cause]bool{}
	for _, c := range t.Counts {
		name := fmt.Sprintf("%s, %s", c.Part, c.Mode)
		if seen[c.Cause] {
			return fmt.Errorf("%s stands twice", name)
		}
		seen[c.Cause] = true
		for _, x := range []float64{c.Hunts, c.Found, c.Expected} {
			if !(x >= 0 && x <= most) {
				return fmt.Errorf("%s: %g cannot be counted", name, x)
			}
		}
		if c.Found > c.Hunts*(1+1e-9) || c.Expected > c.Hunts*(1+1e-9) {
			return fmt.Errorf("%s: found or expected oftener than there were hunts", name)
		}
	}
	if t.Unlisted < 0 || t.Unlisted > most {
		return fmt.Errorf("%d hunts without a cause cannot be", t.Unlisted)
	}
	return nil
}

// Weight is how many hunts the assumed odds are worth against counted ones
// (assumed: a score of hunts outweighs a guess).
const Weight = 20.0

// Learned is what is believed of a cause after counting: its share among faults of
// its kind.
type Learned struct {
	Count
	Assumed   float64 `json:"assumed"` // share
	Share     float64 `json:"share"`   // after counting
	Low, High float64 // 90 % of the belief lies between
	Times     float64 `json:"times"` // by which its odds are multiplied
}

// Learn gives the share of each cause: a Beta distribution whose mean is what was
// assumed and whose weight is Weight hunts, with what was counted added (the
// conjugate prior of a count; Gelman et al., Bayesian Data Analysis, 2.4).
func (t *Tally) Learn() []Learned {
	var out []Learned
	for _, c := range t.Counts {
		if c.Hunts <= 0 || c.Expected <= 0 {
			continue
		}
		m := math.Min(c.Expected/c.Hunts, 1)
		d := distuv.Beta{Alpha: Weight*m + c.Found, Beta: Weight*(1-m) + c.Hunts - c.Found}
		x := Learned{Count: c, Assumed: m, Share: (Weight*m + c.Found) / (Weight + c.Hunts)}
		x.Low, x.High = x.Share, x.Share
		if d.Beta > 0 {
			x.Low, x.High = d.Quantile(0.05), d.Quantile(0.95)
		}
		x.Times = x.Share / m
		out = append(out, x)
	}
	return out
}

// Telling says whether counting has moved a cause by enough to be written down.
func (x *Learned) Telling() bool { return math.Abs(math.Log(x.Times)) >= 0.05 }

// Counted is what is written into a layout's file.
func (x *Learned) Counted() track.Counted {
	return track.Counted{Part: x.Part, Mode: x.Mode,
		Times: math.Round(math.Min(math.Max(x.Times, 0.01), 100)*100) / 100,
		Why:   fmt.Sprintf("%.3g of %g hunts, %.3g assumed", x.Found, x.Hunts, x.Expected)}
}

// Place is a piece of a layout with the chance that the next fault is there.
type Place struct {
	Piece string  `json:"piece"`
	Share float64 `json:"share"`
	Found int     `json:"found"` // hunts that found it bad
}

// pieceWeight is how many expected faults the assumed odds of one piece are worth
// against its own (assumed: pieces differ more than kinds do).
const pieceWeight = 1.0

// Next lists the places of a layout where the next fault is likeliest, the likeliest
// first: the odds after counting, and each piece's own faults against what was
// expected of it (a gamma prior of weight pieceWeight about 1).
func (t *Tally) Next(l *track.Layout, finds []Find, most int) ([]Place, error) {
	list, err := assumed(l)
	if err != nil {
		return nil, err
	}
	times := map[Cause]float64{}
	for _, x := range t.Learn() {
		times[x.Cause] = x.Times
	}
	found, hunts := map[string]int{}, map[track.FaultMode]float64{}
	for _, f := range finds {
		if f.Layout.Name != l.Name {
			continue
		}
		if i := l.FindPiece(f.Piece); i >= 0 {
			f.Piece = l.Pieces[i].ID()
		}
		found[f.Piece]++
		hunts[f.Mode]++
	}
	all := map[track.FaultMode]float64{}
	for i := range list {
		all[list[i].Mode] += list[i].Odds
	}
	odds, expected := map[string]float64{}, map[string]float64{}
	var names []string
	for i := range list {
		s := &list[i]
		if _, ok := odds[s.Piece]; !ok {
			names = append(names, s.Piece)
		}
		f, ok := times[Cause{s.Part, s.Mode}]
		if !ok {
			f = 1
		}
		odds[s.Piece] += s.Odds * f
		expected[s.Piece] += hunts[s.Mode] * s.Odds / all[s.Mode]
	}
	sum := 0.0
	for _, n := range names {
		odds[n] *= (pieceWeight + float64(found[n])) / (pieceWeight + expected[n])
		sum += odds[n]
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(odds[b], odds[a]) })
	var out []Place
	for _, n := range names[:min(most, len(names))] {
		out = append(out, Place{n, odds[n] / sum, found[n]})
	}
	return out, nil
}
