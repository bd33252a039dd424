package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// some is the share of people that must see a fault for it to be told of, where
// one is hidden on purpose: the sharp-eyed call for help too (assumed).
const some = 0.15

// wheelsOhms stands for the motor of a train that stands somewhere, where only
// its wheels matter.
const wheelsOhms = 8

// Hide puts one given fault in, with the symptom that it is told by. It fails
// where the layout does not show that symptom, or shows it without the fault:
// what is seen is worked out from the whole circuit, not from what a hunt
// believes. thrown are the turnouts that stand to their diverging route.
func (f *Field) Hide(x simulate.Fault, y hunt.Symptom, thrown []string, seed uint64) (*Hidden, error) {
	rng := rand.New(rand.NewPCG(seed, 0xcafe))
	level := simulate.DrawLevel(rng, f.LevelSD)
	h := &Hidden{Fault: x, Symptom: y, Ohms: simulate.DrawOhms(f.Net, rng, level*f.Rails, level*f.Joints),
		Lamp: math.Exp(f.LampSD * rng.NormFloat64())}
	b := simulate.NewBench(f.Net, h.Ohms, []simulate.Fault{x})
	h.Person = simulate.Person{Bench: b, Meter: f.Meter.Draw(rng), AC: f.Layout.Supplies[0].AC,
		Wrong: f.Wrong, Rng: rng}
	s := conductor.Usual(f.Layout)
	for _, t := range thrown {
		if err := f.Net.Throw(&s, t, track.EndDiverging); err != nil {
			return nil, err
		}
	}
	sound := simulate.NewBench(f.Net, h.Ohms, nil)
	bad, good := eyes{f, b, sound, s, y}, eyes{f, sound, sound, s, y}
	switch shown, err := bad.sees(); {
	case err != nil:
		return nil, err
	case !shown:
		return nil, fmt.Errorf("%s does not show as %s %s", x.Suspect.ID, y.Kind, y.At)
	}
	if shown, err := good.sees(); err != nil || shown {
		return nil, fmt.Errorf("the sound layout shows %s %s too", y.Kind, y.At)
	}
	return h, nil
}

// eyes look at a layout for one symptom.
type eyes struct {
	f     *Field
	b     *simulate.Bench
	sound *simulate.Bench
	s     conductor.Setup // as it stands in daily use
	y     hunt.Symptom
}

func (e *eyes) sees() (bool, error) {
	switch e.y.Kind {
	case hunt.SymptomShort:
		return e.trips(nil), nil
	case hunt.SymptomShortTrain:
		p := e.f.Layout.FindPiece(e.y.At)
		if p < 0 {
			return false, fmt.Errorf("there is no piece %q", e.y.At)
		}
		return !e.trips(nil) && e.trips(e.f.trainsAt(p)), nil
	case hunt.SymptomDead, hunt.SymptomWeak:
		return e.stalls()
	case hunt.SymptomPhase:
		return e.sparks()
	case hunt.SymptomLive:
		return e.staysLive()
	}
	return e.accessory()
}

// staysLive says whether a load in a block gets most of a supply's volts with
// the block's toggle off.
func (e *eyes) staysLive() (bool, error) {
	l := e.f.Layout
	p := l.FindPiece(e.y.At)
	if p < 0 || l.BlockOf(p) < 0 {
		return false, fmt.Errorf("%q is no piece of a switched block", e.y.At)
	}
	c := l.Pieces[p].Construction
	hot, common := e.f.Net.Middle(p, c.Hot), e.f.Net.Middle(p, e.f.Net.CommonRail(p))
	for i := range l.Supplies {
		s, v := e.on(i), l.Supplies[i].Volts
		s.TurnOff(l.Blocks[l.BlockOf(p)].Toggle)
		s.Loads = []conductor.Load{{From: hot, To: common, Ohms: v}}
		if got, _ := e.b.Volts(s, hot, common); math.Abs(got) > 0.5*v {
			return true, nil
		}
	}
	return false, nil
}

