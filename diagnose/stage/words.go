package stage

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"fishplate/diagnose/piece"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Before says how the table is made ready for all stages, and what can hurt.
func Before() []string {
	return []string{
		"No supply, no feeder, no accessory on the track while it is laid. A winding, a bulb or a coil beeps as a " +
			"short does. No train, no tool on the rails.",
		"Meter on the beeper, or on its lowest range of ohms: touch the leads together first, and take what they " +
			"show alone off every reading.",
		"All points stand to through, but where a reading says otherwise.",
		"A clip lead with a clip for each rail, where one stands under it: it joins all rails at that end. Off again " +
			"before the next reading without it.",
		"Two people: one calls the reading and ticks, one holds the probes. Silent means no beep, and OL on ohms.",
	}
}

// About says what a plan is good for.
func (p *Plan) About() string {
	if p.Portable {
		return "Boards are joined one by one, and read as each comes; then the plugs. " +
			"What is loose is at the board that came last."
	}
	return "A layout is proven while it is laid: after some pieces stop, read, go on. A fault is never far away then."
}

// Before says what is made ready for a plan.
func (p *Plan) Before() []string {
	list := Before()
	if p.Portable {
		list = append([]string{"Every plug between boards out, every supply unplugged, its wires off its posts; " +
			"lamps, coils and relays off theirs: " +
			"a winding, a bulb or a coil beeps as a short does. No train, no tool on the rails."}, list[1], list[2],
			list[4])
	}
	if p.First != "" {
		list = append(list, p.First)
	}
	return list
}

// Supply says what is done before power.
func Supply() []string {
	return []string{
		"First power goes through a lamp in series: it glows with a short, and nothing burns. It gets hot: stand it " +
			"in the open.",
		"Nothing is done inside a supply. Mains wiring is for licensed electricians, by the local codes.",
	}
}

// Say is a reading in words.
func (r *Reading) Say() string {
	s := ""
	for _, do := range r.SetUp() {
		s += do + "; "
	}
	return s + fmt.Sprintf("red on %s, black on %s: %s (%s)", r.Red, r.Black, r.must(), r.Why)
}

// SetUp is how all must stand while a reading is taken: points, and the clip lead.
func (r *Reading) SetUp() []string {
	var out []string
	if r.Do != "" {
		out = append(out, strings.TrimSuffix(r.Do, "."))
	}
	for _, t := range slices.Sorted(maps.Keys(r.Thrown)) {
		out = append(out, fmt.Sprintf("%s thrown to %s", t, r.Thrown[t]))
	}
	if len(r.Clipped) > 0 {
		out = append(out, "clip lead across "+rails(r.Clipped))
	}
	return out
}

func (r *Reading) must() string {
	switch r.Want {
	case piece.Silent:
		return "silent"
	case Live:
		return fmt.Sprintf("%d V AC or more", leastVolts)
	case InPhase:
		return fmt.Sprintf("at most %.0f V AC", r.Most)
	case Positive:
		return "volts DC without a minus"
	}
	return fmt.Sprintf("beeps, at most %.1f ohm over the leads", r.Most)
}

// Must is what the meter must say, where the leads alone show so many ohms.
func (r *Reading) Must(leads float64) string {
	if r.Want != piece.Beeps || leads == 0 {
		return r.must()
	}
	return fmt.Sprintf("%s: %.1f as shown", r.must(), r.Most+leads)
}

// Dial is what the meter is set to, where the leads alone show so many ohms.
func (r *Reading) Dial(leads float64) string {
	switch {
	case r.Want == InPhase, r.Want == Live:
		return "AC volts"
	case r.Want == Positive:
		return "DC volts"
	case leads == 0:
		return "continuity (the beeper)"
	}
	return "ohms, the lowest range"
}

// Acts are what hands do to come from the reading before to this one; nil stands for
// points to through and no clip lead.
func (r *Reading) Acts(before *Reading) []string {
	if before == nil {
		before = &Reading{}
	}
	var out []string
	if r.Do != "" {
		out = append(out, r.Do)
	}
	if len(before.Clipped) > 0 && !slices.Equal(before.Clipped, r.Clipped) {
		out = append(out, "Take the clip lead off "+rails(before.Clipped)+".")
	}
	for _, t := range slices.Sorted(maps.Keys(before.Thrown)) {
		if r.Thrown[t] == "" {
			out = append(out, fmt.Sprintf("Throw %s back to through.", t))
		}
	}
	for _, t := range slices.Sorted(maps.Keys(r.Thrown)) {
		if before.Thrown[t] != r.Thrown[t] {
			out = append(out, fmt.Sprintf("Throw %s to %s.", t, r.Thrown[t]))
		}
	}
	if len(r.Clipped) > 0 && !slices.Equal(before.Clipped, r.Clipped) {
		out = append(out, "Lay the clip lead across "+rails(r.Clipped)+".")
	}
	return out
}

// rails names points of one end together: "main 8/9 left, center and right".
func rails(points []string) string {
	var names []string
	place := ""
	for _, p := range points {
		at := strings.LastIndex(p, " ")
		place = p[:at]
		names = append(names, p[at+1:])
	}
	return place + " " + unit.And(names)
}

// Name is the piece to stop after.
func (s *Stage) Name() string { return s.Last }

// Asks are the readings of a stage.
func (s *Stage) Asks() []Reading { return s.Readings }

