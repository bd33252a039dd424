package drill

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/price"
	"fishplate/diagnose/simulate"
)

// ClipBelow tells a clip lead from a lamp across the rails, ohm (assumed).
const ClipBelow = 1.0

// Reasons why acts are stopped, and cautions (NEM 609 on supplies that feed
// each other; the rest common practice, no source).
const (
	stopLive = "the track is live: beeper and ohms read nonsense there and can hurt the meter; switch the supply " +
		"off first"
	stopBare = "never a bare supply into a short: wires, pins and the supply itself get hot; put the lamp in series"
	hotLamp  = "The lamp gets hot enough to burn skin and scorch foam: stand it in the open, and switch off " +
		"between readings. A fast electronic supply may trip first."
	hotLoad    = "The lamp across the rails gets hot: keep it off ties and scenery, and take it away after the reading."
	liveNow    = "The track is live now: hands off joints and wires, and no beeper or ohms."
	stopSecond = "two supplies feed each other backwards through the track: switch off, take every feeder off " +
		"(pull), and then switch both on"
	backfeed = "More than one supply: pull the mains plugs of all others. A supply that is fed backwards through " +
		"the track has live mains pins."
)

func (d hands) unsafeRead(f simulate.Function) string {
	if (f == simulate.Beeper || f == simulate.Ohms) && d.live() {
		return stopLive
	}
	return ""
}

func (d hands) unsafeHands(what string) string {
	if d.live() {
		return "the supply is on: switch it off and unplug it before you " + what
	}
	return ""
}

// shorting says that, as far as the learner was told, full volts would run into
// a short as the layout stands: it looks at the symptom alone, so that being
// stopped tells nothing about the truth.
func (d hands) shorting(s *State) bool {
	switch d.symptom.Kind {
	case hunt.SymptomShort:
		return true
	case hunt.SymptomShortTrain:
		return s.Train >= 0 || len(s.Setup.Loads) > 0
	}
	return false
}

func (d hands) supply(e *Entry, next *State) error {
	src, err := d.source(e.Act.To, e.Act.At)
	if err != nil {
		return err
	}
	now := &next.Setup
	switch {
	case src.Kind == conductor.SourceVolts && now.Source.Kind == conductor.SourceVolts &&
		d.supplyOf(src) != d.supplyOf(now.Source):
		return d.second(e, next, d.supplyOf(src))
	case src.Kind == now.Source.Kind:
		return fmt.Errorf("the supply is %s already", e.Act.To)
	case src.Kind != conductor.SourceNone && now.Source.Kind != conductor.SourceNone:
		return fmt.Errorf("the supply is on: switch it off first (supply off)")
	case src.Kind == conductor.SourceVolts && d.shorting(next):
		e.Stopped = stopBare
		return nil
	}
	now.Source, now.Also = src, nil
	e.Minutes = price.Source
	switch src.Kind {
	case conductor.SourceNone:
		e.Says = "the supply is off and unplugged"
	case conductor.SourceLamp:
		e.Says = "on through the lamp: " + lampWords(d.world.lampShare(next.Setup, next.Train))
		e.Caution = hotLamp
	default:
		if d.trips(next, d.supplyOf(src)) {
			return d.tripped(e, next)
		}
		e.Says = "the supply is on, full volts"
		e.Caution = liveNow
	}
	if len(d.layout.Supplies) > 1 && src.Kind != conductor.SourceNone {
		e.Caution += " " + backfeed
	}
	return nil
}

// trips says that a supply's breaker does.
func (d hands) trips(s *State, supply int) bool {
	w := d.world
	return w.now(w.draw()).Amps(w.with(s.Setup, s.Train)) > trips(&d.layout.Supplies[supply])
}

