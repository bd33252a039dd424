package main

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
)

// condition is one crossing of the main table.
type condition struct {
	shape  string
	pieces int
	meter  string
	level  float64
	wrong  float64
}

var (
	usualPieces = []int{50, 100, 200, 500}
	usualMeters = []string{"cheap", "good"}
	usualLevels = []float64{1, 2, 5}
	usualWrong  = []float64{0, 0.03, 0.1}
)

// conditions lists the rows: all crossings, or from the plain one only one
// thing changed at a time.
func (o *options) conditions() []condition {
	var out []condition
	for _, s := range or(o.shapes, trial.Shapes) {
		for _, n := range or(o.pieces, usualPieces) {
			for _, m := range or(o.meters, usualMeters) {
				for _, l := range or(o.levels, usualLevels) {
					for _, w := range or(o.wrong, usualWrong) {
						changed := 0
						for _, is := range []bool{m != or(o.meters, usualMeters)[0], l != or(o.levels, usualLevels)[0],
							w != or(o.wrong, usualWrong)[0]} {
							if is {
								changed++
							}
						}
						if o.full || changed <= 1 {
							out = append(out, condition{s, n, m, l, w})
						}
					}
				}
			}
		}
	}
	return out
}

const legend = `first, two, three: the truth was among that many pieces of the list (percent of hunts).
stated: the mean probability given to the first. minutes: until pieces are named; total: until the bad one is found.
none: hunts that named no piece.
MB: allocated a hunt, not held at once. ratio: Murray's ratio alone, two drops and nothing else ("-" off a closed run).
`

func mainTable(o *options) error {
	fmt.Fprint(o.out, legend)
	fmt.Fprintf(o.out, "%-11s %4s %-5s %5s %5s | %8s %5s %7s %6s %5s %5s %5s %6s %4s %6s %6s | %5s "+
		"%5s\n", "shape", "n", "meter", "level", "wrong",
		"readings", "lifts", "minutes", "total", "first", "two", "three", "stated", "none", "s/hunt", "MB",
		"ratio", "three")
	var all []one
	for i, c := range o.conditions() {
		l, err := shaped(c.shape, c.pieces, trial.Build{})
		if err != nil {
			return err
		}
		kit, m := instruments(c.meter, o.bisect)
		f, err := trial.NewField(trial.Setting{Layout: l, Kit: kit, Meter: m, Rails: c.level, Joints: c.level,
			LampSD: 0.04, Wrong: c.wrong}, nil)
		if err != nil {
			return err
		}
		r := newRow(o, f, uint64(i))
		if err := r.run(o.n); err != nil {
			return err
		}
		all = append(all, r.all...)
		o.mainRow(c, r)
	}
	o.reliability(all)
	return nil
}

func (o *options) mainRow(c condition, r *row) {
	a, m := mean(r.all, ours), mean(r.all, murray)
	fmt.Fprintf(o.out, "%-11s %4d %-5s %5g %5g | %8.2f %5.2f %7.1f %6.1f %5.0f %5.0f %5.0f %6.2f %4d %6.2f %6.0f |",
		c.shape, len(r.f.Layout.Pieces), c.meter, c.level, c.wrong,
		a.readings, a.lifts, a.minutes, a.total, 100*a.first, 100*a.two, 100*a.three, a.stated, a.unsure, r.seconds(),
		float64(r.bytes)/1e6/float64(len(r.all)))
	if o.spice {
		fmt.Fprintf(o.out, " %5s %5s\n", "-", "-")
		return
	}
	if r.all[0].hasMurray {
		fmt.Fprintf(o.out, " %5.0f %5.0f\n", 100*m.first, 100*m.three)
	} else {
		fmt.Fprintf(o.out, " %5s %5s\n", "-", "-")
	}
}

// reliability prints what was stated for the first piece against how often it
// was the bad one, by tenths.
func (o *options) reliability(all []one) {
	var n, right [10]int
	var stated [10]float64
	for i := range all {
		r := &all[i].ours
		if r.NoList {
			continue
		}
		d := min(9, int(10*r.Stated))
		n[d]++
		stated[d] += r.Stated
		if r.Rank == 1 {
			right[d]++
		}
	}
	fmt.Fprintf(o.out, "\nstated   hunts   mean stated   right   off by   (two standard errors)\n")
	for d := range n {
		if n[d] == 0 {
			continue
		}
		k := float64(n[d])
		p, got := stated[d]/k, float64(right[d])/k
		fmt.Fprintf(o.out, "%.1f-%.1f %7d %13.3f %7.3f %+8.3f   %.3f\n", float64(d)/10, float64(d+1)/10, n[d], p, got,
			got-p, 2*math.Sqrt(p*(1-p)/k))
	}
}

