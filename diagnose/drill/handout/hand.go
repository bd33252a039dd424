package handout

import (
	"fmt"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/page"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// byHand is how to make the same fault on a real layout so that it can be taken out
// again without a trace (common practice, no source).
func byHand(d *drill.Drill) page.Block {
	b := page.Block{Title: "Making the same fault on a real layout"}
	for _, f := range d.Hidden() {
		b.List = append(b.List, make1(&f))
	}
	b.List = append(b.List,
		"Everything unplugged while it is made, and while it is taken out. With more than one supply all plugs out, "+
			"and touch no pins.",
		"Then the lamp in the hot wire before anything is switched on, also for a class that hunts with a beeper: "+
			"someone will try it with the supply. Never leave it on alone.",
		"Check it before the class comes: two readings of the table above, near the fault and far from it. Figures "+
			"differ with the track; which is more must not.",
		"Afterwards: take it out, and read hot against common silent and every rail through before trains run.")
	return b
}

// make1 says how one fault is made by hand.
func make1(f *simulate.Fault) string {
	s := &f.Suspect
	switch {
	case s.Part == track.PartGap:
		return fmt.Sprintf("At the insulated joint %s: a clip lead round the gap of the %s rail, underneath, where "+
			"nobody sees it.", s.Place, s.Rail)
	case s.Mode == track.Bridged && s.PieceIndex >= 0:
		return fmt.Sprintf("At %s: a clip lead from one to the other of the rails %s, underneath, where nobody sees "+
			"it. Never foil or a wire strand: it burns.", s.Place, s.Rail)
	case s.Mode == track.Open && s.Part == track.PartJoint:
		return fmt.Sprintf("At the joint %s: draw it apart, put a scrap of thin paper round the pin (or into the "+
			"joiner) of the %s rail, and push it together.", s.Place, s.Rail)
	case s.Mode == track.Weak && s.Part == track.PartJoint:
		return fmt.Sprintf("At the joint %s: insulate the %s rail with paper as for an open one, and lead round it "+
			"with a resistor of about %s, 10 W, underneath. It gets hot: off between readings.",
			s.Place, s.Rail, unit.FormatDigits(f.Ohms, unit.Ohm, 2))
	case s.Mode == track.Open && s.Feeder >= 0:
		return fmt.Sprintf("%s: take its %s wire off where it hangs on, and put a bit of tape over its end.", s.Place,
			s.Rail)
	}
	return fmt.Sprintf("%s %s, %s: not to be made by hand without harm. Take another number for a real layout.",
		s.Place, s.Rail, s.What)
}
