package hunt

import (
	"fmt"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// FileDoubt is what in the layout's file seems wrong.
type FileDoubt struct {
	// Feeder is one of the file that sits elsewhere, or feeds nothing.
	Feeder string `json:"feeder,omitempty"`
	// Lacks is what the layout has and the file has not: "feeder".
	Lacks   string `json:"lacks,omitempty"`
	SeemsAt string `json:"seems_at"` // a joint: "main 5/6"; empty for a feeder that feeds nothing
}

// lacksFeeder is the one thing that a file is found to lack.
const lacksFeeder = "feeder"

// A wire that the file lacks is looked for where fewRead readings or more make it
// likelyStray or more, an ordinary hunt comes to hardly ever (44 hunts: twice), or where
// mostLooked of what the readings point to was looked at in vain.
const likelyStray, fewRead, mostLooked = 0.08, 3, 0.75

// allOffFirst is a look at the lamp with every feeder of the file off, once the readings
// are not what the file makes of any fault: a lamp that burns still is fed by a wire
// that the file lacks. Nil where nothing asks for it, or it was looked at.
func (ch chooser) allOffFirst(now conductor.Setup) *Ask {
	if ch.paper || ch.kit.Armed || ch.symptom.Sometimes || len(ch.repaired) > 0 || len(ch.layout.Feeders) == 0 {
		return nil
	}
	if !ch.lampHunt() || !ch.millivolts() {
		return nil
	}
	for i, post := range ch.net.Posts {
		if light := ch.lightOf(post[0]); light != unit.Bright && light != unit.Glowing {
			continue
		}
		on := now.Clone()
		on.Source, on.Loads, on.Also = ch.lampOn(i), nil, nil
		q := infer.Question{Setup: ch.engine.AllOff(on), Func: meter.Lamp, Red: post[0], Black: post[1]}
		if ch.skipped[questionKey(&q)] || ch.seenAllOff(post[0]) {
			continue
		}
		stray, worth := ch.lacking()
		if !worth {
			return nil
		}
		a := ch.scribe().ask(&q, nil, now)
		a.Why = "these readings are not what the file makes of any one fault: see whether current comes in by a wire " +
			"that the file does not have. With all its feeders off, a lamp that burns says so"
		a.Expect = []Outcome{litRow("bright or glowing", unit.Bright, unit.Glowing), litRow("dark", unit.Dark)}
		a.Expect[0].Means = "a wire that the file lacks feeds the track"
		a.Expect[1].Means = "only the feeders of the file do"
		a.Expect[0].P, a.Expect[1].P = stray, 1-stray
		return a
	}
	return nil
}

// seenAllOff says whether the lamp at a post was looked at with every feeder off.
func (ch chooser) seenAllOff(from int) bool {
	for i := range ch.obs {
		o := &ch.obs[i]
		if o.Func == meter.Lamp && o.Setup.Source.From == from && len(o.Setup.Pulled) == len(ch.layout.Feeders) {
			return true
		}
	}
	return false
}

// hungAgain is a set-up with feeders and accessories as they were before the look with
// all of them off: a reading along the rails tells nothing without.
func (ch chooser) hungAgain(now conductor.Setup) conductor.Setup {
	if n := len(ch.layout.Feeders); n == 0 || len(now.Pulled) < n ||
		!slices.ContainsFunc(ch.net.Posts, func(p [2]int) bool {
			return ch.seenAllOff(p[0])
		}) {
		return now
	}
	s := now.Clone()
	s.Pulled, s.Unplugged = nil, nil
	for i := range ch.obs {
		if o := &ch.obs[i].Setup; len(o.Pulled) < len(ch.layout.Feeders) {
			s.Pulled, s.Unplugged = slices.Clone(o.Pulled), slices.Clone(o.Unplugged)
		}
	}
	return s
}

// lacking is how likely the file lacks a wire, where that is worth a look.
func (ch chooser) lacking() (p float64, worth bool) {
	if ch.readings() < fewRead {
		return 0, false
	}
	looked := 0.0
	for c, name := range ch.engine.Classes {
		if ch.notFound[name] > 0 {
			looked += ch.read.Class[c]
		}
	}
	p = ch.engine.Lacking(asFed(ch.Situation, ch.obs)) * (1 - ch.read.Wiring(ch.engine))
	return p, p >= likelyStray || looked >= mostLooked
}

// stray is where a lamp burnt with every feeder of the file off, nil for nowhere.
func (ch chooser) stray() *infer.Observation {
	for i := range ch.obs {
		if ch.engine.Stray(ch.obs[i : i+1]) {
			return &ch.obs[i]
		}
	}
	return nil
}

// entrySpots is how many places are weighed for a reading of where current comes in;
// one that tells worthReading bits of the short's place costs less than a piece lifted
// in vain.
const entrySpots, worthReading = 12, 0.5

// whereIn reads where a wire comes in that the file lacks, and where the short is, of
// what is lost from where the wires join to a rail; then looks.
func (ch chooser) whereIn(p *infer.Posterior, now conductor.Setup) Step {
	on := ch.stray()
	g := &asker{sit: ch.Situation, p: p, now: now, stands: now}
	f := meter.Millivolts
	if len(ch.layout.Pieces) > longTrack && ch.kit.Volts {
		f = meter.Volts
	}
	for _, t := range ch.entrySpots(p) {
		g.ask(on.Setup, f, on.Setup.Source.From, t.hot)
		g.ask(on.Setup, f, t.common, on.Setup.Source.To)
	}
	qs := g.keep()
	looks, best := ch.engine.EntryScore(p, qs), -1
	worth := func(i int) float64 { return (looks[i].Bits + looks[i].Told) / qs[i].Minutes }
	for i := range qs {
		if best < 0 || worth(i) > worth(best) {
			best = i
		}
	}
	_, told := p.Entry.Near()
	says := ch.teller().fileSays(p, ch.teller().file(p))
	switch {
	case best < 0 || looks[best].Bits+looks[best].Told < tooLittle:
		return ch.inspect(p, says+"; further readings tell too little")
	case told && narrow(p.Class, 1) && looks[best].Bits < worthReading:
		return ch.inspect(p, says+"; looking costs less than another reading")
	}
	a := ch.scribe().ask(&qs[best], &looks[best], now)
	a.Why = says +
		"; what is lost on the way from where the wires join is least where the current comes in, and most at the short"
	return Step{Ask: a}
}

// entrySpots are places along the track with about equal belief, in the short and in
// the way in, between neighbours.
func (ch chooser) entrySpots(p *infer.Posterior) []spot {
	both := ch.pieceWeights(p)
	for i, w := range p.Entry.At {
		both[i] += w
	}
	return ch.spotsBy(both, entrySpots)
}

// file lists what in the layout's file seems wrong.
func (te teller) file(p *infer.Posterior) []FileDoubt {
	if p.Entry == nil {
		return te.movedFeeder()
	}
	if piece, told := p.Entry.Near(); told {
		return []FileDoubt{{Lacks: lacksFeeder, SeemsAt: te.farEnd(piece)}}
	}
	return nil
}

// likelyMoved is from when a feeder is told to sit elsewhere: 33 ordinary hunts on a
// loop of 40 came to it never.
const likelyMoved = 0.4

// movedFeeder is a feeder that seems to sit elsewhere than the file has it, or to feed
// nothing. The belief stays with the file for one that sits elsewhere; one that may feed
// nothing is reckoned with (infer.Fed), and readings that tell it are worth that.
func (te teller) movedFeeder() []FileDoubt {
	m := te.fed.Moved
	if m.P+m.Idle < likelyMoved {
		return nil
	}
	out := FileDoubt{Feeder: te.layout.Feeders[m.Feeder].Name}
	if idleOf(m) < 0 {
		out.SeemsAt = te.farEnd(m.At)
	}
	return []FileDoubt{out}
}

// idleOf is a feeder of the file that seems to feed nothing, -1 for none.
func idleOf(m infer.Moved) int {
	if m.Idle > m.P && m.P+m.Idle >= likelyMoved {
		return m.Feeder
	}
	return -1
}

// asFed are readings as they were fed most likely: a feeder that feeds nothing is as
// good as pulled.
func asFed(sit *Situation, obs []infer.Observation) []infer.Observation {
	if idleOf(sit.fed.Moved) < 0 {
		return obs
	}
	return infer.Unfed(sit.engine, sit.fed.Moved, obs)
}

// score says what questions tell, with a feeder that is in doubt.
func (ch chooser) score(p *infer.Posterior, qs []infer.Question) []infer.Outlook {
	if ch.fed.Unfed == nil {
		return ch.engine.Score(p, ch.obs, qs)
	}
	return infer.ScoreFed(ch.engine, &ch.fed, ch.obs, qs)
}

// farEnd names the joint at the far end of a piece.
func (g *ground) farEnd(piece int) string {
	if s, ok := g.spotAt(piece); ok {
		return g.layout.Joints[g.layout.Pieces[s.end.Piece].Ends[s.end.End].Joint].Name
	}
	return g.layout.Pieces[piece].ID()
}

// fileSays says so, "" for nothing.
func (te teller) fileSays(p *infer.Posterior, at []FileDoubt) string {
	if p.Entry == nil && len(at) == 0 {
		return ""
	}
	return te.say().comesIn(at)
}

// comesIn says that current comes in by no wire of the file, and near where.
func (say wording) comesIn(at []FileDoubt) string {
	if len(at) == 0 {
		return "with every feeder of the file off the lamp still burns: current comes in by a wire that the file lacks"
	}
	if at[0].Feeder != "" {
		return at[0].feeds() + ": see where its wires end, and put the file right"
	}
	return "with every feeder of the file off, current comes in near " + at[0].SeemsAt +
		": is there a wire that the file lacks?"
}

// feeds says what a feeder of the file does in place of what the file says.
func (d *FileDoubt) feeds() string {
	if d.SeemsAt == "" {
		return d.Feeder + " seems to feed nothing"
	}
	return d.Feeder + " seems to sit at " + d.SeemsAt + ", and not where the file has it"
}

// filing says at the end of a hunt what to put right in the file, "" for nothing.
func (say wording) filing(what []FileDoubt) string {
	out := ""
	for _, d := range what {
		if d.Feeder != "" {
			out += "; " + d.feeds() + ": see where its wires end, and put the file right"
			continue
		}
		out += fmt.Sprintf("; the file lacks a %s, near %s: follow its wire and put it in", d.Lacks, d.SeemsAt)
	}
	return out
}
