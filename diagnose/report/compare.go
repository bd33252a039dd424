package report

import (
	"fmt"

	"fishplate/diagnose/unit"
)

// Row is one line of a comparison.
type Row struct {
	Label string
	A, B  string
	Same  bool
}

// Compare sets two records side by side: first what is known of both, then the
// readings, those taken between the same points with the same setting beside
// each other.
func Compare(a, b *Report) []Row {
	var out []Row
	add := func(label, x, y string) {
		if x != "" || y != "" {
			out = append(out, Row{label, x, y, x == y})
		}
	}
	add("Record", a.ID, b.ID)
	add("Name", a.Name, b.Name)
	add("Date", span(a.Began, a.Ended), span(b.Began, b.Ended))
	add("Found by", a.Finder, b.Finder)
	add("Layout", a.Layout, b.Layout)
	add("Built of", a.Build, b.Build)
	add("File state", a.Stamp, b.Stamp)
	add("Last change", a.Changed, b.Changed)
	add("Symptom", joined(a.Symptom, a.At), joined(b.Symptom, b.At))
	add("Meter", a.Meter, b.Meter)
	add("Leads", a.Leads, b.Leads)
	add("Conditions", a.Conditions, b.Conditions)
	add("State", string(a.State), string(b.State))
	add("Verdict", a.Verdict, b.Verdict)
	add("Bad piece", a.Piece, b.Piece)
	add("Likely cause", a.Cause, b.Cause)
	add("Repair", a.Repair, b.Repair)
	add("Proof", a.proofWords(), b.proofWords())
	add("Looked at", a.lookedWords(), b.lookedWords())
	add("Readings", fmt.Sprint(len(a.Readings)), fmt.Sprint(len(b.Readings)))
	add("Lifted", fmt.Sprint(a.Lifts), fmt.Sprint(b.Lifts))
	add("Reckoned time", unit.FormatMinutes(a.Minutes), unit.FormatMinutes(b.Minutes))
	return append(out, sameReadings(a, b)...)
}

// sameReadings pairs readings by function, points and feed, in the order of a
// and then of b.
func sameReadings(a, b *Report) []Row {
	var out []Row
	used := make([]bool, len(b.Readings))
	for i := range a.Readings {
		x := &a.Readings[i]
		row := Row{Label: x.where(), A: x.Shown}
		for k := range b.Readings {
			if y := &b.Readings[k]; !used[k] && y.where() == x.where() {
				used[k] = true
				row.B, row.Same = y.Shown, y.Shown == x.Shown
				break
			}
		}
		out = append(out, row)
	}
	for k := range b.Readings {
		if !used[k] {
			out = append(out, Row{Label: b.Readings[k].where(), B: b.Readings[k].Shown})
		}
	}
	return out
}

func (r *Reading) where() string {
	return fmt.Sprintf("%s, %s to %s (%s)", r.Function, r.Red, r.Black, r.Loaded)
}
