package main

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
	"fishplate/layoutfile"
)

const happensLegend = `Faults as they happen, and files as they are, played on the bench of diagnose/internal/bench.
readings: to the first list of pieces, and in all. found: every bad thing was found.
first, two: a bad piece was first, or among the first two, of the first list (percent).
right: the row's own end, as its name says. >0.9: looks claimed with more, and how many of those pieces were good.
proven: hunts that called the repair proven while something was bad still.
hazards, stuck, cpu: as in the table of lamps. worst: processor seconds of the longest reply, with -workers 1.
`

// happening is a row: what is wrong, with the track or with the file.
type happening struct {
	name string
	// lay draws one evening.
	lay func(x *laying) (*trial.Evening, error)
	// right is the end that is wanted; nil: every bad thing found.
	right func(e *trial.Evening) bool
}

// laying is what a row draws from.
type laying struct {
	o    *options
	rng  *rand.Rand
	kit  hunt.Kit
	tool simulate.Meter
}

var happenings = []happening{
	{name: "short, points thrown", lay: func(x *laying) (*trial.Evening, error) { return layThrown(x, true) }},
	{name: "dead stretch, two open joints", lay: layTwoOpen},
	{name: "weak place, two clips", lay: layClips},
	{name: "weak all over: said to be spread", lay: laySpread, right: saidSpread},
	{name: "one weak contact, loop of 100", lay: func(x *laying) (*trial.Evening, error) {
		return layOneWeak(x, "loop", 100)
	}},
	{name: "one weak contact, dead end of 60", lay: func(x *laying) (*trial.Evening, error) {
		return layOneWeak(x, "dead-end", 60)
	}},
	{name: "stalls, volts fine: none claimed", lay: layFine, right: endsQuietly},
	{name: "comes and goes", lay: laySometimes},
	{name: "two shorts, 200 pieces", lay: layTwoShorts},
	{name: "feeder two joints off", lay: layMoved},
	{name: "a feeder the file lacks", lay: layLacking, right: namesWire},
	{name: "a feeder that feeds nothing", lay: layIdle, right: namesIdle},
	{name: "two feeders, both feed", lay: layBothFeed, right: namesNone},
	{name: "phase of two supplies", lay: layPhase},
	{name: "short, points thrown, untold", lay: func(x *laying) (*trial.Evening, error) { return layThrown(x, false) }},
}

// endsQuietly says that the hunt ended of itself and was sure of no piece.
func endsQuietly(e *trial.Evening) bool { return e.Verdict != "" && e.Claims == 0 && e.Looks <= 3 }

// saidSpread says that the hunt ended quietly in one more feeder.
func saidSpread(e *trial.Evening) bool {
	return endsQuietly(e) && strings.Contains(e.Verdict, "the loss is spread")
}

func happensTable(o *options) error {
	fmt.Fprint(o.out, happensLegend)
	fmt.Fprintf(o.out, "%-34s %8s %5s %5s %5s %5s %5s %8s %6s %7s %5s %6s %6s\n",
		"row", "readings", "all", "first", "two", "found", "right", ">0.9", "proven", "hazards", "stuck", "cpu",
		"worst")
	for i, h := range happenings {
		if !o.wanted(h.name) {
			continue
		}
		all, stuck, cpu, err := o.evenings(func(seed uint64) (*trial.Evening, error) {
			kit, m := instruments(or(o.meters, usualMeters)[0], o.bisect)
			if o.battery {
				kit.Meter, kit.Battery, kit.DCVolts, kit.LampVolts, kit.LampWatts = "dc-millivolts", true, 12, 12, 21
			}
			e, err := h.lay(&laying{o, rand.New(rand.NewPCG(seed, uint64(i))), kit, m})
			if err == nil && o.workers == 1 {
				e.Clock = processor
			}
			return e, err
		})
		if err != nil {
			return fmt.Errorf("%s: %w", h.name, err)
		}
		o.printHappening(&h, all, stuck, cpu)
	}
	return nil
}