// Track of a first experiment of our own: rail 10 mohm a piece of 10 inches
// +-5 %, joints about 6 mohm with log-sd 0.7, on both rails. %g is the level's
// log-sd that the hunter is told of.
const ownTrack = `construction "experiment" {
  about  = "invented: the track of a first experiment"
  rails  = ["left", "right"]
  hot    = "right"
  common = "left"
  source = "assumed"
  rail {
    ohms_per_meter = 0.03937
    spread         = 0.05
    level          = %[1]g
  }
  joint {
    ohms   = 0.006
    spread = 0.7
    level  = %[1]g
  }
  clip {
    ohms   = 0.003
    spread = 0.7
  }
  lift {
    minutes       = 4
    joint_minutes = 1.5
    text          = "pull the pieces apart"
  }
  turnout {
    dead_mm = 50
    conductors = [
      "points left to through left by rail share 1",
      "points right to through right by rail share 1",
      "points left to diverging left by rail share 1",
      "points right to diverging right by rail share 1",
    ]
  }
  crossing {
    dead_mm = 50
    conductors = [
      "a1 left to a2 left by rail share 1",
      "a1 right to a2 right by rail share 1",
      "b1 left to b2 left by rail share 1",
      "b1 right to b2 right by rail share 1",
    ]
  }
  flaw "piece" "bridged" {
    rails = ["left", "right"]
    odds  = 1
    min   = 0.005
    max   = 1
    what  = "metal across the rails"
    look  = "look for stray metal"
  }
}
`

// aimTable is the set-up that the program is to be measured by: a closed loop,
// a short of up to 1 ohm, 1 A known to 1 %, 0.1 mV.
func aimTable(o *options) error {
	fmt.Fprint(o.out, legend)
	fmt.Fprintf(o.out, "%-26s %4s %-8s | %8s %5s %5s %5s %5s %6s %4s %6s %6s | %5s %5s\n", "track",
		"n", "levels",
		"readings", "lifts", "first", "two", "three", "stated", "none", "s/hunt", "MB", "ratio", "three")
	salt := uint64(1000)
	for _, own := range []bool{false, true} {
		for _, n := range or(o.pieces, []int{40, 100, 200}) {
			for _, unknown := range []bool{false, true} {
				salt++
				r, err := o.aimRow(own, n, unknown, salt)
				if err != nil {
					return err
				}
				o.printAim(own, n, unknown, r)
			}
		}
	}
	return nil
}

func (o *options) aimRow(own bool, n int, unknown bool, salt uint64) (*row, error) {
	level := 0.05
	if unknown {
		level = 0.5
	}
	b := trial.Build{DC: true, Construction: "experiment", Own: fmt.Sprintf(ownTrack, level)}
	if !own {
		b = trial.Build{DC: true}
	}
	l, err := shaped("loop", n, b)
	if err != nil {
		return nil, err
	}
	if !own {
		for _, c := range l.Constructions {
			c.RailLevel, c.JointLevel = level, level
		}
	}
	tenth := meter.Good(false)
	tenth.Millivolts = meter.Range{Step: 1e-4, Percent: 0.1, Digits: 1, Over: [2]float64{5, 6}, Scatter: 5e-5}
	kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, LampAmps: 1, LampSpread: 0.01,
		Own: &tenth, Bisect: o.bisect}
	m := simulate.GoodMeter()
	m.Millivolts = []simulate.Scale{{Full: 5, Step: 1e-4, Percent: 0.1, Digits: 1, Unit: "mV", Per: 1e-3}}
	s := trial.Setting{Layout: l, Kit: kit, Meter: m, LampSD: 0.01, MinOhms: 0.005, MaxOhms: 1}
	if unknown {
		s.LevelSD = 0.5
	}
	f, err := trial.NewField(s, func(_ *trial.Field, x *fault.Suspect) bool {
		return x.Mode == track.Bridged && x.PieceIndex >= 0
	})
	if err != nil {
		return nil, err
	}
	r := newRow(o, f, salt)
	return r, r.run(o.n)
}

func (o *options) printAim(own bool, n int, unknown bool, r *row) {
	name, level := "metal-tie of the program", "stated"
	if own {
		name = "first experiment"
	}
	if unknown {
		level = "unknown"
	}
	a, m := mean(r.all, ours), mean(r.all, murray)
	fmt.Fprintf(o.out, "%-26s %4d %-8s | %8.2f %5.2f %5.0f %5.0f %5.0f %6.2f %4d %6.2f %6.0f | %5.0f "+
		"%5.0f\n", name, n, level,
		a.readings, a.lifts, 100*a.first, 100*a.two, 100*a.three, a.stated, a.unsure, r.seconds(),
		float64(r.bytes)/1e6/float64(len(r.all)),
		100*m.first, 100*m.three)
}

