package hunt

import (
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// questionKey tells questions apart.
func questionKey(q *infer.Question) string {
	return fmt.Sprintf("%s %d %d %s", q.Func, q.Red, q.Black, q.Setup.Key())
}

// pairKey tells pairs of points apart: what cannot be reached with one dial
// setting cannot with another.
func pairKey(red, black int) string { return fmt.Sprintf("at %d %d", min(red, black), max(red, black)) }

// pointKey tells places out of reach apart.
func pointKey(point int) string { return fmt.Sprintf("no hand at %d", point) }

// outOfReach keeps probes away from the place that one of a question's cannot get
// to: all rails on both sides of its joint; of what is no track, the point alone.
func (sit *Situation) outOfReach(p Probe, q *infer.Question) {
	if p == "" {
		return
	}
	at := map[Probe]int{RedProbe: q.Red, BlackProbe: q.Black}[p]
	sit.skipped[pointKey(at)] = true
	x := &sit.net.Points[at]
	if x.Piece < 0 {
		return
	}
	ends := []track.EndRef{{Piece: x.Piece, End: x.End}}
	if x.End >= 0 {
		if j := sit.layout.Pieces[x.Piece].Ends[x.End].Joint; j >= 0 {
			ends = []track.EndRef{sit.layout.Joints[j].A, sit.layout.Joints[j].B}
		}
	}
	for i := range sit.net.Points {
		if y := &sit.net.Points[i]; slices.Contains(ends, track.EndRef{Piece: y.Piece, End: y.End}) {
			sit.skipped[pointKey(i)] = true
		}
	}
}

// grasp is what hands get to of how things stand, as far as was said.
type grasp struct{ *Situation }

// refused says whether a question was said not to be possible, or has a probe, a load
// or a joint to lift at a place that hands do not get to.
func (sit grasp) refused(q *infer.Question) bool {
	if len(sit.skipped) == 0 {
		return false
	}
	at := []int{q.Red, q.Black}
	for _, l := range q.Setup.Loads {
		at = append(at, l.From, l.To)
	}
	up := sit.now().Lifted
	for _, j := range q.Setup.Lifted {
		if !slices.Contains(up, j) {
			a := sit.layout.Joints[j].A
			at = append(at, sit.net.At(a, sit.layout.Pieces[a.Piece].Construction.Hot))
		}
	}
	return sit.skipped[questionKey(q)] || slices.ContainsFunc(at, func(p int) bool { return sit.skipped[pointKey(p)] })
}

// getsTo says whether hands get to a spot.
func (sit grasp) getsTo(s spot) bool {
	return !sit.skipped[pointKey(s.hot)] && !sit.skipped[pointKey(s.common)]
}

// handSpot is the spot at a piece for hands: its far end, else where they get to of it,
// the legs of a turnout last. False where they get to none.
func (sit grasp) handSpot(piece int) (spot, bool) {
	s, ok := sit.spotAt(piece)
	if !ok || sit.getsTo(s) {
		return s, ok
	}
	order := []int{1, 0, -1}
	for e := 2; e < len(sit.layout.Pieces[piece].Ends); e++ {
		order = append(order, e)
	}
	for _, e := range order {
		if e >= len(sit.layout.Pieces[piece].Ends) {
			continue
		}
		if s, ok := sit.spotOf(track.EndRef{Piece: piece, End: e}); ok && sit.getsTo(s) {
			return s, true
		}
	}
	return spot{}, false
}

// obsKey is the key of the question that a reading answered.
func obsKey(o *infer.Observation) string {
	return questionKey(&infer.Question{Setup: o.Setup, Func: o.Func, Red: o.Red, Black: o.Black})
}

// ask writes a question out for the user.
func (sc scribe) ask(q *infer.Question, o *infer.Outlook, now conductor.Setup) *Ask {
	whole := *q
	whole.Minutes = sc.pricing().minutes(q, &now)
	q = &whole
	a := &Ask{N: len(sc.obs) + 1, Meter: string(q.Func), Red: sc.net.Points[q.Red].Name,
		Black: sc.net.Points[q.Black].Name,
		Setup: SetupOf(sc.net, &q.Setup), Minutes: math.Round(q.Minutes*10) / 10, Expect: []Outcome{},
		Dial: sc.dial(q.Func), Current: sc.current(q.Func)}
	if q.Func == meter.Lamp && q.Setup.LightsLoad() {
		a.Dial = acrossRails
	}
	a.Reach = math.Round(10*sc.pricing().reach(q)) / 10
	if o != nil {
		a.Bits = math.Round(o.Bits*100) / 100
		a.Expect = sc.outcomes(q, o)
		a.Why = sc.why(q, o, a.Expect)
		if o.Failed.Any() {
			a.Why += roughAsk
		}
		if sc.fed.Unfed != nil && infer.AtClip(sc.engine, sc.fed.Feeder, q) {
			a.Why += fmt.Sprintf("; and whether %s feeds the track at all", sc.layout.Feeders[sc.fed.Feeder].Name)
		}
	}
	return a.as(sc.net, q)
}

// Reading is the ask of a reading that no hunt chose.
func Reading(n *conductor.Network, q *infer.Question) *Ask {
	a := &Ask{N: 1, Meter: string(q.Func), Red: n.Points[q.Red].Name, Black: n.Points[q.Black].Name,
		Setup: SetupOf(n, &q.Setup), Minutes: q.Minutes}
	return a.as(n, q)
}

// acrossRails is where eyes look that see whether a place is fed.
const acrossRails = "your eyes: the lamp across the rails"

// dialBeeper is the setting that tones where there is a path.
const dialBeeper = "continuity (beeper)"

// dial names the meter setting.
func (m *matter) dial(f meter.Function) string {
	kind := string(m.current(f))
	switch f {
	case meter.Lamp:
		return "your eyes: the lamp in series with the supply"
	case meter.Beeper:
		return dialBeeper
	case meter.Ohms:
		return "ohms, lowest range"
	case meter.Millivolts:
		return kind + " millivolts (lowest range)"
	case meter.Volts:
		return kind + " volts (lowest range without OL)"
	}
	return kind + " " + string(f)
}

// current is the kind of current that a setting reads; ohms and the beeper have
// one setting only.
func (m *matter) current(f meter.Function) Current {
	switch {
	case f == meter.Beeper || f == meter.Ohms:
		return ""
	case m.ac():
		return AC
	}
	return DC
}

// under is the kind of current that a reading at a dial so set was taken under.
func (c Current) under() infer.Current {
	switch c {
	case AC:
		return infer.Alternating
	case DC:
		return infer.Direct
	}
	return infer.AsModel
}

// why says what this reading tells here.
func (sc scribe) why(q *infer.Question, o *infer.Outlook, rows []Outcome) string {
	switch {
	case q.Func == meter.Lamp && q.Setup.LightsLoad():
		return "a lamp across the rails burns where current comes to, and stays dark past the break"
	case q.Func == meter.Beeper && len(rows) == 2:
		why := halvesLeft(rows)
		if sc.tellsRail(o) {
			why += ", and tells rail from rail"
		}
		return why
	case q.Func == meter.Lamp && len(rows) > 1, (sc.kit.halves() || q.Func == meter.Ohms) && len(rows) == 2:
		return halvesLeft(rows)
	case q.Setup.Source.Kind == conductor.SourceLamp && (q.Func == meter.Millivolts || q.Func == meter.Volts):
		return fmt.Sprintf("the lamp's current loses millivolts up to the short and none past it: what you read puts "+
			"the short into one of %d stretches",
			len(stretches(rows)))
	case len(q.Setup.Loads) > 0:
		return "under load a bad contact loses volts, far more than sound track does: read where they are lost"
	}
	return "of all readings now possible this one tells most for its time"
}

// Reasons is why an ask is made, with what it tells and costs.
func (a *Ask) Reasons() string {
	if a.Worth == "" {
		return a.Why
	}
	return a.Why + " (" + a.Worth + ")"
}

// uneven is the smaller part of a split that nobody would call a half (assumed).
const uneven = 0.35

// halvesLeft says of a reading that parts its last row from the others that it is
// bisection.
func halvesLeft(rows []Outcome) string {
	rest, last := 0.0, rows[len(rows)-1].P
	for _, r := range rows[:len(rows)-1] {
		rest += r.P
	}
	if min(rest, last) < uneven {
		return fmt.Sprintf("bisection: what is left is split %.0f to %.0f in a hundred, as near to halves as pays",
			100*rest, 100*last)
	}
	return fmt.Sprintf("bisection: each reading halves what is left, this one %.0f to %.0f in a hundred", 100*rest,
		100*last)
}

// stretches are the different places that the rows of a reading point to.
func stretches(rows []Outcome) map[string]bool {
	out := map[string]bool{}
	for _, r := range rows {
		out[r.Means] = true
	}
	return out
}

// share says how much of what is in question a reading that tells b bits leaves
// on average: 2^-b of it (C. Shannon, 1948).
func share(bits float64) string {
	left := math.Exp2(-bits)
	for _, s := range []struct {
		least float64
		words string
	}{{0.9, "all"}, {0.7, "three quarters"}, {0.58, "two thirds"}, {0.42, "half"}, {0.29, "a third"},
		{0.22, "a quarter"}} {
		if left >= s.least {
			return s.words
		}
	}
	return fmt.Sprintf("one in %.0f", 1/left)
}
