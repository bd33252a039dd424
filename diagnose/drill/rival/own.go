// Package rival hunts the fault of a drill in other ways than the learner: as
// the program would, and by plain halving with a beeper. A rival acts on a twin
// of the drill by the same acts, at the same cost and under the same stops as
// the learner; its log is compared with the learner's.
package rival

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
)

// Result is one hunt.
type Result struct {
	Name string
	Log  []drill.Entry
	// Why says why there was no hunt of this kind, or why it found nothing.
	Why   string
	Found bool
}

// Streams of the scatter of a rival's readings.
const (
	streamOwn     = 2
	streamHalving = 3
)

// Own hunts as the program would, with the learner's meter.
func Own(d *drill.Drill) Result {
	t := d.Twin(streamOwn)
	kit := d.Options().Kit
	kit.Armed = true // a drill's lamp is in its place and lit
	h := hunt.New(d.Layout(), kit)
	s := d.Symptom()
	o := &own{t: t, h: h, f: drill.NewFinder(t.Network())}
	err := o.do(drill.Act{Do: drill.DoTrain, To: drill.Off})
	if err == nil {
		err = h.Apply(hunt.Event{Symptom: &s})
	}
	if err == nil {
		err = o.hunt()
	}
	return finish("program", t, err)
}

func finish(name string, t *drill.Drill, err error) Result {
	over, _ := t.Over()
	r := Result{Name: name, Log: t.Log(), Found: over}
	if err != nil {
		r.Why = err.Error()
	} else if !over {
		r.Why = "it did not find the fault"
	}
	return r
}

type own struct {
	t *drill.Drill
	h *hunt.Hunt
	f drill.Finder
}

// maxSteps bounds a hunt that gets nowhere.
const maxSteps = 80

func (o *own) do(a drill.Act) error {
	e, err := o.t.Do(a)
	if err != nil {
		return fmt.Errorf("%s: %w", a, err)
	}
	if e.Stopped != "" {
		return fmt.Errorf("%s: %s", a, e.Stopped)
	}
	return nil
}

func (o *own) hunt() error {
	for range maxSteps {
		if over, _ := o.t.Over(); over {
			return nil
		}
		v := o.h.View()
		switch {
		case v.Step.Ask != nil:
			if err := o.answer(v.Step.Ask); err != nil {
				return err
			}
		case v.Step.Inspect != nil:
			if err := o.inspect(v.Step.Inspect.Pieces[0].Piece); err != nil {
				return err
			}
		case v.Step.Done != nil && v.Step.Done.Prove != nil && !v.Step.Done.Proven:
			if err := o.answer(v.Step.Done.Prove); err != nil {
				return err
			}
		case v.Step.Done != nil && v.Step.Done.Outcome == hunt.EndOffTrack:
			return o.accuse(drill.OffTrack)
		default:
			return nil
		}
	}
	return nil
}

// answer brings the layout into the set-up asked for and reads.
func (o *own) answer(a *hunt.Ask) error {
	if err := o.setUp(&a.Setup); err != nil {
		return err
	}
	if a.Setup.Source.Kind != string(conductor.SourceNone) && o.t.State().Setup.Source.Kind == conductor.SourceNone {
		return o.h.Apply(hunt.Event{Skip: "the breaker trips"})
	}
	e, err := o.t.Do(drill.Act{Do: drill.DoRead, Meter: a.Meter, Red: a.Red, Black: a.Black})
	if err != nil {
		return err
	}
	if e.Stopped != "" {
		return fmt.Errorf("reading: %s", e.Stopped)
	}
	return o.h.Apply(hunt.Event{Reading: e.Shows})
}

func (o *own) setUp(want *hunt.Setup) error {
	hands := o.hands(want)
	live, on := o.t.State().Setup, o.switchOn(want)
	same := slices.Equal(o.switchOn(ptr(hunt.SetupOf(o.t.Network(), &live))), on)
	var acts []drill.Act
	if live.Source.Kind != conductor.SourceNone && (len(hands) > 0 || !same) {
		acts = append(acts, drill.Act{Do: drill.DoSupply, To: drill.Off})
		same = len(on) == 0
	}
	acts = append(acts, hands...)
	if !same {
		acts = append(acts, on...)
	}
	for _, a := range acts {
		if err := o.do(a); err != nil {
			return err
		}
	}
	return nil
}

func ptr(s hunt.Setup) *hunt.Setup { return &s }

