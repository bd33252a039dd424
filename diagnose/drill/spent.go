package drill

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/price"
)

// Spent says where the minutes of an act went that was dearer than a plain reading;
// empty for one that was not.
func (d *Drill) Spent(e *Entry) string {
	if e.Stopped != "" || e.Minutes <= price.Probe {
		return ""
	}
	t := fmt.Sprintf("That took %.1f min", e.Minutes)
	more, names, stretches := 0.0, []string{}, []string{}
	for _, p := range d.touched(&e.Act) {
		piece := &d.layout.Pieces[p]
		if piece.ExtraMinutes <= 0 {
			continue
		}
		more += piece.ExtraMinutes
		if !slices.Contains(names, piece.ID()) {
			names = append(names, piece.ID())
		}
		if !slices.Contains(stretches, piece.Hidden) {
			stretches = append(stretches, piece.Hidden)
		}
	}
	if more > 0 {
		t += fmt.Sprintf(", %.1f of them to get at %s, hidden in the %s", more, strings.Join(names, " and "),
			strings.Join(stretches, " and the "))
	}
	return t + "."
}

// touched are the pieces whose rails hands or probes went to, one for each touch that is
// priced.
func (d *Drill) touched(a *Act) []int {
	var out []int
	at := func(piece int) {
		if piece >= 0 {
			out = append(out, piece)
		}
	}
	switch a.Do {
	case DoRead:
		for _, name := range [2]string{a.Red, a.Black} {
			if p := d.n.Find(name); p >= 0 {
				at(d.n.Points[p].Piece)
			}
		}
	case DoLift:
		if j, err := d.find.Joint(a.At); err == nil {
			at(d.layout.Joints[j].A.Piece)
		}
	case DoLook, DoAccuse:
		at(d.layout.FindPiece(a.At))
	}
	return out
}
