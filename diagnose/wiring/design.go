package wiring

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/check"
	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
	"fishplate/diagnose/wire"
)

// Drop is what one supply loses on its way to a train, and what would hold a wanted
// limit.
type Drop struct {
	Supply    string  `json:"supply"`
	Posts     float64 `json:"posts_volts"`
	TrainAmps float64 `json:"train_amps"`
	Assumed   string  `json:"train_amps_from"`
	Worst     string  `json:"worst_at"`
	Lost      float64 `json:"lost_volts"`
	Wanted    float64 `json:"wanted_volts"` // the most that may be lost
	// Ways hold the limit, the least copper first; where none does, the one that comes
	// nearest. Empty where the limit is held as it is, and where no wire helps.
	Ways []Way `json:"ways"`
}

// Held says that the wanted limit is held without more feeders.
func (d *Drop) Held() bool { return d.Lost <= d.Wanted }

// Way is wire of one gauge: what is laid anew with it, more feeders, and what is
// then lost.
type Way struct {
	Gauge int `json:"awg"`
	// Anew are feeders and buses whose wires are thinner, and are laid anew.
	Anew    []string    `json:"laid_anew,omitempty"`
	Feeders []NewFeeder `json:"feeders"`
	Worst   string      `json:"worst_at"`
	Lost    float64     `json:"lost_volts"`
	Holds   bool        `json:"holds"`
	// CopperGrams is the copper of both wires of all that is laid.
	CopperGrams float64 `json:"copper_g"`
}

// NewFeeder is one more pair of wires. Its length is assumed: that of the nearest
// feeder there is, and from there along and across the table.
type NewFeeder struct {
	Name     string     `json:"name"`
	At       string     `json:"at"`
	Hot      track.Rail `json:"hot"`
	Common   track.Rail `json:"common"`
	On       string     `json:"on"`
	OnToggle bool       `json:"on_toggle"`
	LengthMM float64    `json:"length_mm"`
}

// most is how many feeders are added before a gauge is given up; thinnest and
// thickest are the gauges that are tried, as what clips and terminals of the hobby
// take (assumed), none thinner than its breaker allows.
const (
	most     = 8
	thinnest = 18
	thickest = 10
)

// gramsPerMM3 is the density of copper, 8.89 g/cm3 at 20 degrees C (IEC 60028:1925).
const gramsPerMM3 = 8.89e-3

func design(l *track.Layout, o Options, now *check.Volts) (Drop, error) {
	d := Drop{Supply: now.Supply, Posts: now.Posts, TrainAmps: now.TrainAmps, Assumed: now.Assumed,
		Worst: now.Worst, Lost: now.Posts - now.Volts, Wanted: o.Drop}
	if d.Wanted <= 0 {
		d.Wanted = Share * d.Posts
	}
	if d.Held() {
		return d, nil
	}
	s := slices.IndexFunc(l.Supplies, func(u track.Supply) bool { return u.Name == now.Supply })
	for g := min(wire.GaugeFor(l.Supplies[s].Breaker), thinnest); g >= thickest; g -= 2 {
		for _, anew := range []bool{false, true} {
			w, err := way(l, o, s, g, anew, d.Wanted)
			if err != nil {
				return d, err
			}
			if anew == (len(w.Anew) > 0) && d.Lost-w.Lost >= worthwhile {
				d.Ways = append(d.Ways, w)
			}
		}
	}
	d.Ways = chosen(d.Ways)
	return d, nil
}

// chosen are the ways that hold the limit, the least copper first, no more than can
// be weighed at a glance; where none does, the one that loses least.
func chosen(ways []Way) []Way {
	hold := slices.DeleteFunc(slices.Clone(ways), func(w Way) bool { return !w.Holds })
	if len(hold) == 0 {
		slices.SortStableFunc(ways, func(a, b Way) int { return cmp.Compare(a.Lost, b.Lost) })
		return ways[:min(1, len(ways))]
	}
	slices.SortStableFunc(hold, func(a, b Way) int { return cmp.Compare(a.CopperGrams, b.CopperGrams) })
	return hold[:min(4, len(hold))]
}

// worthwhile is the least gain that is worth a wire, volts (assumed); check has the
// same.
const worthwhile = 0.1