// second switches another supply on while one is: only with every feeder off,
// or the two would feed each other through the track.
func (d hands) second(e *Entry, next *State, supply int) error {
	now := &next.Setup
	for _, s := range now.Also {
		if s.From == winding(d.n, supply).From {
			return fmt.Errorf("%s is on already", d.layout.Supplies[supply].Name)
		}
	}
	if len(now.Pulled) < len(d.layout.Feeders) {
		e.Stopped = stopSecond
		return nil
	}
	first := d.supplyOf(now.Source)
	now.Source = winding(d.n, first)
	now.Also = append(now.Also, winding(d.n, supply))
	e.Minutes = price.Source
	e.Says = fmt.Sprintf("%s is on too, full volts", d.layout.Supplies[supply].Name)
	e.Caution = liveNow
	if d.joined(next) > trips(&d.layout.Supplies[supply]) {
		return d.tripped(e, next)
	}
	return nil
}

// joined is the current in what the learner laid across, with two supplies on.
func (d hands) joined(s *State) float64 {
	most := 0.0
	for _, l := range s.Setup.Loads {
		v, _ := d.world.bench.Volts(d.world.with(s.Setup, s.Train), l.From, l.To)
		most = math.Max(most, math.Abs(v)/l.Ohms)
	}
	return most
}

// supplyOf is the supply that a source is.
func (d *Drill) supplyOf(src conductor.Source) int {
	for i := range d.n.Posts {
		if d.n.Posts[i][0] == src.From || d.n.Windings[i][0] == src.From {
			return i
		}
	}
	return 0
}

// SupplyName names the supply that a source of a set-up is.
func (d *Drill) SupplyName(src conductor.Source) string {
	return d.layout.Supplies[d.supplyOf(src)].Name
}

// tripped is what happens when something of the learner's own shorts the
// supply: nothing is broken, and the supply is off again.
func (d hands) tripped(e *Entry, next *State) error {
	next.Setup.Source, next.Setup.Also = conductor.Source{Kind: conductor.SourceNone}, nil
	e.Says = "the breaker trips at once: the supply is off again"
	e.Caution = stopBare
	return nil
}

// source is a supply, the first one where none is named, as asked for.
func (d hands) source(to, name string) (conductor.Source, error) {
	s := conductor.Source{Kind: conductor.SourceNone}
	if to == Off {
		return s, nil
	}
	i, err := d.find.supply(name)
	if err != nil {
		return s, err
	}
	s = volts(d.n, i).Source
	switch to {
	case On:
		return s, nil
	case Lamp:
		if !d.o.Kit.Lamp {
			return s, fmt.Errorf("no lamp lies on the table here")
		}
		s.Kind, s.Amps = conductor.SourceLamp, lampAmps(d.o.Kit)
		return s, nil
	}
	return s, fmt.Errorf("the supply can be off, on or lamp (on through a lamp in series), not %q", to)
}

func lampAmps(k hunt.Kit) float64 {
	if k.LampAmps > 0 {
		return k.LampAmps
	}
	return 1
}

// lampWords says how brightly a lamp burns at a share of its full current. A
// lamp's light falls far faster than its current: the limits are assumed.
func lampWords(share float64) string {
	switch {
	case share > 0.8:
		return "it burns bright"
	case share > 0.3:
		return "it glows dim"
	case share > 0.05:
		return "a red thread of light, no more"
	}
	return "it stays dark"
}

func (d hands) load(e *Entry, next *State) error {
	if e.Act.To == Off {
		if len(next.Setup.Loads) == 0 {
			return fmt.Errorf("nothing lies across the rails")
		}
		next.Setup.Loads = nil
		e.Says = "what lay across the rails is taken away"
	} else if err := d.lay(e, next); err != nil {
		return err
	}
	if e.Stopped = d.unsafeHands("lay a lamp across the rails or take it away"); e.Stopped != "" {
		e.Says, e.Caution = "", ""
	}
	return nil
}

// lay puts a lamp or a clip lead across two points, or across the rails at a
// place.
func (d hands) lay(e *Entry, next *State) error {
	a := &e.Act
	where := a.At
	var from, to int
	var err error
	if a.At != "" {
		from, to, err = d.find.Pair(a.At)
	} else {
		from, to, err = d.points(a)
		where = a.Red + " and " + a.Black
	}
	if err != nil {
		return err
	}
	e.Minutes = price.Load
	if a.To == Jumper {
		next.Setup.Loads = []conductor.Load{{From: from, To: to, Ohms: wheels}}
		e.Says = "a clip lead joins " + where
		return nil
	}
	if !d.o.Kit.Lamp {
		return fmt.Errorf("no lamp lies on the table here")
	}
	next.Setup.Loads = []conductor.Load{{From: from, To: to, Ohms: d.layout.Supplies[0].Volts / lampAmps(d.o.Kit)}}
	e.Says = "the lamp lies across the rails at " + where
	e.Caution = hotLoad
	return nil
}