// Care is what can hurt while track is read.
func (s *Stage) Care() string { return Before()[0] }

// Head is a stage in words, with its number.
func (s *Stage) Head() string { return fmt.Sprintf("%d. %s", s.N, s.Until()) }

// Until is a stage in words.
func (s *Stage) Until() string {
	out := fmt.Sprintf("Stop after %s (%s)", s.Last, unit.Count(len(s.Pieces), "piece"))
	if len(s.Open) > 0 {
		out += ", with " + unit.And(s.Open) + " still open"
	}
	return out + fmt.Sprintf(": about %.0f min", s.Minutes)
}

// Lay names the pieces of a stage, those of a run together: "main 9 to 16 and siding 1".
func (s *Stage) Lay(l *track.Layout) string {
	var pieces []int
	for p := s.First; p <= s.End; p++ {
		pieces = append(pieces, p)
	}
	return unit.And(l.RowNames(pieces))
}

// Failed says what a stage that failed comes to.
func (s *Stage) Failed(l *track.Layout) string {
	return fmt.Sprintf("What is wrong lies among the %s laid since the last stop: %s.",
		unit.Count(len(s.Pieces), "piece"), s.Lay(l))
}

// Tail is what is done when all readings of a stage are good.
func (s *Stage) Tail() string {
	if len(s.Open) == 0 {
		return ""
	}
	return fmt.Sprintf("Good: now close %s. A ring hides an open joint from every beeper: look at each of its pins "+
		"as you do. A health check tells of one that opens later: begin it once all is wired.", unit.And(s.Open))
}

// Hidden says what the readings of all stages do not show.
func (p *Plan) Hidden() string {
	chance, seen := 0.0, 0.0
	for i := range p.Stages {
		chance += p.Stages[i].Chance
		seen += p.Stages[i].Chance * p.Stages[i].Seen
	}
	if chance == 0 {
		return ""
	}
	return fmt.Sprintf("These readings show %.0f %% of what can be wrong with track as laid, by assumed odds (1 "+
		"piece in %d bad): every short and every broken way. They miss weak contacts below some tenths of an ohm, "+
		"and a rail whose neighbour carries for it; millivolts with a lamp find those.", 100*seen/chance, OneBadIn)
}

// Verdict is what an answer to a reading means.
type Verdict uint8

// The verdicts. Unclear is an answer that wants the reading again: some kiloohms,
// where nothing should be.
const (
	Good Verdict = iota
	Bad
	Unclear
)

// dirt is from where on ohms between rails are dirt or damp, no metal (assumed).
const dirt = 1000

// Judge says what an answer means, where the leads alone show so many ohms.
func (r *Reading) Judge(got unit.Reading, leads float64) Verdict {
	if r.inVolts() {
		return r.judgeVolts(got)
	}
	closed := got.Kind == unit.Beep || got.Kind == unit.Value && got.Value < dirt
	switch {
	case r.Want == piece.Silent && got.Kind == unit.Value && got.Value >= dirt:
		return Unclear
	case r.Want == piece.Silent:
		return verdict(!closed)
	case got.Kind == unit.Value:
		return verdict(got.Value-leads <= r.Most)
	}
	return verdict(closed)
}

// inVolts says whether a reading is of volts.
func (r *Reading) inVolts() bool { return r.Want == Live || r.Want == InPhase || r.Want == Positive }

// judgeVolts says what volts mean. Between in phase and reversed lie supplies that were
// not set to the same, and nothing at all is a supply that is not on.
func (r *Reading) judgeVolts(got unit.Reading) Verdict {
	switch volts := got.Value; {
	case got.Kind != unit.Value:
		return Unclear
	case r.Want == Positive && math.Abs(volts) < 1, r.Want == InPhase && volts > r.Most && volts < 2*leastVolts-1,
		r.Want == Live && volts < leastVolts-1:
		return Unclear
	case r.Want == Live:
		return Good
	case r.Want == Positive:
		return verdict(volts > 0)
	default:
		return verdict(volts <= r.Most)
	}
}

func verdict(good bool) Verdict {
	if good {
		return Good
	}
	return Bad
}

// Key tells readings of one layout apart, however its stages are cut.
func (r *Reading) Key() string {
	key := r.kept + r.Red + "|" + r.Black + "|" + strings.Join(r.Clipped, ",")
	if r.Do != "" {
		key += "|" + r.Do
	}
	for _, t := range slices.Sorted(maps.Keys(r.Thrown)) {
		key += "|" + t + " " + r.Thrown[t]
	}
	return key
}

// DeadAt is the piece where the way of a reading that failed ends.
func (s *Stage) DeadAt(r *Reading) string {
	if len(r.Clipped) == 0 {
		return s.Last
	}
	at, _, _ := strings.Cut(r.Clipped[0], "/")
	return at
}

// Symptom says how a failed reading is told to a hunt.
func (s *Stage) Symptom(r *Reading) string {
	if r.Want == piece.Silent {
		return "To the hunt it is a short" + r.where() + "."
	}
	return "To the hunt it is a dead place at " + s.DeadAt(r) +
		", or a weak one where ohms were read: no way leads there and back."
}

func (r *Reading) where() string {
	if len(r.Thrown) == 0 {
		return ""
	}
	out := ""
	for _, t := range slices.Sorted(maps.Keys(r.Thrown)) {
		out += ", with " + t + " thrown to " + r.Thrown[t]
	}
	return out
}