func (o *options) printHappening(h *happening, all []*trial.Evening, stuck []error, cpu float64) {
	r := countEvenings(all, stuck)
	share := func(k int) float64 { return 100 * float64(k) / float64(r.n) }
	readings, found, right, proven := 0.0, 0, 0, 0
	for _, e := range all {
		readings += float64(e.All) / float64(r.n)
		if e.Found && e.Left == 0 {
			found++
		}
		if e.Proven && e.Left > 0 {
			proven++
		}
		if h.right == nil && e.Found && e.Left == 0 || h.right != nil && h.right(e) {
			right++
		}
	}
	fmt.Fprintf(o.out, "%-34s %8.2f %5.1f %5.0f %5.0f %5.0f %5.0f %4d, %2d %6d %7d %5d %6.2f %6s\n",
		h.name, r.readings, readings,
		share(r.first), share(r.two), share(found), share(right), r.claims, r.wrong, proven, r.hazard, r.stuck, cpu,
		o.slowest(all))
	o.printLogs(all, stuck)
}

// slowest is the longest reply of all hunts, where they were played one by one.
func (o *options) slowest(all []*trial.Evening) string {
	if o.workers > 1 {
		return "-"
	}
	most := 0.0
	for _, e := range all {
		most = max(most, e.Slowest)
	}
	return fmt.Sprintf("%.2f", most)
}

// among draws one of the faults of a layout that keep says yes to.
func (x *laying) among(
	l *track.Layout, keep func(n *conductor.Network, s *fault.Suspect) bool,
) (simulate.Fault, error) {
	n, err := conductor.Build(l)
	if err != nil {
		return simulate.Fault{}, err
	}
	var list []fault.Suspect
	for _, s := range fault.List(n) {
		if keep(n, &s) {
			list = append(list, s)
		}
	}
	if len(list) == 0 {
		return simulate.Fault{}, fmt.Errorf("nothing of that kind in %s", l.Name)
	}
	return simulate.Realise(list[x.rng.IntN(len(list))], x.rng), nil
}

// across is a bridge of little ohms between hot and common inside a plain piece
// that is wanted.
func (x *laying) across(l *track.Layout, wanted func(p *track.Piece) bool) (simulate.Fault, error) {
	f, err := x.among(l, func(n *conductor.Network, s *fault.Suspect) bool {
		return s.Mode == track.Bridged && s.PieceIndex >= 0 && s.Place == s.Piece &&
			n.Links[s.Links[0]].InsulatedRail < 0 &&
			slices.Contains([]track.Kind{track.Straight, track.Curve}, l.Pieces[s.PieceIndex].Kind) &&
			wanted(&l.Pieces[s.PieceIndex])
	})
	f.Ohms = min(f.Ohms, 0.3)
	return f, err
}

func anywhere(*track.Piece) bool { return true }

func (x *laying) table(l *track.Layout, y hunt.Symptom, faults ...simulate.Fault) trial.Table {
	return trial.Table{File: l, Kit: x.kit, Symptom: y, Hidden: faults, Meter: x.tool}
}

func (x *laying) lay(t trial.Table, err error) (*trial.Evening, error) {
	if err != nil {
		return nil, err
	}
	e, err := trial.Lay(t, x.rng)
	if err == nil {
		e.Prove, e.Unmended = true, x.o.unmended
	}
	return e, err
}

var short = hunt.Symptom{Kind: hunt.SymptomShort}

// layThrown hides a short on a track of a yard whose points are of the kind that
// switches the current, and throws them to it; told, the person noticed so.
func layThrown(x *laying, told bool) (*trial.Evening, error) {
	l, err := shaped("yard", 40, trial.Build{Construction: "two-rail-routing", DC: true})
	if err != nil {
		return nil, err
	}
	f, err := x.across(l, func(p *track.Piece) bool { return strings.HasPrefix(p.Run, "yard") })
	t := x.table(l, short, f)
	turnout := "W" + strings.TrimPrefix(l.Pieces[max(0, f.Suspect.PieceIndex)].Run, "yard")
	t.Thrown = map[string]string{turnout: track.EndDiverging}
	if told {
		t.Symptom.Thrown = t.Thrown
	}
	return x.lay(t, err)
}

// openAt is a joint that makes no contact on its hot rail.
func (x *laying) openAt(l *track.Layout, joint string) (simulate.Fault, error) {
	return x.among(l, func(n *conductor.Network, s *fault.Suspect) bool {
		return s.Mode == track.Open && s.Place == joint && s.Rail == string(track.Center) &&
			n.Links[s.Links[0]].Kind == conductor.KindJoint
	})
}

