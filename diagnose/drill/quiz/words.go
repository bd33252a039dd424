package quiz

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/unit"
)

// What stands large, and what the teacher is told. Words for both the screen and plain
// lines stand here.
const (
	Asks  = "READ WHAT?"
	Found = "FOUND"
	ItWas = "IT WAS" // where the class gave up
	Enter = "Enter alone shows the calls beside the best."
)

// Example is a call on this layout.
func (q *Quiz) Example() string {
	d := q.s.Drill
	l, n := d.Layout(), d.Network()
	p := len(l.Pieces) / 2
	if hot, _ := drill.Across(n, p); hot >= 0 && len(l.Supplies) > 0 {
		return "mv " + l.Supplies[0].Name + " hot to " + n.Points[hot].Name
	}
	return "beep " + l.Pieces[p].ID()
}

// NoCall says that there is nothing to put beside the best.
func (q *Quiz) NoCall() string {
	return "nobody has called yet: type what the class would read, as in: " + q.Example()
}

// Rules are how it goes, for the class.
func (q *Quiz) Rules() []string {
	return []string{
		"Call what you would read: the meter, red, black, as in: " + q.Example() +
			". Each call is a bet that nothing tells more a minute.",
		"The best call is done and gives its side a point if it can tell anything; the minutes count for all.",
		"Something to set up (trains off, the supply on through the lamp) is done for all before you call.",
		"Who knows the piece calls: accuse, and the piece. A wrong one costs its minutes.",
	}
}

// Opening is what the class is told of the layout and its fault.
func (q *Quiz) Opening() []string { return sitting.Opening(q.s.Drill) }

// Told is what the customer said.
func (q *Quiz) Told() string { return q.s.Drill.Told() }

// Stands says how the layout stands, and what was spent.
func (q *Quiz) Stands() string { return q.s.Status()[0].Text }

// Help is what can be typed.
func (q *Quiz) Help() []string {
	out := []string{"NAME: CALL   a side's call, as in: red: " + q.Example()}
	for _, l := range sitting.Help(q.s.Drill) {
		if strings.HasPrefix(strings.TrimSpace(l), "goal") { // from here on it is of a sitting alone
			break
		}
		out = append(out, strings.TrimSpace(l))
	}
	return append(out, "give up: what it was is told")
}

// Says is a call in words.
func (c *Call) Says() string {
	if c.Who == "" {
		return c.Does
	}
	return c.Who + ": " + c.Does
}

// Worth is what it is worth, in words: of the places that are left, how many it is
// expected to leave, and its minutes.
func (c *Call) Worth() string {
	if c.Mute != "" {
		return "tells nothing: " + c.Mute
	}
	return fmt.Sprintf("leaves %.0f of 100 places, %.1f min", 100*math.Exp2(-c.Bits), c.Minutes)
}

// Share is how much of the best call's worth another has, in hundredths; 100 where it is
// worth more.
func Share(c, best *Call) int {
	if best.Rate() <= 0 || c.Rate() >= best.Rate() {
		return 100
	}
	return int(100*c.Rate()/best.Rate() + 0.5)
}

// Points are the points of the sides, the most first.
func (q *Quiz) Points() string {
	var names []string
	for who := range q.points {
		names = append(names, who)
	}
	slices.SortFunc(names, func(a, b string) int {
		if d := q.points[b] - q.points[a]; d != 0 {
			return d
		}
		return strings.Compare(a, b)
	})
	for i, who := range names {
		names[i] = fmt.Sprintf("%s %d", who, q.points[who])
	}
	return strings.Join(names, ", ")
}

func counted(c drill.Counts) string {
	return fmt.Sprintf("%s, %s, %.1f min.", unit.Count(c.Readings, "reading"), unit.Count(c.Looks, "look"), c.Minutes)
}