// kindOf names the kind of a suspect.
func kindOf(n *conductor.Network, l *track.Layout, s *fault.Suspect) string {
	k := &n.Links[s.Links[0]]
	where := string(k.Kind)
	if k.Kind == conductor.KindInsulation && k.Piece >= 0 {
		where = string(l.Pieces[k.Piece].Kind)
		if l.Pieces[k.Piece].Kind == track.Curve {
			where = string(track.Straight)
		}
	}
	return string(s.Mode) + " " + where
}

// faultsTable hides one of each kind of fault that a shape has in turn.
func faultsTable(o *options) error {
	fmt.Fprint(o.out, legend)
	fmt.Fprintf(o.out, "%-11s %4s %-22s | %5s %8s %5s %7s %6s %5s %5s %5s %6s %4s %6s\n", "shape", "n", "fault",
		"hunts", "readings", "lifts", "minutes", "total", "first", "two", "three", "stated", "none", "s/hunt")
	salt := uint64(2000)
	for _, shape := range or(o.shapes, trial.Shapes) {
		for _, n := range or(o.pieces, []int{50}) {
			l, err := shaped(shape, n, trial.Build{})
			if err != nil {
				return err
			}
			if err := o.kindRows(shape, l, &salt); err != nil {
				return err
			}
		}
	}
	return nil
}

func (o *options) kindRows(shape string, l *track.Layout, salt *uint64) error {
	kit, m := instruments(or(o.meters, usualMeters)[0], o.bisect)
	n, err := conductor.Build(l)
	if err != nil {
		return err
	}
	var kinds []string
	seen := map[string]bool{}
	for _, s := range fault.List(n) {
		if k := kindOf(n, l, &s); !seen[k] {
			seen[k] = true
			kinds = append(kinds, k)
		}
	}
	for _, kind := range kinds {
		*salt++
		f, err := trial.NewField(trial.Setting{Layout: l, Kit: kit, Meter: m, LampSD: 0.04, Slow: 0.98},
			func(f *trial.Field, s *fault.Suspect) bool {
				return kindOf(f.Net, l, s) == kind
			})
		if err != nil {
			return err
		}
		r := newRow(o, f, *salt)
		r.beside = false
		if _, err := r.draw(0); err != nil {
			fmt.Fprintf(o.out, "%-11s %4d %-22s | no symptom on this layout\n", shape, len(l.Pieces), kind)
			continue
		}
		if err := r.run(o.n); err != nil {
			return err
		}
		a := mean(r.all, ours)
		fmt.Fprintf(o.out, "%-11s %4d %-22s | %5d %8.2f %5.2f %7.1f %6.1f %5.0f %5.0f %5.0f %6.2f %4d %6.2f\n", shape,
			len(l.Pieces), kind, o.n,
			a.readings, a.lifts, a.minutes, a.total, 100*a.first, 100*a.two, 100*a.three, a.stated, a.unsure,
			r.seconds())
	}
	return nil
}

// calibrationTable hunts on a mix of layouts and meters, n in all, on track
// whose levels are drawn as the hunter believes them to be spread and by a
// person who misreads as often as it believes: what is stated can only come
// true as often as stated among hunts drawn from what it states (S. Talts and
// others, "Validating Bayesian inference algorithms with simulation-based
// calibration", 2018, from memory). Fixed levels and rates come with -level and
// -wrong.
func calibrationTable(o *options) error {
	var all []one
	var mix []condition
	for _, s := range or(o.shapes, trial.Shapes) {
		for _, n := range or(o.pieces, []int{50}) {
			for _, m := range or(o.meters, usualMeters) {
				for _, l := range or(o.levels, []float64{0}) {
					for _, w := range or(o.wrong, []float64{0.03}) {
						mix = append(mix, condition{s, n, m, l, w})
					}
				}
			}
		}
	}
	for i, c := range mix {
		l, err := shaped(c.shape, c.pieces, trial.Build{})
		if err != nil {
			return err
		}
		kit, m := instruments(c.meter, o.bisect)
		f, err := trial.NewField(trial.Setting{Layout: l, Kit: kit, Meter: m, Rails: c.level, Joints: c.level,
			Believed: c.level == 0, LampSD: 0.04, Wrong: c.wrong}, nil)
		if err != nil {
			return err
		}
		r := newRow(o, f, 3000+uint64(i))
		r.beside, r.first = false, true
		n := o.n / len(mix)
		if i < o.n%len(mix) {
			n++
		}
		if n == 0 {
			continue
		}
		if err := r.run(n); err != nil {
			return err
		}
		all = append(all, r.all...)
	}
	a := mean(all, ours)
	fmt.Fprintf(o.out, "%d hunts: %.2f readings, %.2f lifts; first %.1f %%, first two %.1f %%, first three %.1f %%\n",
		len(all), a.readings, a.lifts, 100*a.first, 100*a.two, 100*a.three)
	o.reliability(all)
	return nil
}
