package drill

import (
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/price"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// Do takes an act. An error says what is wrong with it as written: nothing was
// done and nothing is kept. An unsafe act is kept as stopped, with the reason.
func (d *Drill) Do(a Act) (Entry, error) {
	if d.over {
		return Entry{}, fmt.Errorf("the drill is over")
	}
	e := Entry{Act: a}
	next, before := d.State(), d.State()
	if err := (hands{d}).act(&e, &next); err != nil {
		return Entry{}, err
	}
	if e.Stopped != "" {
		e.Minutes = 0
	} else {
		d.state = next
	}
	e.Minutes = math.Round(e.Minutes*100) / 100
	d.clock += e.Minutes
	e.Clock = math.Round(d.clock*100) / 100
	d.log, d.before = append(d.log, e), append(d.before, before)
	return e, nil
}

// hands do what an act says in a drill, and say what it showed and cost.
type hands struct{ *Drill }

func (d hands) act(e *Entry, next *State) error {
	switch e.Act.Do {
	case DoRead:
		return d.read(e)
	case DoLift, DoSeat:
		return d.joint(e, next)
	case DoPull, DoPlug:
		return d.feeder(e, next)
	case DoThrow:
		return d.throw(e, next)
	case DoSupply:
		return d.supply(e, next)
	case DoLoad:
		return d.load(e, next)
	case DoTrain:
		return d.train(e, next)
	case DoRun:
		return d.run(e)
	case DoLook, DoAccuse:
		return d.look(e)
	case DoGiveUp:
		d.over, d.gaveUp = true, true
		e.Says = "given up"
		return nil
	}
	return fmt.Errorf("%q is nothing that can be done here", e.Act.Do)
}

// live says that current may flow in the track.
func (d *Drill) live() bool { return d.state.Setup.Source.Kind != conductor.SourceNone }

// owns says whether the meter on the table has a function.
func (d *Drill) owns(f simulate.Function) bool {
	k := &d.o.Kit
	switch f {
	case simulate.Beeper:
		return k.Beeper
	case simulate.Ohms:
		return k.Ohms
	case simulate.Volts:
		return k.Volts
	case simulate.Millivolts:
		return k.Millivolts
	case simulate.Amps:
		return k.Amps
	}
	return false
}

func (d hands) read(e *Entry) error {
	f := simulate.Function(e.Act.Meter)
	if !slices.Contains([]simulate.Function{simulate.Beeper, simulate.Ohms, simulate.Volts, simulate.Millivolts,
		simulate.Amps}, f) {
		return fmt.Errorf("%q is no setting of the meter: beeper, ohms, volts, millivolts or amps", e.Act.Meter)
	}
	if !d.owns(f) {
		return fmt.Errorf("the meter on the table has no %s here", f)
	}
	if f == simulate.Amps {
		return d.readAmps(e)
	}
	red, black, err := d.points(&e.Act)
	if err != nil {
		return err
	}
	if e.Stopped = d.unsafeRead(f); e.Stopped != "" {
		return nil
	}
	e.Minutes = d.costs.Read(red, black)
	if red == black {
		e.Minutes = price.Leads
	}
	e.Shows = d.world.Read(d.state.Setup, d.state.Train, f, red, black)
	d.note()
	return nil
}

// note keeps for the end that the reading just taken was an odd one.
func (d *Drill) note() {
	if d.world.odd != "" {
		d.odd = append(d.odd, Odd{len(d.log), d.world.odd})
	}
}

// points finds the probes, and writes their full names into the act.
func (d *Drill) points(a *Act) (red, black int, err error) {
	if a.Red == "" {
		return -1, -1, fmt.Errorf("the red probe is nowhere: write a place, or two points")
	}
	if fold(a.Red) == Leads && a.Black == "" { // anywhere, on one point
		a.Red = d.n.Points[d.n.Posts[0][0]].Name
		a.Black = a.Red
	}
	if a.Black == "" {
		if p, err := d.find.Point(a.Red); err == nil {
			return -1, -1, fmt.Errorf("the black probe is nowhere: write %s %s to another point, or a place alone "+
				"for its two rails", a.Meter, d.n.Points[p].Name)
		}
		if red, black, err = d.find.Pair(a.Red); err != nil {
			return -1, -1, err
		}
	} else {
		hot := [2]int{d.find.Hot(a.Red), d.find.Hot(a.Black)}
		if hot[0] >= 0 && hot[1] >= 0 { // two places: along their hot rail
			red, black = hot[0], hot[1]
		} else if red, err = d.find.Point(a.Red); err != nil {
			return -1, -1, err
		} else if black, err = d.find.Point(a.Black); err != nil {
			return -1, -1, err
		}
	}
	if red == black && a.Meter != string(simulate.Ohms) && a.Meter != string(simulate.Beeper) {
		return -1, -1, fmt.Errorf("both probes are on %s: put them on two points", d.n.Points[red].Name)
	}
	a.Red, a.Black = d.n.Points[red].Name, d.n.Points[black].Name
	return red, black, nil
}

// readAmps reads the current that the supply gives, the meter in its lead.
func (d hands) readAmps(e *Entry) error {
	if e.Act.Red != "" {
		e.Stopped = "amperes are read in the supply's lead, never across two points: the meter is a piece of wire " +
			"there, and would be a short itself"
		return nil
	}
	e.Minutes = price.Probe
	e.Shows = d.world.Read(d.state.Setup, d.state.Train, simulate.Amps, -1, -1)
	d.note()
	return nil
}

func (d hands) joint(e *Entry, next *State) error {
	j, err := d.find.Joint(e.Act.At)
	if err != nil {
		return err
	}
	name := d.layout.Joints[j].Name
	e.Act.At = name
	lifted := conductor.Has(next.Setup.Lifted, j)
	switch {
	case e.Act.Do == DoLift && lifted:
		return fmt.Errorf("%s is lifted already", name)
	case e.Act.Do == DoSeat && !lifted:
		return fmt.Errorf("%s is not lifted", name)
	}
	if e.Stopped = d.unsafeHands("open or close a joint"); e.Stopped != "" {
		return nil
	}
	if e.Act.Do == DoLift {
		next.Setup.Lift(j)
		e.Minutes, e.Lift = d.costs.Lift(j), true
		e.Says = name + " is open: no rail touches across it"
		return nil
	}
	next.Setup.Lifted = without(next.Setup.Lifted, j)
	e.Says = name + " is together again (the time is in the lifting)"
	return nil
}

func without(list []int, x int) []int {
	var out []int
	for _, y := range list {
		if y != x {
			out = append(out, y)
		}
	}
	return out
}

func (d hands) feeder(e *Entry, next *State) error {
	if i := d.find.accessory(e.Act.At); i >= 0 {
		return d.accessory(e, next, i)
	}
	f, err := d.find.Feeder(e.Act.At)
	if err != nil {
		return err
	}
	name := d.layout.Feeders[f].Name
	e.Act.At = name
	pulled := conductor.Has(next.Setup.Pulled, f)
	switch {
	case e.Act.Do == DoPull && pulled:
		return fmt.Errorf("%s is off the supply already", name)
	case e.Act.Do == DoPlug && !pulled:
		return fmt.Errorf("%s is on the supply", name)
	}
	if e.Stopped = d.unsafeHands("touch the feeders"); e.Stopped != "" {
		return nil
	}
	if e.Act.Do == DoPull {
		next.Setup.Pull(f)
		e.Minutes = price.Pull
		e.Says = "both wires of " + name + " are off the supply"
		return nil
	}
	next.Setup.Pulled = without(next.Setup.Pulled, f)
	e.Says = "both wires of " + name + " are back on the supply (the time is in the pulling)"
	return nil
}

// accessory unplugs an accessory or plugs it in again.
func (d hands) accessory(e *Entry, next *State, i int) error {
	name := d.layout.Accessories[i].Name
	e.Act.At = name
	out := conductor.Has(next.Setup.Unplugged, i)
	if out == (e.Act.Do == DoPull) {
		return fmt.Errorf("%s: nothing to do, it is so already", name)
	}
	if e.Stopped = d.unsafeHands("touch the wires of an accessory"); e.Stopped != "" {
		return nil
	}
	if e.Act.Do == DoPull {
		next.Setup.Unplug(i)
		e.Minutes = price.Unplug
		e.Says = name + ": unplugged"
		return nil
	}
	next.Setup.Unplugged = without(next.Setup.Unplugged, i)
	e.Minutes = price.Unplug
	e.Says = name + ": plugged in again"
	return nil
}

// toggle switches a toggle.
func (d hands) toggle(e *Entry, next *State, i int) error {
	name := d.layout.Toggles[i].Name
	e.Act.At = name
	if e.Act.To != Off && e.Act.To != On {
		return fmt.Errorf("a toggle is thrown on or off, as in: throw %s off", name)
	}
	if e.Act.To == Off {
		next.Setup.TurnOff(i)
	} else {
		next.Setup.Off = without(next.Setup.Off, i)
	}
	e.Minutes = price.Throw
	e.Says = name + " is " + e.Act.To
	return nil
}

func (d hands) throw(e *Entry, next *State) error {
	if i := d.find.toggle(e.Act.At); i >= 0 {
		return d.toggle(e, next, i)
	}
	p, err := d.find.Piece(e.Act.At)
	if err != nil {
		return err
	}
	if !route(&d.layout.Pieces[p], e.Act.To) {
		return fmt.Errorf("write a turnout and through or diverging; %s is a %s", e.Act.At, d.layout.Pieces[p].Kind)
	}
	if next.Setup.Thrown == nil {
		next.Setup.Thrown = map[int]string{}
	}
	next.Setup.Thrown[p] = e.Act.To
	if e.Act.To == track.EndThrough {
		delete(next.Setup.Thrown, p)
	}
	e.Minutes = price.Throw
	e.Says = e.Act.At + " is thrown " + e.Act.To
	return nil
}

func (d hands) train(e *Entry, next *State) error {
	if e.Act.To != Off && e.Act.To != On {
		return fmt.Errorf("a train is off or on, not %q", e.Act.To)
	}
	if e.Act.To == Off && d.state.Train < 0 {
		return fmt.Errorf("no train is on the rails")
	}
	at := -1
	if e.Act.To == On {
		name := e.Act.At
		if name == "" {
			name = d.layout.Pieces[firstStand(d.n, d.symptom)].ID()
		}
		p, err := d.find.Piece(name)
		if err != nil {
			return err
		}
		if hot, common := Across(d.n, p); hot < 0 || common < 0 {
			return fmt.Errorf("no train can stand on %s", d.layout.Pieces[p].ID())
		}
		at, e.Act.At = p, d.layout.Pieces[p].ID()
	}
	if e.Stopped = d.unsafeHands("put a train on or take it off"); e.Stopped != "" {
		return nil
	}
	next.Train = at
	e.Minutes = price.Train
	e.Says = "all trains and loose cars are off the rails"
	if at >= 0 {
		e.Says = "the train stands on " + e.Act.At
	}
	return nil
}

// route says whether a turnout can be thrown to a route.
func route(p *track.Piece, to string) bool {
	return p.Kind == track.Turnout && (to == Through || to == Diverging)
}