// way lays thinner wires anew if that is wanted, then adds feeders where each
// helps the worst place most, until the limit is held or one more brings less than
// a tenth of a volt.
func way(l *track.Layout, o Options, s, gauge int, anew bool, wanted float64) (Way, error) {
	c := *l
	c.Feeders, c.Buses = slices.Clone(l.Feeders), slices.Clone(l.Buses)
	w := Way{Gauge: gauge}
	if anew {
		w.layAnew(&c, s)
	}
	for {
		v, err := reach(&c, o, s)
		if err != nil {
			return w, err
		}
		lost := v.Posts - v.Volts
		// its way was worse than was thought: behind a toggle
		if n := len(w.Feeders); n > 0 && w.Lost-lost < worthwhile {
			w.Feeders, w.CopperGrams = w.Feeders[:n-1], w.CopperGrams-w.copper(w.Feeders[n-1].LengthMM)
			return w, nil
		}
		w.Worst, w.Lost = v.Worst, lost
		w.Holds = w.Lost <= wanted
		if w.Holds || v.More == nil || len(w.Feeders) == most {
			return w, nil
		}
		f := feeder(&c, s, v.More, gauge)
		c.Feeders = append(c.Feeders, f)
		w.Feeders = append(w.Feeders, NewFeeder{Name: f.Name, At: c.PlaceName(f.At), Hot: f.Hot, Common: f.Common,
			On:       c.OutletName(f.On),
			OnToggle: f.On.Kind == track.OnToggle, LengthMM: f.LengthMM})
		w.CopperGrams += w.copper(f.LengthMM)
	}
}

// copper is that of a pair of wires of a length (mm), grams.
func (w *Way) copper(mm float64) float64 { return 2 * mm * wire.AreaMM2(w.Gauge) * gramsPerMM3 }

// layAnew puts thicker wire in the place of what is thinner.
func (w *Way) layAnew(l *track.Layout, s int) {
	per := wire.OhmsPerMeter(wire.AreaMM2(w.Gauge)) / 1000
	size := fmt.Sprintf("%d AWG", w.Gauge)
	for i := range l.Buses {
		b := &l.Buses[i]
		if b.Supply != s || b.OhmsPerWire <= per*b.LengthMM*(1+1e-9) {
			continue
		}
		w.Anew = append(w.Anew, b.Name)
		w.CopperGrams += w.copper(b.LengthMM + b.RingMM)
		b.Wire, b.OhmsPerWire, b.RingOhms = size, per*b.LengthMM, per*b.RingMM
	}
	for i := range l.Feeders {
		f := &l.Feeders[i]
		if f.Supply != s || f.OhmsPerWire <= per*f.LengthMM*(1+1e-9) {
			continue
		}
		w.Anew = append(w.Anew, f.Name)
		w.CopperGrams += w.copper(f.LengthMM)
		f.Wire, f.OhmsPerWire = size, per*f.LengthMM
	}
}

// reach is what one supply gives to its track.
func reach(l *track.Layout, o Options, s int) (check.Volts, error) {
	all, err := check.Reach(l, check.Options{TrainAmps: o.TrainAmps})
	if err != nil {
		return check.Volts{}, err
	}
	i := slices.IndexFunc(all, func(v check.Volts) bool { return v.Supply == l.Supplies[s].Name })
	if i < 0 {
		return check.Volts{}, fmt.Errorf("%s feeds nothing", l.Supplies[s].Name)
	}
	return all[i], nil
}

// feeder is a pair of wires of a gauge to a place, from the supply or from the
// toggle that switches the place.
func feeder(l *track.Layout, s int, m *check.OneMore, gauge int) track.Feeder {
	at := track.Place{Piece: l.FindPiece(m.At), End: -1}
	f := track.Feeder{Name: free(l), Supply: s, On: track.Outlet{Index: s}, At: at, Hot: m.Hot, Common: m.Common,
		Wire: fmt.Sprintf("%d AWG", gauge)}
	for i := range l.Toggles {
		if m.Behind != "" && l.Toggles[i].Part() == m.Behind && !l.Toggles[i].Middle {
			f.On = track.Outlet{Kind: track.OnToggle, Index: i}
		}
	}
	near := math.Inf(1)
	for i := range l.Feeders {
		old := &l.Feeders[i]
		if old.Supply != s {
			continue
		}
		a, b := plane.Spot(l, old.At), plane.Spot(l, at)
		if mm := math.Abs(a.X-b.X) + math.Abs(a.Y-b.Y); mm < near {
			near, f.LengthMM = mm, old.LengthMM+mm
		}
	}
	f.OhmsPerWire = wire.OhmsPerMeter(wire.AreaMM2(gauge)) * f.LengthMM / 1000
	return f
}

// free is a name that no part of the current has yet.
func free(l *track.Layout) string {
	for n := len(l.Feeders) + 1; ; n++ {
		name := fmt.Sprintf("F%d", n)
		taken := slices.ContainsFunc(l.Feeders, func(f track.Feeder) bool { return f.Name == name }) ||
			slices.ContainsFunc(l.Supplies, func(u track.Supply) bool { return u.Name == name }) ||
			slices.ContainsFunc(l.Buses, func(u track.Bus) bool { return u.Name == name }) ||
			slices.ContainsFunc(l.Toggles, func(u track.Toggle) bool { return u.Part() == name }) ||
			slices.ContainsFunc(l.Accessories, func(u track.Accessory) bool { return u.Name == name })
		if !taken {
			return name
		}
	}
}