// on has one supply on.
func (e *eyes) on(supply int) conductor.Setup {
	s := e.s.Clone()
	p := e.f.Net.Posts[supply]
	s.Source = conductor.Source{Kind: conductor.SourceVolts, From: p[0], To: p[1],
		Volts: e.f.Layout.Supplies[supply].Volts}
	return s
}

// trips says whether some supply delivers more than its breaker holds, its
// accessories warm, with a train standing there or none.
func (e *eyes) trips(trains []conductor.TrainAt) bool {
	for i := range e.f.Layout.Supplies {
		s := e.on(i)
		if trains == nil {
			if e.b.Amps(s) > e.f.Layout.Supplies[i].Breaker {
				return true
			}
		}
		for _, t := range trains {
			s.Trains = []conductor.TrainAt{t}
			if e.b.Amps(s) > e.f.Layout.Supplies[i].Breaker {
				return true
			}
		}
	}
	return false
}

// trainsAt are the ways in which a train may stand on a piece: on it alone, and
// reaching over each of its joints.
func (f *Field) trainsAt(piece int) []conductor.TrainAt {
	out := []conductor.TrainAt{{Pieces: []int{piece}, Motor: wheelsOhms}}
	for _, end := range f.Layout.Pieces[piece].Ends {
		if end.Joint < 0 {
			continue
		}
		j := &f.Layout.Joints[end.Joint]
		o := j.A.Piece + j.B.Piece - piece
		if o != piece {
			out = append(out, conductor.TrainAt{Pieces: []int{piece, o}, Motor: wheelsOhms})
		}
	}
	return out
}

// stalls compares the volts under a train's load with those of sound track.
func (e *eyes) stalls() (bool, error) {
	p := e.f.Layout.FindPiece(e.y.At)
	if p < 0 {
		return false, fmt.Errorf("there is no piece %q", e.y.At)
	}
	good, bad := e.best(e.sound, p), e.best(e.b, p)
	if good < 0.3*e.f.Layout.Supplies[0].Volts {
		return false, fmt.Errorf("%s has no current on the sound layout", e.y.At)
	}
	if e.y.Kind == hunt.SymptomDead {
		return fault.SeenDead(bad/good) >= some, nil
	}
	return fault.SeenWeak(bad/good) >= some, nil
}

// Slows says whether people see trains slow at a piece for a fault, on a layout
// with these ohms of its links.
func Slows(n *conductor.Network, ohms []float64, x simulate.Fault, piece int) bool {
	f := &Field{Setting: Setting{Layout: n.Layout}, Net: n}
	sound := simulate.NewBench(n, ohms, nil)
	e := eyes{f, simulate.NewBench(n, ohms, []simulate.Fault{x}), sound, conductor.Usual(n.Layout),
		hunt.Symptom{Kind: hunt.SymptomWeak, At: n.Layout.Pieces[piece].ID()}}
	shown, err := e.sees()
	return err == nil && shown
}

// best is the most volts that any supply gives there to a train that would
// take its amperes on full volts.
func (e *eyes) best(b *simulate.Bench, piece int) float64 {
	c := e.f.Layout.Pieces[piece].Construction
	hot, common := e.f.Net.Middle(piece, c.Hot), e.f.Net.Middle(piece, e.f.Net.CommonRail(piece))
	most := 0.0
	for i := range e.f.Layout.Supplies {
		if hot < 0 || common < 0 {
			break
		}
		s := e.on(i)
		s.Loads = []conductor.Load{{From: hot, To: common, Ohms: s.Source.Volts / e.f.trainAmps(c)}}
		v, _ := b.Volts(s, hot, common)
		most = math.Max(most, math.Abs(v))
	}
	return most
}

// trainAmps is what a train takes: as the layout says, else 3 A on three rails
// and 1 A on two (assumed, as in the check of designs).
func (f *Field) trainAmps(c *track.Construction) float64 {
	if len(f.Layout.Trains) > 0 && f.Layout.Trains[0].Amps > 0 {
		return f.Layout.Trains[0].Amps
	}
	if c.HasRail(track.Center) {
		return 3
	}
	return 1
}

