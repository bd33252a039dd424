package hunt

import (
	"fmt"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// stand is what the user has built up to now.
type stand struct {
	setup    conductor.Setup
	any      bool // a reading was asked for before
	leadsOff bool // the supply's own leads are off its posts
}

// after is what stands once a reading was taken in a set-up.
func (h *Hunt) after(s *conductor.Setup) stand {
	// A winding is a path to an ohmmeter: it is read with the leads off.
	off := s.Source.Kind == conductor.SourceNone
	return stand{setup: *s, any: true, leadsOff: off}
}

// now is the set-up that the last reading left behind.
func (h *Hunt) now() conductor.Setup {
	if !h.stand.any {
		return conductor.Usual(h.layout)
	}
	return h.stand.setup
}

// steps says how to come from the set-up that stands to the one asked for.
func (h *Hunt) steps(q *infer.Question, now conductor.Setup) []string {
	out := []string{}
	s := &q.Setup
	if !h.stand.any {
		out = append(out, "take every train and loose wagon off the rails")
	}
	powered := now.Source.Kind != conductor.SourceNone
	rebuilt := s.SwitchKey() != now.SwitchKey() || !slices.Equal(s.Loads, now.Loads)
	goOff := !h.stand.any || powered && (rebuilt || s.Source != now.Source || !slices.Equal(s.Also, now.Also))
	if goOff {
		out = append(out, h.allOff())
	}
	out = append(out, h.jointSteps(s, &now)...)
	out = append(out, h.feederSteps(s, &now)...)
	out = append(out, h.flipSteps(s, &now)...)
	out = append(out, h.loadSteps(s, &now)...)
	out = append(out, h.sourceSteps(s, &now, goOff)...)
	if q.Func == meter.Amps {
		out = append(out, "put the meter, leads in its ampere sockets, in series with the lamp; put the leads back into the volt sockets afterwards")
	}
	if h.symptom.Sometimes {
		out = append(out, "make the fault show (press along the track, warm it, let a train stand where it happened, with the lamp in series) and read while it does; if it stays away, skip")
	}
	return out
}

// allOff is the step that makes the track dead: any supply left on could feed
// it, or a transformer backwards.
func (h *Hunt) allOff() string {
	if len(h.layout.Supplies) < 2 {
		return "switch the supply off and unplug it"
	}
	var names []string
	for i := range h.layout.Supplies {
		names = append(names, h.layout.Supplies[i].Name)
	}
	return "switch every supply off and unplug it: " + unit.And(names)
}

func (h *Hunt) jointSteps(s, now *conductor.Setup) []string {
	var out []string
	for _, j := range s.Lifted {
		if !conductor.Has(now.Lifted, j) {
			out = append(out, "lift the joint "+h.layout.Joints[j].Name+" so that no rail touches across it")
		}
	}
	for _, j := range now.Lifted {
		if !conductor.Has(s.Lifted, j) {
			out = append(out, "put the joint "+h.layout.Joints[j].Name+" back together")
		}
	}
	return out
}

func (h *Hunt) feederSteps(s, now *conductor.Setup) []string {
	var out []string
	for _, f := range s.Pulled {
		if !conductor.Has(now.Pulled, f) {
			out = append(out, "take both wires of feeder "+h.layout.Feeders[f].Name+" off "+h.layout.OutletName(h.layout.Feeders[f].On))
		}
	}
	for _, f := range now.Pulled {
		if !conductor.Has(s.Pulled, f) {
			out = append(out, "put both wires of feeder "+h.layout.Feeders[f].Name+" back on "+h.layout.OutletName(h.layout.Feeders[f].On))
		}
	}
	return out
}

func (h *Hunt) loadSteps(s, now *conductor.Setup) []string {
	var out []string
	name := func(p int) string { return h.net.Points[p].Name }
	for _, l := range now.Loads {
		if !slices.Contains(s.Loads, l) {
			out = append(out, "take "+loadWord(l)+" off "+name(l.From)+" and "+name(l.To))
		}
	}
	for _, l := range s.Loads {
		switch {
		case slices.Contains(now.Loads, l):
		case l.Ohms < 1:
			out = append(out, fmt.Sprintf("join %s and %s with a clip lead", name(l.From), name(l.To)))
		default:
			out = append(out, fmt.Sprintf("lay a lamp of about %s across %s and %s", unit.Format(l.Ohms, unit.Ohm), name(l.From), name(l.To)))
		}
	}
	return out
}

func loadWord(l conductor.Load) string {
	if l.Ohms < 1 {
		return "the clip lead"
	}
	return "the lamp"
}

func (h *Hunt) sourceSteps(s, now *conductor.Setup, goOff bool) []string {
	var out []string
	if s.Source.Kind == conductor.SourceNone {
		if !h.stand.leadsOff {
			out = append(out, h.leadsWords("take the supply's own leads off its posts, leaving the feeders joined to each other: a probe on a post then touches the feeder wires joined there, never the bare supply",
				"take the leads of every supply off its posts, leaving the feeders joined where they are: a probe on a post then touches the feeder wires joined there, never a bare supply"))
		}
		return out
	}
	if h.stand.leadsOff && !h.standIn() {
		out = append(out, h.leadsWords("put the supply's leads back on its posts", "put the leads of every supply back on its posts"))
	}
	same := s.Source == now.Source
	which := h.supplyOf(s.Source.From)
	if s.Source.Kind == conductor.SourceVolts {
		if now.Source.Kind == conductor.SourceLamp {
			out = append(out, "take the lamp out of the hot lead")
		}
		if same && !goOff && slices.Equal(s.Also, now.Also) {
			return out
		}
		out = append(out, "switch "+which+" on, full volts")
		for _, x := range s.Also {
			out = append(out, "switch "+h.supplyOf(x.From)+" on too, full volts")
		}
		return out
	}
	switch {
	case same && !goOff:
	case same:
		out = append(out, "switch "+which+" on again through the lamp")
	default:
		if h.standIn() {
			out = append(out, fmt.Sprintf("take the leads of the AC supply off its posts, and put a DC supply or battery of %s in its place, plus on hot", unit.Format(s.Source.Volts, unit.Volt)))
		}
		out = append(out, fmt.Sprintf("put a lamp that takes about %s at %s in series with the hot lead of %s, then switch on",
			unit.Format(s.Source.Amps, unit.Ampere), unit.Format(s.Source.Volts, unit.Volt), which))
	}
	return out
}

// leadsWords is one of two sentences: for one supply, or for several.
func (h *Hunt) leadsWords(one, several string) string {
	if len(h.layout.Supplies) > 1 {
		return several
	}
	return one
}

// supplyOf names the supply that a source is: "the supply" where there is only
// one.
func (h *Hunt) supplyOf(point int) string {
	for i := range h.net.Posts {
		if h.net.Posts[i][0] == point || i < len(h.net.Windings) && h.net.Windings[i][0] == point {
			if len(h.layout.Supplies) == 1 {
				return "the supply"
			}
			return "supply " + h.layout.Supplies[i].Name
		}
	}
	return "the supply"
}

// cautions are what can hurt someone in this set-up.
func (h *Hunt) cautions(q *infer.Question) []string {
	var out []string
	switch q.Setup.Source.Kind {
	case conductor.SourceLamp:
		out = append(out, "Never the bare supply into a short: the lamp carries it. The lamp gets hot enough to burn skin and scorch foam: stand it in the open, and switch off between readings. A fast electronic supply may trip first.")
	case conductor.SourceVolts:
		out = append(out, "The track is live: beeper and ohms are off limits until the supply is off again. If the breaker trips as you switch on, switch off at once: that is a short, and a hunt of its own.")
	default:
		out = append(out, "Supply off and unplugged before the beeper or ohms: a live track gives wrong readings and can hurt the meter.")
	}
	for _, l := range q.Setup.Loads {
		if l.Ohms >= 1 {
			out = append(out, "The lamp across the rails gets hot: keep it off ties and scenery, and take it away after the reading.")
			break
		}
	}
	if len(q.Setup.Also) > 0 {
		out = append(out, "Two supplies are on: keep their hot wires apart (out of phase their volts add up), and touch neither plug's pins: one supply can feed the other's mains plug backwards. Both plugs out before any wire is moved.")
	} else if len(h.layout.Supplies) > 1 {
		out = append(out, "More than one supply: pull the mains plugs of all others. A supply that is fed backwards through the track has live mains pins.")
	}
	return out
}
