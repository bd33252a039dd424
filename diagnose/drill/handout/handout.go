// Package handout sets a drill for a class without screens: a sheet for pupils, with
// the customer's words, the map and room for readings, and a sheet for the teacher,
// with what every reading shows, the answer, a good way, and how to make the same
// fault by hand on a real layout.
package handout

import (
	"fmt"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/rival"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/page"
	"fishplate/diagnose/sketch"
	"fishplate/diagnose/track"
)

// Sheets are the two sheets of a drill.
type Sheets struct{ Pupil, Teacher *page.Page }

// Facts are what a drill does not know of its sheets.
type Facts struct {
	Number int    // names it on both sheets
	Again  string // the command that hides the same fault, on a screen
	Map    string // the map in characters, for a sheet without pictures
}

// Make sets a drill. It fails for a drill whose readings do not fit a table: all but
// shorts, dead and weak places.
func Make(d *drill.Drill, f Facts) (*Sheets, error) {
	t, err := read(d)
	if err != nil {
		return nil, err
	}
	title := fmt.Sprintf("%s: fault %d", d.Layout().Name, f.Number)
	s := &Sheets{Pupil: pupil(d, title, f.Map), Teacher: teacher(d, t, title)}
	for _, p := range []*page.Page{s.Pupil, s.Teacher} {
		p.Put(page.Block{Title: "The same fault on a screen", List: []string{f.Again}})
	}
	return s, nil
}

// rows is how many readings the pupils' sheet has room for.
const rows = 12

func pupil(d *drill.Drill, title, drawn string) *page.Page {
	p := &page.Page{Title: title}
	p.Put(page.Block{List: sitting.Opening(d), Figure: picture(d.Layout(), drawn)})
	p.Put(page.Block{Title: "How it goes", List: []string{
		"Say to the teacher what you read: volts, millivolts, beeper; where red and where black; the supply off, on, " +
			"or on through the lamp. The teacher says what the meter shows.",
		"Each reading costs a minute and a half, each look under a piece five (assumed). The fewest minutes win, and " +
			"a wrong piece costs its five.",
		"Before each reading write down what it would rule out, and cross that out on the map after it.",
		"Say the caution before you touch: supply off and unplugged before beeper or ohms; never a bare supply into " +
			"a short, the lamp stays in; the lamp is hot.",
	}})
	b := page.Block{Title: "Readings", Head: []string{"", "supply", "meter", "red", "black", "it shows",
		"so it is not in"}}
	for i := range rows {
		b.Rows = append(b.Rows, []string{fmt.Sprint(i + 1), "", "", "", "", "", ""})
	}
	p.Put(b)
	p.Put(page.Block{Title: "Answer", Ticks: []page.Tick{{Text: "the piece: ________   what is wrong: ________   " +
		"minutes: ____"}}})
	return p
}

func teacher(d *drill.Drill, t *table, title string) *page.Page {
	p := &page.Page{Title: title + ": the teacher's key"}
	p.Put(page.Block{Title: "Keep this from the pupils",
		List: append(d.Reveal(), fmt.Sprintf("The customer: %q", d.Told()))})
	p.Put(page.Block{Title: t.title, List: t.how, Head: t.head, Rows: t.rows, Aloud: t.aloud})
	own := rival.Own(d)
	steps := debrief.Steps(own.Log)
	if !own.Found {
		steps = append(steps, "It did not find the fault: "+own.Why+".")
	}
	p.Put(page.Block{Title: "How the program would do it (minutes so far, what is done, what it shows)", List: steps})
	p.Put(byHand(d))
	p.Put(firstLesson())
	return p
}

// picture is the layout with its feeders, for crossing out.
func picture(l *track.Layout, drawn string) *page.Figure {
	f := sketch.Plain(l, "", func(s *sketch.Sketch) { s.Furniture(l) })
	f.Text = drawn
	return f
}

// refused says for which drills there are no sheets.
func refused(s hunt.Symptom) error {
	return fmt.Errorf("a sheet of paper holds the readings of a short, a dead or a weak place; this drill is %q",
		s.Kind)
}