// sparks says whether two AC supplies with their commons joined add up.
func (e *eyes) sparks() (bool, error) {
	l := e.f.Layout
	a, b := -1, -1
	for i := range l.Supplies {
		switch {
		case !l.Supplies[i].AC:
		case a < 0:
			a = i
		case e.y.At == "" || strings.EqualFold(l.Supplies[i].Name, e.y.At):
			b = i
		}
	}
	if b < 0 {
		return false, fmt.Errorf("there is no second AC supply %q", e.y.At)
	}
	s := e.s.Clone()
	on := func(i int) conductor.Source {
		w := e.f.Net.Windings[i]
		return conductor.Source{Kind: conductor.SourceVolts, From: w[0], To: w[1], Volts: l.Supplies[i].Volts}
	}
	s.Source, s.Also = on(a), []conductor.Source{on(b)}
	for i := range l.Feeders {
		s.Pull(i)
	}
	s.Loads = []conductor.Load{{From: e.f.Net.Posts[a][1], To: e.f.Net.Posts[b][1], Ohms: conductor.DefaultWheels}}
	v, _ := e.b.Volts(s, e.f.Net.Posts[a][0], e.f.Net.Posts[b][0])
	return fault.Shows(fault.SeenLive(math.Abs(v) / (l.Supplies[a].Volts + l.Supplies[b].Volts))), nil
}

// works says that an accessory does, with this share of what it takes.
func works(share float64) bool { return fault.Shows(fault.SeenLive(share)) }

// accessory looks at an accessory with no car on the layout, with one on its
// rail, and with one just beyond either end of it.
func (e *eyes) accessory() (bool, error) {
	l := e.f.Layout
	a := slices.IndexFunc(l.Accessories, func(x track.Accessory) bool { return strings.EqualFold(x.Name, e.y.At) })
	if a < 0 {
		return false, fmt.Errorf("there is no accessory %q", e.y.At)
	}
	idle := e.share(a)
	with := idle
	r := l.RailOf(a)
	if r >= 0 {
		with = e.share(a, carOn(l, r)...)
	}
	switch e.y.Kind {
	case hunt.SymptomAccessoryDead:
		return fault.SeenOut(with) >= some, nil
	case hunt.SymptomAccessoryOn:
		return works(idle) && r >= 0, nil
	case hunt.SymptomAccessoryFlickers:
		return fault.SeenFlickers(with) >= some && !works(idle), nil
	}
	if r < 0 {
		return false, fmt.Errorf("no insulated rail works %q", e.y.At)
	}
	for _, p := range beyond(l, r) {
		if !works(idle) && works(e.share(a, p)) {
			return true, nil
		}
	}
	return false, nil
}

// carOn is where a car stands on an insulated rail: in its middle, or coming in
// over the joint where a turnout's own rail ends.
func carOn(l *track.Layout, rail int) []int {
	r := &l.InsulatedRails[rail]
	if !r.Own || r.To < 0 {
		return []int{r.Pieces[len(r.Pieces)/2]}
	}
	j := &l.Joints[r.To]
	return []int{j.A.Piece, j.B.Piece}
}

// share is the volts across an accessory over those of its supply, with a car
// on some pieces (none: no car anywhere); 0 for one that is burnt out.
func (e *eyes) share(accessory int, pieces ...int) float64 {
	n := e.f.Net
	if e.b.Burnt(accessory) {
		return 0
	}
	s := e.on(max(e.f.Layout.Accessories[accessory].Supply, 0))
	if len(pieces) > 0 {
		s.Trains = []conductor.TrainAt{{Pieces: pieces}}
	}
	v, _ := e.b.Volts(s, n.AccessoryPoints[accessory][0], n.AccessoryPoints[accessory][1])
	return math.Abs(v) / s.Source.Volts
}

// beyond are the pieces just outside an insulated rail.
func beyond(l *track.Layout, rail int) []int {
	r := &l.InsulatedRails[rail]
	var out []int
	for _, j := range [2]int{r.From, r.To} {
		if j < 0 {
			continue
		}
		for _, p := range [2]int{l.Joints[j].A.Piece, l.Joints[j].B.Piece} {
			if !slices.Contains(r.Pieces, p) {
				out = append(out, p)
			}
		}
	}
	return out
}