// layTwoOpen opens a loop of 40 at two joints; the stretch between them is dead.
func layTwoOpen(x *laying) (*trial.Evening, error) {
	l, err := shaped("loop", 40, trial.Build{})
	if err != nil {
		return nil, err
	}
	a := 6 + x.rng.IntN(18)
	b := a + 4 + x.rng.IntN(8)
	name := func(k int) string { return fmt.Sprintf("main %d/%d", k, k+1) }
	f, err := x.openAt(l, name(a))
	if err != nil {
		return nil, err
	}
	g, err := x.openAt(l, name(b))
	return x.lay(x.table(l, hunt.Symptom{Kind: hunt.SymptomDead, At: fmt.Sprintf("main %d", (a+b+1)/2)}, f, g), err)
}

func demo() (*track.Layout, error) {
	name, src := layoutfile.Demo()
	f, problems := layoutfile.Read(name, src)
	if f == nil || problems.Errors() {
		return nil, fmt.Errorf("the demo has problems: %v", problems)
	}
	return f.Layout, nil
}

// layClips corrodes both clips of the feeder of the demo that stands at the told
// place, to 1 to 4 ohm each.
func layClips(x *laying) (*trial.Evening, error) {
	l, err := demo()
	if err != nil {
		return nil, err
	}
	var both []simulate.Fault
	for _, side := range []string{"hot", "common"} {
		f, err := x.among(l, func(n *conductor.Network, s *fault.Suspect) bool {
			return s.Mode == track.Weak && s.Piece == "F1" && n.Links[s.Links[0]].Kind == conductor.KindClip &&
				s.Rail == side
		})
		if err != nil {
			return nil, err
		}
		f.Ohms = 1 + 3*x.rng.Float64()
		both = append(both, f)
	}
	return x.lay(x.table(l, hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 2"}, both...), nil)
}

// laySpread has nothing bad: a loop of 100 with one feeder and joints of eight
// times what they should have, and its far end slow.
func laySpread(x *laying) (*trial.Evening, error) {
	l, err := shaped("loop", 100, trial.Build{})
	if err != nil {
		return nil, err
	}
	t := x.table(l, hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 50"})
	t.Joints = 8
	return x.lay(t, nil)
}

// layOneWeak has one weak contact, on track with joints as the file says or up to
// four times as bad, and the train slow where people see it for that contact.
func layOneWeak(x *laying, shape string, pieces int) (*trial.Evening, error) {
	l, err := shaped(shape, pieces, trial.Build{})
	if err != nil {
		return nil, err
	}
	n, err := conductor.Build(l)
	if err != nil {
		return nil, err
	}
	joints := []float64{1, 2, 4}[x.rng.IntN(3)]
	for range 300 {
		f, err := x.among(l, func(_ *conductor.Network, s *fault.Suspect) bool { return s.Mode == track.Weak })
		if err != nil {
			return nil, err
		}
		ohms := simulate.DrawOhms(n, x.rng, 1, joints)
		for _, p := range x.rng.Perm(pieces)[:8] {
			if p < len(l.Pieces) && trial.Slows(n, ohms, f, p) {
				t := x.table(l, hunt.Symptom{Kind: hunt.SymptomWeak, At: l.Pieces[p].ID()}, f)
				t.Joints = joints
				return x.lay(t, nil)
			}
		}
	}
	return nil, fmt.Errorf("no weak contact of %s slows a train", l.Name)
}

// layFine has nothing bad at all: the rails are dirty.
func layFine(x *laying) (*trial.Evening, error) {
	l, err := shaped("loop", 40, trial.Build{})
	if err != nil {
		return nil, err
	}
	return x.lay(x.table(l, hunt.Symptom{Kind: hunt.SymptomWeak, At: fmt.Sprintf("main %d", 1+x.rng.IntN(40))}), nil)
}

// laySometimes hides a short that is away at 15 % of the readings.
func laySometimes(x *laying) (*trial.Evening, error) {
	l, err := shaped("loop", 40, trial.Build{})
	if err != nil {
		return nil, err
	}
	f, err := x.across(l, anywhere)
	e, err := x.lay(x.table(l, hunt.Symptom{Kind: hunt.SymptomShort, Sometimes: true}, f), err)
	if err == nil {
		e.Away = 0.15
	}
	return e, err
}

func layTwoShorts(x *laying) (*trial.Evening, error) {
	l, err := shaped("loop", 200, trial.Build{})
	if err != nil {
		return nil, err
	}
	f, err := x.across(l, anywhere)
	if err != nil {
		return nil, err
	}
	g, err := x.across(l, func(p *track.Piece) bool { return p.ID() != f.Suspect.Piece })
	return x.lay(x.table(l, short, f, g), err)
}

// changed is a loop of 40 as the file has it and as it really is: its feeders
// stand at these joints.
func changed(pieces int, inFile, really []int) (file, is *track.Layout, err error) {
	text := func(joints []int) string {
		out, _ := trial.Shape("loop", pieces, trial.Build{})
		head, _, _ := strings.Cut(out, "feeder ")
		_, tail, _ := strings.Cut(out, "supply \"T1\" {")
		for i, j := range joints {
			head += fmt.Sprintf("feeder \"F%d\" {\n  at = \"main %d/%d\"\n", i+1, j, j%pieces+1) +
				"  supply = \"T1\"\n  wire = \"16 AWG\"\n  length = \"6 ft\"\n}\n"
		}
		return head + "supply \"T1\" {" + tail
	}
	if file, err = layoutOf(text(inFile)); err == nil {
		is, err = layoutOf(text(really))
	}
	return file, is, err
}

func (x *laying) layFiled(pieces int, inFile, really []int) (*trial.Evening, error) {
	file, is, err := changed(pieces, inFile, really)
	if err != nil {
		return nil, err
	}
	f, err := x.across(is, anywhere)
	t := x.table(file, short, f)
	t.True = is
	return x.lay(t, err)
}

// namesWire says that a feeder was named within four joints of where one is that the
// file lacks, after six readings at most.
func namesWire(e *trial.Evening) bool {
	if len(e.Doubts) == 0 || e.Doubted > 6 {
		return false
	}
	l := e.True
	named := l.FindJoint(e.Doubts[0].SeemsAt)
	if named < 0 {
		return false
	}
	for i := len(e.File.Feeders); i < len(l.Feeders); i++ {
		d := l.Joints[named].A.Piece - l.Feeders[i].At.Piece
		if max(d, -d) <= 4 {
			return true
		}
	}
	return false
}

func layMoved(x *laying) (*trial.Evening, error) { return x.layFiled(40, []int{10}, []int{12}) }
func layLacking(x *laying) (*trial.Evening, error) {
	return x.layFiled(100, []int{10}, []int{10, 55 + x.rng.IntN(10)})
}

// layBothFeed is a short on a loop of 60 with two feeders, as the file has it.
func layBothFeed(x *laying) (*trial.Evening, error) {
	return x.layFiled(60, []int{8, 38}, []int{8, 38})
}

// layIdle is the same with both wires of one feeder off, at its outlet or at the track.
func layIdle(x *laying) (*trial.Evening, error) {
	e, err := layBothFeed(x)
	if err != nil {
		return nil, err
	}
	feeder, kind := e.File.Feeders[x.rng.IntN(2)].Name, []conductor.LinkKind{conductor.KindFeeder,
		conductor.KindClip}[x.rng.IntN(2)]
	all := e.Hidden
	for _, side := range []string{"hot", "common"} {
		f, err := x.among(e.File, func(n *conductor.Network, s *fault.Suspect) bool {
			return s.Mode == track.Open && s.Piece == feeder && s.Rail == side && n.Links[s.Links[0]].Kind == kind
		})
		if err != nil {
			return nil, err
		}
		all = append(all, f)
	}
	return x.lay(x.table(e.File, short, all...), nil)
}

// namesIdle says that the feeder whose wires are off was named as one that feeds
// nothing, and the short found.
func namesIdle(e *trial.Evening) bool {
	return e.Found && len(e.Doubts) == 1 && e.Doubts[0].SeemsAt == "" && e.Doubts[0].Feeder == e.Hidden[1].Suspect.Piece
}

func namesNone(e *trial.Evening) bool { return e.Found && len(e.Doubts) == 0 }

// layPhase turns the plug of the second of two supplies round.
func layPhase(x *laying) (*trial.Evening, error) {
	dir, err := layoutsFolder()
	if err != nil {
		return nil, err
	}
	l, err := partLayout(dir, "two-supplies")
	if err != nil {
		return nil, err
	}
	f, err := x.among(l, func(_ *conductor.Network, s *fault.Suspect) bool {
		return s.Mode == track.Swapped && s.Place == "T2"
	})
	return x.lay(x.table(l, hunt.Symptom{Kind: hunt.SymptomPhase, At: "T2"}, f), err)
}
