package drill

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/price"
	"fishplate/diagnose/simulate"
)

// Spent says where the minutes of an act went that was dearer than a plain reading;
// empty for one that was not.
func (d *Drill) Spent(e *Entry) string {
	if e.Stopped != "" || e.Minutes <= price.Probe {
		return ""
	}
	t := fmt.Sprintf("That took %.1f min", e.Minutes)
	if w := d.wayTo(&e.Act); w.minutes > 0 {
		t += fmt.Sprintf(", %.1f of them to get at %s", w.minutes, w.where())
	}
	return t + "."
}

// longWay is from how many minutes on getting at a place is told before it is done
// (assumed).
const longWay = 5

// Far says before an act how long it takes, where the way to its place is long and nothing
// was done there yet; empty for any other, and for one that would be stopped.
func (d *Drill) Far(a Act) string {
	minutes := hands{d}.takes(&a)
	w := d.wayTo(&a)
	if w.minutes < longWay || minutes <= 0 {
		return ""
	}
	for i := range d.log {
		if e := &d.log[i]; e.Stopped == "" && slices.ContainsFunc(d.wayTo(&e.Act).stretches,
			func(s string) bool { return slices.Contains(w.stretches, s) }) {
			return ""
		}
	}
	return fmt.Sprintf("That takes %.1f min, %.1f of them to get at %s", minutes, w.minutes, w.where())
}

// takes is how long an act takes that goes to the track, 0 where it cannot be done.
func (d hands) takes(a *Act) float64 {
	switch a.Do {
	case DoRead:
		if red, black, err := d.points(a); err == nil && d.unsafeRead(simulate.Function(a.Meter)) == "" {
			return d.costs.Read(red, black)
		}
	case DoLift:
		if j, err := d.find.Joint(a.At); err == nil && !d.live() {
			return d.costs.Lift(j)
		}
	case DoLook, DoAccuse:
		if name, p, err := d.accusable(a.At); err == nil && !d.live() && (a.Do == DoLook || !d.seen(name)) {
			return d.costs.Look(p)
		}
	}
	return 0
}

// way is what it takes to get at hidden pieces.
type way struct {
	minutes          float64
	names, stretches []string
}

// where says what is to be got at: "main 13, hidden in the tunnel".
func (w *way) where() string {
	return strings.Join(w.names, " and ") + ", hidden in the " + strings.Join(w.stretches, " and the ")
}

// wayTo is what it takes to get at what an act touches.
func (d *Drill) wayTo(a *Act) way {
	var w way
	for _, p := range d.touched(a) {
		piece := &d.layout.Pieces[p]
		if piece.ExtraMinutes <= 0 {
			continue
		}
		w.minutes += piece.ExtraMinutes
		if !slices.Contains(w.names, piece.ID()) {
			w.names = append(w.names, piece.ID())
		}
		if !slices.Contains(w.stretches, piece.Hidden) {
			w.stretches = append(w.stretches, piece.Hidden)
		}
	}
	return w
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
		if _, p, err := (hands{d}).accusable(a.At); err == nil {
			at(p)
		}
	}
	return out
}
