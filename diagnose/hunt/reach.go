package hunt

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/price"
)

// weighing is the minutes that a question is weighed by.
func (pr pricing) weighing(q *infer.Question, now *conductor.Setup) float64 {
	return pr.minutes(q, now) - (1-walkShare)*pr.walking(q)
}

// UsualLead is how far one lead of a meter reaches where nobody says, m.
const UsualLead = price.LeadMetres

// Lead is how far one lead of the kit's meter reaches, m.
func (k *Kit) Lead() float64 {
	if k.LeadMetres > 0 {
		return k.LeadMetres
	}
	return UsualLead
}

// leads is how far the two leads of the meter reach together, m.
func (pr pricing) leads() float64 { return 2 * pr.kit.Lead() }

// reach is how far apart the probes of a question are, m; 0 where there are none.
func (pr pricing) reach(q *infer.Question) float64 {
	if q.Func == meter.Lamp || q.Func == meter.Look || q.Func == meter.Amps {
		return 0
	}
	return pr.prices.Apart(q.Red, q.Black)
}

const (
	// walkShare is the part of a walk and of a wire that counts where readings are
	// weighed: it tips between equals. Who goes far now is there for the next
	// reading, which a price by the reading does not see; with a tenth or a quarter
	// of it loops of 100 pieces took half a reading more.
	walkShare = 0.02
	// nearlyAsGood is the part of the bits a minute of a reading that the leads do
	// not span, with no wire at hand, from which one that they span is as good: 0.85
	// cost 0.4 readings on loops of 100 pieces.
	nearlyAsGood = 0.97
)

// tooFar says whether the leads do not span the places and no wire is at hand.
func (pr pricing) tooFar(q *infer.Question) bool { return pr.reach(q) > pr.leads() && !pr.extension() }

// walking is what it costs to come to the places of a question from those of the
// last reading (at first from the supply), and to lengthen a lead.
func (pr pricing) walking(q *infer.Question) float64 {
	if q.Func == meter.Lamp && !q.Setup.LightsLoad() || q.Func == meter.Look || len(pr.net.Posts) == 0 {
		return 0
	}
	last, far := pr.net.Posts[0], false
	if n := len(pr.obs); n > 0 {
		o := &pr.obs[n-1]
		last = [2]int{o.Red, o.Black}
		far = pr.prices.Apart(o.Red, o.Black) > pr.leads()
	}
	m := pr.prices.Walk(last, q.Red, q.Black, pr.leads())
	switch {
	case pr.reach(q) <= pr.leads() || far: // none, or it hangs on the lead already
	case pr.extension():
		m += price.Lengthen
	default:
		m += price.Improvise
	}
	return m
}

// extension says whether a wire to lengthen a lead is at hand: the kit has one, or
// one was found for an earlier reading.
func (pr pricing) extension() bool {
	if pr.kit.Extension {
		return true
	}
	for i := range pr.obs {
		if pr.prices.Apart(pr.obs[i].Red, pr.obs[i].Black) > pr.leads() {
			return true
		}
	}
	return false
}

// adds is what a wire at a lead adds to a reading.
var adds = map[string]string{"millivolts": "it adds nothing to millivolts", "volts": "it adds nothing to volts",
	"beeper": "the beeper does not mind it", "ohms": "a thick one: in ohms it adds its own"}

// wordLengthen says how probes come to places that the leads do not span.
func (say wording) wordLengthen(m *Move) string {
	wire := "clip an extension wire to one lead"
	if !m.AtHand {
		wire = "lengthen one lead with any insulated wire, bare at both ends"
	}
	return fmt.Sprintf("%s (%s): the probes are about %s apart", wire, adds[m.To], m.Names[0])
}

// metres writes a distance: "2.6 m", "12 m".
func metres(m float64) string {
	if m < 10 {
		return fmt.Sprintf("%.1f m", m)
	}
	return fmt.Sprintf("%.0f m", math.Round(m))
}