// run lets a train run past every place at full volts, and switches off.
func (d hands) run(e *Entry) error {
	switch {
	case d.symptom.Kind.OfShort():
		e.Stopped = stopBare
		return nil
	case len(d.state.Setup.Loads) > 0:
		return fmt.Errorf("a lamp lies across the rails: take it away first (load off)")
	}
	if e.Stopped = d.unsafeHands("put a train on"); e.Stopped != "" {
		return nil
	}
	if len(d.state.Setup.Lifted) > 0 {
		return fmt.Errorf("a joint is open: a train would derail there")
	}
	e.Minutes = price.Run
	e.Says = d.world.runs(d.sound)
	return nil
}

// look looks under a piece; accusing also repairs what is found.
func (d hands) look(e *Entry) error {
	name, piece, err := d.accusable(e.Act.At)
	if err != nil {
		return err
	}
	e.Act.At = name
	if e.Stopped = d.unsafeHands("lift a piece"); e.Stopped != "" {
		return nil
	}
	e.Minutes = d.costs.Look(piece)
	what := ""
	if e.Act.Do == DoAccuse && d.seen(name) { // it is known: nothing is looked for
		what, e.Minutes = d.world.Find(name), 0
	} else {
		what = d.world.See(name)
	}
	e.Lift = piece >= 0 && e.Minutes > 0
	switch {
	case what == "":
		e.Result, e.Says = ResultClean, "nothing wrong to be seen "+seenAt(name)
		if d.symptom.Sometimes {
			e.Says += " just now"
		}
	case e.Act.Do == DoLook:
		e.Result, e.Says = ResultThere, "there it is, "+seenAt(name)+": "+what
	default:
		d.world.Repair(name)
		e.Result, e.Found = ResultRepaired, name
		e.Says = "repaired " + seenAt(name) + ": " + what
		if d.world.Left() == 0 {
			d.over = true
			e.Says += ". Everything is put back, and the layout is sound"
		} else {
			e.Says += ". Everything is put back and the customer tries it: it is still not right"
		}
	}
	return nil
}

// seenAt puts a name into a sentence.
func seenAt(name string) string {
	if name == OffTrack {
		return name + ", one train and car after the other"
	}
	return "at " + name
}

// seen says that a look already showed the fault there.
func (d hands) seen(name string) bool {
	for i := range d.log {
		e := &d.log[i]
		if e.Result == ResultThere && e.Act.At == name && d.world.Find(name) != "" {
			return true
		}
	}
	return false
}

// accusable finds what can be looked at: a piece, a joint (its first piece), a
// feeder, or what is off the track.
func (d hands) accusable(text string) (name string, piece int, err error) {
	switch fold(text) {
	case OffTrack, "train", "supply":
		return OffTrack, -1, nil
	}
	if f, err := d.find.Feeder(text); err == nil {
		return d.layout.Feeders[f].Name, -1, nil
	}
	for i := range d.world.suspects { // toggles, accessories, insulated rails, buses
		if s := &d.world.suspects[i]; s.PieceIndex < 0 && fold(s.Piece) == fold(text) {
			return s.Piece, -1, nil
		}
	}
	if j, err := d.find.Joint(text); err == nil {
		p := d.layout.Joints[j].A.Piece
		return d.layout.Pieces[p].ID(), p, nil
	}
	p, err := d.find.Piece(text)
	if err != nil {
		return "", -1, fmt.Errorf("%w, feeders as %s; a train that is bad: accuse train", err, d.layout.Feeders[0].Name)
	}
	return d.layout.Pieces[p].ID(), p, nil
}
