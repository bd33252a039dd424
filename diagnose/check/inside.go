package check

import "fmt"

// inside finds turnouts and crossings whose own dead stretch is longer than
// the pickups of a train reach: how they are made, and no fault.
func (c frogCheck) inside() {
	t := c.train()
	var pieces []int
	longest := 0.0
	for p := range c.l.Pieces {
		if w := c.l.Pieces[p].Wiring(); w != nil && w.DeadMM > 0 && w.DeadMM >= t.PickupMM {
			pieces = append(pieces, p)
			longest = max(longest, w.DeadMM)
		}
	}
	if len(pieces) == 0 {
		return
	}
	name := "the train"
	for _, u := range c.l.Trains {
		if u.PickupMM == t.PickupMM {
			name = u.Name
		}
	}
	c.add(Finding{Severity: Badly, Kind: "dead-inside", Place: c.span(pieces),
		What: fmt.Sprintf("up to %s inside carry no current (the frog, or the gap of the center rail), and the "+
			"pickups of %s reach over %s",
			c.length(longest), name, c.length(t.PickupMM)),
		Why:   "an engine that goes slowly stops there. It is how these pieces are made, and no fault to hunt for",
		Do:    "run over them with some speed, or use an engine or a coupled car with pickups farther apart",
		Basis: "geometry; the length is the construction's"}, pieces)
}
