package piece

import (
	"cmp"
	"math"
	"slices"

	"fishplate/diagnose/fault"
	"fishplate/diagnose/track"
)

// severities is how many resistances of a fault are tried.
const severities = 41

// Mend is what may be wrong with a piece, and how it is put right.
type Mend struct {
	Mode   track.FaultMode `json:"mode"`
	What   string          `json:"what"`
	Look   string          `json:"look"`
	Solder bool            `json:"solder,omitempty"` // it may want a soldering iron
	// Odds is its share among what explains the readings, or, in a list of all that
	// such a piece can have, among these.
	Odds float64 `json:"odds"`
	// Readings are those that it can spoil, as numbers, and Seen the share of its
	// odds with which at least one is wrong; in a list of all.
	Readings []int   `json:"readings,omitempty"`
	Seen     float64 `json:"seen,omitempty"`
}

// Severities are the resistances that a suspect is tried with: n of them, even on a
// log scale between its bounds; one for what has none.
func Severities(s *fault.Suspect, n int) []float64 {
	if s.Mode == track.Open || s.MinOhms <= 0 {
		return []float64{0}
	}
	out := make([]float64, n)
	for i := range out {
		t := float64(i) / float64(n-1)
		out[i] = s.MinOhms * math.Pow(s.MaxOhms/s.MinOhms, t)
	}
	return out
}

// wrongs are the readings that a suspect spoils, as numbers, with a meter that
// also reads ohms, or with a beeper alone.
func (c *Check) wrongs(s *fault.Suspect, ohms float64, beeper bool) ([]int, error) {
	var out []int
	for _, route := range routes(c) {
		f, err := c.factor(route, s, ohms)
		if err != nil {
			return nil, err
		}
		for i := range c.Readings {
			r := &c.Readings[i]
			if r.Position != route || r.a < 0 || r.b < 0 {
				continue
			}
			if spoiled(r, f.Resistance(r.a, r.b), beeper) {
				out = append(out, r.N)
			}
		}
	}
	return out, nil
}

// spoiled says whether a resistance is not what a reading should be.
func spoiled(r *Reading, ohms float64, beeper bool) bool {
	switch {
	case r.Want == Silent && beeper:
		return ohms < BeepsTo
	case r.Want == Beeps && beeper:
		return ohms > BeepsTo
	case r.Want == Beeps:
		return ohms > r.Most()
	case r.Want == Coil:
		return ohms < r.Ohms/CoilWithin
	}
	return !math.IsInf(ohms, 1)
}

// gather puts what suspects of the same words have in common together, weighted by
// how much of each counts; counted says that of a suspect with the readings that
// it spoils at one severity.
func (c *Check) gather(beeper bool, counted func(hit []int) bool) ([]Mend, error) {
	var out []Mend
	sum := 0.0
	for i := range c.suspects {
		s := &c.suspects[i]
		m := Mend{Mode: s.Mode, What: s.What, Look: s.Look, Solder: s.Solder}
		all := Severities(s, severities)
		each := s.Odds / float64(len(all))
		for _, ohms := range all {
			hit, err := c.wrongs(s, ohms, beeper)
			if err != nil {
				return nil, err
			}
			if counted(hit) {
				m.Odds += each
				m.Readings = append(m.Readings, hit...)
				if len(hit) > 0 {
					m.Seen += each
				}
			}
		}
		sum += m.Odds
		out = merge(out, m)
	}
	for i := range out {
		m := &out[i]
		m.Seen /= m.Odds
		m.Odds /= sum
		slices.Sort(m.Readings)
		m.Readings = slices.Compact(m.Readings)
	}
	slices.SortStableFunc(out, func(a, b Mend) int { return cmp.Compare(b.Odds, a.Odds) })
	return out, nil
}

func merge(list []Mend, m Mend) []Mend {
	if m.Odds == 0 {
		return list
	}
	at := slices.IndexFunc(list, func(x Mend) bool { return x.What == m.What })
	if at < 0 {
		return append(list, m)
	}
	x := &list[at]
	x.Odds, x.Seen, x.Readings = x.Odds+m.Odds, x.Seen+m.Seen, append(x.Readings, m.Readings...)
	return list
}

// Mends lists what explains that exactly these readings are wrong, the likeliest
// first; none where no single fault of the construction does.
func (c *Check) Mends(wrong []int, beeper bool) ([]Mend, error) {
	return c.gather(beeper, func(hit []int) bool { return slices.Equal(hit, wrong) })
}

// Faults lists all that such a piece can have inside, by the assumed odds of its
// construction, the likeliest first, each with the readings that show it.
func (c *Check) Faults(beeper bool) ([]Mend, error) {
	return c.gather(beeper, func([]int) bool { return true })
}

// Unseen is the share of the faults inside such a piece that the check does not
// show.
func (c *Check) Unseen(beeper bool) (float64, error) {
	faults, err := c.Faults(beeper)
	if err != nil || len(faults) == 0 {
		return 1, err
	}
	seen := 0.0
	for i := range faults {
		seen += faults[i].Odds * faults[i].Seen
	}
	return 1 - seen, nil
}

// Factor is what the odds of a piece become that passed: what the check does not
// see, and what comes later (assumed), in hundredths.
func (c *Check) Factor(beeper bool) (float64, error) {
	u, err := c.Unseen(beeper)
	return math.Round((Later+(1-Later)*u)*100) / 100, err
}