// switchOn lists the acts that switch on what an ask has on.
func (o *own) switchOn(want *hunt.Setup) []drill.Act {
	var acts []drill.Act
	for _, s := range append([]hunt.Source{want.Source}, want.Also...) {
		to := map[string]string{string(conductor.SourceLamp): drill.Lamp,
			string(conductor.SourceVolts): drill.On}[s.Kind]
		if to != "" {
			acts = append(acts, drill.Act{Do: drill.DoSupply, To: to, At: o.supplyName(s.From)})
		}
	}
	return acts
}

// supplyName is the supply that a point belongs to: a post, or a winding behind
// the plug.
func (o *own) supplyName(point string) string {
	for _, s := range o.t.Layout().Supplies {
		if strings.HasPrefix(point, s.Name+" ") {
			return s.Name
		}
	}
	return ""
}

// hands lists what is to be lifted, put together, pulled, put back and laid.
func (o *own) hands(want *hunt.Setup) []drill.Act {
	now, l := o.t.State(), o.t.Layout()
	var acts []drill.Act
	toggle := func(have []int, name func(int) string, names []string, do, undo drill.Do) {
		for _, n := range names {
			if !holds(have, name, n) {
				acts = append(acts, drill.Act{Do: do, At: n})
			}
		}
		for _, x := range have {
			if !hasName(names, name(x)) {
				acts = append(acts, drill.Act{Do: undo, At: name(x)})
			}
		}
	}
	toggle(now.Setup.Lifted, func(j int) string { return l.Joints[j].Name }, want.Lifted, drill.DoLift, drill.DoSeat)
	toggle(now.Setup.Pulled, func(f int) string { return l.Feeders[f].Name }, want.Pulled, drill.DoPull, drill.DoPlug)
	toggle(now.Setup.Unplugged, func(a int) string {
		return l.Accessories[a].Name
	}, want.Unplugged, drill.DoPull, drill.DoPlug)
	acts = append(acts, o.switches(want)...)
	return append(acts, o.loads(want)...)
}

// switches lists the toggles and turnouts to throw.
func (o *own) switches(want *hunt.Setup) []drill.Act {
	now, l := o.t.State(), o.t.Layout()
	var acts []drill.Act
	for i := range l.Toggles {
		off, wanted := conductor.Has(now.Setup.Off, i), hasName(want.Off, l.Toggles[i].Name)
		if off != wanted {
			to := map[bool]string{true: drill.Off, false: drill.On}[wanted]
			acts = append(acts, drill.Act{Do: drill.DoThrow, At: l.Toggles[i].Name, To: to})
		}
	}
	for i := range l.Pieces {
		p := &l.Pieces[i]
		to := drill.Through
		for _, name := range []string{p.Name, p.ID()} {
			if r, ok := want.Thrown[name]; ok && name != "" {
				to = r
			}
		}
		if now.Setup.Route(i) != to {
			acts = append(acts, drill.Act{Do: drill.DoThrow, At: p.ID(), To: to})
		}
	}
	return acts
}

// loads lists what is to be laid across the rails or taken away.
func (o *own) loads(want *hunt.Setup) []drill.Act {
	have := o.t.State().Setup.Loads
	if len(want.Loads) == 0 {
		if len(have) > 0 {
			return []drill.Act{{Do: drill.DoLoad, To: drill.Off}}
		}
		return nil
	}
	x := want.Loads[0]
	from, _ := o.f.Point(x.From)
	to, _ := o.f.Point(x.To)
	clip := x.Ohms < drill.ClipBelow
	if len(have) > 0 && have[0].From == from && have[0].To == to && (have[0].Ohms < drill.ClipBelow) == clip {
		return nil
	}
	a := drill.Act{Do: drill.DoLoad, Red: x.From, Black: x.To, To: drill.On}
	if clip {
		a.To = drill.Jumper
	}
	return []drill.Act{a}
}

func holds(list []int, name func(int) string, want string) bool {
	for _, x := range list {
		if name(x) == want {
			return true
		}
	}
	return false
}

func hasName(names []string, want string) bool {
	for _, n := range names {
		if n == want {
			return true
		}
	}
	return false
}

// off switches the supply off where it is on.
func (o *own) off() error {
	if o.t.State().Setup.Source.Kind == conductor.SourceNone {
		return nil
	}
	return o.do(drill.Act{Do: drill.DoSupply, To: drill.Off})
}

func (o *own) accuse(name string) error {
	if err := o.off(); err != nil {
		return err
	}
	return o.do(drill.Act{Do: drill.DoAccuse, At: name})
}

// inspect looks at one piece and tells the hunt.
func (o *own) inspect(name string) error {
	if err := o.accuse(name); err != nil {
		return err
	}
	log := o.t.Log()
	if log[len(log)-1].Found != "" {
		return o.h.Apply(hunt.Event{Found: name})
	}
	return o.h.Apply(hunt.Event{NotFound: name})
}
