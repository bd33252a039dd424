package card

import (
	"fmt"
	"math"

	"fishplate/diagnose/unit"
)

// Take says which branch of a box a reading belongs to: an index into
// Branches. It fails for a reading that the box has no branch for.
func (b *Box) Take(r unit.Reading) (int, error) {
	top := -1
	for i := range b.Branches {
		k := &b.Branches[i]
		switch {
		case k.Kind == unit.Value && r.Kind == unit.Value && r.Value > k.Low && r.Value <= k.High:
			return i, nil
		case k.Kind != unit.Value && k.Kind == r.Kind, k.WithOver && r.Kind == unit.OverLimit:
			return i, nil
		case k.Kind == unit.OverLimit:
			top = i
		case k.Kind == unit.Value && math.IsInf(k.High, 1) && top < 0:
			top = i
		}
	}
	// A box made of one kind of outcome alone takes its nearest neighbour:
	// too much for the range is more than any number, and a beeper that never
	// was silent in the making may be so on the table.
	switch {
	case r.Kind == unit.OverLimit && top >= 0:
		return top, nil
	case r.Kind == unit.Value && top >= 0:
		return top, nil
	case len(b.Branches) == 1:
		return 0, nil
	}
	return -1, fmt.Errorf("reading %s has no branch in box %d", r.String(), b.N)
}

// follow goes through the card from box 1. read answers a box's reading; the
// answer is the list of pieces where the card ends, the number of readings
// taken, and whether the last one lay near a border of its range.
func (c *Card) follow(read func(*Box) (unit.Reading, error)) (end *End, readings int, border bool, err error) {
	b, taken, got := &c.Boxes[0], 0, map[int]unit.Reading{}
	for {
		r, err := read(b)
		if err != nil {
			return nil, taken, false, err
		}
		taken++
		got[b.N] = r
		if b.By > 0 {
			r = ratio(r, got[b.By])
		}
		i, err := b.Take(r)
		if err != nil {
			return nil, taken, false, err
		}
		k := &b.Branches[i]
		if k.End > 0 {
			return &c.Ends[k.End-1], taken, k.near(r), nil
		}
		b = &c.Boxes[k.Box-1]
	}
}

// Find is the place on the list where a name stands, from 1; 0 when it is not
// there.
func (e *End) Find(name string) int {
	for i := range e.Pieces {
		if e.Pieces[i].Name == name {
			return i + 1
		}
	}
	return 0
}

// edge is the part of a range, at either end, that counts as near its border.
const edge = 0.2

// near says whether a reading lies near a border of the branch's range, where
// lists are at their worst. The reading is a ratio where the box asks for one.
func (k *Branch) near(r unit.Reading) bool {
	if k.Kind != unit.Value || r.Kind != unit.Value || r.Value <= k.Low || r.Value > k.High {
		return false
	}
	low := k.Low
	switch {
	case math.IsInf(k.High, 1):
		return r.Value < low+edge*math.Abs(low)
	case math.IsInf(low, -1) && k.High <= 0:
		return r.Value > k.High-edge*math.Abs(k.High)
	case math.IsInf(low, -1):
		low = 0
	}
	part := (r.Value - low) / (k.High - low)
	return part < edge && !math.IsInf(k.Low, -1) || part > 1-edge
}

// result is how one of a crowd fared with a card.
type result struct {
	rank, readings int
	border         bool // the last reading was near one
	err            error
}

// run follows the card with each of a crowd.
func (c *Card) run(f *fair, crowd []*one) []result {
	out := make([]result, len(crowd))
	probes, err := c.probes(f)
	each(indices(len(crowd)), func(i int) {
		x := crowd[i]
		if err != nil {
			out[i].err = err
			return
		}
		e, n, border, err := c.follow(func(b *Box) (unit.Reading, error) {
			return x.read(probes[b.N-1], b.Ask.Current)
		})
		out[i] = result{readings: n, border: border, err: err}
		if err == nil {
			out[i].rank = e.Find(f.classes[x.class])
		}
	})
	return out
}

// measure states what the card is good for, over a crowd that had no part in
// making it.
func (c *Card) measure(f *fair, seed uint64) error {
	crowd, err := f.draw(seed)
	if err != nil {
		return err
	}
	rs := c.run(f, crowd)
	right, square, sum := 0.0, 0.0, 0.0
	hit, all := make([]float64, len(f.suspects)), make([]float64, len(f.suspects))
	for i, r := range rs {
		if r.err != nil {
			return r.err
		}
		x := crowd[i]
		if x.suspect < 0 {
			continue // found by every card that begins with a reading of the track
		}
		s, w := x.suspect, x.weight
		sum += w
		square += w * w
		all[s] += w
		c.Readings += w * float64(r.readings)
		if r.rank > 0 {
			right += w
			hit[s] += w
			c.Looks += w * float64(r.rank)
		}
		if r.rank == 1 {
			c.First += w
		}
	}
	if right > 0 {
		c.Looks /= right
	}
	c.First, c.Readings = c.First/sum, c.Readings/sum
	c.Tested = len(crowd)
	c.Promise = promised(right/sum, sum*sum/square)
	alike, n := 0.0, 0.0
	for s := range all {
		if all[s] > 0 {
			alike += hit[s] / all[s]
			n++
		}
	}
	c.Every = math.Min(promised(alike/n, n), nearBorders(crowd, rs, all))
	return nil
}

// nearBorders is what a card is good for where its last reading lay near a
// border of its range, each suspect counted alike: all is the weight of each
// one's draws. 1 where too few lay there to say.
func nearBorders(crowd []*one, rs []result, all []float64) float64 {
	right, square, sum, n := 0.0, 0.0, 0.0, 0
	for i, r := range rs {
		s := crowd[i].suspect
		if s < 0 || !r.border {
			continue
		}
		w := crowd[i].weight / all[s]
		n, sum, square = n+1, sum+w, square+w*w
		if r.rank > 0 {
			right += w
		}
	}
	if n < 30 {
		return 1
	}
	return promised(right/sum, sum*sum/square)
}

// promised is a rate less two standard errors of n draws, rounded down to
// whole percents.
func promised(rate, n float64) float64 {
	// One miss more than was seen keeps the error from being zero.
	p := (rate*n + 1) / (n + 2)
	return math.Max(0, math.Floor(100*(rate-2*math.Sqrt(p*(1-p)/n)))/100)
}
