package trial

import (
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/internal/bench"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// compare holds the table against the set-up that an ask says it has: thing by
// thing, and by what the meter shows.
func (e *Evening) compare(a *hunt.Ask) error {
	s, want := e.Bench.State(), &a.Setup
	differ := func(what string, is, meant any) {
		if fmt.Sprint(is) != fmt.Sprint(meant) {
			e.Apart = append(e.Apart, fmt.Sprintf("reading %d: %s: the table has %v, the ask means %v", a.N, what, is,
				meant))
		}
	}
	if a.Meter != "lamp" {
		differ("the dial", e.Bench.Dial(), a.Dial)
	}
	differ("what feeds", s.Source, want.Source.Kind)
	differ("joints lifted", s.Lifted, sorted(want.Lifted))
	differ("feeders pulled", s.Pulled, sorted(want.Pulled))
	differ("toggles in their second position", s.Off, sorted(want.Off))
	differ("accessories off their wires", s.Unplugged, sorted(want.Unplugged))
	differ("trains on the rails", s.Trains, want.Trains == "on")
	differ("supplies on", len(s.On), feeding(want))
	differ("handle full up", s.Full, true)
	differ("pieces out", s.Out, []string(nil))
	differ("turnouts", s.Thrown, e.thrown(want))
	differ("across the rails", across(s.Laid), meant(want.Loads))
	if want.Source.Kind == "none" {
		differ("wires off the posts", s.Apart, true)
	}
	if a.Meter == "lamp" || len(e.File.Accessories) > 0 {
		return nil // lamps and coils of the layout's own are filaments on the bench
	}
	is, err := e.Bench.Exact(a.Red, a.Black)
	if err != nil {
		return err
	}
	should, err := e.solved(a)
	if err != nil {
		return err
	}
	if math.Abs(is) != math.Abs(should) && !(math.Abs(is-should) <= 1e-7+1e-5*math.Abs(should)) {
		e.Apart = append(e.Apart, fmt.Sprintf("reading %d: %s to %s: the table gives %.6g, the set-up of the ask %.6g",
			a.N, a.Red, a.Black, is, should))
	}
	return nil
}

func sorted(x []string) []string { return slices.Sorted(slices.Values(x)) }

// feeding is how many supplies a set-up has on.
func feeding(s *hunt.Setup) int {
	if s.Source.Kind == "none" {
		return 0
	}
	return 1 + len(s.Also)
}

// thrown are the turnouts of a set-up that do not stand to their through leg.
func (e *Evening) thrown(s *hunt.Setup) map[string]string {
	out := map[string]string{}
	for name, route := range s.Thrown {
		if route != track.EndThrough {
			out[e.File.Pieces[e.File.FindPiece(name)].ID()] = route
		}
	}
	return out
}

func across(list []bench.Strap) []string {
	var out []string
	for _, x := range list {
		out = append(out, fmt.Sprint(x.From, ", ", x.To, ", lamp: ", x.Lamp))
	}
	return sorted(out)
}

func meant(list []hunt.Load) []string {
	var out []string
	for _, x := range list {
		out = append(out, fmt.Sprint(x.From, ", ", x.To, ", lamp: ", x.Ohms >= 1))
	}
	return sorted(out)
}

// solved is what the set-up of an ask gives on a bench of package simulate, with
// the lamps at the ohms that they have on the table and what the supply has inside.
func (e *Evening) solved(a *hunt.Ask) (float64, error) {
	n, err := conductor.Build(e.File)
	if err != nil {
		return 0, err
	}
	p, err := ProbeOf(n, a)
	if err != nil {
		return 0, err
	}
	at, err := e.Bench.Working()
	if err != nil {
		return 0, err
	}
	if p.Setup.Source.Kind != conductor.SourceNone {
		p.Setup.Source.Kind, p.Setup.Source.Volts, p.Setup.Source.Amps = conductor.SourceLamp, at.Volts,
			at.Volts/at.Inside
	}
	for i := range p.Setup.Also {
		x := &p.Setup.Also[i]
		x.Kind, x.Amps = conductor.SourceLamp, x.Volts/bench.WindingOhms
	}
	for i, x := range a.Setup.Loads {
		p.Setup.Loads[i].Ohms = at.Laid[[2]string{x.From, x.To}]
	}
	b := simulate.NewBench(n, e.Bench.Ohms, e.Bench.Faults)
	switch p.Function {
	case simulate.Beeper, simulate.Ohms:
		return b.Ohms(p.Setup, p.Red, p.Black), nil
	case simulate.Amps:
		return b.Amps(p.Setup), nil
	}
	v, _ := b.Volts(p.Setup, p.Red, p.Black)
	return v, nil
}
